/** Heights along a contour: z at a station of curves whose x strictly increases. mm. */
import { pointAt, type BSplineCurve } from '../maths/bspline.ts';
import type { Vec2 } from '../maths/vec.ts';

/** z at station x; beyond the ends, the height of the end. Bisection on x, which strictly increases. */
export function heightAt(curves: readonly BSplineCurve[], x: number): number {
  const curve = curves.find((span) => x <= (span.poles.at(-1) as Vec2)[0]) ?? (curves.at(-1) as BSplineCurve);
  let low = curve.knots[0] as number;
  let high = curve.knots.at(-1) as number;
  for (let i = 0; i < 60 && high - low > 0; i++) {
    const middle = (low + high) / 2;
    if (middle === low || middle === high) break;
    if (pointAt(curve, middle)[0] < x) low = middle;
    else high = middle;
  }
  return pointAt(curve, (low + high) / 2)[1];
}

/** Least and most z between two stations, by sampling at about `step` mm; both stations are among the samples. */
export function heightRange(curves: readonly BSplineCurve[], from: number, to: number, step: number): { readonly least: number; readonly most: number } {
  const count = Math.min(2000, Math.max(1, Math.ceil((to - from) / step)));
  let least = Infinity;
  let most = -Infinity;
  for (let i = 0; i <= count; i++) {
    const z = heightAt(curves, from + ((to - from) * i) / count);
    if (z < least) least = z;
    if (z > most) most = z;
  }
  return { least, most };
}

export const firstPoint = (curves: readonly BSplineCurve[]): Vec2 => (curves[0] as BSplineCurve).poles[0] as Vec2;
export const lastPoint = (curves: readonly BSplineCurve[]): Vec2 => (curves.at(-1) as BSplineCurve).poles.at(-1) as Vec2;
