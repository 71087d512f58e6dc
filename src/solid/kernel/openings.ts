/** Notches and free holes -> the tools that cut them through the finished shell. */
import type { TopoDS_Shape } from 'replicad-opencascadejs';
import { tolerance } from '../../maths/tolerance.ts';
import type { BodyPlan, NotchPlan } from '../plan.ts';
import { wallFrame } from '../walls.ts';
import type { Oc } from './oc.ts';
import { withoutEmpty, type Stroke } from '../outline.ts';
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
  const outline = withoutEmpty({ from: [left, bottom], strokes });
  const depth = overrun + notch.through;
  return sweptOutline(oc, outline, ([u, z]) => [...frame.plan(u, overrun), z], [-frame.out[0] * depth, -frame.out[1] * depth, 0]);
}
