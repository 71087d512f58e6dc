/**
 * Triangles -> a tree of boxes that answers "what does this ray hit first" and "how near is the surface" in about log n.
 * Method: boxes split at the middle of the triangles' centres along the longest side; ray-triangle test of Moeller and
 * Trumbore (1997); nearest point on a triangle by Ericson, Real-Time Collision Detection (2005), ch. 5. Units as given.
 */
import type { Vec3 } from './vec.ts';

export interface TriangleTree {
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
  /** Triangle numbers in leaf order. */
  readonly order: Uint32Array;
  /** Six numbers a node: least x, y, z, most x, y, z. */
  readonly boxes: Float64Array;
  /** Two numbers a node: leaf: first place in `order` and count; inner: number of the right child (left is the next node) and 0. */
  readonly links: Uint32Array;
}

export interface Hit {
  /** Along the ray, in lengths of its direction. */
  readonly t: number;
  readonly triangle: number;
}

export interface Near {
  readonly distance: number;
  readonly triangle: number;
  readonly point: Vec3;
}

const leafSize = 4;

export function triangleTree(positions: Float64Array, triangles: Uint32Array): TriangleTree {
  const count = triangles.length / 3;
  const order = Uint32Array.from({ length: count }, (_, i) => i);
  const centres = new Float64Array(3 * count);
  const bounds = new Float64Array(6 * count);
  for (let t = 0; t < count; t += 1) {
    for (let k = 0; k < 3; k += 1) {
      const a = positions[3 * triangles[3 * t]! + k]!;
      const b = positions[3 * triangles[3 * t + 1]! + k]!;
      const c = positions[3 * triangles[3 * t + 2]! + k]!;
      bounds[6 * t + k] = Math.min(a, b, c);
      bounds[6 * t + 3 + k] = Math.max(a, b, c);
      centres[3 * t + k] = (a + b + c) / 3;
    }
  }
  const boxes = new Float64Array(12 * Math.max(count, 1));
  const links = new Uint32Array(4 * Math.max(count, 1));
  let used = 0;
  const build = (start: number, end: number): number => {
    const node = used;
    used += 1;
    growBox(boxes, node, bounds, order, start, end);
    if (end - start <= leafSize) {
      links[2 * node] = start;
      links[2 * node + 1] = end - start;
      return node;
    }
    const middle = split(order, centres, start, end);
    build(start, middle);
    links[2 * node] = build(middle, end);
    links[2 * node + 1] = 0;
    return node;
  };
  if (count > 0) build(0, count);
  return { positions, triangles, order, boxes: boxes.slice(0, 6 * used), links: links.slice(0, 2 * used) };
}

function growBox(boxes: Float64Array, node: number, bounds: Float64Array, order: Uint32Array, start: number, end: number): void {
  for (let k = 0; k < 3; k += 1) {
    let least = Infinity;
    let most = -Infinity;
    for (let i = start; i < end; i += 1) {
      least = Math.min(least, bounds[6 * order[i]! + k]!);
      most = Math.max(most, bounds[6 * order[i]! + 3 + k]!);
    }
    boxes[6 * node + k] = least;
    boxes[6 * node + 3 + k] = most;
  }
}

/** Partitions order[start, end) at the middle of the centres' longest extent; by halves where that would leave one side empty. */
function split(order: Uint32Array, centres: Float64Array, start: number, end: number): number {
  let axis = 0;
  let widest = -1;
  let middle = 0;
  for (let k = 0; k < 3; k += 1) {
    let least = Infinity;
    let most = -Infinity;
    for (let i = start; i < end; i += 1) {
      const c = centres[3 * order[i]! + k]!;
      least = Math.min(least, c);
      most = Math.max(most, c);
    }
    if (most - least > widest) [axis, widest, middle] = [k, most - least, (least + most) / 2];
  }
  let i = start;
  let j = end - 1;
  while (i <= j) {
    if (centres[3 * order[i]! + axis]! < middle) i += 1;
    else {
      const swap = order[i]!;
      order[i] = order[j]!;
      order[j] = swap;
      j -= 1;
    }
  }
  return i === start || i === end ? (start + end) >> 1 : i;
}

