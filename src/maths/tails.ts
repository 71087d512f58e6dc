/**
 * Tails of the normal, chi-square and F distributions, for tests. Pure numbers, no unit.
 * Chi-square: regularised incomplete gamma function by series and by Lentz's continued fraction (Abramowitz and Stegun 6.5.29
 * and 6.5.31); F: incomplete beta (26.6.2). About 12 digits relative for tails above 1e-280.
 */
import { incompleteBeta, logGamma } from './distributions.ts';
import { tolerance } from './tolerance.ts';

const mostTerms = 10_000;

/** Q(a, x), the upper regularised incomplete gamma function; a > 0, x >= 0. */
export function upperGamma(a: number, x: number): number {
  if (x <= 0) return 1;
  const front = Math.exp(a * Math.log(x) - x - logGamma(a));
  if (x < a + 1) {
    let term = 1 / a;
    let sum = term;
    for (let n = 1; n < mostTerms && term > sum * Number.EPSILON; n++) {
      term *= x / (a + n);
      sum += term;
    }
    return 1 - front * sum;
  }
  let b = x + 1 - a;
  let c = 1 / tolerance.underflow;
  let d = 1 / b;
  let f = d;
  for (let n = 1; n < mostTerms; n++) {
    const k = -n * (n - a);
    b += 2;
    d = 1 / (k * d + b || tolerance.underflow);
    c = b + k / c || tolerance.underflow;
    f *= c * d;
    if (Math.abs(c * d - 1) < 2 * Number.EPSILON) break;
  }
  return front * f;
}

/** P(chi-square with `freedom` degrees > x). */
export const chiSquareTail = (x: number, freedom: number): number => upperGamma(freedom / 2, x / 2);

/** P(|Z| > z) for a standard normal Z, z >= 0. */
export const normalTwoTails = (z: number): number => upperGamma(0.5, (z * z) / 2);

/** P(F > f) with `top` and `bottom` degrees of freedom. */
export const fTail = (f: number, top: number, bottom: number): number => incompleteBeta(bottom / (bottom + top * f), bottom / 2, top / 2);

/** x with P(chi-square > x) = tail, 0 < tail < 1, by bisection on the exact tail. */
export function chiSquareQuantile(tail: number, freedom: number): number {
  // Two degrees, the case of ellipses, has a closed form.
  if (freedom === 2) return -2 * Math.log(tail);
  let low = 0;
  let high = freedom + 10;
  while (chiSquareTail(high, freedom) > tail) high *= 2;
  while (high - low > tolerance.root * high) {
    const middle = (low + high) / 2;
    if (middle === low || middle === high) break;
    if (chiSquareTail(middle, freedom) > tail) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
