/** The nearest place of a surface given as a tree of triangles. Nearest point on a triangle by Ericson, Real-Time Collision Detection (2005), ch. 5. Units as given. */
import type { TriangleTree } from './bvh.ts';
import type { Vec3 } from './vec.ts';

export interface Near {
  readonly distance: number;
  readonly triangle: number;
  readonly point: Vec3;
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
      nearestOnTriangle(tree, triangle, point);
      const square = (nearest[0]! - point[0]) ** 2 + (nearest[1]! - point[1]) ** 2 + (nearest[2]! - point[2]) ** 2;
      if (square < limit) {
        limit = square;
        best = { distance: Math.sqrt(square), triangle, point: [nearest[0]!, nearest[1]!, nearest[2]!] };
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

/** Where nearestOnTriangle leaves its answer: asked for millions of times, it makes no new things. */
const nearest = new Float64Array(3);

/** a + s u + t v */
function put(ax: number, ay: number, az: number, s: number, ux: number, uy: number, uz: number, t: number, vx: number, vy: number, vz: number): void {
  nearest[0] = ax + s * ux + t * vx;
  nearest[1] = ay + s * uy + t * vy;
  nearest[2] = az + s * uz + t * vz;
}

function nearestOnTriangle({ positions, triangles }: TriangleTree, triangle: number, p: Vec3): void {
  const a = 3 * triangles[3 * triangle]!;
  const b = 3 * triangles[3 * triangle + 1]!;
  const c = 3 * triangles[3 * triangle + 2]!;
  const ax = positions[a]!;
  const ay = positions[a + 1]!;
  const az = positions[a + 2]!;
  const ux = positions[b]! - ax;
  const uy = positions[b + 1]! - ay;
  const uz = positions[b + 2]! - az;
  const vx = positions[c]! - ax;
  const vy = positions[c + 1]! - ay;
  const vz = positions[c + 2]! - az;
  const px = p[0] - ax;
  const py = p[1] - ay;
  const pz = p[2] - az;
  // Projections on the two sides from a, b and c in turn.
  const uu = ux * ux + uy * uy + uz * uz;
  const uv = ux * vx + uy * vy + uz * vz;
  const vv = vx * vx + vy * vy + vz * vz;
  const d1 = ux * px + uy * py + uz * pz;
  const d2 = vx * px + vy * py + vz * pz;
  if (d1 <= 0 && d2 <= 0) return put(ax, ay, az, 0, ux, uy, uz, 0, vx, vy, vz);
  const d3 = d1 - uu;
  const d4 = d2 - uv;
  if (d3 >= 0 && d4 <= d3) return put(ax, ay, az, 1, ux, uy, uz, 0, vx, vy, vz);
  const vc = d1 * d4 - d3 * d2;
  if (vc <= 0 && d1 >= 0 && d3 <= 0) return put(ax, ay, az, d1 / (d1 - d3), ux, uy, uz, 0, vx, vy, vz);
  const d5 = d1 - uv;
  const d6 = d2 - vv;
  if (d6 >= 0 && d5 <= d6) return put(ax, ay, az, 0, ux, uy, uz, 1, vx, vy, vz);
  const vb = d5 * d2 - d1 * d6;
  if (vb <= 0 && d2 >= 0 && d6 <= 0) return put(ax, ay, az, 0, ux, uy, uz, d2 / (d2 - d6), vx, vy, vz);
  const va = d3 * d6 - d5 * d4;
  if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
    const share = (d4 - d3) / (d4 - d3 + (d5 - d6));
    return put(ax, ay, az, 1 - share, ux, uy, uz, share, vx, vy, vz);
  }
  const scale = 1 / (va + vb + vc);
  put(ax, ay, az, vb * scale, ux, uy, uz, vc * scale, vx, vy, vz);
}
