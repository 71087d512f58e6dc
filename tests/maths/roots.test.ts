/** Roots, least values and quantiles, against closed forms and published tables. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { incompleteBeta, logGamma, normalQuantile, studentQuantile, studentTail } from '../../src/maths/distributions.ts';
import { brentLeast, brentRoot, quadraticRoots } from '../../src/maths/roots.ts';

describe('roots', () => {
  test('Brent: x^3 - 2x - 5 at 2.0945514815423265 (Wallis, the classic example; from memory, checked by substitution)', () => {
    const f = (x: number): number => x ** 3 - 2 * x - 5;
    const root = brentRoot(f, 2, 3);
    expect(root).toBeCloseTo(2.0945514815423265, 13);
    expect(Math.abs(f(root))).toBeLessThan(1e-13);
  });

  test('Brent finds the root of every rising function with few calls', () => {
    fc.assert(
      fc.property(fc.double({ min: -10, max: 10, noNaN: true }), fc.double({ min: 0.01, max: 20, noNaN: true }), (root, steep) => {
        let calls = 0;
        const found = brentRoot((x) => (calls++, Math.atan(steep * (x - root)) + (x - root) ** 3), -11, 12);
        expect(Math.abs(found - root)).toBeLessThan(1e-9);
        expect(calls).toBeLessThan(60);
      }),
    );
  });

  test('no sign change is a bug and throws', () => {
    expect(() => brentRoot((x) => x * x + 1, -1, 1)).toThrow('no sign change');
    expect(brentRoot((x) => x, 0, 1)).toBe(0);
  });

  test('least value of a parabola and of a cosine', () => {
    expect(brentLeast((x) => (x - 1.25) ** 2, -3, 7, 1e-9)).toBeCloseTo(1.25, 7);
    expect(brentLeast(Math.cos, 2, 5, 1e-9)).toBeCloseTo(Math.PI, 6);
  });

  test('quadratic: roots solve it, without cancellation', () => {
    expect(quadraticRoots(1, -1e8, 1)).toEqual([1e-8, 1e8]);
    expect(quadraticRoots(-2, 1, 0)).toEqual([2]);
    expect(quadraticRoots(1, 0, 1)).toEqual([]);
    expect(quadraticRoots(0, 0, 0)).toEqual([]);
    fc.assert(
      fc.property(fc.integer({ min: -50, max: 50 }), fc.integer({ min: -50, max: 50 }), fc.integer({ min: 1, max: 20 }), (a, b, scale) => {
        const found = quadraticRoots(scale * a * b, -scale * (a + b), scale);
        expect(found).toHaveLength(a === b ? 1 : 2);
        expect(found[0]).toBeCloseTo(Math.min(a, b), 9);
        expect(found.at(-1)).toBeCloseTo(Math.max(a, b), 9);
      }),
    );
  });
});

describe('quantiles', () => {
  test('normal: 1.959964 (97.5 %), 2.575829 (99.5 %), 3.290527 (99.95 %), in every table', () => {
    expect(normalQuantile(0.975)).toBeCloseTo(1.959963984540054, 13);
    expect(normalQuantile(0.995)).toBeCloseTo(2.5758293035489004, 13);
    expect(normalQuantile(0.9995)).toBeCloseTo(3.2905267314919255, 12);
    expect(normalQuantile(0.5)).toBe(0);
    expect(normalQuantile(1e-300)).toBeCloseTo(-37.0471, 3);
    expect(() => normalQuantile(1)).toThrow();
  });

  test('Student: 12.706, 2.571, 2.228, 2.042 at 97.5 % for 1, 5, 10, 30 degrees of freedom, in every table', () => {
    for (const [freedom, t] of [[1, 12.706], [5, 2.571], [10, 2.228], [30, 2.042]] as const) expect(studentQuantile(0.975, freedom)).toBeCloseTo(t, 3);
    expect(studentQuantile(0.025, 5)).toBeCloseTo(-2.571, 3);
    expect(studentQuantile(0.975, 2e6)).toBeCloseTo(1.95996, 5);
    // Closed forms: one degree of freedom is Cauchy's distribution, two have t = (2p - 1) sqrt(2 / (4 p (1 - p))).
    expect(studentQuantile(0.9999, 1)).toBeCloseTo(Math.tan(Math.PI * 0.4999), 6);
    expect(studentQuantile(0.9999, 2)).toBeCloseTo((0.9998 * Math.SQRT2) / Math.sqrt(4 * 0.9999 * 0.0001), 6);
    expect(studentTail(studentQuantile(1 - 1e-9, 3.7), 3.7) / 1e-9).toBeCloseTo(1, 6);
  });

  test('gamma and beta at closed forms', () => {
    expect(logGamma(5)).toBeCloseTo(Math.log(24), 12);
    expect(logGamma(0.5)).toBeCloseTo(Math.log(Math.PI) / 2, 12);
    expect(incompleteBeta(0.3, 1, 1)).toBeCloseTo(0.3, 14);
    expect(incompleteBeta(0.3, 2, 3)).toBeCloseTo(0.3483, 12);
  });
});
