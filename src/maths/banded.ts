/**
 * Least squares and symmetric systems whose matrix is a narrow band: linear time and memory.
 * `Banded` holds the upper triangle, row j at data[j * width] = (j, j), (j, j + 1), ...
 * Two ways to the same triangle R with A = R'R: Cholesky of A, or Givens rotations on the rows of the least-squares
 * problem itself, which keeps twice the digits. Diagonal band of the inverse after M. F. Hutchinson and F. R. de Hoog,
 * Numer. Math. 47 (1985) 99 (Takahashi's recurrence).
 * Stops being true: A must be positive definite; a zero pivot throws in the solves, choleskyBanded returns null.
 */
import { tolerance } from './tolerance.ts';

export interface Banded {
  readonly size: number;
  /** Entries kept per row: the diagonal and width - 1 above it. */
  readonly width: number;
  readonly data: Float64Array;
}

export const bandedOf = (size: number, width: number): Banded => ({ size, width, data: new Float64Array(size * width) });

/** R with A = R'R, or null when A is not positive definite to working precision. */
export function choleskyBanded(a: Banded): Banded | null {
  const { size, width } = a;
  const r = Float64Array.from(a.data);
  for (let j = 0; j < size; j++) {
    const row = j * width;
    const pivot = r[row]!;
    if (!(pivot > tolerance.pivot * a.data[row]!)) return null;
    const root = Math.sqrt(pivot);
    for (let k = 0; k < width; k++) r[row + k] = r[row + k]! / root;
    for (let k = 1; k < width && j + k < size; k++) {
      const share = r[row + k]!;
      const target = (j + k) * width - k;
      for (let l = k; l < width; l++) r[target + l] = r[target + l]! - share * r[row + l]!;
    }
  }
  return { size, width, data: r };
}

/** Solves R'y = b. */
export function solveLower(r: Banded, b: ArrayLike<number>): Float64Array {
  const { size, width, data } = r;
  const y = Float64Array.from(b);
  for (let j = 0; j < size; j++) {
    const row = j * width;
    const value = y[j]! / pivotOf(data[row]!);
    y[j] = value;
    for (let k = 1; k < width && j + k < size; k++) y[j + k] = y[j + k]! - data[row + k]! * value;
  }
  return y;
}

/** Solves R x = b. */
export function solveUpper(r: Banded, b: ArrayLike<number>): Float64Array {
  const { size, width, data } = r;
  const x = Float64Array.from(b);
  for (let j = size - 1; j >= 0; j--) {
    const row = j * width;
    let value = x[j]!;
    for (let k = 1; k < width && j + k < size; k++) value -= data[row + k]! * x[j + k]!;
    x[j] = value / pivotOf(data[row]!);
  }
  return x;
}

function pivotOf(value: number): number {
  if (value === 0) throw new Error('banded system is singular');
  return value;
}

/** Solves A x = b given R. */
export const solveBanded = (r: Banded, b: ArrayLike<number>): Float64Array => solveUpper(r, solveLower(r, b));

/** The band of the inverse of R'R, as wide as R. */
export function inverseBand(r: Banded): Banded {
  const { size, width, data } = r;
  const z = new Float64Array(size * width);
  const unit = new Float64Array(width);
  for (let j = size - 1; j >= 0; j--) {
    const row = j * width;
    const pivot = pivotOf(data[row]!);
    const reach = Math.min(width - 1, size - 1 - j);
    for (let k = 1; k <= reach; k++) unit[k] = data[row + k]! / pivot;
    for (let k = reach; k >= 1; k--) {
      let sum = 0;
      for (let m = 1; m <= reach; m++) {
        const low = Math.min(m, k);
        sum -= unit[m]! * z[(j + low) * width + Math.abs(m - k)]!;
      }
      z[row + k] = sum;
    }
    let own = 1 / (pivot * pivot);
    for (let m = 1; m <= reach; m++) own -= unit[m]! * z[row + m]!;
    z[row] = own;
  }
  return { size, width, data: z };
}

/**
 * Works one row of a least-squares problem into the triangle `r` and its right-hand sides by Givens rotations.
 * `row` holds `width` entries from column `start`; `right` one value per column of `rhs` (column c at rhs[c * size + j]).
 * Both are used up. Rows must come with non-decreasing `start`, or the work is no longer linear.
 */
export function absorbRow(r: Banded, rhs: Float64Array, columns: number, start: number, row: Float64Array, right: Float64Array): void {
  const { size, width, data } = r;
  for (let j = start; j < size; j++) {
    const a = row[0]!;
    const at = j * width;
    const p = data[at]!;
    const h = Math.sqrt(p * p + a * a);
    if (a !== 0 && h > tolerance.underflow) {
      const c = p / h;
      const s = a / h;
      data[at] = h;
      for (let k = 1; k < width; k++) {
        const upper = data[at + k]!;
        const lower = row[k]!;
        data[at + k] = c * upper + s * lower;
        row[k - 1] = c * lower - s * upper;
      }
      for (let q = 0; q < columns; q++) {
        const upper = rhs[q * size + j]!;
        const lower = right[q]!;
        rhs[q * size + j] = c * upper + s * lower;
        right[q] = c * lower - s * upper;
      }
    } else for (let k = 1; k < width; k++) row[k - 1] = row[k]!;
    row[width - 1] = 0;
    let empty = true;
    for (let k = 0; k < width - 1; k++) if (row[k] !== 0) empty = false;
    if (empty) return;
  }
}
