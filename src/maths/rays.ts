/** What a ray hits in a tree of triangles. Ray-triangle test of Moeller and Trumbore (1997). Units as given. */
import type { TriangleTree } from './bvh.ts';
import type { Vec3 } from './vec.ts';

export interface Hit {
  /** Along the ray, in lengths of its direction. */
  readonly t: number;
  readonly triangle: number;
}

/** The nearest hit of the ray with from < t < to, or null. Triangles for which `skip` is true are looked through. */
export function firstHit(tree: TriangleTree, origin: Vec3, direction: Vec3, from: number, to: number, skip?: (triangle: number) => boolean): Hit | null {
  if (tree.links.length === 0) return null;
  const inverse: Vec3 = [1 / direction[0], 1 / direction[1], 1 / direction[2]];
  let best: Hit | null = null;
  let limit = to;
  const stack = [0];
  for (let node = stack.pop(); node !== undefined; node = stack.pop()) {
    if (!(entry(tree.boxes, node, origin, inverse, from, limit) <= limit)) continue;
    const count = tree.links[2 * node + 1]!;
    if (count === 0) {
      const [left, right] = [node + 1, tree.links[2 * node]!];
      // The child that is entered first is taken first: a hit in it shortens the way to the other.
      if (entry(tree.boxes, left, origin, inverse, from, limit) < entry(tree.boxes, right, origin, inverse, from, limit)) stack.push(right, left);
      else stack.push(left, right);
      continue;
    }
    const first = tree.links[2 * node]!;
    for (let i = first; i < first + count; i += 1) {
      const triangle = tree.order[i]!;
      const t = rayMeetsTriangle(tree, triangle, origin, direction);
      if (t > from && t < limit && !skip?.(triangle)) {
        limit = t;
        best = { t, triangle };
      }
    }
  }
  return best;
}

/** Whether the ray hits anything with from < t < to. */
export function anyHit(tree: TriangleTree, origin: Vec3, direction: Vec3, from: number, to: number): boolean {
  if (tree.links.length === 0) return false;
  const inverse: Vec3 = [1 / direction[0], 1 / direction[1], 1 / direction[2]];
  const stack = [0];
  for (let node = stack.pop(); node !== undefined; node = stack.pop()) {
    if (!(entry(tree.boxes, node, origin, inverse, from, to) <= to)) continue;
    const count = tree.links[2 * node + 1]!;
    if (count === 0) {
      stack.push(tree.links[2 * node]!, node + 1);
      continue;
    }
    const first = tree.links[2 * node]!;
    for (let i = first; i < first + count; i += 1) {
      const t = rayMeetsTriangle(tree, tree.order[i]!, origin, direction);
      if (t > from && t < to) return true;
    }
  }
  return false;
}

/** Where along the ray, from `from` on, a box is entered; Infinity where it is missed before `to`. */
function entry(boxes: Float64Array, node: number, origin: Vec3, inverse: Vec3, from: number, to: number): number {
  let near = from;
  let far = to;
  for (let k = 0; k < 3; k += 1) {
    const a = (boxes[6 * node + k]! - origin[k]!) * inverse[k]!;
    const b = (boxes[6 * node + 3 + k]! - origin[k]!) * inverse[k]!;
    // A ray within the plane of a side gives 0 times infinity, NaN: it lies in that slab, which then limits nothing.
    if (a <= b) {
      if (a > near) near = a;
      if (b < far) far = b;
    } else if (b < a) {
      if (b > near) near = b;
      if (a < far) far = a;
    }
  }
  return near <= far ? near : Infinity;
}

/** Parameter along the ray, NaN for a miss. Both sides count. */
function rayMeetsTriangle(tree: TriangleTree, triangle: number, o: Vec3, d: Vec3): number {
  const { positions: p, triangles } = tree;
  const a = 3 * triangles[3 * triangle]!;
  const b = 3 * triangles[3 * triangle + 1]!;
  const c = 3 * triangles[3 * triangle + 2]!;
  const [ax, ay, az] = [p[a]!, p[a + 1]!, p[a + 2]!];
  const [ux, uy, uz] = [p[b]! - ax, p[b + 1]! - ay, p[b + 2]! - az];
  const [vx, vy, vz] = [p[c]! - ax, p[c + 1]! - ay, p[c + 2]! - az];
  const [hx, hy, hz] = [d[1] * vz - d[2] * vy, d[2] * vx - d[0] * vz, d[0] * vy - d[1] * vx];
  const determinant = ux * hx + uy * hy + uz * hz;
  if (determinant === 0) return Number.NaN;
  const f = 1 / determinant;
  const [sx, sy, sz] = [o[0] - ax, o[1] - ay, o[2] - az];
  const u = f * (sx * hx + sy * hy + sz * hz);
  if (u < 0 || u > 1) return Number.NaN;
  const [qx, qy, qz] = [sy * uz - sz * uy, sz * ux - sx * uz, sx * uy - sy * ux];
  const v = f * (d[0] * qx + d[1] * qy + d[2] * qz);
  return v < 0 || u + v > 1 ? Number.NaN : f * (vx * qx + vy * qy + vz * qz);
}
