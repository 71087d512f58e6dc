/**
 * The fit behind the contour: cubic B-splines g with least  sum w (y - g(t))^2 + stiffness * integral g''^2,
 * one or several columns y over the same parameter t. Linear time and memory in the number of readings.
 * Units: t and y in mm, w without unit, so stiffness in mm^3. Across a break of multiplicity 3 the curve may turn
 * sharply and the integral is taken on either side of it. A plan of order 3 has g'''^2 in place of g''^2 (mm^5): it leaves
 * parabolas alone, and with them the ends of a crown; the search for slips uses it.
 * With a knot at every distinct t the answer IS the natural cubic smoothing spline (P. J. Green and B. W. Silverman,
 * Nonparametric Regression and Generalized Linear Models, 1994, ch. 2): that is what the knots are for; the penalty decides.
 * Method: the rows sqrt(w) B and sqrt(stiffness) B'' (two-point Gauss quadrature, exact for a square of straight lines)
 * are brought to a banded triangle by Givens rotations. The normal equations would lose twice the digits: with hundreds
 * of knots and a stiff fit they lose all of them.
 * Stops being true: at least as many distinct t with weight as the order, stiffness > 0.
 */
import { absorbRow, bandedOf, inverseBand, solveLower, solveUpper, type Banded } from '../maths/banded.ts';
import { basisPolynomials, pieceAt } from '../maths/piecewise.ts';
import type { BSplineCurve } from '../maths/bspline.ts';

const width = 4;

/** Where the curve may bend: the knot vector and the pieces it makes. */
export interface KnotPlan {
  readonly knots: Float64Array;
  readonly coefficients: number;
  /** Ends of the non-empty knot intervals. */
  readonly breaks: Float64Array;
  /** First coefficient that lives on each piece. */
  readonly first: Int32Array;
  /** Power coefficients of the four basis functions of each piece, 16 numbers per piece. */
  readonly basis: Float64Array;
  readonly order: Order;
  /** The triangle of the roughness integral. */
  readonly rough: Banded;
}

/** The derivative whose square is kept small. */
export type Order = 2 | 3;

/** Share of the second derivative, over the length, that goes with the third. */
const trace = 1e-4;

/** Plan for rising sites; `corners` are those sites at which the curve may turn sharply. */
export function knotPlan(sites: ArrayLike<number>, corners: ReadonlySet<number> = new Set(), order: Order = 2): KnotPlan {
  const n = sites.length;
  const list: number[] = [];
  for (let i = 0; i < n; i++) {
    const repeats = i === 0 || i === n - 1 ? 4 : corners.has(sites[i]!) ? 3 : 1;
    for (let k = 0; k < repeats; k++) list.push(sites[i]!);
  }
  const knots = Float64Array.from(list);
  const coefficients = knots.length - 4;
  const pieces = n - 1;
  const first = new Int32Array(pieces);
  const basis = new Float64Array(16 * pieces);
  const rough = bandedOf(coefficients, width);
  const none = new Float64Array(0);
  const row = new Float64Array(width);
  let piece = 0;
  for (let k = 3; k < coefficients; k++) {
    const h = knots[k + 1]! - knots[k]!;
    if (!(h > 0)) continue;
    first[piece] = k - 3;
    basisPolynomials(knots, k, basis, 16 * piece);
    const at = 16 * piece;
    if (order === 3) {
      for (let j = 0; j < 4; j++) row[j] = Math.sqrt(h) * 6 * basis[at + 4 * j + 3]!;
      absorbRow(rough, none, 0, k - 3, row, none);
    }
    // Two Gauss points are exact for the square of a straight line. Under order 3 a trace of it settles stretches too short
    // to say how they bend.
    const weight = Math.sqrt(h / 2) * (order === 2 ? 1 : trace / (sites[n - 1]! - sites[0]!));
    for (const share of [0.5 - Math.sqrt(1 / 12), 0.5 + Math.sqrt(1 / 12)]) {
      for (let j = 0; j < 4; j++) row[j] = weight * (2 * basis[at + 4 * j + 2]! + 6 * basis[at + 4 * j + 3]! * share * h);
      absorbRow(rough, none, 0, k - 3, row, none);
    }
    piece++;
  }
  return { knots, coefficients, breaks: Float64Array.from(sites), first, basis, rough, order };
}