/** The nearest hit of the ray with from < t < to, or null. Triangles for which `skip` is true are looked through. */
export function firstHit(tree: TriangleTree, origin: Vec3, direction: Vec3, from: number, to: number, skip?: (triangle: number) => boolean): Hit | null {
  if (tree.links.length === 0) return null;
  const inverse: Vec3 = [1 / direction[0], 1 / direction[1], 1 / direction[2]];
  let best: Hit | null = null;
  let limit = to;
  const stack = [0];
  for (let node = stack.pop(); node !== undefined; node = stack.pop()) {
    if (!rayMeetsBox(tree.boxes, node, origin, inverse, from, limit)) continue;
    const count = tree.links[2 * node + 1]!;
    if (count === 0) {
      stack.push(tree.links[2 * node]!, node + 1);
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

function rayMeetsBox(boxes: Float64Array, node: number, origin: Vec3, inverse: Vec3, from: number, to: number): boolean {
  let [near, far] = [from, to];
  for (let k = 0; k < 3; k += 1) {
    const a = (boxes[6 * node + k]! - origin[k]!) * inverse[k]!;
    const b = (boxes[6 * node + 3 + k]! - origin[k]!) * inverse[k]!;
    // A ray within the plane of a side gives 0 times infinity, NaN: it lies in that slab, which then limits nothing.
    if (Number.isNaN(a) || Number.isNaN(b)) continue;
    near = Math.max(near, Math.min(a, b));
    far = Math.min(far, Math.max(a, b));
  }
  return near <= far;
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

/** The nearest point of the surface within `within` of `point`, or null. */
export function nearestOnSurface(tree: TriangleTree, point: Vec3, within: number, skip?: (triangle: number) => boolean): Near | null {
  if (tree.links.length === 0) return null;
  let best: Near | null = null;
  let limit = within * within;
  const stack = [0];
  for (let node = stack.pop(); node !== undefined; node = stack.pop()) {
    if (squareToBox(tree.boxes, node, point) > limit) continue;
    const count = tree.links[2 * node + 1]!;
    if (count === 0) {
      const [left, right] = [node + 1, tree.links[2 * node]!];
      // The nearer child is taken first: it shrinks the limit for the other.
      if (squareToBox(tree.boxes, left, point) < squareToBox(tree.boxes, right, point)) stack.push(right, left);
      else stack.push(left, right);
      continue;
    }
    const first = tree.links[2 * node]!;
    for (let i = first; i < first + count; i += 1) {
      const triangle = tree.order[i]!;
      if (skip?.(triangle)) continue;
      const on = nearestOnTriangle(tree, triangle, point);
      const square = (on[0] - point[0]) ** 2 + (on[1] - point[1]) ** 2 + (on[2] - point[2]) ** 2;
      if (square < limit) {
        limit = square;
        best = { distance: Math.sqrt(square), triangle, point: on };
      }
    }
  }
  return best;
}

function squareToBox(boxes: Float64Array, node: number, p: Vec3): number {
  let sum = 0;
  for (let k = 0; k < 3; k += 1) {
    const out = Math.max(boxes[6 * node + k]! - p[k]!, 0, p[k]! - boxes[6 * node + 3 + k]!);
    sum += out * out;
  }
  return sum;
}

function nearestOnTriangle(tree: TriangleTree, triangle: number, p: Vec3): Vec3 {
  const { positions, triangles } = tree;
  const corner = (k: number): Vec3 => {
    const i = 3 * triangles[3 * triangle + k]!;
    return [positions[i]!, positions[i + 1]!, positions[i + 2]!];
  };
  const [a, b, c] = [corner(0), corner(1), corner(2)];
  const minus = (u: Vec3, v: Vec3): Vec3 => [u[0] - v[0], u[1] - v[1], u[2] - v[2]];
  const dot = (u: Vec3, v: Vec3): number => u[0] * v[0] + u[1] * v[1] + u[2] * v[2];
  const plus = (u: Vec3, v: Vec3, s: number): Vec3 => [u[0] + v[0] * s, u[1] + v[1] * s, u[2] + v[2] * s];
  const [ab, ac] = [minus(b, a), minus(c, a)];
  const ap = minus(p, a);
  const [d1, d2] = [dot(ab, ap), dot(ac, ap)];
  if (d1 <= 0 && d2 <= 0) return a;
  const bp = minus(p, b);
  const [d3, d4] = [dot(ab, bp), dot(ac, bp)];
  if (d3 >= 0 && d4 <= d3) return b;
  const vc = d1 * d4 - d3 * d2;
  if (vc <= 0 && d1 >= 0 && d3 <= 0) return plus(a, ab, d1 / (d1 - d3));
  const cp = minus(p, c);
  const [d5, d6] = [dot(ab, cp), dot(ac, cp)];
  if (d6 >= 0 && d5 <= d6) return c;
  const vb = d5 * d2 - d1 * d6;
  if (vb <= 0 && d2 >= 0 && d6 <= 0) return plus(a, ac, d2 / (d2 - d6));
  const va = d3 * d6 - d5 * d4;
  if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) return plus(b, minus(c, b), (d4 - d3) / (d4 - d3 + (d5 - d6)));
  const scale = 1 / (va + vb + vc);
  return plus(plus(a, ab, vb * scale), ac, vc * scale);
}
