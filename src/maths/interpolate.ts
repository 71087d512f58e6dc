/**
 * A twice continuously differentiable cubic B-spline through given points, with given or natural (unbent) ends.
 * Parameter: chord length unless given. Poles in mm. Linear time: one tridiagonal system for the tangents at the points
 * (C. de Boor, A Practical Guide to Splines, ch. IV), then each pole from the polar form of one piece.
 * Stops being true: parameters must strictly increase; throws otherwise.
 */
import type { BSplineCurve } from './bspline.ts';
import type { Piecewise } from './piecewise.ts';
import type { Vec2 } from './vec.ts';

export interface InterpolationEnds {
  /** Derivative with respect to the parameter at the first point; natural end when left out. */
  readonly start?: Vec2 | undefined;
  readonly end?: Vec2 | undefined;
}

/** Chord length from the first point to each. */
export function chordLengths(points: readonly Vec2[]): number[] {
  const out = [0];
  for (let i = 1; i < points.length; i++) {
    out.push(out[i - 1]! + Math.hypot(points[i]![0] - points[i - 1]![0], points[i]![1] - points[i - 1]![1]));
  }
  return out;
}

/** Derivatives at the sites of the C2 cubic through (t, y). A missing end derivative means second derivative zero there. */
export function splineSlopes(t: ArrayLike<number>, y: ArrayLike<number>, start?: number, end?: number): Float64Array {
  const n = t.length;
  const lower = new Float64Array(n);
  const diagonal = new Float64Array(n);
  const upper = new Float64Array(n);
  const m = new Float64Array(n);
  const h = (i: number): number => t[i + 1]! - t[i]!;
  const rise = (i: number): number => (y[i + 1]! - y[i]!) / h(i);
  for (let i = 1; i < n - 1; i++) {
    lower[i] = 1 / h(i - 1);
    upper[i] = 1 / h(i);
    diagonal[i] = 2 * (lower[i]! + upper[i]!);
    m[i] = 3 * (rise(i - 1) * lower[i]! + rise(i) * upper[i]!);
  }
  diagonal[0] = start === undefined ? 2 : 1;
  upper[0] = start === undefined ? 1 : 0;
  m[0] = start === undefined ? 3 * rise(0) : start;
  diagonal[n - 1] = end === undefined ? 2 : 1;
  lower[n - 1] = end === undefined ? 1 : 0;
  m[n - 1] = end === undefined ? 3 * rise(n - 2) : end;
  for (let i = 1; i < n; i++) {
    const share = lower[i]! / diagonal[i - 1]!;
    diagonal[i] = diagonal[i]! - share * upper[i - 1]!;
    m[i] = m[i]! - share * m[i - 1]!;
  }
  m[n - 1] = m[n - 1]! / diagonal[n - 1]!;
  for (let i = n - 2; i >= 0; i--) m[i] = (m[i]! - upper[i]! * m[i + 1]!) / diagonal[i]!;
  return m;
}

/** B-spline coefficients of the C2 cubic with the given sites, values and slopes; n + 2 of them. */
export function splineCoefficients(t: ArrayLike<number>, y: ArrayLike<number>, slopes: ArrayLike<number>): Float64Array {
  const n = t.length;
  const out = new Float64Array(n + 2);
  const site = (i: number): number => t[Math.min(n - 1, Math.max(0, i))]!;
  for (let j = 0; j < n + 2; j++) {
    const piece = Math.min(n - 2, Math.max(0, j - 1));
    const from = t[piece]!;
    const h = t[piece + 1]! - from;
    const rise = (y[piece + 1]! - y[piece]!) / h;
    const c2 = (3 * rise - 2 * slopes[piece]! - slopes[piece + 1]!) / h;
    const c3 = (slopes[piece]! + slopes[piece + 1]! - 2 * rise) / (h * h);
    const a = site(j - 2) - from;
    const b = site(j - 1) - from;
    const c = site(j) - from;
    out[j] = y[piece]! + (slopes[piece]! * (a + b + c)) / 3 + (c2 * (a * b + a * c + b * c)) / 3 + c3 * a * b * c;
  }
  out[0] = y[0]!;
  out[n + 1] = y[n - 1]!;
  return out;
}

/** The C2 cubic through `points` at the parameters `t` (chord length when left out). At least two points. */
export function interpolateCubic(points: readonly Vec2[], ends: InterpolationEnds = {}, t: readonly number[] = chordLengths(points)): BSplineCurve {
  const n = points.length;
  if (n < 2) throw new Error('interpolateCubic: at least two points');
  for (let i = 1; i < n; i++) if (!(t[i]! > t[i - 1]!)) throw new Error(`interpolateCubic: parameters do not rise at ${i}`);
  const x = Float64Array.from(points, (p) => p[0]);
  const z = Float64Array.from(points, (p) => p[1]);
  const cx = splineCoefficients(t, x, splineSlopes(t, x, ends.start?.[0], ends.end?.[0]));
  const cz = splineCoefficients(t, z, splineSlopes(t, z, ends.start?.[1], ends.end?.[1]));
  const first = t[0]!;
  const last = t[n - 1]!;
  return {
    degree: 3,
    knots: [first, first, first, ...t, last, last, last],
    poles: Array.from(cx, (value, i) => [value, cz[i]!] as const),
  };
}

/** The C2 cubic through (x, z) at strictly rising t as polynomial pieces, without making the B-spline. For very many points. */
export function interpolatingPieces(t: Float64Array, x: Float64Array, z: Float64Array, ends: InterpolationEnds = {}): Piecewise {
  const n = t.length;
  const pieces = (y: Float64Array, slopes: Float64Array): Float64Array => {
    const out = new Float64Array(4 * (n - 1));
    for (let i = 0; i < n - 1; i++) {
      const h = t[i + 1]! - t[i]!;
      const rise = (y[i + 1]! - y[i]!) / h;
      out[4 * i] = y[i]!;
      out[4 * i + 1] = slopes[i]!;
      out[4 * i + 2] = (3 * rise - 2 * slopes[i]! - slopes[i + 1]!) / h;
      out[4 * i + 3] = (slopes[i]! + slopes[i + 1]! - 2 * rise) / (h * h);
    }
    return out;
  };
  return {
    breaks: t,
    x: pieces(x, splineSlopes(t, x, ends.start?.[0], ends.end?.[0])),
    z: pieces(z, splineSlopes(t, z, ends.start?.[1], ends.end?.[1])),
  };
}
