/** The one list of checks, and the verb that runs them. Green proves no more than these rules on this model: not the casting, not the set-up. */
import { bossWalls } from './bossWalls.ts';
import { bends, oddReadings, scatter, straightTop } from './contourFit.ts';
import { insideRadii, narrowGaps, pocketReach, roofHollow } from './cutters.ts';
import { cutterRoom, jawRoom } from './cutterRoom.ts';
import { cutterDrawer } from './drawer.ts';
import { inOrder, sayInch, sayMm, type Finding, type Say } from './finding.ts';
import { fixtureGap, fixtureOutside, fixtureOverlap } from './fixtureFit.ts';
import { longSpans, screwAccess } from './fixtureSupport.ts';
import { flipProven, oddOneOut } from './flip.ts';
import { clampingCentre, heldDown, screwsFit } from './holdDown.ts';
import type { HoldingCheck, HoldingInput } from './holdingInput.ts';
import { holeEdges } from './holeEdges.ts';
import type { Job } from '../job/schema.ts';
import type { Check, CheckInput } from './input.ts';
import { pinPlay, pinsThere } from './locatingPins.ts';
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
  cutterDrawer,
  slenderWalls,
  undercuts,
  sharpEdges,
  bends,
  straightTop,
];

const holdingChecks: readonly HoldingCheck[] = [fixtureOverlap, fixtureOutside, cutterRoom, clampingCentre, fixtureGap, screwsFit, heldDown, screwAccess, pinsThere, pinPlay, flipProven, longSpans, jawRoom, oddOneOut];

const sayFor = (job: Job): Say => (job.units === 'inch' ? sayInch : sayMm);

/** Every finding on how it is held, stops first. */
export const findingsOnHolding = (input: HoldingInput): readonly Finding[] => inOrder(holdingChecks.flatMap((check) => check(input, sayFor(input.job))).map((finding) => withName(finding, input.job)));

/** Every finding on a finished part, stops first; stops taken on in the job carry the name. `between` is called before each check. */
export function findingsOn(input: CheckInput, between: () => void = () => {}): readonly Finding[] {
  const say = sayFor(input.job);
  const found = checks.flatMap((check) => {
    between();
    return check(input, say);
  });
  return inOrder(found.map((finding) => withName(finding, input.job)));
}

function withName(finding: Finding, job: Job): Finding {
  const taken = finding.level === 'stop' ? job.takenOn.find((t) => t.finding === finding.code && t.at === finding.at) : undefined;
  return taken === undefined ? finding : { ...finding, takenOnBy: taken.by };
}
