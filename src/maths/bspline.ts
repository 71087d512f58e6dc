/**
 * Clamped, non-rational B-spline curves in the plane: the one curve type of the project. What a FairedContour holds is
 * handed to the kernel pole for pole and knot for knot.
 * Method: de Boor's algorithm (C. de Boor, A Practical Guide to Splines, 1978, ch. X).
 */
import type { Vec2 } from './vec.ts';

export interface BSplineCurve {
  readonly degree: number;
  /** Full knot vector, non-decreasing, first and last repeated degree + 1 times; length = poles + degree + 1. */
  readonly knots: readonly number[];
  readonly poles: readonly Vec2[];
}
