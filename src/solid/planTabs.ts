/** Tabs of the job -> TabPlan: seat, size and hole in plain numbers. mm. */
import type { HoleSpec, Job, Tab } from '../job/schema.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Issue } from '../result.ts';
import { holeDiameter, planHead } from './planHoles.ts';
import { say } from './planBody.ts';
import type { BodyPlan, TabPlan, ThroughHole } from './plan.ts';
import { wallFrame, type WallFrame } from './walls.ts';

/** mm the drill runs on through air above and below a tab. */
const overrun = 1;

const usualHole: HoleSpec = { screw: 'M5', fit: 'medium', slot: 0, slotAngle: 0, head: 'none' };

export function planTabs(job: Job, body: BodyPlan, issues: Issue[]): TabPlan[] {
  return job.tabs.flatMap((tab, index) => {
    const at = `tabs[${index}]`;
    const frame = wallFrame(body, tab.wall);
    const before = issues.length;
    issues.push(...impossible(job, tab, frame, at));
    if (issues.length > before) return [];
    const seat = tab.seat ?? frame.foot(tab.at);
    const plan: Omit<TabPlan, 'hole' | 'inset'> = {
      name: tab.name ?? `T${index + 1}`,
      at,
      wall: tab.wall,
      middle: tab.at,
      seat,
      length: tab.length,
      reach: tab.reach,
      thickness: tab.thickness,
      cornerRadius: tab.cornerRadius,
      rootRadius: tab.rootRadius,
      edgeBreak: job.edgeBreaks.tabs,
    };
    const inset = insetOf(body, frame, plan);
    const hole = tab.hole === null ? null : planTabHole(job, tab, plan, frame, `${at}.hole`, issues);
    return [{ ...plan, inset, hole }];
  });
}

function impossible(job: Job, tab: Tab, frame: WallFrame, at: string): Issue[] {
  if (!frame.exists) {
    return [{ code: 'no-wall', at: `${at}.wall`, message: `The ${tab.wall} end is open: there is no wall for this tab to stand on.`, hint: 'Close that end or move the tab to another wall.' }];
  }
  const issues: Issue[] = [];
  if (tab.at + tab.length / 2 <= tolerance.point || tab.at - tab.length / 2 >= frame.length - tolerance.point) {
    issues.push({ code: 'tab-off-wall', at: `${at}.at`, message: `The tab is at ${say(tab.at)} along a wall ${say(frame.length)} long: it does not touch it.`, hint: `Place it between 0 and ${say(frame.length)}.` });
    return issues;
  }
  const on = Math.min(frame.length, Math.max(0, tab.at));
  const foot = frame.foot(on);
  const seat = tab.seat ?? foot;
  const top = frame.top(on);
  if (seat + tab.thickness <= foot + tolerance.point || seat >= top - tolerance.point) {
    issues.push({
      code: 'tab-misses-wall',
      at: `${at}.seat`,
      message: `The tab stands from ${say(seat)} to ${say(seat + tab.thickness)}; its wall is there from ${say(foot)} to ${say(top)}, so they do not meet.`,
      hint: 'Change the seat or the thickness so that the tab meets its wall.',
    });
  }
  const roomForCorner = Math.min(tab.length / 2, tab.reach);
  if (tab.cornerRadius > roomForCorner) {
    issues.push({ code: 'radius-too-large', at: `${at}.cornerRadius`, message: `A corner radius of ${say(tab.cornerRadius)} does not fit a tab ${say(tab.length)} by ${say(tab.reach)}; the largest is ${say(roomForCorner)}.`, hint: 'Use a smaller radius or a larger tab.' });
  }
  if (tab.rootRadius > tab.reach - tolerance.point) {
    issues.push({ code: 'radius-too-large', at: `${at}.rootRadius`, message: `A root radius of ${say(tab.rootRadius)} does not fit a reach of ${say(tab.reach)}.`, hint: 'Use a smaller radius or a longer reach.' });
  }
  const breaks = job.edgeBreaks.tabs;
  if (breaks > 0 && tab.cornerRadius > 0 && breaks >= tab.cornerRadius - tolerance.point) {
    issues.push({ code: 'break-too-large', at: 'edgeBreaks.tabs', message: `A break of ${say(breaks)} takes the whole corner radius of ${say(tab.cornerRadius)} of ${at}; expected less.`, hint: 'Make the break smaller, the corner radius larger, or that corner radius 0.' });
  }
  const wallAbove = top - seat - tab.thickness;
  if (tab.rootRadius > 0 && tab.rootRadius > wallAbove + tolerance.point && tab.rootRadius <= tab.reach) {
    issues.push({ code: 'radius-too-large', at: `${at}.rootRadius`, message: `A root radius of ${say(tab.rootRadius)} needs as much wall above the tab, which has ${say(Math.max(0, wallAbove))}; that is the largest.`, hint: 'Use a smaller radius, or a lower or thinner tab.' });
  }
  return issues;
}

/**
 * Behind a round corner or a broken foot the flat of the wall is missing: the tab is carried on into the body there, but
 * only between the foot and the contour, where the body stands.
 */
function insetOf(body: BodyPlan, frame: WallFrame, tab: Omit<TabPlan, 'hole' | 'inset'>): TabPlan['inset'] {
  const pastFlat = tab.middle - tab.length / 2 < frame.flat[0] || tab.middle + tab.length / 2 > frame.flat[1];
  const from = Math.max(tab.seat, frame.foot(tab.middle));
  const overBrokenFoot = body.feetBreak > 0 && tab.seat <= frame.foot(tab.middle) + body.feetBreak;
  if (!pastFlat && !overBrokenFoot) return null;
  const to = Math.min(tab.seat + tab.thickness, frame.top(Math.min(frame.length, Math.max(0, tab.middle))) - body.outsideRadius);
  const depth = Math.max(pastFlat ? body.outsideRadius : 0, overBrokenFoot ? body.feetBreak : 0);
  return depth <= tolerance.point || to - from <= tolerance.point ? null : { depth, from, to };
}

function planTabHole(job: Job, tab: Tab, plan: Omit<TabPlan, 'hole' | 'inset'>, frame: WallFrame, at: string, issues: Issue[]): ThroughHole {
  const spec: HoleSpec = tab.hole ?? usualHole;
  const diameter = holeDiameter(spec) ?? (holeDiameter(usualHole) as number);
  const [x, y] = frame.plan(plan.middle + tab.holeAlong, tab.holeOut ?? plan.reach / 2);
  const angle = (spec.slotAngle * Math.PI) / 180;
  return {
    name: plan.name,
    at,
    entry: [x, y, plan.seat + plan.thickness],
    axis: [0, 0, -1],
    depth: plan.thickness,
    clearAbove: plan.rootRadius + overrun,
    flares: false,
    clearBelow: overrun,
    diameter,
    slot: spec.slot,
    slotAlong: [Math.cos(angle), Math.sin(angle), 0],
    head: planHead(spec, diameter, at, issues),
    mouthBreak: job.edgeBreaks.holes,
  };
}
