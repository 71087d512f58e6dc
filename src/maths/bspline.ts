/**
 * Clamped, non-rational B-spline curves in the plane: the one curve type of the project. What a FairedContour holds is
 * handed to the kernel pole for pole and knot for knot. Lengths in mm; the parameter is whatever its maker says.
 * Method: de Boor's algorithm and the knot insertion of Boehm (C. de Boor, A Practical Guide to Splines, 1978, ch. X;
 * W. Boehm, Computer-Aided Design 12 (1980) 199). Basis derivatives after Piegl and Tiller, The NURBS Book, A2.3.
 * Stops being true: parameters outside the knots are moved to the nearer end, never extrapolated.
 */
import { tolerance } from './tolerance.ts';
import type { Vec2 } from './vec.ts';

export interface BSplineCurve {
  readonly degree: number;
  /** Full knot vector, non-decreasing, first and last repeated degree + 1 times; length = poles + degree + 1. */
  readonly knots: readonly number[];
  readonly poles: readonly Vec2[];
}

/** First and last parameter of a curve. */
export const domainOf = (curve: BSplineCurve): readonly [number, number] => [
  curve.knots[curve.degree]!,
  curve.knots[curve.poles.length]!,
];

/** Index k with knots[k] <= u < knots[k + 1], the last non-empty interval at the end of the curve. */
export function knotInterval(knots: ArrayLike<number>, degree: number, u: number): number {
  let low = degree;
  let high = knots.length - degree - 1;
  if (u >= knots[high]!) {
    high--;
    while (high > low && knots[high] === knots[high + 1]) high--;
    return high;
  }
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (knots[middle]! <= u) low = middle;
    else high = middle;
  }
  return low;
}

/**
 * Derivatives 0..order of the degree + 1 basis functions that live on `interval`, at `u`: row k holds the k-th
 * derivatives, the first entry belonging to pole `interval - degree`.
 */
export function basisDerivatives(knots: ArrayLike<number>, degree: number, interval: number, u: number, order: number): number[][] {
  const size = degree + 1;
  const ndu: number[][] = Array.from({ length: size }, () => new Array<number>(size).fill(0));
  const left = new Array<number>(size).fill(0);
  const right = new Array<number>(size).fill(0);
  ndu[0]![0] = 1;
  for (let j = 1; j <= degree; j++) {
    left[j] = u - knots[interval + 1 - j]!;
    right[j] = knots[interval + j]! - u;
    let saved = 0;
    for (let r = 0; r < j; r++) {
      ndu[j]![r] = right[r + 1]! + left[j - r]!;
      const share = ndu[r]![j - 1]! / ndu[j]![r]!;
      ndu[r]![j] = saved + right[r + 1]! * share;
      saved = left[j - r]! * share;
    }
    ndu[j]![j] = saved;
  }
  const out: number[][] = Array.from({ length: order + 1 }, () => new Array<number>(size).fill(0));
  for (let j = 0; j <= degree; j++) out[0]![j] = ndu[j]![degree]!;
  for (let r = 0; r <= degree; r++) {
    let now = new Array<number>(size).fill(0);
    let next = new Array<number>(size).fill(0);
    now[0] = 1;
    for (let k = 1; k <= Math.min(order, degree); k++) {
      let sum = 0;
      const rk = r - k;
      const pk = degree - k;
      if (r >= k) {
        next[0] = now[0]! / ndu[pk + 1]![rk]!;
        sum = next[0]! * ndu[rk]![pk]!;
      }
      const first = rk >= -1 ? 1 : -rk;
      const last = r - 1 <= pk ? k - 1 : degree - r;
      for (let j = first; j <= last; j++) {
        next[j] = (now[j]! - now[j - 1]!) / ndu[pk + 1]![rk + j]!;
        sum += next[j]! * ndu[rk + j]![pk]!;
      }
      if (r <= pk) {
        next[k] = -now[k - 1]! / ndu[pk + 1]![r]!;
        sum += next[k]! * ndu[r]![pk]!;
      }
      out[k]![r] = sum;
      [now, next] = [next, now];
    }
  }
  let factor = degree;
  for (let k = 1; k <= Math.min(order, degree); k++) {
    for (let j = 0; j <= degree; j++) out[k]![j] = out[k]![j]! * factor;
    factor *= degree - k;
  }
  return out;
}

