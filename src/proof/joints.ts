/**
 * The joints of a print that is cut to the bed, as bodies to add and to cut. Part frame, mm; sizes as drawn.
 *
 * strap: over the skin of the whole part. The piece on the lesser side carries a strap that lies on the other's skin, outside,
 * where nothing of the casting can be; two pins go down through strap and skin.
 * pad: on the ring and on ribs. A plate outside the contour, half its thickness belonging to either piece, with pins through.
 * Of two pin holes one is round in both pieces, one is a slot in the greater piece: it turns nothing and strains nothing.
 * The two stand unevenly about the middle, and differently at every joint, so that pieces go together one way only.
 */
import { tolerance } from '../maths/tolerance.ts';
import { add3, cross3, dot3, scale3, type Vec2, type Vec3 } from '../maths/vec.ts';
import type { MeshForm } from '../solid/meshRecipe.ts';
import { circleOutline, polygonOutline, rectangleOutline, type Outline } from '../solid/outline.ts';
import { alongY, standing } from '../solid/recipe.ts';

export interface Worked {
  readonly add: readonly MeshForm[];
  readonly cut: readonly MeshForm[];
}

export interface Joint {
  readonly less: Worked;
  readonly more: Worked;
  /** Centres of the pin holes, part frame. */
  readonly round: Vec3;
  readonly slot: Vec3;
  /** A line scribed across either piece; their distance is read once it is joined. Null where there is no room. */
  readonly marks: readonly [Vec3, Vec3] | null;
}

/** Diameters and gaps as they are drawn, by the law of the print. */
export interface JointSizes {
  readonly lap: number;
  readonly thickness: number;
  /** Between upright faces, and under the strap. */
  readonly gap: number;
  readonly gapUnder: number;
  readonly pinHole: number;
  /** Extra length of the slot. */
  readonly slot: number;
  /** How deep a line is scribed across the skin. */
  readonly markDepth: number;
  /** How deep added bodies reach into what they stand on. */
  readonly bite: number;
}

/** mm. Far more than the play of a pin in its slot. */
const uneven = 3;

/** How far apart the scribed lines stand: past the strap on either side. */
const markOut = 10;
const markWidth = 0.5;

export const ownShare = 0.5;

/** Height of the outside and of the roof under it at a station. */
export interface Skin {
  readonly top: (x: number) => number;
  readonly roof: (x: number) => number;
}

export interface StrapTask {
  /** The seam stands square to this axis, at this place on it, from `span[0]` to `span[1]` along the other. */
  readonly axis: 'x' | 'y';
  readonly at: number;
  readonly span: Vec2;
  /** Where along the span the pins stand. */
  readonly pins: Vec2;
}

export function strapJoint({ axis, at, span, pins }: StrapTask, skin: Skin, sizes: JointSizes): Joint {
  const { lap, thickness, gap, gapUnder, bite } = sizes;
  const own = at - lap * ownShare;
  const plan = (across: number, along: number): Vec2 => (axis === 'x' ? [across, along] : [along, across]);
  const band = (from: number, to: number, low: (x: number) => number, high: (x: number) => number): MeshForm => {
    const [a, b] = [plan(from, span[0]), plan(to, span[1])];
    return bandForm([a[0], b[0]], [a[1], b[1]], low, high);
  };
  const over = (x: number): number => skin.top(x) + gapUnder + thickness;
  const strap = [
    band(own, at + lap, (x) => skin.top(x) + gapUnder, over),
    // Down into the skin of its own piece.
    band(own, at - gap / 2, (x) => skin.top(x) - bite, (x) => skin.top(x) + gapUnder + thickness / 2),
  ];
  const places = pins.map((along) => plan(at + lap / 2, along)) as [Vec2, Vec2];
  const through = ([x]: Vec2, outline: Outline): MeshForm => standing(outline, skin.roof(x) - thickness, over(x) + thickness);
  const round = (p: Vec2): MeshForm => through(p, circleOutline(p, sizes.pinHole / 2));
  const along: Vec2 = axis === 'x' ? [0, 1] : [1, 0];
  const lines = [own - markOut, at + lap + markOut];
  const scribe = (across: number): MeshForm => {
    const middle = (span[0] + span[1]) / 2;
    const reach = (span[1] - span[0]) * 0.4;
    const [a, b] = [plan(across - markWidth / 2, middle - reach), plan(across + markWidth / 2, middle + reach)];
    return bandForm([a[0], b[0]], [a[1], b[1]], (x) => skin.top(x) - sizes.markDepth, (x) => skin.top(x) + 1);
  };
  const onTop = (p: Vec2): Vec3 => [p[0], p[1], skin.top(p[0])];
  return {
    less: { add: strap, cut: [...places.map(round), scribe(lines[0]!)] },
    more: { add: [], cut: [round(places[0]), through(places[1], slotOutline(places[1], along, sizes)), scribe(lines[1]!)] },
    round: onTop(places[0]),
    slot: onTop(places[1]),
    marks: [onTop(plan(lines[0]!, (span[0] + span[1]) / 2)), onTop(plan(lines[1]!, (span[0] + span[1]) / 2))],
  };
}

