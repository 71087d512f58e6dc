/** Which feature of the part a point lies on, so that a finding measured on the mesh can name it. Part frame, mm. */
import type { Vec3 } from '../maths/vec.ts';
import { dot3, scale3, sub3, length3 } from '../maths/vec.ts';
import type { SolidPlan } from '../solid/plan.ts';
import { wallFrame } from '../solid/walls.ts';
import { footAt } from '../solid/walls.ts';
import { tabBox } from './tabOverlaps.ts';

export interface Feature {
  readonly kind: 'hole' | 'boss' | 'tab' | 'notch' | 'groove' | 'engraving' | 'foot' | 'body';
  readonly name: string;
  readonly at: string;
}

/** How near a mesh point must be to count as on a feature: mesh deviation and breaks included. */
const near = 0.6;

/** The most particular feature at `point`: holes before the tab or boss they are in, those before the body. */
export function featureAt(plan: SolidPlan, point: Vec3): Feature {
  return holeAt(plan, point) ?? bossAt(plan, point) ?? notchAt(plan, point) ?? tabAt(plan, point) ?? topAt(plan, point) ?? footOrBody(plan, point);
}

function holeAt(plan: SolidPlan, point: Vec3): Feature | null {
  const through = [...plan.tabs.flatMap((tab) => (tab.hole ? [{ hole: tab.hole, name: `hole of ${tab.name}`, at: `${tab.at}.hole` }] : [])), ...plan.holes.map((hole) => ({ hole, name: `hole ${hole.name}`, at: hole.at }))];
  for (const { hole, name, at } of through) {
    const from = sub3(point, hole.entry);
    const deep = dot3(from, hole.axis);
    if (deep < -hole.clearAbove - near || deep > hole.depth + hole.clearBelow + near) continue;
    const across = sub3(from, scale3(hole.axis, deep));
    const along = dot3(across, hole.slotAlong);
    const beyond = Math.sign(along) * Math.max(0, Math.abs(along) - hole.slot / 2);
    const round = length3(sub3(across, scale3(hole.slotAlong, along - beyond)));
    const radius = Math.max(hole.diameter, hole.head.kind === 'none' ? 0 : hole.head.diameter) / 2 + hole.mouthBreak;
    if (round <= radius + 0.05) return { kind: 'hole', name, at };
  }
  return null;
}

function bossAt(plan: SolidPlan, point: Vec3): Feature | null {
  for (const boss of plan.bosses) {
    const round = Math.hypot(point[0] - boss.x, point[1] - boss.y);
    if (round > boss.diameter / 2 + near || point[2] < boss.endHeight - near) continue;
    const drilled = boss.hole !== null && round <= boss.hole.diameter / 2 + boss.hole.mouthBreak + 0.05;
    return drilled ? { kind: 'hole', name: `hole of ${boss.name}`, at: `${boss.at}.holeDepth` } : { kind: 'boss', name: `boss ${boss.name}`, at: boss.at };
  }
  return null;
}

function notchAt(plan: SolidPlan, point: Vec3): Feature | null {
  for (const notch of plan.notches) {
    const frame = wallFrame(plan.body, notch.wall);
    const [u, v] = notch.wall === 'front' || notch.wall === 'back' ? [point[1], point[0]] : [point[0], point[1]];
    const face = notch.wall === 'front' || notch.wall === 'left' ? 0 : notch.wall === 'back' ? plan.body.length : plan.body.width;
    if (Math.abs(u - notch.middle) <= notch.width / 2 + near && Math.abs(v - face) <= frame.thickness + near && point[2] <= notch.foot + notch.height + near) {
      return { kind: 'notch', name: `notch in the ${notch.wall} wall`, at: notch.at };
    }
  }
  return null;
}

function tabAt(plan: SolidPlan, point: Vec3): Feature | null {
  for (const tab of plan.tabs) {
    const { least, most } = tabBox(plan, tab);
    if ([0, 1, 2].every((k) => point[k]! >= least[k]! - 0.05 && point[k]! <= most[k]! + (k === 2 ? tab.rootRadius : 0) + 0.05)) return { kind: 'tab', name: `tab ${tab.name}`, at: tab.at };
  }
  return null;
}

function topAt(plan: SolidPlan, point: Vec3): Feature | null {
  for (const groove of plan.grooves) {
    const [across, run] = groove.run === 'along' ? [point[1], point[0]] : [point[0], point[1]];
    if (Math.abs(across - groove.middle) <= groove.width / 2 + near && run >= groove.from - near && run <= groove.to + near && point[2] > plan.body.wall) {
      return { kind: 'groove', name: `groove at ${Number(groove.middle.toFixed(2))} mm`, at: groove.at };
    }
  }
  for (const engraving of plan.engravings) {
    const reach = engraving.height * Math.max(1, engraving.text.length * 0.55);
    if (Math.hypot(point[0] - engraving.centre[0], point[1] - engraving.centre[1]) <= reach && point[2] > plan.body.wall) {
      return { kind: 'engraving', name: `engraving "${engraving.text}"`, at: engraving.at };
    }
  }
  return null;
}

function footOrBody(plan: SolidPlan, point: Vec3): Feature {
  const foot = footAt(plan.body, point[0]);
  return Math.abs(point[2] - foot) <= 0.05 ? { kind: 'foot', name: 'wall feet', at: 'body' } : { kind: 'body', name: 'body', at: 'body' };
}
