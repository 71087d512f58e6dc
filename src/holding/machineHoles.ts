/** Holes of the part and of the fixture as the machine sees them, each in the frame of its operation. mm. */
import type { SolidPlan, ThroughHole } from '../solid/plan.ts';
import type { RigidMotion } from '../solid/door.ts';
import type { FixturePlan, MachineHole } from './holding.ts';
import { moved, turned } from './motion.ts';

/** Whether something that points up on the part still points up in this operation. */
const standsUp = (motion: RigidMotion): boolean => turned(motion, [0, 0, 1])[2] > 0;

/** Tab holes and boss holes, drilled from the underside. */
export function firstHoles(plan: SolidPlan, motion: RigidMotion): MachineHole[] {
  const tabs = plan.tabs.flatMap(({ name, seat, hole }): MachineHole[] =>
    hole === null ? [] : [{ name, what: 'tab hole', at: moved(motion, [hole.entry[0], hole.entry[1], seat]), from: 'above', diameter: hole.diameter, depth: null, thread: '', threadDepth: null, slot: hole.slot, head: null, fit: '' }],
  );
  const bosses = plan.bosses.flatMap(({ name, x, y, endHeight, hole }): MachineHole[] =>
    hole === null ? [] : [{ name, what: 'boss hole', at: moved(motion, [x, y, endHeight]), from: 'above', diameter: hole.diameter, depth: hole.depth, thread: hole.thread, threadDepth: hole.thread === '' ? null : hole.threadDepth, slot: 0, head: null, fit: '' }],
  );
  return [...tabs, ...bosses];
}

/** Holes through the skin, and the heads in the tops of the tabs. Holes through walls are drilled from the side and in neither table. */
export function secondHoles(plan: SolidPlan, motion: RigidMotion): MachineHole[] {
  const row = (hole: ThroughHole, what: MachineHole['what']): MachineHole => ({
    name: hole.name,
    what,
    at: moved(motion, hole.entry),
    from: standsUp(motion) ? 'above' : 'below',
    diameter: hole.diameter,
    depth: null,
    thread: '',
    threadDepth: null,
    slot: hole.slot,
    head: hole.head.kind === 'none' ? null : { ...hole.head, from: standsUp(motion) ? 'above' : 'below' },
    fit: '',
  });
  return [
    ...plan.holes.filter((hole) => Math.abs(hole.axis[2]) > 0.5).map((hole) => row(hole, 'skin hole')),
    ...plan.tabs.flatMap((tab) => (tab.hole === null || tab.hole.head.kind === 'none' ? [] : [row(tab.hole, 'tab hole')])),
  ];
}

/** The fixture's own holes, its top up. */
export function fixtureHoleRows({ holes }: FixturePlan, motion: RigidMotion): MachineHole[] {
  return holes.map((hole) => ({
    name: hole.name,
    what: hole.what,
    at: moved(motion, [hole.at[0], hole.at[1], hole.to]),
    from: 'above',
    diameter: hole.diameter,
    depth: hole.through ? null : hole.to - hole.from,
    thread: hole.thread,
    threadDepth: hole.threadDepth,
    slot: hole.slot?.length ?? 0,
    head: hole.counterbore === null ? null : { kind: 'counterbore', ...hole.counterbore },
    fit: hole.what === 'pin hole' || hole.what === 'touch-off bore' ? 'H7' : '',
  }));
}
