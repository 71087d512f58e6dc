/**
 * Cubic curves as plain polynomial pieces in flat arrays: the form for work on many points at once (residuals, feet,
 * curvature, length). Made from the B-spline once, then no allocation per evaluation. Lengths in mm.
 * Method: power form about the left end of each knot interval; feet by Newton's method on (c - p) . c' = 0.
 * Stops being true: a foot is the NEAREST one only when the starting parameter is near it; `nearestOn` looks everywhere first.
 */
import type { BSplineCurve } from './bspline.ts';
import { tolerance } from './tolerance.ts';
import type { Vec2 } from './vec.ts';

export interface Piecewise {
  /** m + 1 increasing parameters. */
  readonly breaks: Float64Array;
  /** Four coefficients per piece, constant first, in s = u - breaks[i]. */
  readonly x: Float64Array;
  readonly z: Float64Array;
}

/**
 * Power coefficients, in s = u - knots[interval], of the four cubic basis functions on one knot interval: 4 x 4 by rows, one
 * row per basis function, from out[at]. The recurrence of Cox and de Boor carried out on polynomials.
 */
export function basisPolynomials(knots: ArrayLike<number>, interval: number, out: Float64Array, at: number): void {
  const u = knots[interval]!;
  out.fill(0, at, at + 16);
  out[at] = 1;
  for (let d = 1; d <= 3; d++) {
    let [s0, s1, s2, s3] = [0, 0, 0, 0];
    for (let r = 0; r < d; r++) {
      const high = knots[interval + r + 1]!;
      const low = knots[interval + 1 - d + r]!;
      const k = at + 4 * r;
      const t0 = out[k]! / (high - low);
      const t1 = out[k + 1]! / (high - low);
      const t2 = out[k + 2]! / (high - low);
      const right = high - u;
      const left = u - low;
      out[k] = s0 + right * t0;
      out[k + 1] = s1 + right * t1 - t0;
      out[k + 2] = s2 + right * t2 - t1;
      out[k + 3] = s3 - t2;
      s0 = left * t0;
      s1 = left * t1 + t0;
      s2 = left * t2 + t1;
      s3 = t2;
    }
    const k = at + 4 * d;
    out[k] = s0;
    out[k + 1] = s1;
    out[k + 2] = s2;
    out[k + 3] = s3;
  }
}

/** The pieces of a cubic curve. Throws on another degree. */
export function piecewiseOf(curve: BSplineCurve): Piecewise {
  if (curve.degree !== 3) throw new Error(`piecewiseOf: degree ${curve.degree}, expected 3`);
  const intervals: number[] = [];
  for (let k = 3; k < curve.poles.length; k++) if (curve.knots[k + 1]! > curve.knots[k]!) intervals.push(k);
  const m = intervals.length;
  const breaks = new Float64Array(m + 1);
  const x = new Float64Array(4 * m);
  const z = new Float64Array(4 * m);
  const basis = new Float64Array(16);
  intervals.forEach((k, i) => {
    breaks[i] = curve.knots[k]!;
    basisPolynomials(curve.knots, k, basis, 0);
    for (let j = 0; j < 4; j++) {
      const pole = curve.poles[k - 3 + j]!;
      for (let c = 0; c < 4; c++) {
        x[4 * i + c]! += basis[4 * j + c]! * pole[0];
        z[4 * i + c]! += basis[4 * j + c]! * pole[1];
      }
    }
  });
  breaks[m] = curve.knots[curve.poles.length]!;
  return { breaks, x, z };
}

/** Piece that holds `u`, looked for from `near`; the end pieces for parameters beyond the ends. */
export function pieceAt(breaks: Float64Array, u: number, near = -1): number {
  const last = breaks.length - 2;
  if (near >= 0) {
    let i = Math.min(last, near);
    for (let tries = 0; tries < 4; tries++) {
      if (u < breaks[i]!) {
        if (i === 0) return 0;
        i--;
      } else if (u >= breaks[i + 1]!) {
        if (i === last) return last;
        i++;
      } else return i;
    }
  }
  let low = 0;
  let high = last + 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (breaks[middle]! <= u) low = middle;
    else high = middle;
  }
  return low;
}

