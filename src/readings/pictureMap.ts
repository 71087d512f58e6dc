/**
 * Known points of a picture -> the map from its pixels to the plane of the profile. Pixels: x right, y down, the corner of
 * the first pixel at 0, 0. Millimetres: x right, z up. Every step is a plane projective map, so they multiply into one.
 * Stops being true: a lens that bends straight lines is not taken out; the camera is a pinhole with square pixels, and
 * where the profile lies off the plane of the known points its axis goes through the middle of the picture (not cropped).
 */
import { after, depthAt, inverted, jacobianAt, mapped, squareToQuad, type Homography, type Quad } from '../maths/homography.ts';
import { tolerance } from '../maths/tolerance.ts';
import { dot2, length2, scale2, sub2, type Vec2 } from '../maths/vec.ts';

/** Two points and the distance between them. */
export interface Ruler {
  readonly from: Vec2;
  readonly to: Vec2;
}

/** Corners from the lower left on, counter-clockwise as seen; the first side is the width. mm from the lower left corner. */
export const rectangleMap = (corners: Quad, width: number, height: number): Homography => after([width, 0, 0, 0, height, 0, 0, 0, 1], inverted(squareToQuad(corners)));

/**
 * A flatbed's two directions have a scale each; the rulers may lie at any tilt, as long as not at the same. With dx, dy in
 * px and scales a, b: (a dx)^2 + (b dy)^2 = length^2 for either ruler, two linear equations in a^2 and b^2. X runs along the
 * first ruler, to the right. Null when no two positive scales give these lengths.
 */
export function rulersMap(along: Ruler, alongLength: number, upright: Ruler, uprightLength: number): Homography | null {
  const [[dx1, dy1], [dx2, dy2]] = [sub2(along.to, along.from), sub2(upright.to, upright.from)];
  const [p, q, r, s] = [dx1 * dx1, dy1 * dy1, dx2 * dx2, dy2 * dy2];
  const den = p * s - q * r;
  const a = Math.sqrt((alongLength ** 2 * s - uprightLength ** 2 * q) / den);
  const b = Math.sqrt((uprightLength ** 2 * p - alongLength ** 2 * r) / den);
  if (!(a > 0 && b > 0 && Number.isFinite(a) && Number.isFinite(b))) return null;
  const origin = dx1 >= 0 ? along.from : along.to;
  const way = scale2([a * dx1, -b * dy1], (dx1 >= 0 ? 1 : -1) / alongLength);
  const [x, z] = [a * origin[0], -b * origin[1]];
  return [way[0] * a, -way[1] * b, -(way[0] * x + way[1] * z), -way[1] * a, -way[0] * b, way[1] * x - way[0] * z, 0, 0, 1];
}

/**
 * mm. The point of the plane straight under the camera, `distance` mm from it. The axis meets the plane where the middle of
 * the picture lies; the foot is H tan t from there towards the near side, and sin t = H |grad W| / (W s), s the mm per px
 * across the tilt: for a pinhole W falls off as f cos t - y sin t and s is H / (f cos t). Null when that distance cannot be.
 */
export function cameraFoot(map: Homography, middle: Vec2, distance: number): Vec2 | null {
  const axis = mapped(map, middle);
  if (axis === null) return null;
  const grad: Vec2 = scale2([map[6], map[7]], 1 / depthAt(map, middle));
  const steepness = length2(grad);
  if (steepness === 0) return axis;
  const [gx, gy] = scale2(grad, 1 / steepness);
  const [a, b, c, d] = jacobianAt(map, middle);
  const sine = (steepness * distance) / Math.hypot(-a * gy + b * gx, -c * gy + d * gx);
  if (!(sine < tolerance.flattestLook)) return null;
  const near: Vec2 = [a * gx + b * gy, c * gx + d * gy];
  const reach = (distance * sine) / Math.sqrt(1 - sine * sine) / length2(near);
  return [axis[0] + near[0] * reach, axis[1] + near[1] * reach];
}

/**
 * The profile stands `off` mm nearer the camera than the known points: what is seen of it lies on their plane enlarged by
 * H / (H - off) about the camera's foot, so the map is shrunk about it. Exact for any tilt, the planes being parallel.
 */
export function offPlaneMap(map: Homography, foot: Vec2, off: number, distance: number): Homography {
  const k = (distance - off) / distance;
  return after([k, 0, (1 - k) * foot[0], 0, k, (1 - k) * foot[1], 0, 0, 1], map);
}

/** Puts 0, 0 at pixel `zero` and X along the line to pixel `level`; Z stays on the picture's upper side, so X may run to the left. */
export function framedMap(map: Homography, zero: Vec2, level: Vec2): Homography | null {
  const [from, to] = [mapped(map, zero), mapped(map, level)];
  if (from === null || to === null) return null;
  const far = length2(sub2(to, from));
  if (far === 0) return null;
  const d = scale2(sub2(to, from), 1 / far);
  const [, b, , e] = jacobianAt(map, zero);
  const side = -d[1] * -b + d[0] * -e >= 0 ? 1 : -1;
  const n: Vec2 = [-d[1] * side, d[0] * side];
  return after([d[0], d[1], -dot2(d, from), n[0], n[1], -dot2(n, from), 0, 0, 1], map);
}
