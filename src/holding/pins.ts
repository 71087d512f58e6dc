/**
 * Holes of the part -> one round and one relieved pin: the two round holes farthest apart. The round pin places the part,
 * the relieved one only keeps it from turning: along the line between them it has room. Part frame, mm.
 *
 * A pin (m6) stands in a hole H7 of the plate and enters the part with a stated gap. How far the second hole may be off along
 * the line: x with (b/2 + x)2 + (d/2)2 - (b/2)2 = (D/2)2, b the width of the lands, d the pin, D the hole (plane geometry).
 */
import type { Job } from '../job/schema.ts';
import { tolerance } from '../maths/tolerance.ts';
import { distance2, scale2, sub2, type Vec2 } from '../maths/vec.ts';
import type { HeadPlan, SolidPlan } from '../solid/plan.ts';
import { pinFit } from '../standards/tolerances.ts';
import type { Pin } from './holding.ts';

/** A hole a pin may enter from below. */
interface Place {
  readonly name: string;
  readonly at: Vec2;
  readonly diameter: number;
  /** Height of its mouth and how much of it is straight. */
  readonly mouth: number;
  readonly deep: number;
}

/** mm a pin ends short of what the cutter takes off above it. */
const short = 1;
/** A pin is this many diameters in its hole, where there is so much. */
const usualReach = 1;
/** Lands of a relieved pin, share of its diameter (common practice, no source). */
const landShare = 0.2;

const taken = (head: HeadPlan, diameter: number): number => (head.kind === 'counterbore' ? head.depth : head.kind === 'countersink' ? (head.diameter - diameter) / 2 / Math.tan((head.angle * Math.PI) / 360) : 0);

function places({ tabs, bosses }: SolidPlan): Place[] {
  return [
    ...tabs.flatMap((tab): Place[] =>
      tab.hole === null || tab.hole.slot > 0 ? [] : [{ name: tab.name, at: [tab.hole.entry[0], tab.hole.entry[1]], diameter: tab.hole.diameter, mouth: tab.seat, deep: tab.thickness - taken(tab.hole.head, tab.hole.diameter) - short }],
    ),
    ...bosses.flatMap((boss): Place[] => (boss.hole === null || boss.hole.thread !== '' ? [] : [{ name: boss.name, at: [boss.x, boss.y], diameter: boss.hole.diameter, mouth: boss.endHeight, deep: boss.hole.depth - short }])),
  ].filter((place) => place.deep >= short);
}

/** Room a relieved pin leaves along the line between the pins, to either side. */
export const relievedPlay = (hole: number, pin: number, land: number): number => (-land + Math.sqrt(Math.max(0, land * land + hole * hole - pin * pin))) / 2;

export function pinsFor(job: Job, plan: SolidPlan, plateBottom: number): readonly Pin[] {
  const [first, second] = farthest(places(plan)) ?? [];
  if (first === undefined || second === undefined) return [];
  const pin = (kind: Pin['kind'], place: Place, other: Place): Pin => {
    const diameter = Math.min(job.holding.pinDiameter ?? place.diameter - job.holding.pinGap, place.diameter);
    const engaged = Math.min(place.deep, usualReach * diameter);
    const line = scale2(sub2(other.at, place.at), 1 / distance2(other.at, place.at));
    const land = kind === 'round' ? null : { width: landShare * diameter, along: [0 - line[1], line[0]] as Vec2 };
    return { kind, name: place.name, at: place.at, diameter, hole: place.diameter, engaged, bottom: plateBottom, top: place.mouth + engaged, land, play: land === null ? 0 : relievedPlay(place.diameter, diameter, land.width), press: pinFit(diameter) };
  };
  return [pin('round', first, second), pin('relieved', second, first)];
}

/** The pair farthest apart; between equals the one that comes first. */
function farthest(all: readonly Place[]): readonly [Place, Place] | null {
  let best: readonly [Place, Place] | null = null;
  for (const [i, a] of all.entries()) {
    for (const b of all.slice(i + 1)) if (best === null || distance2(a.at, b.at) > distance2(best[0].at, best[1].at) + tolerance.point) best = [a, b];
  }
  return best;
}