/** Readings laid on a plan. */
export interface Rows {
  readonly plan: KnotPlan;
  readonly count: number;
  /** Parameter of each reading, and the piece it lies on. */
  readonly t: Float64Array;
  readonly piece: Int32Array;
  readonly columns: readonly Float64Array[];
  /** Relative weight of each reading; 0 takes it out. */
  readonly weight: Float64Array;
  /** Number of readings with weight. */
  readonly weighted: number;
  /** Readings sorted by piece. */
  readonly order: Int32Array;
  /** Triangle and right-hand sides of the readings alone, and their Gram matrix. */
  readonly triangle: Banded;
  readonly right: Float64Array;
  readonly gram: Banded;
}

/** Lays readings on a plan. Order of the readings does not matter. */
export function rowsOn(plan: KnotPlan, t: Float64Array, columns: readonly Float64Array[], weight: Float64Array): Rows {
  const count = t.length;
  const pieces = plan.first.length;
  const piece = new Int32Array(count);
  const tally = new Int32Array(pieces + 1);
  for (let i = 0, near = 0; i < count; i++) {
    near = pieceAt(plan.breaks, t[i]!, near);
    piece[i] = near;
    tally[near + 1]!++;
  }
  for (let k = 0; k < pieces; k++) tally[k + 1]! += tally[k]!;
  const order = new Int32Array(count);
  for (let i = 0; i < count; i++) order[tally[piece[i]!]!++] = i;
  return worked({ plan, count, t, piece, columns, order, weight });
}

/** Works the rows into their triangle. */
function worked(rows: Omit<Rows, 'weighted' | 'triangle' | 'right' | 'gram'>): Rows {
  const { plan, t, piece, columns, order, count, weight } = rows;
  const size = plan.coefficients;
  const triangle = bandedOf(size, width);
  const right = new Float64Array(columns.length * size);
  const gram = bandedOf(size, width);
  const row = new Float64Array(width);
  const values = new Float64Array(columns.length);
  const b = new Float64Array(width);
  let weighted = 0;
  for (let k = 0; k < count; k++) {
    const i = order[k]!;
    const w = weight[i]!;
    if (w === 0) continue;
    weighted++;
    basisAt(plan, piece[i]!, t[i]!, b);
    const at = plan.first[piece[i]!]!;
    const root = Math.sqrt(w);
    for (let j = 0; j < width; j++) {
      row[j] = root * b[j]!;
      for (let l = j; l < width; l++) gram.data[(at + j) * width + l - j]! += w * b[j]! * b[l]!;
    }
    for (let c = 0; c < columns.length; c++) values[c] = root * columns[c]![i]!;
    absorbRow(triangle, right, columns.length, at, row, values);
  }
  return { ...rows, weighted, triangle, right, gram };
}

/** Values of the four basis functions of a piece at t. */
export function basisAt(plan: KnotPlan, piece: number, t: number, out: Float64Array): void {
  const s = t - plan.breaks[piece]!;
  const { basis } = plan;
  for (let j = 0, k = 16 * piece; j < 4; j++, k += 4) out[j] = basis[k]! + s * (basis[k + 1]! + s * (basis[k + 2]! + s * basis[k + 3]!));
}

/** One equation the coefficients of a column must meet exactly: sum of entry * coefficient = value. */
export interface Tie {
  readonly entries: readonly (readonly [index: number, entry: number])[];
  readonly value: number;
}

/** A tie prepared for one factor: U = A^-1 E and the inverse of E'U. */
interface Tied {
  readonly ties: readonly Tie[];
  readonly spread: readonly Float64Array[];
  readonly inverse: readonly (readonly number[])[];
}

export interface Fit {
  readonly rows: Rows;
  readonly stiffness: number;
  readonly coefficients: readonly Float64Array[];
  readonly factor: Banded;
}

