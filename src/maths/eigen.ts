/**
 * Symmetric matrix -> eigenvalues (largest first) and unit eigenvectors. Pure numbers, no unit.
 * Method: cyclic Jacobi rotations (G. H. Golub and C. F. Van Loan, Matrix Computations, 8.5); quadratic at the end, about
 * six sweeps. Meant for up to some dozens of rows. Stops being true: a matrix that is not symmetric; only its upper half is read.
 */
export interface Eigen {
  /** Largest first. */
  readonly values: readonly number[];
  /** `vectors[k]` belongs to `values[k]`; unit length, square to each other, sign arbitrary. */
  readonly vectors: readonly (readonly number[])[];
}

const mostSweeps = 60;

export function symmetricEigen(matrix: readonly (readonly number[])[]): Eigen {
  const n = matrix.length;
  const a = matrix.map((row, i) => row.map((_, j) => (i <= j ? matrix[i]![j]! : matrix[j]![i]!)));
  // Rows of v are the vectors.
  const v = matrix.map((_, i) => matrix.map((__, j) => (i === j ? 1 : 0)));
  for (let sweep = 0; sweep < mostSweeps; sweep++) {
    let off = 0;
    let all = 0;
    for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) {
      all += a[i]![j]! ** 2;
      if (i !== j) off += a[i]![j]! ** 2;
    }
    if (off <= Number.EPSILON ** 2 * all) break;
    for (let p = 0; p < n; p++) for (let q = p + 1; q < n; q++) turnAway(a, v, p, q);
  }
  const order = a.map((_, i) => i).sort((i, j) => a[j]![j]! - a[i]![i]!);
  return { values: order.map((i) => a[i]![i]!), vectors: order.map((i) => v[i]!) };
}

/** One rotation in the plane of p and q that makes a[p][q] zero. */
function turnAway(a: number[][], v: number[][], p: number, q: number): void {
  const apq = a[p]![q]!;
  if (apq === 0) return;
  const theta = (a[q]![q]! - a[p]![p]!) / (2 * apq);
  const t = (theta >= 0 ? 1 : -1) / (Math.abs(theta) + Math.hypot(theta, 1));
  const c = 1 / Math.hypot(t, 1);
  const s = t * c;
  for (const row of a) [row[p], row[q]] = [c * row[p]! - s * row[q]!, s * row[p]! + c * row[q]!];
  for (const m of [a, v]) {
    const [rp, rq] = [m[p]!, m[q]!];
    for (let k = 0; k < rp.length; k++) [rp[k], rq[k]] = [c * rp[k]! - s * rq[k]!, s * rp[k]! + c * rq[k]!];
  }
}
