/**
 * A build that failed -> which parameter is to blame, by trying without it; and for a radius or a break the largest size
 * that works, by bisection over a grid. Trying costs builds: only what the failed stage reads is tried, the largest sizes
 * first, and no more than `mostTries` in all, so that a job with a hundred features is answered too. The bound is one of
 * work, not of time: the answer is the same on every machine.
 */
import { tolerance } from '../../maths/tolerance.ts';
import type { Issue } from '../../result.ts';
import type { BuildOptions, StageName } from '../door.ts';
import { guard } from '../guards.ts';
import type { Named, SolidPlan } from '../plan.ts';
import { say } from '../planBody.ts';
import { attempt, StageFailure, type Workshop } from './build.ts';
import { isValid } from './measure.ts';
import { KernelFailure, type Oc } from './oc.ts';
import { innerSkin, outerSkin } from './shell.ts';
import { suspectsOf, type Feature, type Size, type Suspect } from './suspects.ts';

/** mm. Sizes are tried on a grid; finer would cost builds and help nobody. */
const gridFor = (size: number): number => (size > 10 ? 0.5 : 0.1);

/** Builds spent on finding whom to blame for one failure: some seconds on two cores. */
const mostTries = 32;
/** Share of them for suspects tried by themselves; what is left is for several to blame together. */
const alone = 0.45;

/** Whether a plan works, asked at most so many times; after that nothing does. */
function atMost(tries: number, works: (plan: SolidPlan) => boolean): (plan: SolidPlan) => boolean {
  let left = tries;
  return (plan) => {
    left -= 1;
    return left >= 0 && works(plan);
  };
}

export function blame(shop: Workshop, plan: SolidPlan, options: BuildOptions, failure: StageFailure): readonly Issue[] {
  const wrong = skinAtFault(shop.oc, plan, failure.stage);
  const stage = wrong ?? failure.stage;
  const most = options.tries ?? mostTries;
  const mostAlone = Math.ceil(alone * most);
  const works = atMost(most, (tried) => (wrong === null ? builds(shop, tried, options, stage) : skinBuilds(shop.oc, tried, wrong)));
  const suspects = suspectsOf(plan, stage);
  // A stage that fails by itself is asked about what it reads; a whole that fails, about what the guards point at.
  for (const suspect of (order.indexOf(stage) < order.indexOf('final') ? suspects : likeliestFirst(suspects, plan)).slice(0, mostAlone)) {
    const cleared = suspect.kind === 'size' ? suspect.withSize(plan, 0) : suspect.without(plan);
    if (!works(cleared)) continue;
    return [suspect.kind === 'size' ? sizeIssue(suspect, largestThatWorks(suspect, plan, works)) : featureIssue(suspect, failure)];
  }
  return [firstThatFails(plan, atMost(most - mostAlone, (tried) => builds(shop, tried, options))) ?? bodyIssue(failure)];
}

/** Several are to blame together: features are put back on the bare body, and one is named that fails besides those before it. */
function firstThatFails(plan: SolidPlan, works: (plan: SolidPlan) => boolean): Issue | null {
  const lists = ['grooves', 'engravings', 'tabs', 'bosses', 'notches', 'holes'] as const;
  const items = lists.flatMap((list) => (plan[list] as readonly Named[]).map((item) => ({ list, item })));
  const withFirst = (count: number): SolidPlan => {
    const kept = new Set(items.slice(0, count).map(({ item }) => item));
    return { ...plan, ...Object.fromEntries(lists.map((list) => [list, (plan[list] as readonly Named[]).filter((item) => kept.has(item))])) };
  };
  if (items.length === 0 || !works(withFirst(0))) return null;
  // With `good` of them it builds, with `bad` of them it does not; halved until they are neighbours.
  let [good, bad] = [0, items.length];
  while (bad - good > 1) {
    const middle = (good + bad) >> 1;
    if (works(withFirst(middle))) good = middle;
    else bad = middle;
  }
  const { item } = items[good]!;
  const more = withFirst(bad);
  const size = suspectsOf(more, 'final').find((one): one is Size => one.kind === 'size' && one.at.startsWith(`${item.at}.`) && works(one.withSize(more, 0)));
  if (size !== undefined) return sizeIssue(size, largestThatWorks(size, more, works));
  return { code: 'feature-not-built', at: item.at, message: `With ${item.name} besides what comes before it the solid cannot be built: it and its neighbours are in each other's way.`, hint: 'Move it clear of what stands next to it, change its size, or take it out.' };
}