/** The fit at one stiffness. `ties[c]` are the equations column c must meet (the textbook's bordered system). */
export function fitAt(rows: Rows, stiffness: number, ties: readonly (readonly Tie[])[] = []): Fit {
  const { plan, triangle, right, columns } = rows;
  const size = plan.coefficients;
  const factor = bandedOf(size, width);
  const rhs = new Float64Array(columns.length * size);
  const row = new Float64Array(width);
  const values = new Float64Array(columns.length);
  const root = Math.sqrt(stiffness);
  for (let j = 0; j < size; j++) {
    for (let k = 0; k < width; k++) row[k] = triangle.data[j * width + k]!;
    for (let c = 0; c < columns.length; c++) values[c] = right[c * size + j]!;
    absorbRow(factor, rhs, columns.length, j, row, values);
    for (let k = 0; k < width; k++) row[k] = root * plan.rough.data[j * width + k]!;
    values.fill(0);
    absorbRow(factor, rhs, columns.length, j, row, values);
  }
  const coefficients = columns.map((_, c) => {
    const free = solveUpper(factor, rhs.subarray(c * size, (c + 1) * size));
    const wanted = ties[c] ?? [];
    return wanted.length === 0 ? free : meetTies(free, tied(factor, wanted));
  });
  return { rows, stiffness, coefficients, factor };
}

function tied(factor: Banded, ties: readonly Tie[]): Tied {
  const spread = ties.map((tie) => {
    const e = new Float64Array(factor.size);
    for (const [index, entry] of tie.entries) e[index] = entry;
    return solveUpper(factor, solveLower(factor, e));
  });
  const matrix = ties.map((tie) => spread.map((u) => dotTie(tie, u)));
  return { ties, spread, inverse: invertSmall(matrix) };
}

const dotTie = (tie: Tie, values: Float64Array): number => tie.entries.reduce((sum, [index, entry]) => sum + entry * values[index]!, 0);

function meetTies(free: Float64Array, { ties, spread, inverse }: Tied): Float64Array {
  const misses = ties.map((tie) => dotTie(tie, free) - tie.value);
  const out = Float64Array.from(free);
  spread.forEach((u, a) => {
    const share = inverse[a]!.reduce((sum, value, b) => sum + value * misses[b]!, 0);
    for (let j = 0; j < out.length; j++) out[j]! -= u[j]! * share;
  });
  return out;
}

/** Inverse of a symmetric positive definite matrix of a few rows (Gauss-Jordan). */
function invertSmall(matrix: readonly (readonly number[])[]): number[][] {
  const n = matrix.length;
  const work = matrix.map((row, i) => [...row, ...row.map((_, j) => (i === j ? 1 : 0))]);
  for (let i = 0; i < n; i++) {
    const pivot = work[i]![i]!;
    for (let j = 0; j < 2 * n; j++) work[i]![j]! /= pivot;
    for (let k = 0; k < n; k++) {
      if (k === i) continue;
      const share = work[k]![i]!;
      for (let j = 0; j < 2 * n; j++) work[k]![j]! -= share * work[i]![j]!;
    }
  }
  return work.map((row) => row.slice(n));
}

/** How sure the fit is: variances over the variance of a reading of weight one, and how many parameters it spends. */
export interface Certainty {
  /** Trace of the influence matrix of a column with these ties. */
  readonly freedom: number;
  /**
   * b' A^-1 b for a column with these ties, b the basis (or a derivative of it) of `piece` in `values`: the posterior
   * variance of that quantity (G. Wahba, J. R. Statist. Soc. B 45 (1983) 133).
   */
  readonly variance: (piece: number, values: Float64Array) => number;
}

