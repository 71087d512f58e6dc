/**
 * SolidPlan -> what of it may be to blame when it cannot be built: sizes that can be made smaller and features that can be
 * left out, with the plan as it is without them. Nothing is built here.
 */
import type { StageName } from '../door.ts';
import type { BodyPlan, Named, SolidPlan, TabPlan } from '../plan.ts';

/** A size that can be made smaller, down to none. */
export interface Size {
  readonly kind: 'size';
  readonly at: string;
  readonly label: string;
  readonly value: number;
  readonly withSize: (plan: SolidPlan, value: number) => SolidPlan;
}

/** A feature that can be left out. */
export interface Feature {
  readonly kind: 'feature';
  readonly at: string;
  readonly label: string;
  readonly without: (plan: SolidPlan) => SolidPlan;
}

export type Suspect = Size | Feature;

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
export function suspectsOf(plan: SolidPlan, stage: StageName): Suspect[] {
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

/** The size that stands out is the one that was just typed, more often than not. */
const largestFirst = (sizes: readonly Size[]): Size[] => [...sizes].sort((a, b) => b.value - a.value);

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
  return [...largestFirst([...roots, breaks]), ...leaveOut(plan, 'tabs', 'tab')];
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
  return [...largestFirst(roots), ...leaveOut(plan, 'bosses', 'boss')];
}

const bossHoles = (plan: SolidPlan): Suspect[] =>
  plan.bosses.flatMap((boss, index): Feature[] =>
    boss.hole === null ? [] : [{ kind: 'feature', at: `${boss.at}.holeDepth`, label: `the hole of boss ${boss.name}`, without: (tried) => ({ ...tried, bosses: changeAt(tried.bosses, index, { hole: null }) }) }],
  );

const openings = (plan: SolidPlan): Suspect[] => [...leaveOut(plan, 'notches', 'notch'), ...leaveOut(plan, 'holes', 'hole')];
