/**
 * Mesh -> the mesh with every face drawn in by what it grows by in the print. mm.
 *
 * A wall that looks along the bed's X grows by half of what an outside size along X does, along Y likewise, between the two
 * as the squares of its direction; a face that looks up by all that a height grows by (the bed holds the lower end); one
 * that looks down not at all. Each node moves so that all the faces meeting in it do (least squares over their true
 * normals). Exact on planes and round walls; where faces meet at a knife edge the move is held to three times the growth.
 */
import { tolerance } from '../maths/tolerance.ts';
import { dot3, type Vec3 } from '../maths/vec.ts';
import { facetNormal, type WeldedMesh } from '../solid/mesh.ts';
import type { Affine } from '../solid/meshRecipe.ts';
import type { PrintLaw } from './law.ts';

/** Share of the faces' own say that keeps a node still where they leave it free. */
const rest = 1e-6;
const mostTimes = 3;

/** `lay` turns the part to how it lies on the bed; the mesh stays in the frame it came in. */
export function drawnIn(mesh: WeldedMesh, lay: Affine, { growth }: PrintLaw): WeldedMesh {
  const most = Math.max(...[growth.x, growth.y, growth.z].map(Math.abs));
  if (most < tolerance.point) return mesh;
  const [ax, ay, az] = lay.rows;
  const inwards = (n: Vec3): number => {
    const [x, y, z] = [dot3(ax, n), dot3(ay, n), dot3(az, n)];
    return -(growth.x * x * x + growth.y * y * y) / 2 - (z > 0 ? growth.z * z * z : 0);
  };
  // Normal equations of each node: sum of n n' (six numbers) and of n h (three).
  const sums = new Float64Array((9 * mesh.positions.length) / 3);
  for (const { node, normal, weight } of normalsAtNodes(mesh)) {
    const [x, y, z] = normal;
    const h = inwards(normal);
    [x * x, x * y, x * z, y * y, y * z, z * z, x * h, y * h, z * h].forEach((value, k) => (sums[9 * node + k]! += weight * value));
  }
  const positions = mesh.positions.slice();
  for (let node = 0; node < positions.length / 3; node++) {
    const move = solve(sums.subarray(9 * node, 9 * node + 9));
    const size = Math.hypot(...move);
    const held = size > mostTimes * most ? (mostTimes * most) / size : 1;
    for (let k = 0; k < 3; k++) positions[3 * node + k]! += move[k]! * held;
  }
  return { ...mesh, positions };
}

/** One normal for each face that meets in a node; facets of one face, or of two that meet smoothly, count once. */
function* normalsAtNodes(mesh: WeldedMesh): Generator<{ readonly node: number; readonly normal: Vec3; readonly weight: number }> {
  const seen: Vec3[][] = Array.from({ length: mesh.positions.length / 3 }, () => []);
  for (let t = 0; t < mesh.triangles.length / 3; t++) {
    const facet = facetNormal(mesh, t);
    const size = Math.hypot(...facet) || 1;
    for (let k = 0; k < 3; k++) {
      const node = mesh.triangles[3 * t + k]!;
      const at = 9 * t + 3 * k;
      const own: Vec3 = mesh.normals === undefined ? [0, 0, 0] : [mesh.normals[at]!, mesh.normals[at + 1]!, mesh.normals[at + 2]!];
      const normal: Vec3 = Math.hypot(...own) > 0.5 ? own : [facet[0] / size, facet[1] / size, facet[2] / size];
      if (seen[node]!.some((other) => dot3(other, normal) > sameWay)) continue;
      seen[node]!.push(normal);
      yield { node, normal, weight: 1 };
    }
  }
}

/** Cosine of about two degrees. */
const sameWay = 0.9994;

/** The least move that satisfies (A + rest) move = b, A symmetric 3 x 3 by its upper half. */
function solve([a, b, c, d, e, f, p, q, r]: ArrayLike<number> & Iterable<number>): Vec3 {
  const more = rest * (a! + d! + f!) + Number.MIN_VALUE;
  const [xx, yy, zz] = [a! + more, d! + more, f! + more];
  const [A, B, C] = [yy * zz - e! * e!, c! * e! - b! * zz, b! * e! - c! * yy];
  const [D, E, F] = [xx * zz - c! * c!, b! * c! - xx * e!, xx * yy - b! * b!];
  const det = xx * A + b! * B + c! * C;
  if (!(Math.abs(det) > 0)) return [0, 0, 0];
  return [(A * p! + B * q! + C * r!) / det, (B * p! + D * q! + E * r!) / det, (C * p! + E * q! + F * r!) / det];
}
