/** Tabs that run into each other or past the end of their wall. Geometry only. */
import type { SolidPlan, TabPlan } from '../solid/plan.ts';
import { wallFrame } from '../solid/walls.ts';
import { sayMm, type Finding } from './finding.ts';
import type { Check } from './input.ts';

interface Box {
  readonly least: readonly [number, number, number];
  readonly most: readonly [number, number, number];
}

/** The tab's box in the part frame. */
export function tabBox(plan: SolidPlan, tab: TabPlan): Box {
  const frame = wallFrame(plan.body, tab.wall);
  const a = frame.plan(tab.middle - tab.length / 2, 0);
  const b = frame.plan(tab.middle + tab.length / 2, tab.reach);
  return {
    least: [Math.min(a[0], b[0]), Math.min(a[1], b[1]), tab.seat],
    most: [Math.max(a[0], b[0]), Math.max(a[1], b[1]), tab.seat + tab.thickness],
  };
}

export const tabOverlaps: Check = ({ plan }, say = sayMm) => {
  const findings: Finding[] = [];
  for (const [i, tab] of plan.tabs.entries()) {
    const box = tabBox(plan, tab);
    for (const other of plan.tabs.slice(i + 1)) {
      const far = tabBox(plan, other);
      const overlap = Math.min(...[0, 1, 2].map((k) => Math.min(box.most[k]!, far.most[k]!) - Math.max(box.least[k]!, far.least[k]!)));
      if (overlap > 0) {
        findings.push({
          code: 'tabs-overlap',
          level: 'stop',
          message: `${tab.name} and ${other.name} run ${say(overlap)} into each other.`,
          value: overlap,
          limit: 0,
          unit: 'mm',
          at: `${other.at}.at`,
          place: [(box.least[0] + box.most[0]) / 2, (box.least[1] + box.most[1]) / 2, box.most[2]],
          cure: 'Move one of them or make it shorter.',
          restsOn: 'Geometry.',
        });
      }
    }
    const frame = wallFrame(plan.body, tab.wall);
    const past = Math.max(-(tab.middle - tab.length / 2), tab.middle + tab.length / 2 - frame.length);
    if (past > 0) {
      findings.push({
        code: 'tab-past-wall',
        level: 'warn',
        message: `${tab.name} runs ${say(past)} past the end of the ${tab.wall} wall.`,
        value: past,
        limit: 0,
        unit: 'mm',
        at: `${tab.at}.at`,
        place: [(box.least[0] + box.most[0]) / 2, (box.least[1] + box.most[1]) / 2, box.most[2]],
        cure: 'Move it in, unless it is meant to stand there.',
        restsOn: 'Geometry.',
      });
    }
  }
  return findings;
};
