/** Drawn curves: exact circles by bulge, arc and NURBS; Bezier against bezier-js, a general library; NURBS against scipy. */
import { Bezier } from 'bezier-js';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Vec2 } from '../../src/maths/vec.ts';
import { arc, bezier, bulgeArc, lengthOf, line, mapped, nurbs, pointsAlong, reversed } from '../../src/readings/curves.ts';

const radiusAbout = (points: readonly Vec2[], centre: Vec2): number[] => points.map(([x, z]) => Math.hypot(x - centre[0], z - centre[1]));
const some = Array.from({ length: 41 }, (_, i) => i / 40);

const cubicDoubleKnot = [0.0, 20.0, 35.18518518518519, 41.449735449735456, 109.99999999999999, 59.14285714285714, 185.79719387755105, 49.55420918367347, 233.26530612244903, 41.673469387755105, 313.61300075585797, 31.871504157218446, 380.0, 22.0];
const cubicUnclamped = [33.33333333333333, 43.333333333333336, 71.73333333333333, 55.53600000000001, 150.0, 55.33333333333333, 236.85333333333335, 40.09866666666667, 300.0, 33.666666666666664];

describe('bulge', () => {
  // Bulge = tan(angle / 4): 1 is a half circle, tan(22.5 deg) = .41421356 a quarter (seen on a secondary page; figure computed).
  test('half circle and quarter circle', () => {
    expect(radiusAbout(some.map(bulgeArc([0, 0], [20, 0], 1).at), [10, 0]).every((r) => Math.abs(r - 10) < 1e-12)).toBe(true);
    // Positive bulge runs counter-clockwise: from left to right it passes below.
    expect(bulgeArc([0, 0], [20, 0], 1).at(0.5)[1]).toBeCloseTo(-10, 12);
    const quarter = bulgeArc([10, 0], [0, 10], 0.41421356237309503);
    expect(radiusAbout(some.map(quarter.at), [0, 0]).every((r) => Math.abs(r - 10) < 1e-12)).toBe(true);
    expect(quarter.at(0.5)[0]).toBeCloseTo(Math.SQRT1_2 * 10, 12);
  });

  test('any bulge: every point at one distance from a centre, ends exact, angle 4 atan(bulge)', () => {
    const coordinate = fc.double({ min: -500, max: 500, noNaN: true });
    fc.assert(
      fc.property(coordinate, coordinate, coordinate, coordinate, fc.double({ min: 0.01, max: 20, noNaN: true }), fc.boolean(), (a, b, c, d, size, flip) => {
        fc.pre(Math.hypot(c - a, d - b) > 1);
        const bulge = flip ? -size : size;
        const piece = bulgeArc([a, b], [c, d], bulge);
        expect(piece.at(0)).toEqual([a, b]);
        expect(piece.at(1)).toEqual([c, d]);
        // The sagitta is half the chord times the bulge: the definition the format itself gives (from memory).
        const middle = piece.at(0.5);
        expect(Math.hypot(middle[0] - (a + c) / 2, middle[1] - (b + d) / 2)).toBeCloseTo((Math.abs(bulge) * Math.hypot(c - a, d - b)) / 2, 6);
        // Left of travel for a negative bulge.
        expect(Math.sign((c - a) * (middle[1] - b) - (d - b) * (middle[0] - a))).toBe(-Math.sign(bulge));
      }),
    );
  });
});

describe('NURBS', () => {
  const h = Math.SQRT1_2;
  test('rational quadratic quarter circle is a circle to the last digit (textbook construction)', () => {
    const quarter = nurbs({ degree: 2, knots: [0, 0, 0, 1, 1, 1], poles: [[50, 0], [50, 50], [0, 50]], weights: [1, h, 1] });
    for (const r of radiusAbout(some.map(quarter.at), [0, 0])) expect(r).toBeCloseTo(50, 12);
    const without = nurbs({ degree: 2, knots: [0, 0, 0, 1, 1, 1], poles: [[50, 0], [50, 50], [0, 50]], weights: [1, 1, 1] });
    expect(Math.hypot(...without.at(0.5))).toBeGreaterThan(52);
  });

  test('full circle in four quarters, knots doubled', () => {
    const c: Vec2[] = [[1, 0], [1, 1], [0, 1], [-1, 1], [-1, 0], [-1, -1], [0, -1], [1, -1], [1, 0]];
    const circle = nurbs({ degree: 2, knots: [0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4], poles: c.map(([x, z]): Vec2 => [100 + 30 * x, 40 + 30 * z]), weights: [1, h, 1, h, 1, h, 1, h, 1] });
    for (const r of radiusAbout(some.map(circle.at), [100, 40])) expect(r).toBeCloseTo(30, 12);
    expect(lengthOf(circle) / (2 * Math.PI * 30)).toBeCloseTo(1, 3);
  });

  // scipy 1.17.1 BSpline(t, c, 3)(u), python 3, numpy 2.4.6.
  test('cubic with a double knot and one not clamped, against scipy', () => {
    const poles: Vec2[] = [[0, 20], [30, 45], [80, 60], [150, 58], [220, 40], [300, 35], [380, 22]];
    const clamped = nurbs({ degree: 3, knots: [0, 0, 0, 0, 0.3, 0.3, 0.7, 1, 1, 1, 1], poles, weights: poles.map(() => 1) });
    const got = [0, 0.1, 0.3, 0.55, 0.7, 0.9, 1].flatMap((u) => clamped.at(u));
    cubicDoubleKnot.forEach((value, i) => expect(got[i]).toBeCloseTo(value, 10));
    const open = nurbs({ degree: 3, knots: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10], poles, weights: poles.map(() => 1) });
    const other = [0, 0.2, 0.5, 0.8, 1].flatMap((u) => open.at(u));
    cubicUnclamped.forEach((value, i) => expect(other[i]).toBeCloseTo(value, 10));
  });
});

