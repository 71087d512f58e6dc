/** Small symmetric positive systems by Cholesky's method. Pure numbers. Answers null where the matrix is not positive. */

/** Lower triangle L with L L' = a; null when a pivot is not positive. */
export function cholesky(a: readonly (readonly number[])[]): number[][] | null {
  const n = a.length;
  const l = Array.from({ length: n }, () => new Array<number>(n).fill(0));
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = a[i]![j]!;
      for (let k = 0; k < j; k++) sum -= l[i]![k]! * l[j]![k]!;
      if (i !== j) l[i]![j] = sum / l[j]![j]!;
      else if (sum > 0) l[i]![i] = Math.sqrt(sum);
      else return null;
    }
  }
  return l;
}

function substitute(l: readonly (readonly number[])[], b: readonly number[]): number[] {
  const n = l.length;
  const x = [...b];
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) x[i]! -= l[i]![k]! * x[k]!;
    x[i]! /= l[i]![i]!;
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) x[i]! -= l[k]![i]! * x[k]!;
    x[i]! /= l[i]![i]!;
  }
  return x;
}

export function choleskySolve(a: readonly (readonly number[])[], b: readonly number[]): number[] | null {
  const l = cholesky(a);
  return l && substitute(l, b);
}

export function inverse(a: readonly (readonly number[])[]): number[][] | null {
  const l = cholesky(a);
  return l && a.map((_, i) => substitute(l, a.map((__, j) => (i === j ? 1 : 0))));
}