/** Between two heights over a stretch of X, from one Y to another. */
export function bandForm([x0, x1]: Vec2, [y0, y1]: Vec2, low: (x: number) => number, high: (x: number) => number): MeshForm {
  const count = Math.max(1, Math.ceil((x1 - x0) / bandStep));
  const stations = Array.from({ length: count + 1 }, (_, i) => x0 + ((x1 - x0) * i) / count);
  return alongY(polygonOutline([...stations.map((x): Vec2 => [x, low(x)]), ...stations.toReversed().map((x): Vec2 => [x, high(x)])]), y0, y1);
}

/** mm. Contours turn over radii of tens of mm: chords this long stray by hundredths. */
const bandStep = 1;

const slotOutline = ([x, y]: Vec2, [ax, ay]: Vec2, { pinHole, slot }: JointSizes): Outline => {
  const [hx, hy] = [(pinHole + slot * Math.abs(ax)) / 2, (pinHole + slot * Math.abs(ay)) / 2];
  return rectangleOutline([x - hx, y - hy], [x + hx, y + hy], pinHole / 2);
};

export interface PadTask {
  /** Seen in its own plane: `along` crosses the seam, `out` points away from what it stands on; thick along `up`. Unit, square. */
  readonly along: Vec3;
  readonly out: Vec3;
  readonly up: Vec3;
  /** Where the seam stands, and the thickness of the pad from and to. */
  readonly at: number;
  readonly thick: Vec2;
  /** What it stands on at a place along, and how far out it reaches. */
  readonly foot: (along: number) => number;
  readonly reach: number;
  readonly length: number;
  /** Point that along, out and up are counted from. */
  readonly origin: Vec3;
  /** Pin holes, along and out. */
  readonly round: Vec2 | null;
  readonly slot: Vec2 | null;
}

export function padJoint(task: PadTask, sizes: JointSizes): { readonly less: Worked; readonly more: Worked; readonly pins: readonly Vec3[] } {
  const { at, thick, foot, reach, length } = task;
  const middle = (thick[0] + thick[1]) / 2;
  const [a, b] = [at - length / 2, at + length / 2];
  const half = (own: Vec2, layer: Vec2): MeshForm[] => [
    flatForm(task, outlineOver([a, b], (u) => foot(u) + sizes.gap, reach), layer),
    flatForm(task, outlineOver(own, (u) => foot(u) - sizes.bite, reach), layer),
  ];
  const holes = (slotted: boolean): MeshForm[] => [
    ...(task.round === null ? [] : [flatForm(task, circleOutline(task.round, sizes.pinHole / 2), [thick[0] - 1, thick[1] + 1])]),
    ...(task.slot === null ? [] : [flatForm(task, slotted ? slotOutline(task.slot, slotWay(task), sizes) : circleOutline(task.slot, sizes.pinHole / 2), [thick[0] - 1, thick[1] + 1])]),
  ];
  const place = ([u, w]: Vec2): Vec3 => add3(task.origin, add3(add3(scale3(task.along, u), scale3(task.out, w)), scale3(task.up, middle)));
  return {
    less: { add: half([a, at - sizes.gap / 2], [thick[0], middle - sizes.gapUnder / 2]), cut: holes(false) },
    more: { add: half([at + sizes.gap / 2, b], [middle + sizes.gapUnder / 2, thick[1]]), cut: holes(true) },
    pins: [task.round, task.slot].flatMap((pin) => (pin === null ? [] : [place(pin)])),
  };
}

/** Along the line from pin to pin: out where the other pin stands in another pad, across the part. */
const slotWay = ({ round, slot }: PadTask): Vec2 => (round !== null && slot !== null && Math.abs(slot[0] - round[0]) > Math.abs(slot[1] - round[1]) ? [1, 0] : [0, 1]);

function outlineOver([a, b]: Vec2, low: (u: number) => number, reach: number): Outline {
  const count = Math.max(1, Math.ceil((b - a) / bandStep));
  const stations = Array.from({ length: count + 1 }, (_, i) => a + ((b - a) * i) / count);
  return polygonOutline([...stations.map((u): Vec2 => [u, low(u)]), [b, reach], [a, reach]]);
}

/** An outline in the plane of a pad, thick from one height along `up` to another. */
export function flatForm({ along, out, up, origin }: Pick<PadTask, 'along' | 'out' | 'up' | 'origin'>, outline: Outline, [from, to]: Vec2): MeshForm {
  const right = dot3(cross3(along, out), up) > 0;
  return { kind: 'prism', outline, frame: { origin, x: along, y: out }, from: right ? from : -to, to: right ? to : -from };
}

/**
 * Two places for pins along a span, far apart, clear, uneven about its middle, and unlike those of the other joints.
 * Null when there is no room. `apart` is their least distance; turned round, or in another joint, a piece misses by `uneven`.
 */
export function pinPlaces(span: Vec2, clear: (along: number) => boolean, apart: number, taken: readonly Vec2[]): Vec2 | null {
  const free: number[] = [];
  for (let v = span[0]; v <= span[1] + tolerance.point; v += 1) if (clear(v)) free.push(v);
  const sum = span[0] + span[1];
  let best: Vec2 | null = null;
  for (const a of free) {
    for (const b of free) {
      if (b - a < apart || Math.abs(a + b - sum) < uneven) continue;
      if (taken.some((other) => Math.abs(a - span[0] - other[0]) < uneven && Math.abs(b - span[0] - other[1]) < uneven)) continue;
      if (best === null || b - a > best[1] - best[0]) best = [a, b];
    }
  }
  return best;
}
