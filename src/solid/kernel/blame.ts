/**
 * A build that failed -> which parameter is to blame, by trying without it; and for a radius or a break the largest size
 * that works, by bisection over a grid. Trying costs builds, so only what the failed stage reads is tried.
 */
import { tolerance } from '../../maths/tolerance.ts';
import type { Issue } from '../../result.ts';
import type { BuildOptions, StageName } from '../door.ts';
import { guard } from '../guards.ts';
import type { BodyPlan, Named, SolidPlan, TabPlan } from '../plan.ts';
import { say } from '../planBody.ts';
import { attempt, StageFailure, type Workshop } from './build.ts';
import { isValid } from './measure.ts';
import { KernelFailure, type Oc } from './oc.ts';
import { innerSkin, outerSkin } from './shell.ts';

/** A size that can be made smaller, down to none. */
interface Size {
  readonly kind: 'size';
  readonly at: string;
  readonly label: string;
  readonly value: number;
  readonly withSize: (plan: SolidPlan, value: number) => SolidPlan;
}

/** A feature that can be left out. */
interface Feature {
  readonly kind: 'feature';
  readonly at: string;
  readonly label: string;
  readonly without: (plan: SolidPlan) => SolidPlan;
}

type Suspect = Size | Feature;

/** mm. Sizes are tried on a grid; finer would cost builds and help nobody. */
const gridFor = (size: number): number => (size > 10 ? 0.5 : 0.1);

export function blame(shop: Workshop, plan: SolidPlan, options: BuildOptions, failure: StageFailure): readonly Issue[] {
  const wrong = skinAtFault(shop.oc, plan, failure.stage);
  const stage = wrong ?? failure.stage;
  const works = (tried: SolidPlan): boolean => (wrong === null ? builds(shop, tried, options, stage) : skinBuilds(shop.oc, tried, wrong));
  const suspects = suspectsOf(plan, stage);
  // A stage that fails by itself is asked about what it reads; a whole that fails, about what the guards point at.
  for (const suspect of order.indexOf(stage) < order.indexOf('final') ? suspects : likeliestFirst(suspects, plan)) {
    const cleared = suspect.kind === 'size' ? suspect.withSize(plan, 0) : suspect.without(plan);
    if (!works(cleared)) continue;
    return [suspect.kind === 'size' ? sizeIssue(suspect, largestThatWorks(suspect, plan, works)) : featureIssue(suspect, failure)];
  }
  return [firstThatFails(plan, (tried) => builds(shop, tried, options)) ?? bodyIssue(failure)];
}

