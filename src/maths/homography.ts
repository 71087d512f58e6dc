/**
 * Plane projective maps: four points and where they go -> the one map that does it; its inverse, derivative, products.
 * Pure numbers; units are the caller's. A map is nine numbers, row by row: [x y 1] goes to [X Y W], the point (X/W, Y/W).
 * Method: unit square to quadrilateral in closed form (P. S. Heckbert, Fundamentals of Texture Mapping and Image Warping,
 * 1989, 2.2.3): the exact solution of the eight equations a linear solver would be given, without the solver.
 * Stops being true: three of the four points in line have no such map (the result is not finite); points with W <= 0 lie on
 * or beyond the horizon of the plane and have no image.
 */
import type { Vec2 } from './vec.ts';

export type Homography = readonly [number, number, number, number, number, number, number, number, number];
/** dX/dx, dX/dy, dZ/dx, dZ/dy. */
export type Jacobian2 = readonly [number, number, number, number];
/** Four corners in order round. */
export type Quad = readonly [Vec2, Vec2, Vec2, Vec2];

export const identity: Homography = [1, 0, 0, 0, 1, 0, 0, 0, 1];

/** Takes (0,0), (1,0), (1,1), (0,1) to the corners of `quad`, in that order. */
export function squareToQuad([p0, p1, p2, p3]: Quad): Homography {
  const [sx, sy] = [p0[0] - p1[0] + p2[0] - p3[0], p0[1] - p1[1] + p2[1] - p3[1]];
  const [ax, ay] = [p1[0] - p2[0], p1[1] - p2[1]];
  const [bx, by] = [p3[0] - p2[0], p3[1] - p2[1]];
  const den = ax * by - bx * ay;
  const g = (sx * by - bx * sy) / den;
  const h = (ax * sy - sx * ay) / den;
  return [p1[0] - p0[0] + g * p1[0], p3[0] - p0[0] + h * p3[0], p0[0], p1[1] - p0[1] + g * p1[1], p3[1] - p0[1] + h * p3[1], p0[1], g, h, 1];
}

/** Inverse up to a factor; W is positive wherever `m` takes points with positive W. */
export function inverted([a, b, c, d, e, f, g, h, i]: Homography): Homography {
  const adjugate: Homography = [e * i - f * h, c * h - b * i, b * f - c * e, f * g - d * i, a * i - c * g, c * d - a * f, d * h - e * g, b * g - a * h, a * e - b * d];
  const det = a * adjugate[0] + b * adjugate[3] + c * adjugate[6];
  return scaled(adjugate, 1 / det);
}

/** First `second`, then `first`: the product first * second. */
export function after(first: Homography, second: Homography): Homography {
  const at = (r: number, c: number): number => first[3 * r]! * second[c]! + first[3 * r + 1]! * second[3 + c]! + first[3 * r + 2]! * second[6 + c]!;
  return [at(0, 0), at(0, 1), at(0, 2), at(1, 0), at(1, 1), at(1, 2), at(2, 0), at(2, 1), at(2, 2)];
}

const scaled = (m: Homography, k: number): Homography => m.map((v) => v * k) as unknown as Homography;

/** The same map with W = 1 at `at`; only for a point with W other than 0. */
export const normalisedAt = (m: Homography, at: Vec2): Homography => scaled(m, 1 / depthAt(m, at));

/** W at a point: positive on the near side of the horizon. */
export const depthAt = (m: Homography, [x, y]: Vec2): number => m[6] * x + m[7] * y + m[8];

/** Where a point goes; null on or beyond the horizon. */
export function mapped(m: Homography, p: Vec2): Vec2 | null {
  const w = depthAt(m, p);
  return w > 0 ? [(m[0] * p[0] + m[1] * p[1] + m[2]) / w, (m[3] * p[0] + m[4] * p[1] + m[5]) / w] : null;
}

/** Derivative of the map at a point on the near side of the horizon. */
export function jacobianAt(m: Homography, p: Vec2): Jacobian2 {
  const w = depthAt(m, p);
  const [x, z] = [(m[0] * p[0] + m[1] * p[1] + m[2]) / w, (m[3] * p[0] + m[4] * p[1] + m[5]) / w];
  return [(m[0] - x * m[6]) / w, (m[1] - x * m[7]) / w, (m[3] - z * m[6]) / w, (m[4] - z * m[7]) / w];
}
