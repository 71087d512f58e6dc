/**
 * Metal left between a blind hole and the outside of the top: the shortest distance from any point of the drilled hole,
 * point included, to the contour. The top runs straight along Y, so the distance is taken in the section. Rounded ends of
 * the top are not in it; wall truth looks at those on the finished solid.
 */
import { nearestOn, piecewiseOf } from '../maths/piecewise.ts';
import type { BSplineCurve } from '../maths/bspline.ts';
import type { Vec2 } from '../maths/vec.ts';
import type { BossPlan } from './plan.ts';

/** Samples across the drill; the distance is smooth between them and its error is of second order. */
const samples = 65;

/** The upper outline of a drilled hole in the section, left to right: full diameter, then the point. */
export function drillOutline(boss: BossPlan): readonly Vec2[] {
  if (boss.hole === null) return [];
  const { diameter, depth, pointAngle } = boss.hole;
  const radius = diameter / 2;
  const shoulder = boss.endHeight + depth;
  const rise = pointAngle >= 180 ? 0 : 1 / Math.tan(((pointAngle / 2) * Math.PI) / 180);
  return Array.from({ length: samples }, (_, i): Vec2 => {
    const u = -radius + (2 * radius * i) / (samples - 1);
    return [boss.x + u, shoulder + (radius - Math.abs(u)) * rise];
  });
}

/** Least distance from the drilled hole to the top, mm; negative when the drill comes through. */
export function skinAbove(boss: BossPlan, top: readonly BSplineCurve[]): { readonly skin: number; readonly at: Vec2 } | null {
  let least: { skin: number; at: Vec2 } | null = null;
  const pieces = top.map(piecewiseOf);
  for (const point of drillOutline(boss)) {
    for (const curve of pieces) {
      const near = nearestOn(curve, point);
      // Above the contour means outside: the skin there is gone.
      const skin = near.point[1] >= point[1] || Math.abs(near.point[0] - point[0]) > near.distance * 0.999 ? near.distance : -near.distance;
      if (least === null || skin < least.skin) least = { skin, at: point };
    }
  }
  return least;
}