const bodyIssue = (failure: StageFailure): Issue => ({
  code: 'not-built',
  at: 'body',
  message: `The body cannot be built (${failure.stage}: ${failure.message}), and no single radius is to blame.`,
  hint: 'Make the radii smaller, the walls thicker or the contour smoother.',
});

/** Those the guards point at come first: each try is a build. */
function likeliestFirst(suspects: readonly Suspect[], plan: SolidPlan): Suspect[] {
  const pointedAt = guard(plan).map((miss) => miss.at);
  const named = (suspect: Suspect): boolean => pointedAt.some((at) => at.startsWith(suspect.at));
  return [...suspects.filter(named), ...suspects.filter((suspect) => !named(suspect))];
}

/** Which of the two bare skins fails by itself: the later stages only show it. */
function skinAtFault(oc: Oc, plan: SolidPlan, stage: StageName): 'outer' | 'cavity' | null {
  if (stage === 'outer' || stage === 'cavity') return stage;
  if (!skinBuilds(oc, plan, 'outer')) return 'outer';
  return skinBuilds(oc, plan, 'cavity') ? null : 'cavity';
}

function skinBuilds(oc: Oc, plan: SolidPlan, which: 'outer' | 'cavity'): boolean {
  try {
    const skin = which === 'outer' ? outerSkin(oc, plan.body) : innerSkin(oc, plan.body);
    try {
      return isValid(oc, skin);
    } finally {
      skin.delete();
    }
  } catch (error) {
    if (error instanceof KernelFailure) return false;
    throw error;
  }
}

/** Stages whose failure means that all earlier ones were made. */
const order: readonly StageName[] = ['outer', 'positive', 'tab holes', 'cavity', 'negative', 'boss holes', 'proof', 'final', 'openings', 'check', 'mesh'];

/** Whether a plan gets past a stage; past all of them when none is given. Carving comes twice and counts as the last. */
function builds(shop: Workshop, plan: SolidPlan, options: BuildOptions, stage: StageName = 'mesh'): boolean {
  try {
    const quiet = { ...(options.prove === undefined ? {} : { prove: options.prove }), ...(options.engraving === undefined ? {} : { engraving: options.engraving }) };
    attempt(shop, plan, quiet, undefined, true);
    return true;
  } catch (error) {
    if (error instanceof StageFailure) return order.indexOf(stage) < order.indexOf('final') && order.indexOf(error.stage) > order.indexOf(stage) && stage !== 'engraving';
    throw error;
  }
}

/** Largest multiple of the grid below the asked size that works, taking it that smaller is easier. 0 when none was found. */
function largestThatWorks(size: Size, plan: SolidPlan, works: (plan: SolidPlan) => boolean): number {
  const grid = gridFor(size.value);
  let [good, bad] = [0, Math.ceil(size.value / grid - tolerance.point)];
  while (bad - good > 1) {
    const middle = (good + bad) >> 1;
    if (works(size.withSize(plan, middle * grid))) good = middle;
    else bad = middle;
  }
  return Number((good * grid).toFixed(3));
}

function sizeIssue(size: Size, largest: number): Issue {
  return {
    code: 'radius-too-large',
    at: size.at,
    message: `${size.label} of ${say(size.value)} cannot be built; ${largest > 0 ? `the largest that works is ${say(largest)}` : 'no size tried works here'}.`,
    hint: largest > 0 ? `Use ${say(largest)} or less.` : 'Use 0 to leave the edge sharp.',
  };
}

function featureIssue(feature: Feature, failure: StageFailure): Issue {
  return {
    code: 'feature-not-built',
    at: feature.at,
    message: `With ${feature.label} the solid cannot be built: ${failure.message}.`,
    hint: 'Move it, change its size, or take it out.',
  };
}
