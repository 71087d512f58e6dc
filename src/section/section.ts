/**
 * The product of this room: the thin section, ready to be swept. Part frame in the plane of the section: x = station
 * from the front wall's outer face, z up from the lower seat plane, mm.
 */
import type { BSplineCurve } from '../maths/bspline.ts';
import type { Vec2 } from '../maths/vec.ts';

export type Segment =
  | { readonly kind: 'line'; readonly from: Vec2; readonly to: Vec2 }
  /** Circular arc; `sweep` in rad, positive counter-clockwise with x right and z up. */
  | { readonly kind: 'arc'; readonly from: Vec2; readonly to: Vec2; readonly centre: Vec2; readonly radius: number; readonly sweep: number }
  /** The whole of a curve, from its first pole to its last, or backwards. */
  | { readonly kind: 'cubic'; readonly curve: BSplineCurve; readonly reversed: boolean };

/** A closed outline, counter-clockwise with x right and z up; each segment starts where the last one ended. */
export interface Loop {
  readonly segments: readonly Segment[];
}

export interface Section {
  /** Outer top, x strictly increasing from 0 to length: the faired spans, moved by -front station in x, otherwise untouched. */
  readonly top: readonly BSplineCurve[];
  /** Inner roof, x strictly increasing from `wall` to `length - wall`: offset of the top by `skin`, square to it. */
  readonly roof: readonly BSplineCurve[];
  /** Size along X. */
  readonly length: number;
  readonly wall: number;
  readonly skin: number;
  /** Foot heights; the smaller is 0. The end walls step from one to the other at x = stepAt. */
  readonly frontFoot: number;
  readonly backFoot: number;
  readonly stepAt: number;
  /** Largest measured distance between `roof` and the true offset, mm. */
  readonly roofError: number;
  /** The section as cut at mid width, radii included: one closed thin outline, for drawings. */
  readonly outline: Loop;
  /** Station of the readings that became x = 0. */
  readonly frontStation: number;
}
