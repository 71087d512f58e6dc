/** Evenly spread points on a mesh with the normal of their facet: what the checks on the finished solid look from. */
import type { Vec3 } from '../maths/vec.ts';
import { facetNormal, type WeldedMesh } from '../solid/mesh.ts';

export interface SurfacePoint {
  readonly at: Vec3;
  /** Unit, out of the metal. */
  readonly normal: Vec3;
  readonly triangle: number;
  /** mm2 it stands for. */
  readonly area: number;
}

/** Most points looked from; a part twice the size is sampled more coarsely, not more slowly. */
const mostPoints = 24_000;

/** Points about `spacing` mm apart (coarser on large parts), at least one on every facet that is not a sliver. Same mesh, same points. */
export function surfacePoints(mesh: WeldedMesh, spacing: number): SurfacePoint[] {
  const count = mesh.triangles.length / 3;
  let total = 0;
  const areas = new Float64Array(count);
  for (let t = 0; t < count; t += 1) {
    areas[t] = Math.hypot(...facetNormal(mesh, t)) / 2;
    total += areas[t]!;
  }
  const cell = Math.max(spacing * spacing, total / mostPoints);
  const points: SurfacePoint[] = [];
  // Facets smaller than a cell share points: the running remainder decides which of them gets one.
  let owed = 0.5;
  for (let t = 0; t < count; t += 1) {
    const area = areas[t]!;
    if (area < 1e-9) continue;
    owed += area / cell;
    const here = Math.floor(owed);
    owed -= here;
    if (here === 0) continue;
    const cross = facetNormal(mesh, t);
    const size = 2 * area;
    const normal: Vec3 = [cross[0] / size, cross[1] / size, cross[2] / size];
    for (let i = 0; i < here; i += 1) points.push({ at: spread(mesh, t, i, here), normal, triangle: t, area: area / here });
  }
  return points;
}

/** The i-th of n points spread over a facet: the R2 low-discrepancy sequence folded into the triangle (M. Roberts, 2018). */
function spread(mesh: WeldedMesh, t: number, i: number, n: number): Vec3 {
  const { positions: p, triangles } = mesh;
  let u = n === 1 ? 1 / 3 : (0.5 + 0.7548776662466927 * (i + 1)) % 1;
  let v = n === 1 ? 1 / 3 : (0.5 + 0.5698402909980532 * (i + 1)) % 1;
  if (u + v > 1) [u, v] = [1 - u, 1 - v];
  const [a, b, c] = [3 * triangles[3 * t]!, 3 * triangles[3 * t + 1]!, 3 * triangles[3 * t + 2]!];
  const at = (k: number): number => p[a + k]! * (1 - u - v) + p[b + k]! * u + p[c + k]! * v;
  return [at(0), at(1), at(2)];
}
