/** Flat outlines in plain numbers: lines, arcs and curves joined end to end. mm, in the outline's own two coordinates. */
import { bezierPoint, reversed, sampleCurve, type BSplineCurve } from '../maths/bspline.ts';
import { signedArea } from '../maths/polygon.ts';
import { tolerance } from '../maths/tolerance.ts';
import { add2, distance2, dot2, length2, scale2, sub2, type Vec2 } from '../maths/vec.ts';

export type Stroke =
  | { readonly kind: 'line'; readonly to: Vec2 }
  /** Through `by`, somewhere on the arc. */
  | { readonly kind: 'arc'; readonly by: Vec2; readonly to: Vec2 }
  /** The whole curve, first pole to last. */
  | { readonly kind: 'curve'; readonly curve: BSplineCurve }
  /** A Bezier curve of degree 2 or 3: inner control points, then the end. */
  | { readonly kind: 'bezier'; readonly inner: readonly Vec2[]; readonly to: Vec2 };

/** Starts at `from`; the last stroke ends there again. */
export interface Outline {
  readonly from: Vec2;
  readonly strokes: readonly Stroke[];
}

export const endOf = (stroke: Stroke): Vec2 => (stroke.kind === 'curve' ? (stroke.curve.poles.at(-1) as Vec2) : stroke.to);

/** Straight from corner to corner and back to the first. */
export function polygonOutline(corners: readonly Vec2[]): Outline {
  const [from, ...rest] = corners as [Vec2, ...Vec2[]];
  return { from, strokes: [...rest, from].map((to) => ({ kind: 'line', to })) };
}

/** Two half turns. */
export const circleOutline = ([x, y]: Vec2, radius: number): Outline => ({
  from: [x + radius, y],
  strokes: [
    { kind: 'arc', by: [x, y + radius], to: [x - radius, y] },
    { kind: 'arc', by: [x, y - radius], to: [x + radius, y] },
  ],
});

/** A rectangle with rounded corners, counter-clockwise. `radius` is held to half the shorter side; 0 leaves them sharp. */
export function rectangleOutline(least: Vec2, most: Vec2, radius = 0): Outline {
  const r = Math.min(radius, (most[0] - least[0]) / 2, (most[1] - least[1]) / 2);
  if (r <= tolerance.point) return polygonOutline([least, [most[0], least[1]], most, [least[0], most[1]]]);
  const q = r * (1 - Math.SQRT1_2);
  const [[x0, y0], [x1, y1]] = [least, most];
  const strokes: Stroke[] = [
    { kind: 'line', to: [x1 - r, y0] },
    { kind: 'arc', by: [x1 - q, y0 + q], to: [x1, y0 + r] },
    { kind: 'line', to: [x1, y1 - r] },
    { kind: 'arc', by: [x1 - q, y1 - q], to: [x1 - r, y1] },
    { kind: 'line', to: [x0 + r, y1] },
    { kind: 'arc', by: [x0 + q, y1 - q], to: [x0, y1 - r] },
    { kind: 'line', to: [x0, y0 + r] },
    { kind: 'arc', by: [x0 + q, y0 + q], to: [x0 + r, y0] },
  ];
  return withoutEmpty({ from: [x0 + r, y0], strokes });
}

/** A full round leaves no line between its corners; the kernel knows no line of no length. */
export function withoutEmpty({ from, strokes }: Outline): Outline {
  let at = from;
  const kept = strokes.filter((stroke) => {
    const to = endOf(stroke);
    const empty = stroke.kind === 'line' && Math.hypot(to[0] - at[0], to[1] - at[1]) <= tolerance.point;
    if (!empty) at = to;
    return !empty;
  });
  return { from, strokes: kept };
}

/** Points along an outline, enough to tell which way round it goes and which one lies inside which. */
export function flattened(outline: Outline): Vec2[] {
  const points: Vec2[] = [outline.from];
  for (const stroke of outline.strokes) {
    const from = points.at(-1)!;
    if (stroke.kind === 'arc') points.push(stroke.by);
    else if (stroke.kind === 'bezier') for (const share of [0.25, 0.5, 0.75]) points.push(bezierPoint([from, ...stroke.inner, stroke.to], share));
    else if (stroke.kind === 'curve') points.push(...sampleCurve(stroke.curve, 0.1).slice(1, -1));
    points.push(endOf(stroke));
  }
  return points;
}

/** Points along an outline, corners on the true line and chords within `chord` mm of it; the last point is the first again. */
export function alongOutline(outline: Outline, chord: number): Vec2[] {
  const points: Vec2[] = [outline.from];
  for (const stroke of outline.strokes) {
    const from = points.at(-1)!;
    if (stroke.kind === 'arc') points.push(...arcPoints(from, stroke.by, stroke.to, chord));
    else if (stroke.kind === 'bezier') points.push(...bezierPoints([from, ...stroke.inner, stroke.to], chord));
    else if (stroke.kind === 'curve') points.push(...sampleCurve(stroke.curve, chord).slice(1, -1));
    points.push(endOf(stroke));
  }
  return points;
}