/** Several are to blame together: features are put back on the bare body one by one, and the first that fails is named. */
function firstThatFails(plan: SolidPlan, works: (plan: SolidPlan) => boolean): Issue | null {
  let built: SolidPlan = { ...plan, tabs: [], bosses: [], holes: [], notches: [], grooves: [], engravings: [] };
  if (!works(built)) return null;
  for (const list of ['grooves', 'engravings', 'tabs', 'bosses', 'notches', 'holes'] as const) {
    for (const item of plan[list]) {
      const more: SolidPlan = { ...built, [list]: [...built[list], item] };
      if (!works(more)) {
        const size = suspectsOf(more, 'final').find((one): one is Size => one.kind === 'size' && one.at.startsWith(`${item.at}.`) && works(one.withSize(more, 0)));
        if (size !== undefined) return sizeIssue(size, largestThatWorks(size, more, works));
        return { code: 'feature-not-built', at: item.at, message: `With ${item.name} besides what comes before it the solid cannot be built: it and its neighbours are in each other's way.`, hint: 'Move it clear of what stands next to it, change its size, or take it out.' };
      }
      built = more;
    }
  }
  return null;
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

/** Largest multiple of the grid below the asked size that works, taking it that smaller is easier. 0 when only none works. */
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

const bodySize = (at: string, label: string, field: 'outsideRadius' | 'insideCornerRadius' | 'insideRoofRadius' | 'feetBreak') => (body: BodyPlan): Size => ({
  kind: 'size',
  at,
  label,
  value: body[field],
  withSize: (plan, value) => ({ ...plan, body: { ...plan.body, [field]: value } }),
});

const outsideRadius = bodySize('body.outsideRadius', 'An outside radius', 'outsideRadius');
const feetBreak = bodySize('edgeBreaks.feet', 'A break on the feet', 'feetBreak');
const roofRadius = bodySize('body.insideRoofRadius', 'An inside roof radius', 'insideRoofRadius');
const cornerRadius = bodySize('body.insideCornerRadius', 'An inside corner radius', 'insideCornerRadius');

/** What a stage reads that may be to blame, likeliest first. */
function suspectsOf(plan: SolidPlan, stage: StageName): Suspect[] {
  const own: Partial<Record<StageName, () => Suspect[]>> = {
    outer: () => [feetBreak(plan.body), outsideRadius(plan.body)],
    cavity: () => [roofRadius(plan.body), cornerRadius(plan.body)],
    engraving: () => carvings(plan),
    positive: () => tabs(plan),
    'tab holes': () => tabHoles(plan),
    negative: () => bosses(plan),
    'boss holes': () => bossHoles(plan),
    openings: () => openings(plan),
  };
  const first = own[stage]?.() ?? [];
  const rest = Object.entries(own).reverse().flatMap(([name, list]) => (name === stage ? [] : list()));
  // A bare skin that fails by itself is tried by itself: other features cannot help it.
  const all = stage === 'outer' || stage === 'cavity' ? first : [...first, ...rest];
  return all.filter((suspect) => suspect.kind === 'feature' || suspect.value > 0);
}

/** One suspect per item of a list, named after it. */
function leaveOut<K extends 'tabs' | 'bosses' | 'holes' | 'notches' | 'grooves' | 'engravings'>(plan: SolidPlan, list: K, what: string): Feature[] {
  return (plan[list] as readonly Named[]).map((item, index) => ({
    kind: 'feature',
    at: item.at,
    label: `${what} ${item.name}`,
    without: (tried) => ({ ...tried, [list]: (tried[list] as readonly Named[]).filter((_, i) => i !== index) }),
  }));
}

function changeAt<T>(list: readonly T[], index: number, change: Partial<T>): readonly T[] {
  return list.map((item, i) => (i === index ? { ...item, ...change } : item));
}

const carvings = (plan: SolidPlan): Suspect[] => [...leaveOut(plan, 'grooves', 'groove'), ...leaveOut(plan, 'engravings', 'engraving')];

function tabs(plan: SolidPlan): Suspect[] {
  const roots = plan.tabs.map((tab, index): Size => ({
    kind: 'size',
    at: `${tab.at}.rootRadius`,
    label: `A root radius on tab ${tab.name}`,
    value: tab.rootRadius,
    withSize: (tried, value) => ({ ...tried, tabs: changeAt<TabPlan>(tried.tabs, index, { rootRadius: value }) }),
  }));
  const breaks: Size = {
    kind: 'size',
    at: 'edgeBreaks.tabs',
    label: 'A break on the tabs',
    value: Math.max(0, ...plan.tabs.map((tab) => tab.edgeBreak)),
    withSize: (tried, value) => ({ ...tried, tabs: tried.tabs.map((tab) => ({ ...tab, edgeBreak: value })) }),
  };
  return [breaks, ...roots, ...leaveOut(plan, 'tabs', 'tab')];
}

const tabHoles = (plan: SolidPlan): Suspect[] =>
  plan.tabs.flatMap((tab, index): Feature[] =>
    tab.hole === null ? [] : [{ kind: 'feature', at: tab.hole.at, label: `the hole of tab ${tab.name}`, without: (tried) => ({ ...tried, tabs: changeAt(tried.tabs, index, { hole: null }) }) }],
  );

function bosses(plan: SolidPlan): Suspect[] {
  const roots = plan.bosses.map((boss, index): Size => ({
    kind: 'size',
    at: `${boss.at}.rootRadius`,
    label: `A root radius on boss ${boss.name}`,
    value: boss.rootRadius,
    withSize: (tried, value) => ({ ...tried, bosses: changeAt(tried.bosses, index, { rootRadius: value }) }),
  }));
  return [...roots, ...leaveOut(plan, 'bosses', 'boss')];
}

const bossHoles = (plan: SolidPlan): Suspect[] =>
  plan.bosses.flatMap((boss, index): Feature[] =>
    boss.hole === null ? [] : [{ kind: 'feature', at: `${boss.at}.holeDepth`, label: `the hole of boss ${boss.name}`, without: (tried) => ({ ...tried, bosses: changeAt(tried.bosses, index, { hole: null }) }) }],
  );

const openings = (plan: SolidPlan): Suspect[] => [...leaveOut(plan, 'notches', 'notch'), ...leaveOut(plan, 'holes', 'hole')];
