/**
 * Quantiles of the normal and of Student's distribution, for limits and bands. Pure numbers, no unit.
 * Normal: M. J. Wichura, algorithm AS 241, Applied Statistics 37 (1988) 477, about 16 digits.
 * Student: Newton's method on the exact distribution function (continued fraction of the incomplete beta function,
 * Abramowitz and Stegun 26.5.8) from the normal quantile; about 12 digits for tails down to 1e-12.
 */
import { tolerance } from './tolerance.ts';

const ratio = (top: readonly number[], bottom: readonly number[], r: number): number =>
  top.reduceRight((sum, c) => sum * r + c, 0) / bottom.reduceRight((sum, c) => sum * r + c, 0);

/** z with P(Z < z) = p for a standard normal Z; p strictly between 0 and 1. */
export function normalQuantile(p: number): number {
  if (!(p > 0 && p < 1)) throw new Error(`normalQuantile: ${p} is not between 0 and 1`);
  const q = p - 0.5;
  if (Math.abs(q) <= 0.425) return q * ratio(centralTop, centralBottom, 0.180625 - q * q);
  const r = Math.sqrt(-Math.log(q < 0 ? p : 1 - p));
  const z = r <= 5 ? ratio(middleTop, middleBottom, r - 1.6) : ratio(farTop, farBottom, r - 5);
  return q < 0 ? -z : z;
}

const centralTop = [3.387132872796366608, 133.14166789178437745, 1971.5909503065514427, 13731.693765509461125, 45921.953931549871457, 67265.770927008700853, 33430.575583588128105, 2509.0809287301226727];
const centralBottom = [1, 42.313330701600911252, 687.1870074920579083, 5394.1960214247511077, 21213.794301586595867, 39307.89580009271061, 28729.085735721942674, 5226.495278852545925];
const middleTop = [1.42343711074968357734, 4.6303378461565452959, 5.7694972214606914055, 3.64784832476320460504, 1.27045825245236838258, 0.24178072517745061177, 0.0227238449892691845833, 7.7454501427834140764e-4];
const middleBottom = [1, 2.05319162663775882187, 1.6763848301838038494, 0.68976733498510000455, 0.14810397642748007459, 0.0151986665636164571966, 5.475938084995344946e-4, 1.05075007164441684324e-9];
const farTop = [6.6579046435011037772, 5.4637849111641143699, 1.7848265399172913358, 0.29656057182850489123, 0.026532189526576123093, 0.0012426609473880784386, 2.71155556874348757815e-5, 2.01033439929228813265e-7];
const farBottom = [1, 0.59983220655588793769, 0.13692988092273580531, 0.0148753612908506148525, 7.868691311456132591e-4, 1.8463183175100546818e-5, 1.4215117583164458887e-7, 2.04426310338993978564e-15];

/** Natural logarithm of the gamma function for x > 0 (Lanczos, g = 7, n = 9). */
export function logGamma(x: number): number {
  const c = [0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059, 12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7];
  if (x < 0.5) return Math.log(Math.PI / Math.sin(Math.PI * x)) - logGamma(1 - x);
  const y = x - 1;
  const t = y + 7.5;
  let sum = c[0]!;
  for (let i = 1; i < 9; i++) sum += c[i]! / (y + i);
  return 0.5 * Math.log(2 * Math.PI) + (y + 0.5) * Math.log(t) - t + Math.log(sum);
}

/** Regularised incomplete beta function I_x(a, b), by the continued fraction with Lentz's method. */
export function incompleteBeta(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  if (x > (a + 1) / (a + b + 2)) return 1 - incompleteBeta(1 - x, b, a);
  const tiny = tolerance.underflow;
  let c = 1;
  let d = 1 / (1 - ((a + b) * x) / (a + 1) || tiny);
  let f = d;
  for (let m = 1; m < 500; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / (1 + even * d || tiny);
    c = 1 + even / c || tiny;
    f *= c * d;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / (1 + odd * d || tiny);
    c = 1 + odd / c || tiny;
    const change = c * d;
    f *= change;
    if (Math.abs(change - 1) < 2 * Number.EPSILON) break;
  }
  return (f * Math.exp(a * Math.log(x) + b * Math.log1p(-x) + logGamma(a + b) - logGamma(a) - logGamma(b))) / a;
}

/** P(T > t) for Student's T with `freedom` degrees of freedom, t >= 0. */
export const studentTail = (t: number, freedom: number): number => incompleteBeta(freedom / (freedom + t * t), freedom / 2, 0.5) / 2;

/** Degrees of freedom above which Student's quantile is the normal one to six digits. */
const allButNormal = 1e6;

/** t with P(T < t) = p, 0 < p < 1; freedom > 0. Above a million degrees of freedom it is the normal quantile. */
export function studentQuantile(p: number, freedom: number): number {
  if (freedom > allButNormal) return normalQuantile(p);
  if (p < 0.5) return -studentQuantile(1 - p, freedom);
  if (p === 0.5) return 0;
  const tail = 1 - p;
  let low = 0;
  let high = Math.max(1, normalQuantile(p));
  while (studentTail(high, freedom) > tail) {
    low = high;
    high *= 2;
  }
  let t = high;
  const scale = Math.exp(logGamma((freedom + 1) / 2) - logGamma(freedom / 2)) / Math.sqrt(freedom * Math.PI);
  for (let n = 0; n < 100; n++) {
    const miss = studentTail(t, freedom) - tail;
    if (miss > 0) low = t;
    else high = t;
    const density = scale * (1 + (t * t) / freedom) ** (-(freedom + 1) / 2);
    let next = t + miss / density;
    if (!(next > low && next < high)) next = (low + high) / 2;
    if (Math.abs(next - t) <= 64 * Number.EPSILON * Math.abs(next)) return next;
    t = next;
  }
  return t;
}
