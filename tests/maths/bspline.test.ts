/** B-spline evaluation, exact splitting and sampling, against bezier-js, closed forms and dense brute force. */
import { Bezier } from 'bezier-js';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { basisDerivatives, bezierPoint, curvatureAt, derivativesAt, domainOf, insertKnot, knotInterval, mapPoles, pointAt, reversed, sampleCurve, splitAt, tangentAt, toBeziers, type BSplineCurve } from '../../src/maths/bspline.ts';
import { arcLength, basisPolynomials, evaluate, footFrom, nearestOn, piecewiseOf } from '../../src/maths/piecewise.ts';
import type { Vec2 } from '../../src/maths/vec.ts';

const coordinate = fc.double({ min: -100, max: 100, noNaN: true });
const curves = fc
  .tuple(fc.array(fc.tuple(coordinate, coordinate), { minLength: 4, maxLength: 14 }), fc.array(fc.double({ min: 0.1, max: 5, noNaN: true }), { minLength: 14, maxLength: 14 }))
  .map(([poles, gaps]): BSplineCurve => {
    const inner = poles.length - 4;
    const breaks = [0];
    for (let i = 0; i <= inner; i++) breaks.push(breaks[i]! + gaps[i]!);
    const end = breaks.at(-1)!;
    return { degree: 3, knots: [0, 0, 0, ...breaks, end, end, end], poles };
  });
const share = fc.double({ min: 0, max: 1, noNaN: true });
const at = (curve: BSplineCurve, s: number): number => domainOf(curve)[0] + s * (domainOf(curve)[1] - domainOf(curve)[0]);
const near = (a: Vec2, b: Vec2, within = 1e-9): void => {
  expect(Math.hypot(a[0] - b[0], a[1] - b[1])).toBeLessThan(within);
};

describe('evaluation', () => {
  test('basis functions add up to one and their derivatives to nothing', () => {
    fc.assert(
      fc.property(curves, share, (curve, s) => {
        const u = at(curve, s);
        const rows = basisDerivatives(curve.knots, 3, knotInterval(curve.knots, 3, u), u, 3);
        const sums = rows.map((row) => row.reduce((sum, v) => sum + v, 0));
        const sizes = rows.map((row) => row.reduce((sum, v) => sum + Math.abs(v), 1));
        expect(sums[0]).toBeCloseTo(1, 12);
        for (let k = 1; k <= 3; k++) expect(Math.abs(sums[k]!) / sizes[k]!).toBeLessThan(1e-12);
      }),
    );
  });

  test('a single piece is the Bezier curve of its poles, derivatives too (bezier-js)', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(coordinate, coordinate), { minLength: 4, maxLength: 4 }), fc.double({ min: 0.001, max: 0.999, noNaN: true }), (poles, t) => {
        const curve: BSplineCurve = { degree: 3, knots: [0, 0, 0, 0, 1, 1, 1, 1], poles };
        const bezier = new Bezier(poles.map(([x, y]) => ({ x, y })));
        const [p, d1, d2] = derivativesAt(curve, t, 2);
        const [q, e1, e2] = [bezier.get(t), bezier.derivative(t), bezier.dderivative(t)];
        near(p!, [q.x, q.y]);
        near(d1!, [e1.x, e1.y], 1e-8);
        near(d2!, [e2.x, e2.y], 1e-8);
        near(bezierPoint(poles, t), [q.x, q.y]);
      }),
    );
  });

  test('derivatives agree with divided differences', () => {
    fc.assert(
      fc.property(curves, fc.double({ min: 0.05, max: 0.95, noNaN: true }), (curve, s) => {
        const u = at(curve, s);
        const h = 1e-5;
        const [, d1] = derivativesAt(curve, u, 1);
        const [a, b] = [pointAt(curve, u - h), pointAt(curve, u + h)];
        near(d1!, [(b[0] - a[0]) / (2 * h), (b[1] - a[1]) / (2 * h)], 0.05);
      }),
    );
  });

  test('a quarter circle has curvature 1/R, signed by the side it turns to', () => {
    // The usual cubic with arms 0.5522847498 R stays within 0.028 % of the circle (from memory, any text on computer graphics).
    const k = (4 / 3) * (Math.SQRT2 - 1) * 10;
    const left: BSplineCurve = { degree: 3, knots: [0, 0, 0, 0, 1, 1, 1, 1], poles: [[10, 0], [10, k], [k, 10], [0, 10]] };
    expect(curvatureAt(left, 0.5)).toBeCloseTo(0.1, 2);
    expect(curvatureAt(reversed(left), 0.5)).toBeCloseTo(-0.1, 2);
    near(tangentAt(left, 0), [0, 1]);
    expect(arcLength(piecewiseOf(left))).toBeCloseTo(5 * Math.PI, 2);
  });
});

