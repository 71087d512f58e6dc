/**
 * How far a point picked in a picture may be off, mm, one sigma. Two parts that must not be mixed: `own` is the picking of
 * that point and scatters from point to point, as a fairing expects of readings; `common` comes from the known points, the
 * sizes, the zero and the plane, and moves neighbouring points together.
 * Method: own by the map's derivative; common by moving each input one sigma up and down and taking half the difference
 * (J. Kragten, Analyst 119 (1994) 2161; the same first-order law as GUM, JCGM 100:2008, 5.1.2).
 * Stops being true: inputs are taken as independent, and effects as near enough linear over one sigma.
 */
import { jacobianAt, mapped, type Homography } from '../maths/homography.ts';
import type { Vec2 } from '../maths/vec.ts';

/** mm^2. */
export interface Covariance {
  readonly xx: number;
  readonly xz: number;
  readonly zz: number;
}

export interface PointError {
  readonly own: Covariance;
  readonly common: Covariance;
}

/** The two maps an input gives, one sigma up and one down. */
export type MovedMaps = readonly [Homography, Homography];

/** `picking`: px, one sigma of a picked point in each direction. Null beyond the horizon. */
export function pointError(map: Homography, moved: readonly MovedMaps[], picking: number, px: Vec2): PointError | null {
  if (mapped(map, px) === null) return null;
  const [a, b, c, d] = jacobianAt(map, px);
  const own = { xx: (a * a + b * b) * picking ** 2, xz: (a * c + b * d) * picking ** 2, zz: (c * c + d * d) * picking ** 2 };
  let [xx, xz, zz] = [0, 0, 0];
  for (const [up, down] of moved) {
    const [p, q] = [mapped(up, px), mapped(down, px)];
    if (p === null || q === null) return null;
    const [x, z] = [(p[0] - q[0]) / 2, (p[1] - q[1]) / 2];
    xx += x * x;
    xz += x * z;
    zz += z * z;
  }
  return { own, common: { xx, xz, zz } };
}

/** mm, one sigma in the mean over all directions. */
export const meanSigma = ({ xx, zz }: Covariance): number => Math.sqrt((xx + zz) / 2);

/** mm, one sigma square to a direction that is not zero: how far off a profile running that way is seen. */
export function sigmaAcross({ xx, xz, zz }: Covariance, [x, z]: Vec2): number {
  return Math.sqrt(Math.max(0, z * z * xx - 2 * x * z * xz + x * x * zz)) / Math.hypot(x, z);
}

export const sumOf = (a: Covariance, b: Covariance): Covariance => ({ xx: a.xx + b.xx, xz: a.xz + b.xz, zz: a.zz + b.zz });
