/**
 * The part's feet and tabs -> the blocks of the fixture that carry them. A foot stands on a lip narrower than its wall, so
 * that burrs at both edges hang free, the lip on a broader step lower by the burr relief; a tab stands on a pad drawn in
 * from its outline. Everything stays inside the outline of the part, so the cutter may go all round. Part frame, mm.
 */
import type { Job } from '../job/schema.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2 } from '../maths/vec.ts';
import { rectangleOutline, roundedPolygon, type Outline } from '../solid/outline.ts';
import type { BodyPlan, SolidPlan, TabPlan } from '../solid/plan.ts';
import { wallFrame } from '../solid/walls.ts';
import { overlapping, tabFootprint, type Footprint } from './footprint.ts';
import type { Contact, FixturePlan } from './holding.ts';

type Block = FixturePlan['blocks'][number];
type Relief = FixturePlan['reliefs'][number];

/** Share of a wall kept clear of the lip at each of its two edges, at most: half of it always carries. */
const clearShare = 0.25;
/** mm the step under a lip reaches into the hollow. */
const stepReach = 8;

/** How far blocks keep back from the edges they carry. */
export const setback = (job: Job, size: number): number => Math.min(job.holding.burrRelief, size * clearShare);

/** One half of the wall feet in plan, open to the other half: a U, an L at one open end, a bar at two. */
interface Half {
  readonly foot: number;
  /** Where the half begins and ends, the front one running up and the back one down. */
  readonly x: readonly [number, number];
  /** +1 for the front half, -1 for the back one. */
  readonly way: 1 | -1;
}

function halves(body: BodyPlan, gap: number): readonly Half[] {
  const { frontFoot, backFoot, stepAt, length } = body;
  // The higher half keeps off the upright face of the step in the walls.
  const middle = frontFoot === backFoot ? stepAt : frontFoot > backFoot ? stepAt - gap : stepAt + gap;
  return [
    { foot: frontFoot, x: [0, middle], way: 1 },
    { foot: backFoot, x: [length, middle], way: -1 },
  ];
}

/** `out`: drawn in from the outside; `inner`: how far it reaches in from the outer face of each wall. */
function halfOutline(body: BodyPlan, { x: [end, middle], way }: Half, out: number, inner: (thickness: number) => number, round: number): Outline {
  const { width, left, right, wall, outsideRadius } = body;
  const corner = (closed: boolean): number => (closed ? Math.max(0, outsideRadius - out) : 0);
  const innerRound = (thickness: number): number => within(round, outsideRadius, inner(thickness));
  const x0 = end + way * out;
  const x1 = end + way * inner(wall);
  const [y0, y1] = [out, width - out];
  const low = left.closed ? [{ at: [middle, y0] as Vec2 }, { at: [middle, inner(left.thickness)] as Vec2 }, { at: [x1, inner(left.thickness)] as Vec2, radius: innerRound(left.thickness) }] : [{ at: [x1, y0] as Vec2 }];
  const high = right.closed ? [{ at: [x1, width - inner(right.thickness)] as Vec2, radius: innerRound(right.thickness) }, { at: [middle, width - inner(right.thickness)] as Vec2 }, { at: [middle, y1] as Vec2 }] : [{ at: [x1, y1] as Vec2 }];
  return roundedPolygon([{ at: [x0, y1], radius: corner(right.closed) }, { at: [x0, y0], radius: corner(left.closed) }, ...low, ...high]);
}

/** Radius of an inside corner: the cutter's, or more where the round outside corner would otherwise break through. */
const within = (round: number, outside: number, inset: number): number => Math.max(round, outside - inset);

/** Lips and steps under the feet, and what of them the walls stand on. */
export function footBlocks(job: Job, body: BodyPlan, plateTop: number): { readonly blocks: readonly Block[]; readonly contacts: readonly Contact[] } {
  const { burrRelief, nestCutter } = job.holding;
  const thinnest = Math.min(body.wall, ...[body.left, body.right].filter((end) => end.closed).map((end) => end.thickness));
  const lip = (thickness: number): number => thickness - setback(job, thickness);
  const broken = body.feetBreak > 0 ? body.feetBreak + burrRelief / 4 : 0;
  // Under a foot broken nearly away the lip stays wide enough to be cut.
  const out = Math.max(setback(job, thinnest), Math.min(broken, lip(thinnest) - thinnest * clearShare));
  const room = Math.min(body.length / 2, body.width / 2) - Math.max(body.wall, body.left.thickness, body.right.thickness);
  const step = (thickness: number): number => thickness + Math.max(0, Math.min(stepReach, room - 2));
  const rings = feetRings(body, burrRelief);
  // The step begins under the lip, not flush with it: solids that share a side face are what booleans stumble over.
  const under = out + (lip(thinnest) - out) / 4;
  const shapes = rings.map(({ name, foot, shape }) => ({ name, foot, lip: shape(out, lip, nestCutter / 2), step: shape(under, step, nestCutter / 2) }));
  return {
    blocks: shapes.flatMap(({ name, foot, lip: upper, step: lower }): Block[] => {
      const low = foot - burrRelief;
      const steps: Block[] = low > plateTop + tolerance.point ? [{ what: 'step', name, ...lower, top: low }] : [];
      return [...steps, { what: 'foot', name, ...upper, top: foot }];
    }),
    contacts: shapes.map(({ name, foot, lip: upper }) => ({ what: 'foot', name: `${name} feet`, height: foot, ...upper })),
  };
}

