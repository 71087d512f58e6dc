/**
 * The curve that passes through every reading: natural cubic spline over chord length, sharp at marked corners. It is the
 * answer to "through the points" and the comparison every other answer is shown beside. Plane of the section, mm.
 * Stops being true: two readings in one place count as one; readings nearer together than they are true make it wild,
 * which is what it is shown for.
 */
import { interpolateCubic, interpolatingPieces, type InterpolationEnds } from '../maths/interpolate.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { BSplineCurve } from '../maths/bspline.ts';
import type { Piecewise } from '../maths/piecewise.ts';
import type { Course } from './smooth.ts';

export interface Through {
  readonly curve: Piecewise;
  /** Parameter of each reading. */
  readonly t: Float64Array;
  /** Parameters of the corners. */
  readonly corners: readonly number[];
  /** Makes the B-splines, one per stretch between corners. */
  readonly spans: () => BSplineCurve[];
}

export function throughPoints(course: Pick<Course, 'points' | 'columns' | 'corners' | 'startAngle' | 'endAngle'>): Through {
  const { points, corners, startAngle, endAngle } = course;
  const [x, z] = course.columns;
  const n = points.length;
  const t = new Float64Array(n);
  const sites = new Int32Array(n);
  let count = 1;
  for (let i = 1; i < n; i++) {
    const last = sites[count - 1]!;
    const step = Math.sqrt((x[i]! - x[last]!) ** 2 + (z[i]! - z[last]!) ** 2);
    t[i] = t[last]! + (step > tolerance.point ? step : 0);
    if (step > tolerance.point) sites[count++] = i;
  }
  const own = sites.subarray(0, count);
  const marks = [0, ...corners.map((c) => own.findIndex((i) => t[i] === t[c])).filter((k) => k > 0 && k < count - 1), count - 1];
  const stretches = marks.slice(1).map((to, m) => {
    const ends: InterpolationEnds = {
      start: m === 0 && startAngle !== undefined ? [Math.cos(startAngle), Math.sin(startAngle)] : undefined,
      end: m === marks.length - 2 && endAngle !== undefined ? [Math.cos(endAngle), Math.sin(endAngle)] : undefined,
    };
    return { own: own.subarray(marks[m]!, to + 1), ends };
  });
  const picked = (values: Float64Array, at: Int32Array): Float64Array => {
    const out = new Float64Array(at.length);
    for (let k = 0; k < at.length; k++) out[k] = values[at[k]!]!;
    return out;
  };
  return {
    curve: joined(stretches.map((s) => interpolatingPieces(picked(t, s.own), picked(x, s.own), picked(z, s.own), s.ends))),
    t,
    corners: marks.slice(1, -1).map((k) => t[own[k]!]!),
    spans: () => stretches.map((s) => interpolateCubic(Array.from(s.own, (i) => points[i]!), s.ends, Array.from(s.own, (i) => t[i]!))),
  };
}

/** Stretches that follow each other as one. */
function joined(parts: readonly Piecewise[]): Piecewise {
  if (parts.length === 1) return parts[0]!;
  const together = (of: (p: Piecewise) => Float64Array): Float64Array => {
    const out = new Float64Array(parts.reduce((n, p) => n + of(p).length, 0));
    let at = 0;
    for (const p of parts) {
      out.set(of(p), at);
      at += of(p).length;
    }
    return out;
  };
  return { breaks: Float64Array.from([0, ...parts.flatMap((p) => [...p.breaks.subarray(1)])]), x: together((p) => p.x), z: together((p) => p.z) };
}
