/**
 * Roots and least values of a function of one variable, and real roots of a quadratic.
 * Method: R. P. Brent, Algorithms for Minimization without Derivatives (1973), ch. 4 (zero) and ch. 5 (least value).
 * Stops being true: `brentRoot` wants a sign change and throws without one; `brentLeast` finds A local least value.
 */
import { tolerance } from './tolerance.ts';

/** A zero of f between a and b, to `xtol` (absolute, in the unit of x). Throws when f(a) and f(b) have the same sign. */
export function brentRoot(f: (x: number) => number, from: number, to: number, xtol = 0, most = 100): number {
  let a = from;
  let b = to;
  let fa = f(a);
  let fb = f(b);
  if (fa === 0) return a;
  if (fb === 0) return b;
  if (!(fa * fb < 0)) throw new Error(`brentRoot: no sign change between ${from} and ${to}`);
  let c = a;
  let fc = fa;
  let d = b - a;
  let e = d;
  for (let n = 0; n < most; n++) {
    if (fb * fc > 0) {
      c = a;
      fc = fa;
      d = b - a;
      e = d;
    }
    if (Math.abs(fc) < Math.abs(fb)) {
      a = b;
      b = c;
      c = a;
      fa = fb;
      fb = fc;
      fc = fa;
    }
    const tol = 2 * Number.EPSILON * Math.abs(b) + Math.max(xtol, tolerance.root * Math.abs(to - from)) / 2;
    const half = (c - b) / 2;
    if (Math.abs(half) <= tol || fb === 0) return b;
    if (Math.abs(e) >= tol && Math.abs(fa) > Math.abs(fb)) {
      const s = fb / fa;
      let p: number;
      let q: number;
      if (a === c) {
        p = 2 * half * s;
        q = 1 - s;
      } else {
        const r = fb / fc;
        const t = fa / fc;
        p = s * (2 * half * t * (t - r) - (b - a) * (r - 1));
        q = (t - 1) * (r - 1) * (s - 1);
      }
      if (p > 0) q = -q;
      else p = -p;
      if (2 * p < Math.min(3 * half * q - Math.abs(tol * q), Math.abs(e * q))) {
        e = d;
        d = p / q;
      } else {
        d = half;
        e = half;
      }
    } else {
      d = half;
      e = half;
    }
    a = b;
    fa = fb;
    b += Math.abs(d) > tol ? d : half > 0 ? tol : -tol;
    fb = f(b);
  }
  return b;
}

/** The place of a least value of f between a and b, to `xtol` (absolute). */
export function brentLeast(f: (x: number) => number, from: number, to: number, xtol: number, most = 100): number {
  const golden = (3 - Math.sqrt(5)) / 2;
  let a = Math.min(from, to);
  let b = Math.max(from, to);
  let x = a + golden * (b - a);
  let w = x;
  let v = x;
  let fx = f(x);
  let fw = fx;
  let fv = fx;
  let d = 0;
  let e = 0;
  for (let n = 0; n < most; n++) {
    const middle = (a + b) / 2;
    const tol = xtol / 2 + Number.EPSILON * Math.abs(x);
    if (Math.abs(x - middle) <= 2 * tol - (b - a) / 2) break;
    let parabola = false;
    if (Math.abs(e) > tol) {
      const r = (x - w) * (fx - fv);
      let q = (x - v) * (fx - fw);
      let p = (x - v) * q - (x - w) * r;
      q = 2 * (q - r);
      if (q > 0) p = -p;
      q = Math.abs(q);
      const before = e;
      e = d;
      if (Math.abs(p) < Math.abs((q * before) / 2) && p > q * (a - x) && p < q * (b - x)) {
        d = p / q;
        const u = x + d;
        if (u - a < 2 * tol || b - u < 2 * tol) d = x < middle ? tol : -tol;
        parabola = true;
      }
    }
    if (!parabola) {
      e = (x < middle ? b : a) - x;
      d = golden * e;
    }
    const u = Math.abs(d) >= tol ? x + d : x + (d > 0 ? tol : -tol);
    const fu = f(u);
    if (fu <= fx) {
      if (u < x) b = x;
      else a = x;
      [v, fv, w, fw, x, fx] = [w, fw, x, fx, u, fu];
    } else {
      if (u < x) a = u;
      else b = u;
      if (fu <= fw || w === x) [v, fv, w, fw] = [w, fw, u, fu];
      else if (fu <= fv || v === x || v === w) [v, fv] = [u, fu];
    }
  }
  return x;
}

/** Real roots of c0 + c1 s + c2 s^2, rising; a double root once. Empty for a constant. Free of cancellation. */
export function quadraticRoots(c0: number, c1: number, c2: number): number[] {
  if (c2 === 0) return c1 === 0 ? [] : [-c0 / c1];
  const under = c1 * c1 - 4 * c2 * c0;
  if (under < 0) return [];
  const q = -(c1 + (c1 < 0 ? -1 : 1) * Math.sqrt(under)) / 2;
  if (q === 0) return [0];
  const pair = [q / c2, c0 / q].filter(Number.isFinite).sort((a, b) => a - b);
  return pair.length === 2 && pair[0] === pair[1] ? [pair[0]!] : pair;
}
