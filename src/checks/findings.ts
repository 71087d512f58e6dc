/** The one list of checks, and the verb that runs them. Green proves no more than these rules on this model: not the casting, not the set-up. */
import { bossWalls } from './bossWalls.ts';
import { bends, oddReadings, scatter, straightTop } from './contourFit.ts';
import { insideRadii, narrowGaps, pocketReach, roofHollow } from './cutters.ts';
import { inOrder, sayInch, sayMm, type Finding } from './finding.ts';
import { holeEdges } from './holeEdges.ts';
import type { Job } from '../job/schema.ts';
import type { Check, CheckInput } from './input.ts';
import { sharpEdges } from './sharpEdges.ts';
import { skinAboveHoles } from './skinAboveHoles.ts';
import { slenderWalls } from './slenderWalls.ts';
import { tabOverlaps } from './tabOverlaps.ts';
import { threadEngagement } from './threadEngagement.ts';
import { undercuts } from './undercuts.ts';
import { wallTruth } from './wallTruth.ts';

const checks: readonly Check[] = [
  oddReadings,
  scatter,
  skinAboveHoles,
  wallTruth,
  tabOverlaps,
  holeEdges,
  bossWalls,
  threadEngagement,
  insideRadii,
  pocketReach,
  narrowGaps,
  roofHollow,
  slenderWalls,
  undercuts,
  sharpEdges,
  bends,
  straightTop,
];

/** Every finding on a finished part, stops first; stops taken on in the job carry the name. */
export const findingsOn = (input: CheckInput): readonly Finding[] =>
  inOrder(checks.flatMap((check) => check(input, input.job.units === 'inch' ? sayInch : sayMm)).map((finding) => withName(finding, input.job)));

function withName(finding: Finding, job: Job): Finding {
  const taken = finding.level === 'stop' ? job.takenOn.find((t) => t.finding === finding.code && t.at === finding.at) : undefined;
  return taken === undefined ? finding : { ...finding, takenOnBy: taken.by };
}
