/**
 * Small dense least squares: rows of a design and right-hand sides -> coefficients, their covariance, residuals.
 * Pure numbers; units are the caller's. Meant for up to some dozens of unknowns.
 * Method: Householder QR with column pivoting on the rows as given (not the normal equations, which lose half the digits);
 * rank by tolerance.pivot against the largest column (G. H. Golub and C. F. Van Loan, Matrix Computations, 5.2 and 5.4).
 * Stops being true: a design without full rank has no single answer; `rank` says so and the loose coefficients are 0.
 */
import { tolerance } from './tolerance.ts';

export interface LeastSquares {
  readonly coefficients: readonly number[];
  /** (X'WX)^-1; times the variance of a row of weight one it is the covariance. Rows of loose coefficients are 0. */
  readonly spread: readonly (readonly number[])[];
  /** y - X c, row by row, unweighted. */
  readonly residuals: readonly number[];
  /** Sum of weighted squared residuals. */
  readonly squares: number;
  readonly rank: number;
  /** Rows with weight, less the rank. */
  readonly freedom: number;
}

/** Least sum of weight * (y - row . c)^2. Throws when rows differ in length or are missing; never on bad rank. */
export function leastSquares(rows: readonly (readonly number[])[], y: readonly number[], weights?: readonly number[]): LeastSquares {
  const n = rows[0]?.length ?? 0;
  if (n === 0 || rows.some((row) => row.length !== n) || y.length !== rows.length) throw new Error('leastSquares: rows of equal length, one value each');
  const roots = rows.map((_, i) => Math.sqrt(weights?.[i] ?? 1));
  const a = rows.map((row, i) => row.map((value) => value * roots[i]!));
  const b = y.map((value, i) => value * roots[i]!);
  const { order, rank } = triangulate(a, b);
  const solved = backSubstitute(a, b.slice(0, rank), rank);
  const coefficients = new Array<number>(n).fill(0);
  for (let k = 0; k < rank; k++) coefficients[order[k]!] = solved[k]!;
  const residuals = rows.map((row, i) => y[i]! - row.reduce((sum, value, k) => sum + value * coefficients[k]!, 0));
  const used = roots.filter((root) => root > 0).length;
  return {
    coefficients,
    spread: spreadOf(a, order, rank, n),
    residuals,
    squares: residuals.reduce((sum, r, i) => sum + (r * roots[i]!) ** 2, 0),
    rank,
    freedom: used - rank,
  };
}

/** Brings a to its triangle in place, b along with it; returns where each column went and how many count. */
function triangulate(a: number[][], b: number[]): { order: number[]; rank: number } {
  const m = a.length;
  const n = a[0]!.length;
  const order = Array.from({ length: n }, (_, k) => k);
  let largest = 0;
  let rank = 0;
  for (let k = 0; k < Math.min(m, n); k++) {
    const norms = order.map((_, c) => (c < k ? -1 : Math.hypot(...a.slice(k).map((row) => row[c]!))));
    const pivot = norms.indexOf(Math.max(...norms));
    const size = norms[pivot]!;
    largest = Math.max(largest, size);
    if (!(size > tolerance.pivot * largest)) break;
    for (const row of a) [row[k], row[pivot]] = [row[pivot]!, row[k]!];
    [order[k], order[pivot]] = [order[pivot]!, order[k]!];
    const alpha = a[k]![k]! > 0 ? -size : size;
    const v = a.slice(k).map((row) => row[k]!);
    v[0]! -= alpha;
    const half = -alpha * v[0]!;
    const reflect = (column: (i: number) => number, set: (i: number, value: number) => void): void => {
      const share = v.reduce((sum, value, i) => sum + value * column(k + i), 0) / half;
      v.forEach((value, i) => set(k + i, column(k + i) - share * value));
    };
    for (let c = k + 1; c < n; c++) reflect((i) => a[i]![c]!, (i, value) => (a[i]![c] = value));
    reflect((i) => b[i]!, (i, value) => (b[i] = value));
    a[k]![k] = alpha;
    for (let i = k + 1; i < m; i++) a[i]![k] = 0;
    rank++;
  }
  return { order, rank };
}

function backSubstitute(r: readonly (readonly number[])[], b: readonly number[], rank: number): number[] {
  const x = [...b];
  for (let k = rank - 1; k >= 0; k--) {
    for (let j = k + 1; j < rank; j++) x[k]! -= r[k]![j]! * x[j]!;
    x[k]! /= r[k]![k]!;
  }
  return x;
}

function spreadOf(r: readonly (readonly number[])[], order: readonly number[], rank: number, n: number): number[][] {
  const columns = Array.from({ length: rank }, (_, k) => backSubstitute(r, Array.from({ length: rank }, (_, i) => (i === k ? 1 : 0)), rank));
  const out = Array.from({ length: n }, () => new Array<number>(n).fill(0));
  for (let i = 0; i < rank; i++) {
    for (let j = 0; j < rank; j++) out[order[i]!]![order[j]!] = columns.reduce((sum, column) => sum + column[i]! * column[j]!, 0);
  }
  return out;
}
