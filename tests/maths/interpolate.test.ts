/** The C2 cubic through points, against published figures, polynomials it must reproduce, and its own definition. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { derivativesAt, pointAt } from '../../src/maths/bspline.ts';
import { chordLengths, interpolateCubic, interpolatingPieces } from '../../src/maths/interpolate.ts';
import { evaluate } from '../../src/maths/piecewise.ts';
import type { Vec2 } from '../../src/maths/vec.ts';
import { titanium, titaniumSites } from '../contour/titanium.ts';

describe('through given points', () => {
  test('titanium heat data: the natural interpolant (computed with another program from the same data)', () => {
    const curve = interpolateCubic(titanium.map((y, i): Vec2 => [titaniumSites[i]!, y]), {}, titaniumSites);
    expect(pointAt(curve, 880)[1]).toBeCloseTo(1.606112485392, 11);
    expect(pointAt(curve, 890)[1]).toBeCloseTo(2.071630087042, 11);
    expect(pointAt(curve, 900)[1]).toBeCloseTo(2.177492166441, 11);
    const [, d1, d2] = derivativesAt(curve, 895, 2);
    expect(d1![1]).toBeCloseTo(0.010881610587, 11);
    expect(d2![1]).toBeCloseTo(-3.290219721e-3, 11);
  });

  test('passes through every point and bends continuously; natural ends do not bend', () => {
    const point = fc.tuple(fc.double({ min: 0.1, max: 10, noNaN: true }), fc.double({ min: -10, max: 10, noNaN: true }));
    fc.assert(
      fc.property(fc.array(point, { minLength: 2, maxLength: 20 }), (steps) => {
        let x = 0;
        const points = steps.map(([dx, z]): Vec2 => [(x += dx), z]);
        const t = chordLengths(points);
        const curve = interpolateCubic(points);
        points.forEach((p, i) => {
          const q = pointAt(curve, t[i]!);
          expect(Math.hypot(p[0] - q[0], p[1] - q[1])).toBeLessThan(1e-9);
        });
        const scale = 1 + Math.max(...t.slice(1).map((v, i) => Math.hypot(...derivativesAt(curve, (v + t[i]!) / 2, 2)[2]!)));
        for (let i = 1; i + 1 < t.length; i++) {
          const h = 1e-9 * (t.at(-1)! - t[0]!);
          const [a, b] = [derivativesAt(curve, t[i]! - h, 2), derivativesAt(curve, t[i]! + h, 2)];
          expect(Math.abs(a[2]![1] - b[2]![1]) / scale).toBeLessThan(1e-4);
        }
        for (const u of [t[0]!, t.at(-1)!]) expect(Math.hypot(...derivativesAt(curve, u, 2)[2]!) / scale).toBeLessThan(1e-9);
      }),
    );
  });

  test('reproduces a cubic when given its end derivatives', () => {
    const f = (u: number): Vec2 => [u, 1 + u * (2 + u * (-0.7 + 0.11 * u))];
    const d = (u: number): Vec2 => [1, 2 - 1.4 * u + 0.33 * u * u];
    const t = [0, 0.4, 1.7, 2, 4.5, 6];
    const curve = interpolateCubic(t.map(f), { start: d(0), end: d(6) }, t);
    for (let u = 0; u <= 6; u += 0.1) expect(pointAt(curve, u)[1]).toBeCloseTo(f(u)[1], 11);
  });

  test('the form in pieces is the same curve', () => {
    const points: Vec2[] = [[0, 0], [3, 2], [5, -1], [9, 4], [12, 4]];
    const t = Float64Array.from(chordLengths(points));
    const pieces = interpolatingPieces(t, Float64Array.from(points, (p) => p[0]), Float64Array.from(points, (p) => p[1]), { end: [1, 0] });
    const curve = interpolateCubic(points, { end: [1, 0] });
    const work = new Float64Array(6);
    for (let u = 0; u <= t[4]!; u += 0.37) {
      evaluate(pieces, u, work);
      expect(Math.hypot(work[0]! - pointAt(curve, u)[0], work[1]! - pointAt(curve, u)[1])).toBeLessThan(1e-12);
    }
  });

  test('throws on parameters that do not rise: a bug, never input', () => {
    expect(() => interpolateCubic([[0, 0], [0, 0]])).toThrow();
    expect(() => interpolateCubic([[0, 0]])).toThrow();
  });
});
