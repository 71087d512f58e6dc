/**
 * A job and the pattern it is to bolt to -> the holes as boltUp takes them, with the screws the job names. mm.
 * Mating holes are taken as tapped: the screw stands where they stand (common practice for covers on castings). Holes given
 * as a bare diameter name no screw and cannot be judged; they are told, not guessed.
 */
import type { HolePattern } from '../holes/pattern.ts';
import type { HoleSpec, Job } from '../job/schema.ts';
import { radiansToDegrees } from '../maths/angle.ts';
import { ok, refuse, type Result } from '../result.ts';
import type { SolidPlan, ThroughHole } from '../solid/plan.ts';
import { majorDiameter, type ThreadName } from '../standards/threads.ts';
import { boltUp, type BoltHole, type BoltUp } from './boltUp.ts';
import { boltUpOdds, type Odds } from './odds.ts';

export interface Bolting {
  readonly holes: readonly BoltHole[];
  readonly seated: BoltUp;
  readonly odds: Odds;
  /** Holes of the pattern that could not be judged, and why. */
  readonly left: readonly string[];
}

/** The screw of a tab hole whose job says nothing is M5 (see the schema's help). */
const usualScrew: ThreadName = 'M5';

/** Bolts the job's holes to the located ones of the same names; the pattern must stand in the part frame. */
export function boltTo(job: Job, plan: SolidPlan, pattern: HolePattern, trials = 100_000): Result<Bolting> {
  const candidates: readonly (readonly [ThroughHole, HoleSpec | undefined])[] = [
    ...plan.tabs.flatMap((tab) => (tab.hole === null ? [] : [[tab.hole, specAt(job, tab.at)] as const])),
    ...plan.holes.flatMap((hole) => (Math.abs(hole.axis[2]) > 0.5 ? [[hole, specAt(job, hole.at)] as const] : [])),
  ];
  const left: string[] = [];
  const indices: number[] = [];
  const holes = pattern.holes.flatMap((located, i): BoltHole[] => {
    const found = candidates.find(([hole]) => hole.name === located.name);
    if (found === undefined) {
      left.push(`${located.name}: no screw goes through a hole of that name in the job`);
      return [];
    }
    const [hole, spec] = found;
    const screw = spec === undefined ? usualScrew : spec.screw;
    if (screw === undefined) {
      left.push(`${located.name}: its hole is given as a diameter, without a screw`);
      return [];
    }
    indices.push(i);
    return [{ name: located.name, at: [hole.entry[0], hole.entry[1]], diameter: hole.diameter, slot: hole.slot, slotAngle: radiansToDegrees(Math.atan2(hole.slotAlong[1], hole.slotAlong[0])), screw: majorDiameter(screw), mating: located.at, matingDiameter: null }];
  });
  if (holes.length < 2) return refuse({ code: 'too-few-holes', at: '', message: `Expected at least two holes that bolt up, got ${holes.length}.`, hint: left.join('; ') || 'Give the holes of the job the names used in the readings.' });
  const rows = indices.flatMap((i) => [2 * i, 2 * i + 1]);
  const covariance = rows.map((r) => rows.map((c) => pattern.covariance[r]![c]!));
  const { bolting } = job;
  const seated = boltUp(holes);
  if (!seated.ok) return seated;
  const odds = boltUpOdds(holes, { seed: bolting.seed, trials, machining: bolting.positionTolerance, covariance, ours: job.material, theirs: bolting.matingMaterial, temperatures: [bolting.coldest, bolting.hottest] });
  return odds.ok ? ok({ holes, seated: seated.value, odds: odds.value, left }) : odds;
}

function specAt(job: Job, path: string): HoleSpec | undefined {
  const index = Number(/\[(\d+)\]/.exec(path)?.[1]);
  return path.startsWith('tabs[') ? (job.tabs[index]?.hole ?? undefined) : job.holes[index];
}