/** x, z, x', z', x'', z'' at `u` into `out`; returns the piece used. */
export function evaluate(p: Piecewise, u: number, out: Float64Array, near = -1): number {
  const i = pieceAt(p.breaks, u, near);
  const s = u - p.breaks[i]!;
  const k = 4 * i;
  const x2 = p.x[k + 2]!;
  const x3 = p.x[k + 3]!;
  const z2 = p.z[k + 2]!;
  const z3 = p.z[k + 3]!;
  out[0] = p.x[k]! + s * (p.x[k + 1]! + s * (x2 + s * x3));
  out[1] = p.z[k]! + s * (p.z[k + 1]! + s * (z2 + s * z3));
  out[2] = p.x[k + 1]! + s * (2 * x2 + 3 * s * x3);
  out[3] = p.z[k + 1]! + s * (2 * z2 + 3 * s * z3);
  out[4] = 2 * x2 + 6 * s * x3;
  out[5] = 2 * z2 + 6 * s * z3;
  return i;
}

/** Parameter of the foot of (x, z) on the curve, by Newton's method from `start`, kept inside [from, to]. */
export function footFrom(p: Piecewise, x: number, z: number, start: number, from: number, to: number, work: Float64Array): number {
  let u = Math.min(to, Math.max(from, start));
  let near = -1;
  const still = tolerance.root * Math.max(1, Math.abs(to), Math.abs(from));
  for (let n = 0; n < 30; n++) {
    near = evaluate(p, u, work, near);
    const dx = work[0]! - x;
    const dz = work[1]! - z;
    const speed2 = work[2]! * work[2]! + work[3]! * work[3]!;
    const slope = dx * work[2]! + dz * work[3]!;
    const full = speed2 + dx * work[4]! + dz * work[5]!;
    const step = slope / (full > 0.2 * speed2 ? full : speed2);
    const next = Math.min(to, Math.max(from, u - step));
    const moved = Math.abs(next - u);
    u = next;
    if (moved <= still) break;
  }
  evaluate(p, u, work, near);
  return u;
}

export interface Foot {
  readonly u: number;
  readonly point: Vec2;
  readonly distance: number;
}

/** The nearest point of the whole curve: best of a sampling of every piece, made exact by Newton's method. */
export function nearestOn(p: Piecewise, at: Vec2): Foot {
  const work = new Float64Array(6);
  const m = p.breaks.length - 1;
  const from = p.breaks[0]!;
  const to = p.breaks[m]!;
  const per = Math.max(2, Math.ceil(32 / m));
  let best = Infinity;
  let start = from;
  const look = (u: number, i: number): void => {
    evaluate(p, u, work, i);
    const d = (work[0]! - at[0]) ** 2 + (work[1]! - at[1]) ** 2;
    if (d < best) {
      best = d;
      start = u;
    }
  };
  for (let i = 0; i < m; i++) {
    const h = p.breaks[i + 1]! - p.breaks[i]!;
    for (let j = 0; j < per; j++) look(p.breaks[i]! + (h * j) / per, i);
  }
  look(to, m - 1);
  const u = footFrom(p, at[0], at[1], start, from, to, work);
  const found = Math.hypot(work[0]! - at[0], work[1]! - at[1]);
  if (found * found <= best) return { u, point: [work[0]!, work[1]!], distance: found };
  evaluate(p, start, work);
  return { u: start, point: [work[0]!, work[1]!], distance: Math.sqrt(best) };
}

/** Abscissae and weights of five-point Gauss-Legendre quadrature on -1..1 (Abramowitz and Stegun 25.4.30). */
const gauss = [
  [0, 0.5688888888888889],
  [-0.5384693101056831, 0.47862867049936647],
  [0.5384693101056831, 0.47862867049936647],
  [-0.906179845938664, 0.23692688505618908],
  [0.906179845938664, 0.23692688505618908],
] as const;

const manyPieces = 5000;

/** Length along the curve between two parameters, mm. Each piece by five-point quadrature in two halves. */
export function arcLength(p: Piecewise, from = p.breaks[0]!, to = p.breaks.at(-1)!): number {
  const work = new Float64Array(6);
  let total = 0;
  for (let i = pieceAt(p.breaks, from); i < p.breaks.length - 1 && p.breaks[i]! < to; i++) {
    const a = Math.max(from, p.breaks[i]!);
    const b = Math.min(to, p.breaks[i + 1]!);
    // A piece among thousands is all but straight: one panel will do.
    const panels = p.breaks.length > manyPieces ? 1 : 2;
    const half = (b - a) / (2 * panels);
    for (let side = 0; side < panels; side++) {
      const middle = a + half * (1 + 2 * side);
      for (const [node, weight] of gauss) {
        evaluate(p, middle + half * node, work, i);
        total += half * weight * Math.sqrt(work[2]! * work[2]! + work[3]! * work[3]!);
      }
    }
  }
  return total;
}