/** Between the ends of an arc through three points. */
function arcPoints(a: Vec2, b: Vec2, c: Vec2, chord: number): Vec2[] {
  const [bx, by] = [b[0] - a[0], b[1] - a[1]];
  const [cx, cy] = [c[0] - a[0], c[1] - a[1]];
  const twice = 2 * (bx * cy - by * cx);
  if (Math.abs(twice) <= tolerance.point ** 2) return [];
  const [ux, uy] = [(cy * (bx * bx + by * by) - by * (cx * cx + cy * cy)) / twice, (bx * (cx * cx + cy * cy) - cx * (bx * bx + by * by)) / twice];
  const radius = Math.hypot(ux, uy);
  const start = Math.atan2(-uy, -ux);
  const full = 2 * Math.PI;
  const turn = (((Math.atan2(cy - uy, cx - ux) - start) % full) + full) % full;
  const sweep = twice > 0 ? turn : turn - full;
  const count = Math.max(2, Math.ceil(Math.abs(sweep) / (2 * Math.acos(Math.max(0, 1 - chord / radius)))));
  return Array.from({ length: count - 1 }, (_, i): Vec2 => {
    const angle = start + (sweep * (i + 1)) / count;
    return [a[0] + ux + radius * Math.cos(angle), a[1] + uy + radius * Math.sin(angle)];
  });
}

/** Between the ends; a chord over a share h of a Bezier strays by at most h^2/8 of its greatest second derivative. */
function bezierPoints(poles: readonly Vec2[], chord: number): Vec2[] {
  const degree = poles.length - 1;
  const bend = Math.max(...poles.slice(2).map((p, i) => Math.hypot(p[0] - 2 * poles[i + 1]![0] + poles[i]![0], p[1] - 2 * poles[i + 1]![1] + poles[i]![1])));
  const count = Math.max(1, Math.ceil(Math.sqrt((degree * (degree - 1) * bend) / (8 * chord))));
  return Array.from({ length: count - 1 }, (_, i) => bezierPoint(poles, (i + 1) / count));
}

/** The outline gone round counter-clockwise (+1) or clockwise (-1) in its own coordinates. */
export function turnedTo(outline: Outline, turn: 1 | -1): Outline {
  if (Math.sign(signedArea(flattened(outline))) === turn) return outline;
  const ends = outline.strokes.map(endOf);
  const strokes = outline.strokes.map((stroke, i): Stroke => {
    const to = i === 0 ? outline.from : ends[i - 1]!;
    if (stroke.kind === 'curve') return { kind: 'curve', curve: reversed(stroke.curve) };
    return stroke.kind === 'bezier' ? { ...stroke, inner: [...stroke.inner].reverse(), to } : { ...stroke, to };
  });
  return { from: ends.at(-1)!, strokes: strokes.reverse() };
}

/** A polygon with each corner rounded by its own radius (0 stays sharp), held to what its two sides have room for. */
export function roundedPolygon(corners: readonly { readonly at: Vec2; readonly radius?: number }[]): Outline {
  const count = corners.length;
  const side = (i: number): number => distance2(corners[i % count]!.at, corners[(i + 1) % count]!.at);
  const cut = corners.map(({ at, radius = 0 }, i) => {
    const [before, after] = [corners[(i + count - 1) % count]!.at, corners[(i + 1) % count]!.at];
    const [a, b] = [way(at, before), way(at, after)];
    const half = Math.acos(Math.max(-1, Math.min(1, dot2(a, b)))) / 2;
    const back = Math.min(radius / Math.tan(half), side(i) / 2, side(i + count - 1) / 2);
    if (!(back > tolerance.point)) return { from: at, by: null, to: at };
    const r = back * Math.tan(half);
    const toCentre = way([0, 0], add2(a, b));
    // From the corner to the middle of the arc: the way to the centre less the radius.
    return { from: add2(at, scale2(a, back)), by: add2(at, scale2(toCentre, r / Math.sin(half) - r)), to: add2(at, scale2(b, back)) };
  });
  const strokes = cut.flatMap((corner, i): Stroke[] => [{ kind: 'line', to: corner.from }, ...(corner.by === null ? [] : [{ kind: 'arc' as const, by: corner.by, to: corner.to }])].slice(i === 0 ? 1 : 0) as Stroke[]);
  return withoutEmpty({ from: cut[0]!.by === null ? cut[0]!.to : cut[0]!.from, strokes: [...strokes, { kind: 'line', to: cut[0]!.by === null ? cut[0]!.to : cut[0]!.from }] });
}

const way = (from: Vec2, to: Vec2): Vec2 => {
  const by = sub2(to, from);
  return scale2(by, 1 / (length2(by) || 1));
};