/** Point and derivatives with respect to the parameter, 0..order. */
export function derivativesAt(curve: BSplineCurve, u: number, order: number): Vec2[] {
  const [from, to] = domainOf(curve);
  const at = Math.min(to, Math.max(from, u));
  const interval = knotInterval(curve.knots, curve.degree, at);
  return basisDerivatives(curve.knots, curve.degree, interval, at, order).map((row) => {
    let x = 0;
    let z = 0;
    for (let j = 0; j <= curve.degree; j++) {
      const pole = curve.poles[interval - curve.degree + j]!;
      x += row[j]! * pole[0];
      z += row[j]! * pole[1];
    }
    return [x, z] as const;
  });
}

export const pointAt = (curve: BSplineCurve, u: number): Vec2 => derivativesAt(curve, u, 0)[0]!;

/** Unit tangent in the direction of travel. Throws where the curve stands still, which no curve of ours does. */
export function tangentAt(curve: BSplineCurve, u: number): Vec2 {
  const [dx, dz] = derivativesAt(curve, u, 1)[1]!;
  const speed = Math.hypot(dx, dz);
  if (speed === 0) throw new Error('tangentAt: the curve stands still');
  return [dx / speed, dz / speed];
}

/** Signed curvature, 1/mm: positive where the curve turns left (a dip when travelling with x), negative on a crown. */
export function curvatureAt(curve: BSplineCurve, u: number): number {
  const [, d1, d2] = derivativesAt(curve, u, 2);
  const speed = Math.hypot(d1![0], d1![1]);
  return (d1![0] * d2![1] - d1![1] * d2![0]) / (speed * speed * speed);
}

/** The same curve with `u` added to the knots `times` more times. */
export function insertKnot(curve: BSplineCurve, u: number, times = 1): BSplineCurve {
  const { degree } = curve;
  let knots = [...curve.knots];
  let poles = [...curve.poles];
  for (let n = 0; n < times; n++) {
    const k = knotInterval(knots, degree, u);
    const next: Vec2[] = poles.slice(0, k - degree + 1);
    for (let i = k - degree + 1; i <= k; i++) {
      const wide = knots[i + degree]! - knots[i]!;
      const share = wide > 0 ? (u - knots[i]!) / wide : 1;
      const a = poles[i - 1]!;
      const b = poles[i] ?? a;
      next.push([(1 - share) * a[0] + share * b[0], (1 - share) * a[1] + share * b[1]]);
    }
    next.push(...poles.slice(k));
    poles = next;
    knots = [...knots.slice(0, k + 1), u, ...knots.slice(k + 1)];
  }
  return { degree, knots, poles };
}

/**
 * The two parts of a curve on either side of `u`, which must lie inside its domain; together they are the same curve,
 * parameter and all, and share the pole at the cut.
 */
export function splitAt(curve: BSplineCurve, u: number): readonly [BSplineCurve, BSplineCurve] {
  const { degree } = curve;
  const [from, to] = domainOf(curve);
  if (!(u > from && u < to)) throw new Error(`splitAt: ${u} is not inside ${from} to ${to}`);
  const already = curve.knots.filter((knot) => knot === u).length;
  const full = insertKnot(curve, u, Math.max(0, degree - already));
  const first = full.knots.indexOf(u);
  const repeats = full.knots.filter((knot) => knot === u).length;
  const cut = first - 1 + (repeats - degree);
  return [
    { degree, knots: [...full.knots.slice(0, first), ...new Array<number>(degree + 1).fill(u)], poles: full.poles.slice(0, first) },
    { degree, knots: [...new Array<number>(degree + 1).fill(u), ...full.knots.slice(first + repeats)], poles: full.poles.slice(cut) },
  ];
}

/** The parameter itself, or the knot it stands so close to that a cut between them would leave a sliver. */
export function snappedToKnot(knots: ArrayLike<number>, u: number): number {
  for (let i = 0; i < knots.length; i++) if (Math.abs(knots[i]! - u) <= tolerance.kernel) return knots[i]!;
  return u;
}

