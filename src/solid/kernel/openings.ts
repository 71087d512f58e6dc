/** Notches and free holes -> the tools that cut them through the finished shell. */
import type { TopoDS_Shape } from 'replicad-opencascadejs';
import { tolerance } from '../../maths/tolerance.ts';
import type { Vec2 } from '../../maths/vec.ts';
import type { BodyPlan, NotchPlan } from '../plan.ts';
import { wallFrame } from '../walls.ts';
import type { Oc } from './oc.ts';
import type { Outline, Stroke } from './profile.ts';
import { sweptOutline } from './tools.ts';

/** mm the tool starts outside the wall and below its foot. */
const overrun = 1;

export function notchTool(oc: Oc, body: BodyPlan, notch: NotchPlan): TopoDS_Shape {
  const frame = wallFrame(body, notch.wall);
  const [left, right] = [notch.middle - notch.width / 2, notch.middle + notch.width / 2];
  const [bottom, top, r] = [notch.foot - overrun, notch.foot + notch.height, notch.radius];
  const q = r * (1 - Math.SQRT1_2);
  const round: Stroke[] =
    r > tolerance.point
      ? [
          { kind: 'line', to: [right, top - r] },
          { kind: 'arc', by: [right - q, top - q], to: [right - r, top] },
          { kind: 'line', to: [left + r, top] },
          { kind: 'arc', by: [left + q, top - q], to: [left, top - r] },
        ]
      : [{ kind: 'line', to: [right, top] }, { kind: 'line', to: [left, top] }];
  const strokes: Stroke[] = [{ kind: 'line', to: [right, bottom] }, ...round, { kind: 'line', to: [left, bottom] }];
  const outline: Outline = { from: [left, bottom], strokes: dropEmpty([left, bottom], strokes) };
  const depth = overrun + notch.through;
  return sweptOutline(oc, outline, ([u, z]) => [...frame.plan(u, overrun), z], [-frame.out[0] * depth, -frame.out[1] * depth, 0]);
}

/** A full round leaves no line between its two corners. */
function dropEmpty(from: Vec2, strokes: readonly Stroke[]): Stroke[] {
  let at = from;
  return strokes.filter((stroke) => {
    if (stroke.kind === 'curve') return true;
    const empty = stroke.kind === 'line' && Math.hypot(stroke.to[0] - at[0], stroke.to[1] - at[1]) <= tolerance.point;
    if (!empty) at = stroke.to;
    return !empty;
  });
}
