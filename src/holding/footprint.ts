/** SolidPlan -> what the part covers on the plan, and between which heights. Part frame, mm. */
import type { Vec2 } from '../maths/vec.ts';
import { heightsOf } from '../solid/heights.ts';
import { roundedPolygon, type Outline } from '../solid/outline.ts';
import type { BodyPlan, SolidPlan, TabPlan } from '../solid/plan.ts';
import { footBeside, wallFrame } from '../solid/walls.ts';
import type { Box } from './holding.ts';

/** A rectangle of metal in plan. */
export interface Footprint {
  readonly name: string;
  readonly least: Vec2;
  readonly most: Vec2;
}

/** mm between the stations where the top is sampled; it turns far more slowly. */
const sampling = 0.5;

export const bodyFootprint = ({ length, width }: BodyPlan): Footprint => ({ name: 'body', least: [0, 0], most: [length, width] });

/** The part of a tab that stands out from its wall, drawn in by `inset` on its free sides, from `from` off the wall on. */
export function tabFootprint(body: BodyPlan, tab: TabPlan, inset = 0, from = 0): Footprint {
  const { plan } = wallFrame(body, tab.wall);
  const [a, b] = [plan(tab.middle - tab.length / 2 + inset, from), plan(tab.middle + tab.length / 2 - inset, tab.reach - inset)];
  return { name: tab.name, least: [Math.min(a[0], b[0]), Math.min(a[1], b[1])], most: [Math.max(a[0], b[0]), Math.max(a[1], b[1])] };
}

export const footprints = (plan: SolidPlan): readonly Footprint[] => [bodyFootprint(plan.body), ...plan.tabs.map((tab) => tabFootprint(plan.body, tab))];

/** The tab as it stands out from its wall, its outer corners rounded. */
export function tabOnPlan(body: BodyPlan, tab: TabPlan): Outline {
  const { plan } = wallFrame(body, tab.wall);
  const [a, b] = [tab.middle - tab.length / 2, tab.middle + tab.length / 2];
  const radius = tab.cornerRadius;
  return roundedPolygon([{ at: plan(a, 0) }, { at: plan(a, tab.reach), radius }, { at: plan(b, tab.reach), radius }, { at: plan(b, 0) }]);
}

/** The body between two stations, drawn in by `inset`, with its upright corners round at closed ends. */
export function bodyOnPlan({ length, width, outsideRadius, left, right }: BodyPlan, from = 0, to = length): Outline {
  const round = (closed: boolean, x: number): number => (closed && (x === 0 || x === length) ? outsideRadius : 0);
  return roundedPolygon([
    { at: [from, 0], radius: round(left.closed, from) },
    { at: [to, 0], radius: round(left.closed, to) },
    { at: [to, width], radius: round(right.closed, to) },
    { at: [from, width], radius: round(right.closed, from) },
  ]);
}

/** The box round the finished part, from figures alone; its top is within a micrometre of the true crest. */
export function partBox(plan: SolidPlan): Box {
  const flat = footprints(plan);
  const { body, tabs, bosses } = plan;
  const crest = heightsOf(body.top).range(0, body.length, sampling).most;
  const lows = [body.frontFoot, body.backFoot, ...tabs.map((tab) => tab.seat), ...bosses.map((boss) => Math.min(boss.endHeight, footBeside(body, boss)))];
  const over = (axis: 0 | 1, pick: (...values: number[]) => number, side: 'least' | 'most'): number => pick(...flat.map((one) => one[side][axis]));
  return {
    least: [over(0, Math.min, 'least'), over(1, Math.min, 'least'), Math.min(...lows)],
    most: [over(0, Math.max, 'most'), over(1, Math.max, 'most'), Math.max(crest, ...tabs.map((tab) => tab.seat + tab.thickness + tab.rootRadius))],
  };
}

export const overlapping = (a: Footprint, b: Footprint): boolean => [0, 1].every((k) => a.least[k]! < b.most[k]! && b.least[k]! < a.most[k]!);

/** Shortest distance between a point and a rectangle; 0 inside. */
export const distanceTo = ({ least, most }: Pick<Footprint, 'least' | 'most'>, [x, y]: Vec2): number =>
  Math.hypot(Math.max(least[0] - x, 0, x - most[0]), Math.max(least[1] - y, 0, y - most[1]));
