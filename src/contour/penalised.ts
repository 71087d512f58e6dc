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
import { piecesOf, width, type Rows } from './design.ts';

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