/** The same points travelled the other way; the parameter runs over the same domain. */
export function reversed(curve: BSplineCurve): BSplineCurve {
  const [from, to] = domainOf(curve);
  return { degree: curve.degree, knots: curve.knots.map((knot) => from + to - knot).reverse(), poles: [...curve.poles].reverse() };
}

/** Each pole moved by `move`; exact for every affine motion. */
export const mapPoles = (curve: BSplineCurve, move: (pole: Vec2) => Vec2): BSplineCurve => ({ ...curve, poles: curve.poles.map(move) });

/** One polynomial piece in Bezier form, with the stretch of parameter it covers. */
export interface BezierPiece {
  readonly from: number;
  readonly to: number;
  readonly poles: readonly Vec2[];
}

/** Value of the blossom (polar form) of one polynomial piece: de Boor's recurrence with a different argument per level. */
function blossom(curve: BSplineCurve, interval: number, at: readonly number[]): Vec2 {
  const { degree, knots } = curve;
  const xs: number[] = [];
  const zs: number[] = [];
  for (let j = 0; j <= degree; j++) {
    const pole = curve.poles[interval - degree + j]!;
    xs.push(pole[0]);
    zs.push(pole[1]);
  }
  for (let level = 1; level <= degree; level++) {
    for (let j = degree; j >= level; j--) {
      const low = knots[interval - degree + j]!;
      const share = (at[level - 1]! - low) / (knots[interval + j + 1 - level]! - low);
      xs[j] = (1 - share) * xs[j - 1]! + share * xs[j]!;
      zs[j] = (1 - share) * zs[j - 1]! + share * zs[j]!;
    }
  }
  return [xs[degree]!, zs[degree]!];
}

/** The curve as its exact polynomial pieces, one per non-empty knot interval. Linear time. Neighbours share their end pole bit for bit. */
export function toBeziers(curve: BSplineCurve): BezierPiece[] {
  const { degree, knots } = curve;
  const pieces: { from: number; to: number; poles: Vec2[] }[] = [];
  for (let k = degree; k < curve.poles.length; k++) {
    const from = knots[k]!;
    const to = knots[k + 1]!;
    if (!(to > from)) continue;
    const poles: Vec2[] = [];
    for (let j = 0; j <= degree; j++) {
      poles.push(blossom(curve, k, Array.from({ length: degree }, (_, i) => (i < degree - j ? from : to))));
    }
    const last = pieces.at(-1);
    if (last) poles[0] = last.poles[degree]!;
    else poles[0] = curve.poles[0]!;
    pieces.push({ from, to, poles });
  }
  pieces.at(-1)!.poles[degree] = curve.poles.at(-1)!;
  return pieces;
}

/**
 * Points along the curve, ends included, such that the straight joins leave it by at most `chord` mm.
 * Each piece is cut evenly by the bound h^2 |c''| / 8; for a cubic |c''| is greatest at an end of the piece.
 */
export function sampleCurve(curve: BSplineCurve, chord: number): Vec2[] {
  const out: Vec2[] = [curve.poles[0]!];
  for (const { poles } of toBeziers(curve)) {
    const n = curve.degree;
    let bend = 0;
    for (let j = 0; j + 2 <= n; j++) {
      const [a, b, c] = [poles[j]!, poles[j + 1]!, poles[j + 2]!];
      bend = Math.max(bend, n * (n - 1) * Math.hypot(a[0] - 2 * b[0] + c[0], a[1] - 2 * b[1] + c[1]));
    }
    const steps = Math.max(1, Math.ceil(Math.sqrt(bend / (8 * chord))));
    for (let i = 1; i < steps; i++) out.push(bezierPoint(poles, i / steps));
    out.push(poles[n]!);
  }
  return out;
}

/** Point of a Bezier piece at share 0..1 (de Casteljau). */
export function bezierPoint(poles: readonly Vec2[], share: number): Vec2 {
  let row = poles;
  while (row.length > 1) {
    const now = row;
    row = now.slice(1).map((b, i) => [now[i]![0] + share * (b[0] - now[i]![0]), now[i]![1] + share * (b[1] - now[i]![1])] as const);
  }
  return row[0]!;
}
