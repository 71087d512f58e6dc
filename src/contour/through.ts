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
import type { Vec2 } from '../maths/vec.ts';

export interface Through {
  readonly curve: Piecewise;
  /** Parameter of each reading. */
  readonly t: Float64Array;
  /** Parameters of the corners. */
  readonly corners: readonly number[];
  /** Makes the B-splines, one per stretch between corners. */
  readonly spans: () => BSplineCurve[];
}

export function throughPoints(points: readonly Vec2[], corners: readonly number[], startAngle: number | undefined, endAngle: number | undefined): Through {
  const t = new Float64Array(points.length);
  const sites: number[] = [0];
  for (let i = 1; i < points.length; i++) {
    const last = sites.at(-1)!;
    const step = Math.sqrt((points[i]![0] - points[last]![0]) ** 2 + (points[i]![1] - points[last]![1]) ** 2);
    t[i] = t[last]! + (step > tolerance.point ? step : 0);
    if (step > tolerance.point) sites.push(i);
  }
  const marks = [0, ...sites.flatMap((i, k) => (corners.some((c) => t[c] === t[i]) && k > 0 && k < sites.length - 1 ? [k] : [])), sites.length - 1];
  const stretches = marks.slice(1).map((to, m) => {
    const own = sites.slice(marks[m]!, to + 1);
    const ends: InterpolationEnds = {
      start: m === 0 && startAngle !== undefined ? [Math.cos(startAngle), Math.sin(startAngle)] : undefined,
      end: m === marks.length - 2 && endAngle !== undefined ? [Math.cos(endAngle), Math.sin(endAngle)] : undefined,
    };
    return { own, ends };
  });
  const parts = stretches.map(({ own, ends }) =>
    interpolatingPieces(
      Float64Array.from(own, (i) => t[i]!),
      Float64Array.from(own, (i) => points[i]![0]),
      Float64Array.from(own, (i) => points[i]![1]),
      ends,
    ),
  );
  return {
    curve: joined(parts),
    t,
    corners: marks.slice(1, -1).map((k) => t[sites[k]!]!),
    spans: () => stretches.map(({ own, ends }) => interpolateCubic(own.map((i) => points[i]!), ends, own.map((i) => t[i]!))),
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
