/**
 * A round column through a swept roof: where its side meets the roof, as a curve in the roof's own parameters (u of the
 * contour, y along the sweep) over the angle about the column, 0 to 2 pi, counter-clockwise from +X as seen from above.
 * Method: exact points and end slopes, joined by a cubic; off the true curve by about radius x step^4 / 384.
 * Stops being true: the column has to stay within the stations of one curve. mm, rad.
 */
import type { BSplineCurve } from '../maths/bspline.ts';
import { interpolateCubic } from '../maths/interpolate.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2 } from '../maths/vec.ts';
import { parameterFinder } from './heights.ts';

export function ringOn(curve: BSplineCurve, x: number, y: number, radius: number): BSplineCurve {
  const parameter = parameterFinder(curve);
  const step = ((384 * tolerance.kernel) / radius) ** 0.25;
  const count = Math.max(24, Math.ceil((2 * Math.PI) / step));
  const angles = Array.from({ length: count + 1 }, (_, i) => (2 * Math.PI * i) / count);
  const points = angles.map((angle): Vec2 => [parameter(x + radius * Math.cos(angle)), y + radius * Math.sin(angle)]);
  points[count] = points[0]!;
  return interpolateCubic(points, { start: [0, radius], end: [0, radius] }, angles);
}
