/** Plan -> the hole table: every hole with its place, size and depth. Part frame, mm, plan as seen from outside (above). */
import type { SolidPlan, ThroughHole } from '../solid/plan.ts';

export interface HoleRow {
  readonly name: string;
  readonly kind: 'tab hole' | 'boss hole' | 'skin hole' | 'wall hole';
  readonly x: number;
  readonly y: number;
  readonly z: number;
  readonly diameter: number;
  /** mm of full diameter; null for a through hole. */
  readonly depth: number | null;
  /** Empty for a plain hole. */
  readonly thread: string;
  /** mm of full thread; null without a thread. */
  readonly threadDepth: number | null;
  /** Extra length of a slot; 0 for a round hole. */
  readonly slot: number;
  /** In words: `counterbore 10 x 5.4`. */
  readonly head: string;
}

const figure = (value: number): string => String(Number(value.toFixed(3)));

function sayHead({ head }: ThroughHole): string {
  if (head.kind === 'counterbore') return `counterbore ${figure(head.diameter)} x ${figure(head.depth)}`;
  return head.kind === 'countersink' ? `countersink ${figure(head.diameter)} x ${figure(head.angle)}°` : '';
}

const through = (hole: ThroughHole, name: string, kind: HoleRow['kind']): HoleRow => ({
  name,
  kind,
  x: hole.entry[0],
  y: hole.entry[1],
  z: hole.entry[2],
  diameter: hole.diameter,
  depth: null,
  thread: '',
  threadDepth: null,
  slot: hole.slot,
  head: sayHead(hole),
});

export function holeTable(plan: SolidPlan): HoleRow[] {
  return [
    ...plan.tabs.flatMap((tab) => (tab.hole ? [through(tab.hole, tab.name, 'tab hole')] : [])),
    ...plan.bosses.flatMap((boss): HoleRow[] =>
      boss.hole
        ? [
            {
              name: boss.name,
              kind: 'boss hole',
              x: boss.x,
              y: boss.y,
              z: boss.endHeight,
              diameter: boss.hole.diameter,
              depth: boss.hole.depth,
              thread: boss.hole.thread,
              threadDepth: boss.hole.thread ? boss.hole.threadDepth : null,
              slot: 0,
              head: '',
            },
          ]
        : [],
    ),
    ...plan.holes.map((hole) => through(hole, hole.name, Math.abs(hole.axis[2]) > 0.5 ? 'skin hole' : 'wall hole')),
  ];
}