export function certaintyOf(fit: Fit, ties: readonly Tie[] = []): Certainty {
  const { plan, gram } = fit.rows;
  const band = inverseBand(fit.factor);
  const more = ties.length > 0 ? tied(fit.factor, ties) : null;
  let freedom = 0;
  for (let j = 0; j < plan.coefficients; j++) {
    freedom += gram.data[j * width]! * band.data[j * width]!;
    for (let k = 1; k < width; k++) freedom += 2 * gram.data[j * width + k]! * band.data[j * width + k]!;
  }
  if (more) {
    const through = more.spread.map((u) => timesGram(gram, u));
    more.inverse.forEach((line, a) => line.forEach((value, b) => (freedom -= value * dot(more.spread[a]!, through[b]!))));
  }
  const variance = (piece: number, values: Float64Array): number => {
    const at = plan.first[piece]!;
    let sum = 0;
    for (let j = 0; j < 4; j++) {
      const row = (at + j) * width;
      sum += values[j]! * values[j]! * band.data[row]!;
      for (let k = j + 1; k < 4; k++) sum += 2 * values[j]! * values[k]! * band.data[row + k - j]!;
    }
    if (more) {
      const seen = more.spread.map((u) => values.reduce((s, value, j) => s + value * u[at + j]!, 0));
      more.inverse.forEach((line, a) => line.forEach((value, b) => (sum -= value * seen[a]! * seen[b]!)));
    }
    return Math.max(0, sum);
  };
  return { freedom, variance };
}

const dot = (a: Float64Array, b: Float64Array): number => a.reduce((sum, value, i) => sum + value * b[i]!, 0);

function timesGram(gram: Banded, u: Float64Array): Float64Array {
  const out = new Float64Array(gram.size);
  for (let j = 0; j < gram.size; j++) {
    out[j]! += gram.data[j * width]! * u[j]!;
    for (let k = 1; k < width && j + k < gram.size; k++) {
      out[j]! += gram.data[j * width + k]! * u[j + k]!;
      out[j + k]! += gram.data[j * width + k]! * u[j]!;
    }
  }
  return out;
}

/** Power coefficients of one column on every piece, four per piece. */
export function piecesOf(plan: KnotPlan, coefficients: Float64Array): Float64Array {
  const pieces = plan.first.length;
  const out = new Float64Array(4 * pieces);
  for (let i = 0; i < pieces; i++) {
    for (let j = 0; j < 4; j++) {
      const value = coefficients[plan.first[i]! + j]!;
      for (let c = 0; c < 4; c++) out[4 * i + c]! += value * plan.basis[16 * i + 4 * j + c]!;
    }
  }
  return out;
}

/** Value of one column at every reading. */
export function valuesAt(fit: Fit, column = 0): Float64Array {
  const { plan, t, piece, count } = fit.rows;
  const p = piecesOf(plan, fit.coefficients[column]!);
  const out = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const s = t[i]! - plan.breaks[piece[i]!]!;
    const k = 4 * piece[i]!;
    out[i] = p[k]! + s * (p[k + 1]! + s * (p[k + 2]! + s * p[k + 3]!));
  }
  return out;
}

/** Sum of weighted squared misses of one column. */
export function missesOf(fit: Fit, column = 0): number {
  const { weight, columns, count } = fit.rows;
  const fitted = valuesAt(fit, column);
  let sum = 0;
  for (let i = 0; i < count; i++) if (weight[i]! > 0) sum += weight[i]! * (columns[column]![i]! - fitted[i]!) ** 2;
  return sum;
}

/** The curve of two columns as one clamped B-spline per stretch between sharp turns. */
export function curvesOf(plan: KnotPlan, x: Float64Array, z: Float64Array): BSplineCurve[] {
  const out: BSplineCurve[] = [];
  const { knots } = plan;
  const last = plan.coefficients;
  let from = 0;
  for (let i = 4; i <= last; i++) {
    const sharp = i < last && knots[i] === knots[i + 2];
    if (!sharp && i < last) continue;
    const to = i;
    const inner = Array.from(knots.subarray(from + 4, to));
    const start = knots[from + 3]!;
    const end = knots[to]!;
    out.push({
      degree: 3,
      knots: [start, start, start, start, ...inner, end, end, end, end],
      poles: Array.from({ length: to - from }, (_, k) => [x[from + k]!, z[from + k]!] as const),
    });
    from = to - 1;
    i += 2;
  }
  return out;
}
