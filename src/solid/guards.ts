/**
 * SolidPlan -> reasons why the hollow is not known, from figures alone, to lie inside the body. A solid assembled by hand
 * (see kernel/assemble.ts) is right only if it does, and looks valid if it does not: where a guard misses, the build
 * proves it by meshes, or cuts. These are not rules of the trade and refuse nothing.
 *
 * Conservative: distances are taken straight up instead of square to the top and corrected by the steepest slope nearby,
 * roundings by the thickness of a square corner. Stops being enough where features not listed here are added.
 */
import { heightsOf, type Heights } from './heights.ts';
import type { BodyPlan, BossPlan, SolidPlan, TabPlan } from './plan.ts';
import { footBeside, wallFrame } from './walls.ts';

export interface GuardMiss {
  readonly guard: 'corner-thickness' | 'skin-above-hole' | 'hole-near-outside' | 'tab-hole-in-wall' | 'carving-too-deep' | 'boss-below-foot' | 'feet-break';
  /** Path into the job of what comes too close. */
  readonly at: string;
  readonly message: string;
  /** False when the assembled route cannot be right here whatever a proof says. */
  readonly provable: boolean;
}

/** mm of metal a guard wants to see; less, and the meshes decide. */
const margin = 0.3;

export function guard(plan: SolidPlan): GuardMiss[] {
  const top = heightsOf(plan.body.top);
  return [
    ...cornerThickness(plan.body),
    ...plan.bosses.flatMap((boss) => bossMisses(plan, top, boss)),
    ...plan.tabs.flatMap((tab) => tabHoleMisses(plan.body, tab)),
    ...carvingMisses(plan),
  ];
}

/**
 * Metal between the outer and the inner rounding where two faces meet (walls `a` and `b` thick) and where three meet.
 * Round corners thin the metal only when the outer radius is larger than wall plus inner radius.
 */
function cornerThickness(body: BodyPlan): GuardMiss[] {
  const { outsideRadius: outer, insideRoofRadius: roof, insideCornerRadius: corner, wall, skin } = body;
  const misses: GuardMiss[] = [];
  const ends = [body.left, body.right].filter((end) => end.closed).map((end) => end.thickness);
  const say = (place: string, left: number): void => {
    if (left < margin) misses.push({ guard: 'corner-thickness', at: 'body.outsideRadius', message: `only ${left.toFixed(2)} mm may be left ${place}`, provable: true });
  };
  const inner = Math.min(roof, corner);
  say('under the top edges', betweenRoundings(outer, roof, [wall, skin]));
  for (const end of ends) {
    say('under the top edge of an end', betweenRoundings(outer, roof, [end, skin]));
    say('in the upright corners', betweenRoundings(outer, corner, [wall, end]));
    say('in the top corners', betweenRoundings(outer, inner, [wall, end, skin]));
  }
  if (body.feetBreak > 0 && Math.min(wall, ...ends) - body.feetBreak < margin) {
    misses.push({ guard: 'feet-break', at: 'edgeBreaks.feet', message: 'the break takes most of the foot', provable: true });
  }
  return misses;
}

/** Thinnest metal between an outer and an inner rounding in a square corner of walls this thick: on the line of centres where that faces the corner. */
function betweenRoundings(outer: number, inner: number, walls: readonly number[]): number {
  const apart = walls.map((wall) => Math.max(0, outer - inner - wall));
  const least = Math.min(...walls);
  return apart.every((one) => one === 0) ? least : Math.min(least, outer - inner - Math.hypot(...apart));
}

function bossMisses(plan: SolidPlan, top: Heights, boss: BossPlan): GuardMiss[] {
  const { body } = plan;
  const misses: GuardMiss[] = [];
  if (boss.endHeight < footBeside(body, boss)) misses.push({ guard: 'boss-below-foot', at: boss.at, message: `${boss.name} reaches below the foot beside it`, provable: false });
  const { hole } = boss;
  if (hole === null) return misses;
  const r = hole.diameter / 2 + hole.mouthBreak;
  const rounding = body.outsideRadius;
  const near = (low: number, high: number, at: number, closed: readonly [boolean, boolean]): boolean =>
    (closed[0] && at - r < low + margin) || (closed[1] && at + r > high - margin) || at - r < margin || at + r > high + rounding - margin;
  if (near(rounding, body.length - rounding, boss.x, [true, true]) || near(rounding, body.width - rounding, boss.y, [body.left.closed, body.right.closed])) {
    misses.push({ guard: 'hole-near-outside', at: boss.at, message: `the hole of ${boss.name} comes near the rounded outside`, provable: true });
  }
  const left = skinAbove(plan, top, boss);
  if (left < margin) misses.push({ guard: 'skin-above-hole', at: `${boss.at}.holeDepth`, message: `the hole of ${boss.name} leaves about ${left.toFixed(2)} mm of skin`, provable: true });
  return misses;
}

/** mm left above a blind hole, measured straight up, less what is carved into the top above it. */
function skinAbove({ body, grooves, engravings }: SolidPlan, heights: Heights, boss: BossPlan): number {
  const { hole } = boss;
  if (hole === null) return Infinity;
  const r = hole.diameter / 2;
  const slope = hole.pointAngle >= 180 ? 0 : 1 / Math.tan(((hole.pointAngle / 2) * Math.PI) / 180);
  const shoulder = boss.endHeight + hole.depth;
  const steps = 24;
  let least = Infinity;
  for (let i = 0; i < steps; i++) {
    const [from, to] = [-r + (2 * r * i) / steps, -r + (2 * r * (i + 1)) / steps];
    const nearest = from * to <= 0 ? 0 : Math.min(Math.abs(from), Math.abs(to));
    const top = heights.range(Math.max(0, boss.x + from), Math.min(body.length, boss.x + to), r / steps).least;
    least = Math.min(least, top - (shoulder + (r - nearest) * slope));
  }
  const carved = Math.max(0, ...grooves.map((groove) => groove.depth), ...engravings.filter((text) => text.on === 'top').map((text) => text.depth));
  // A depth square to a steep top takes more straight up; twice covers slopes to 60 degrees.
  return least - 2 * carved;
}

function tabHoleMisses(body: BodyPlan, tab: TabPlan): GuardMiss[] {
  const { hole } = tab;
  if (hole === null) return [];
  const frame = wallFrame(body, tab.wall);
  const half = Math.max(hole.diameter, hole.head.kind === 'none' ? 0 : hole.head.diameter) / 2 + hole.mouthBreak + hole.slot / 2;
  const face = frame.plan(0, 0);
  const out = (hole.entry[0] - face[0]) * frame.out[0] + (hole.entry[1] - face[1]) * frame.out[1];
  if (out - half > margin - frame.thickness) return [];
  return [{ guard: 'tab-hole-in-wall', at: hole.at, message: `the hole of ${tab.name} runs into its wall`, provable: true }];
}

function carvingMisses({ body, grooves, engravings }: SolidPlan): GuardMiss[] {
  const underside = Math.max(0, ...engravings.filter((text) => text.on === 'underside').map((text) => text.depth));
  const top = [...grooves, ...engravings.filter((text) => text.on === 'top')];
  const deepest = Math.max(0, ...top.map((carving) => carving.depth));
  if (body.skin - deepest - underside >= margin) return [];
  const at = top.find((carving) => carving.depth === deepest)?.at ?? engravings.find((text) => text.depth === underside)?.at ?? 'engraving';
  return [{ guard: 'carving-too-deep', at: `${at}.depth`, message: 'grooves and engraving take most of the skin', provable: true }];
}