interface Shape {
  readonly outline: Outline;
  readonly holes: readonly Outline[];
}

/** What the feet cover: one ring where they are level and both ends are closed, else a front and a back half. */
function feetRings(body: BodyPlan, gap: number): readonly { readonly name: string; readonly foot: number; readonly shape: (out: number, inner: (thickness: number) => number, round: number) => Shape }[] {
  const { frontFoot, backFoot, left, right, length, width, wall, outsideRadius } = body;
  if (frontFoot === backFoot && left.closed && right.closed) {
    const ring = (out: number, inner: (thickness: number) => number, round: number): Shape => ({
      outline: rectangleOutline([out, out], [length - out, width - out], Math.max(0, outsideRadius - out)),
      holes: [rectangleOutline([inner(wall), inner(left.thickness)], [length - inner(wall), width - inner(right.thickness)], within(round, outsideRadius, Math.min(inner(wall), inner(left.thickness), inner(right.thickness))))],
    });
    return [{ name: 'wall', foot: frontFoot, shape: ring }];
  }
  return halves(body, gap).map((half) => ({ name: half.way > 0 ? 'front' : 'back', foot: half.foot, shape: (out, inner, round) => ({ outline: halfOutline(body, half, out, inner, round), holes: [] }) }));
}

/** Where a pad begins, out from the outer face of its wall: on the lip, at the face, or clear of a wall that reaches lower. */
function padFrom(job: Job, body: BodyPlan, tab: TabPlan): number {
  const frame = wallFrame(body, tab.wall);
  const on = (u: number): number => frame.foot(Math.min(frame.length, Math.max(0, u)));
  const feet = [on(tab.middle - tab.length / 2), on(tab.middle), on(tab.middle + tab.length / 2)];
  if (feet.some((foot) => foot < tab.seat - tolerance.point)) return job.holding.burrRelief;
  // Onto the lip only where the wall is flat behind the whole tab.
  const backed = tab.middle - tab.length / 2 >= frame.flat[0] && tab.middle + tab.length / 2 <= frame.flat[1];
  return backed && feet.every((foot) => Math.abs(foot - tab.seat) <= tolerance.point) ? -setback(job, frame.thickness) : 0;
}

/** Pads under the tabs, with room cut where a pad would run into a lower tab beside it. */
export function pads(job: Job, plan: SolidPlan): { readonly blocks: readonly Block[]; readonly contacts: readonly Contact[]; readonly reliefs: readonly Relief[] } {
  const { burrRelief } = job.holding;
  const rows = plan.tabs.map((tab) => {
    const inset = Math.min(burrRelief, tab.length / 6, tab.reach / 6);
    const flat = tabFootprint(plan.body, tab, inset, padFrom(job, plan.body, tab));
    return { tab, flat, outline: rectangleOutline(flat.least, flat.most, Math.max(0, tab.cornerRadius - inset)) };
  });
  const reliefs = rows.flatMap(({ tab }): Relief[] => {
    const grown = tabFootprint(plan.body, tab, -burrRelief, -burrRelief);
    const hit = rows.some((other) => other.tab !== tab && other.tab.seat > tab.seat + tolerance.point && overlapping(other.flat, grown));
    return hit ? [{ name: tab.name, outline: outlineOf(grown), from: tab.seat }] : [];
  });
  return {
    blocks: rows.map(({ tab, outline }) => ({ what: 'pad', name: tab.name, outline, holes: [], top: tab.seat })),
    contacts: rows.map(({ tab, outline }) => ({ what: 'tab', name: tab.name, height: tab.seat, outline, holes: [] })),
    reliefs,
  };
}

const outlineOf = ({ least, most }: Footprint): Outline => rectangleOutline(least, most);