describe('the same curve in other forms', () => {
  test('inserting a knot, splitting, reversing and cutting into Beziers change no point', () => {
    fc.assert(
      fc.property(curves, fc.double({ min: 0.01, max: 0.99, noNaN: true }), share, (curve, cutShare, s) => {
        const u = at(curve, s);
        const cut = at(curve, cutShare);
        const p = pointAt(curve, u);
        near(pointAt(insertKnot(curve, cut, 2), u), p);
        const [a, b] = splitAt(curve, cut);
        near(pointAt(u <= cut ? a : b, u), p);
        expect(a.poles.at(-1)).toEqual(b.poles[0]);
        for (const part of [a, b]) expect(part.knots.length).toBe(part.poles.length + 4);
        const [from, to] = domainOf(curve);
        near(pointAt(reversed(curve), from + to - u), p);
        const piece = toBeziers(curve).find((q) => u >= q.from && u <= q.to)!;
        near(bezierPoint(piece.poles, (u - piece.from) / (piece.to - piece.from)), p, 1e-8);
      }),
    );
  });

  test('splitting at a knot works for every multiplicity it may have', () => {
    const curve: BSplineCurve = { degree: 3, knots: [0, 0, 0, 0, 1, 2, 3, 3, 3, 3], poles: [[0, 0], [1, 2], [2, -1], [3, 4], [4, 0], [6, 1]] };
    for (const times of [0, 1, 2]) {
      const [a, b] = splitAt(insertKnot(curve, 1, times), 1);
      for (const u of [0.2, 0.7, 0.999]) near(pointAt(a, u), pointAt(curve, u));
      for (const u of [1, 1.3, 2.9]) near(pointAt(b, u), pointAt(curve, u));
    }
    expect(() => splitAt(curve, 0)).toThrow();
    expect(() => splitAt(curve, 4)).toThrow();
  });

  test('polynomial pieces give the same points and derivatives', () => {
    const work = new Float64Array(6);
    fc.assert(
      fc.property(curves, share, (curve, s) => {
        const u = at(curve, s);
        evaluate(piecewiseOf(curve), u, work);
        const [p, d1, d2] = derivativesAt(curve, u, 2);
        const size = 1 + Math.hypot(...d2!);
        near([work[0]!, work[1]!], p!, 1e-9 * size);
        near([work[2]!, work[3]!], d1!, 1e-9 * size);
        near([work[4]!, work[5]!], d2!, 1e-8 * size);
      }),
    );
    const out = new Float64Array(16);
    basisPolynomials([0, 0, 0, 0, 1, 1, 1, 1], 3, out, 0);
    expect([...out]).toEqual([1, -3, 3, -1, 0, 3, -6, 3, 0, 0, 3, -3, 0, 0, 0, 1]);
  });

  test('moving the poles moves the curve', () => {
    fc.assert(fc.property(curves, share, (curve, s) => near(pointAt(mapPoles(curve, ([x, z]) => [x - 7, z + 2]), at(curve, s)), [pointAt(curve, at(curve, s))[0] - 7, pointAt(curve, at(curve, s))[1] + 2])));
  });
});

describe('measuring', () => {
  test('a sampled polyline leaves the curve by no more than the chord error asked for', () => {
    fc.assert(
      fc.property(curves, fc.constantFrom(1, 0.1, 0.01), (curve, chord) => {
        const line = sampleCurve(curve, chord);
        expect(line[0]).toEqual(curve.poles[0]);
        expect(line.at(-1)).toEqual(curve.poles.at(-1));
        for (let k = 0; k <= 200; k++) {
          const p = pointAt(curve, at(curve, k / 200));
          let best = Infinity;
          for (let i = 0; i + 1 < line.length; i++) best = Math.min(best, segmentDistance(p, line[i]!, line[i + 1]!));
          expect(best).toBeLessThanOrEqual(chord + 1e-9);
        }
      }),
      { numRuns: 30 },
    );
  });

  test('length agrees with a fine polyline', () => {
    fc.assert(
      // Poles that run forward: quadrature, like any, needs a curve without cusps, and a contour has none.
      fc.property(curves, (wild) => {
        let x = 0;
        const curve = mapPoles(wild, (pole) => [(x += 1 + Math.abs(pole[0]) / 10), pole[1] / 50]);
        const line = sampleCurve(curve, 1e-4);
        let sum = 0;
        for (let i = 1; i < line.length; i++) sum += Math.hypot(line[i]![0] - line[i - 1]![0], line[i]![1] - line[i - 1]![1]);
        expect(Math.abs(arcLength(piecewiseOf(curve)) - sum)).toBeLessThan(1e-3 * sum);
      }),
      { numRuns: 30 },
    );
  });

  test('the nearest point is no farther than any of a thousand others, and square to the curve', () => {
    fc.assert(
      fc.property(curves, fc.tuple(coordinate, coordinate), (curve, p) => {
        const foot = nearestOn(piecewiseOf(curve), p);
        for (let k = 0; k <= 1000; k++) {
          const q = pointAt(curve, at(curve, k / 1000));
          // The sampling that starts the search may miss a nearer loop of a wild curve; it may not miss by much.
          expect(foot.distance).toBeLessThanOrEqual(1.05 * Math.hypot(q[0] - p[0], q[1] - p[1]) + 1e-9);
        }
        near(pointAt(curve, foot.u), foot.point, 1e-8);
      }),
      { numRuns: 60 },
    );
  });

  test('a foot found from nearby is square to the curve', () => {
    const curve: BSplineCurve = { degree: 3, knots: [0, 0, 0, 0, 1, 2, 2, 2, 2], poles: [[0, 0], [3, 5], [8, 6], [12, 4], [15, 0]] };
    const p = piecewiseOf(curve);
    const work = new Float64Array(6);
    const u = footFrom(p, 7, 9, 0.3, 0, 2, work);
    const [q, d] = derivativesAt(curve, u, 1);
    expect((7 - q![0]) * d![0] + (9 - q![1]) * d![1]).toBeCloseTo(0, 9);
  });
});

function segmentDistance(p: Vec2, a: Vec2, b: Vec2): number {
  const [dx, dz] = [b[0] - a[0], b[1] - a[1]];
  const size = dx * dx + dz * dz;
  const s = size > 0 ? Math.min(1, Math.max(0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dz) / size)) : 0;
  return Math.hypot(p[0] - a[0] - s * dx, p[1] - a[1] - s * dz);
}