describe('points along a piece', () => {
  test('no chord further from the arc than asked: the sagitta of an arc is exact', () => {
    for (const [radius, chord] of [[200, 0.01], [5, 0.01], [1000, 0.1]] as const) {
      const points = pointsAlong(arc([0, 0], radius, 0.2, 2.5), chord);
      for (const r of radiusAbout(points, [0, 0])) expect(r).toBeCloseTo(radius, 9);
      for (let i = 1; i < points.length; i++) {
        const [a, b] = [points[i - 1], points[i]] as [Vec2, Vec2];
        expect(radius - Math.hypot((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)).toBeLessThanOrEqual(chord * 1.0001);
      }
      // And not wastefully many: within a factor of two of the fewest, 2 acos(1 - c/r) apart.
      expect(points.length).toBeLessThan((2 * 2.5) / (2 * Math.acos(1 - chord / radius)) + 4);
    }
  });

  test('Bezier points agree with a general library', () => {
    const n = fc.double({ min: -300, max: 300, noNaN: true });
    fc.assert(
      fc.property(fc.array(fc.tuple(n, n), { minLength: 3, maxLength: 4 }), (poles) => {
        const ours = bezier(poles);
        const theirs = new Bezier(poles.map(([x, y]) => ({ x, y })));
        for (const t of [0, 0.13, 0.5, 0.77, 1]) {
          const p = theirs.get(t);
          expect(ours.at(t)[0]).toBeCloseTo(p.x, 8);
          expect(ours.at(t)[1]).toBeCloseTo(p.y, 8);
        }
        // Every point of the curve is near the polyline, an S included.
        const points = pointsAlong(ours, 0.05);
        for (let i = 0; i <= 200; i++) expect(distanceTo(points, ours.at(i / 200))).toBeLessThan(0.12);
        const fine = Array.from({ length: 2001 }, (_, i) => theirs.get(i / 2000));
        const length = fine.reduce((sum, p, i) => sum + (i === 0 ? 0 : Math.hypot(p.x - (fine[i - 1] as { x: number }).x, p.y - (fine[i - 1] as { y: number }).y)), 0);
        // Coordinates of 300 are rounded to 6e-14, and 2000 chords add that up.
        expect(Math.abs(lengthOf(ours) - length)).toBeLessThanOrEqual(0.01 * length + 1e-9);
      }),
    );
  });

  test('a straight line gives its ends, or steps no longer than asked', () => {
    expect(pointsAlong(line([0, 0], [100, 0]), 0.01)).toHaveLength(2);
    expect(pointsAlong(line([0, 0], [100, 0]), 0.01, 13)).toHaveLength(9);
  });

  test('never more points than allowed, whatever the numbers', () => {
    const wild = nurbs({ degree: 1, knots: [0, ...Array.from({ length: 300 }, (_, i) => i), 299], poles: Array.from({ length: 300 }, (_, i): Vec2 => [i % 2 === 0 ? -1e9 : 1e9, i]), weights: Array.from({ length: 300 }, () => 1) });
    expect(pointsAlong(wild, 1e-9, 1e-9, 5000).length).toBeLessThan(7000);
  });

  test('reversed and mapped', () => {
    const piece = bulgeArc([0, 0], [30, 10], 0.3);
    const back = reversed(piece);
    expect(back.from).toEqual([30, 10]);
    expect(back.at(0.25)).toEqual(piece.at(0.75));
    const moved = mapped(piece, ([x, z]) => [x + 5, z * 2]);
    expect(moved.at(0.25)[1]).toBeCloseTo(piece.at(0.25)[1] * 2, 12);
  });
});

function distanceTo(points: readonly Vec2[], p: Vec2): number {
  let least = Infinity;
  for (let i = 1; i < points.length; i++) {
    const [a, b] = [points[i - 1], points[i]] as [Vec2, Vec2];
    const [dx, dz] = [b[0] - a[0], b[1] - a[1]];
    const t = Math.min(1, Math.max(0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dz) / (dx * dx + dz * dz || 1)));
    least = Math.min(least, Math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dz));
  }
  return least;
}
