/**
 * What a plan shows besides body, tabs and bosses: grooves, lettering, notches and holes through the walls. What lies
 * under something as seen from the side looked from is hidden. mm, x right and y up as seen from above.
 */
import type { WallName } from '../job/schema.ts';
import type { Vec2 } from '../maths/vec.ts';
import type { BodyPlan, EngravingPlan, GroovePlan, SolidPlan, ThroughHole } from '../solid/plan.ts';
import { wallFrame } from '../solid/walls.ts';
import { label, polyline, type Mark, type Pen } from './drawing.ts';
import { textWidth } from './letterWidths.ts';

export type PlanSide = 'above' | 'below';

export const featureMarks = (plan: SolidPlan, side: PlanSide, text: number): Mark[] => [
  ...plan.grooves.map((groove) => grooveMark(plan.body, groove, side)),
  ...plan.engravings.flatMap((one) => letterMarks(one, side)),
  ...plan.notches.map((notch) => notchMark(plan.body, notch)),
  ...plan.holes.filter((hole) => Math.abs(hole.axis[2]) <= 0.5).flatMap((hole) => wallHoleMarks(plan.body, hole, text)),
];

const box = (pen: Pen, corners: readonly Vec2[]): Mark => polyline(pen, [...corners, corners[0]!], true);

const upright = (pen: Pen, [x0, x1]: readonly [number, number], [y0, y1]: readonly [number, number]): Mark => box(pen, [[x0, y0], [x1, y0], [x1, y1], [x0, y1]]);

function grooveMark(body: BodyPlan, groove: GroovePlan, side: PlanSide): Mark {
  const across: readonly [number, number] = [groove.middle - groove.width / 2, groove.middle + groove.width / 2];
  const run = groove.run === 'along' ? body.length : body.width;
  const along: readonly [number, number] = [Math.max(0, groove.from), Math.min(run, groove.to)];
  const pen = side === 'above' ? 'outline' : 'hidden';
  return groove.run === 'along' ? upright(pen, along, across) : upright(pen, across, along);
}

/** The letters themselves on the face looked at; only where they stand when they are on the other one. */
function letterMarks({ on, text, centre, height, angle }: EngravingPlan, side: PlanSide): Mark[] {
  const below = side === 'below';
  if ((on === 'underside') === below) {
    // A plan from below is turned over as a whole afterwards, letters excepted: they are given as they will read.
    const turn = below ? 180 - angle : angle;
    const up: Vec2 = [-Math.sin((turn * Math.PI) / 180), Math.cos((turn * Math.PI) / 180)];
    return [label([centre[0] + (below ? 1 : -1) * (height / 2) * up[0], centre[1] - (height / 2) * up[1]], text, height, 'middle', 'text', turn)];
  }
  const [c, s] = [Math.cos((angle * Math.PI) / 180), Math.sin((angle * Math.PI) / 180)];
  const half = textWidth(text, height) / 2;
  const at = (u: number, v: number): Vec2 => [centre[0] + u * c - v * s, centre[1] + u * s + v * c];
  return [box('hidden', [at(-half, -height / 2), at(half, -height / 2), at(half, height / 2), at(-half, height / 2)])];
}

function notchMark(body: BodyPlan, { wall, middle, width }: SolidPlan['notches'][number]): Mark {
  const { plan, thickness } = wallFrame(body, wall);
  return box('hidden', [plan(middle - width / 2, 0), plan(middle + width / 2, 0), plan(middle + width / 2, -thickness), plan(middle - width / 2, -thickness)]);
}

/** The wall a level hole is drilled into: its axis runs against the wall's outside. */
const wallOf = ({ axis: [x, y] }: ThroughHole): WallName => (Math.abs(x) > Math.abs(y) ? (x > 0 ? 'front' : 'back') : y > 0 ? 'left' : 'right');

function wallHoleMarks(body: BodyPlan, hole: ThroughHole, text: number): Mark[] {
  const frame = wallFrame(body, wallOf(hole));
  const u = frame.along[0] * hole.entry[0] + frame.along[1] * hole.entry[1];
  const half = (hole.diameter + hole.slot * Math.hypot(hole.slotAlong[0], hole.slotAlong[1])) / 2;
  const name = frame.plan(u, text);
  return [
    box('hidden', [frame.plan(u - half, 0), frame.plan(u + half, 0), frame.plan(u + half, -frame.thickness), frame.plan(u - half, -frame.thickness)]),
    polyline('centre', [frame.plan(u, text * 0.6), frame.plan(u, -frame.thickness - text * 0.6)]),
    label([name[0], name[1] - text / 2], hole.name, text, frame.wall === 'front' ? 'end' : frame.wall === 'back' ? 'start' : 'middle'),
  ];
}
