/**
 * Very many readings as a few thousand weighted means, for choosing the stiffness: the finished curve is fitted to the
 * readings themselves. Plane of the section, mm.
 * Method: runs of equal count along the travel, never across a corner. A run is so short against the knots that the
 * curve is straight over it; then its squared misses are those of its mean plus a scatter that no stiffness changes.
 * Stops being true: runs must be much shorter than the knot spacing; with 4000 runs and knots that grow to 1600 they are
 * where it matters (1600 knots are only used by fits that spend a third of them).
 */
import type { Course } from './smooth.ts';

export interface Thinned {
  readonly t: Float64Array;
  readonly columns: readonly [Float64Array, Float64Array];
  readonly weight: Float64Array;
  /** Weighted squared scatter of the readings about their means, square to the travel. */
  readonly scatter: number;
}

/** Runs made; a table no longer than twice this is not thinned. */
const runs = 4000;

/** Runs on either side from which the direction of travel is taken: far enough that noise does not tilt it. */
const reach = 16;

export const needsThinning = (course: Course): boolean => course.t.length > 2 * runs;

export function thinned(course: Course): Thinned {
  const { t, weight, corners, columns } = course;
  const [x, z] = columns;
  const size = Math.ceil(t.length / runs);
  const ends: number[] = [];
  for (const [k, stop] of [...corners, t.length].entries()) {
    const from = k === 0 ? 0 : corners[k - 1]!;
    for (let at = from; at < stop; at += size) ends.push(Math.min(stop, at + size));
  }
  const n = ends.length;
  const out = { t: new Float64Array(n), x: new Float64Array(n), z: new Float64Array(n), weight: new Float64Array(n) };
  ends.forEach((end, k) => {
    let [w, st, sx, sz] = [0, 0, 0, 0];
    const from = k === 0 ? 0 : ends[k - 1]!;
    for (let i = from; i < end; i++) {
      w += weight[i]!;
      st += weight[i]! * t[i]!;
      sx += weight[i]! * x[i]!;
      sz += weight[i]! * z[i]!;
    }
    out.weight[k] = w;
    out.t[k] = w > 0 ? st / w : t[from]!;
    out.x[k] = w > 0 ? sx / w : x[from]!;
    out.z[k] = w > 0 ? sz / w : z[from]!;
  });
  let scatter = 0;
  for (let k = 0; k < n; k++) {
    const a = Math.max(0, k - reach);
    const b = Math.min(n - 1, k + reach);
    const dx = out.x[b]! - out.x[a]!;
    const dz = out.z[b]! - out.z[a]!;
    const length = Math.sqrt(dx * dx + dz * dz) || 1;
    for (let i = k === 0 ? 0 : ends[k - 1]!; i < ends[k]!; i++) {
      const across = (dx * (z[i]! - out.z[k]!) - dz * (x[i]! - out.x[k]!)) / length;
      scatter += weight[i]! * across * across;
    }
  }
  return { t: out.t, columns: [out.x, out.z], weight: out.weight, scatter };
}
