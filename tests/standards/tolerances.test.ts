/** ISO 2768-1 and ISO 286-1 tables (secondary pages that agree), ASME Y14.5 formulas, ball-end scallop (figures computed in another language). */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { fixedTolerance, fixedToleranceLeft, floatingTolerance, positionError } from '../../src/standards/fasteners.ts';
import { scallopHeight, scallopStep } from '../../src/standards/scallop.ts';
import { clearanceHole } from '../../src/standards/threads.ts';
import { generalAngle, generalLinear, generalRadius, gradeWidth, grades, holeH, pinFit, pinM6, toleranceClasses } from '../../src/standards/tolerances.ts';

describe('ISO 2768-1', () => {
  // Upper end of each range, so that the boundary is tested too.
  test.each([
    [3, 0.05, 0.1, 0.2, null], [6, 0.05, 0.1, 0.3, 0.5], [30, 0.1, 0.2, 0.5, 1], [120, 0.15, 0.3, 0.8, 1.5],
    [400, 0.2, 0.5, 1.2, 2.5], [1000, 0.3, 0.8, 2, 4], [2000, 0.5, 1.2, 3, 6], [4000, null, 2, 4, 8],
  ])('linear up to and including %d', (size, f, m, c, v) => {
    expect(toleranceClasses.map((grade) => generalLinear(size, grade))).toEqual([f, m, c, v]);
  });

  test('a boundary belongs to the lower range; outside the table there is no tolerance', () => {
    expect(generalLinear(6, 'm')).toBe(0.1);
    expect(generalLinear(6.0001, 'm')).toBe(0.2);
    expect(generalLinear(0.49, 'm')).toBeNull();
    expect(generalLinear(4000.1, 'm')).toBeNull();
    expect(generalLinear(NaN, 'm')).toBeNull();
  });

  test('radii and angles', () => {
    expect([3, 6, 6.1].map((size) => generalRadius(size, 'm'))).toEqual([0.2, 0.5, 1]);
    expect([3, 6, 6.1].map((size) => generalRadius(size, 'c'))).toEqual([0.4, 1, 2]);
    expect([10, 50, 120, 400, 401].map((leg) => generalAngle(leg, 'f'))).toEqual([1, 1 / 2, 1 / 3, 1 / 6, 1 / 12]);
    expect([10, 50, 120, 400, 401].map((leg) => generalAngle(leg, 'c'))).toEqual([1.5, 1, 0.5, 0.25, 1 / 6]);
    expect([10, 50, 120, 400, 401].map((leg) => generalAngle(leg, 'v'))).toEqual([3, 2, 1, 0.5, 1 / 3]);
  });

  test('a coarser class or a longer size is never tighter', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.5, max: 2000, noNaN: true }), fc.double({ min: 0.5, max: 2000, noNaN: true }), (a, b) => {
        const [small, large] = a < b ? [a, b] : [b, a];
        for (const grade of toleranceClasses) {
          const [one, two] = [generalLinear(small, grade), generalLinear(large, grade)];
          if (one !== null && two !== null) expect(two).toBeGreaterThanOrEqual(one);
        }
        const row = toleranceClasses.map((grade) => generalLinear(small, grade)).filter((value) => value !== null);
        expect([...row].sort((x, y) => x - y)).toEqual(row);
      }),
    );
  });
});

describe('ISO 286-1', () => {
  test.each([
    [3, 10], [6, 12], [10, 15], [18, 18], [30, 21], [50, 25], [80, 30], [120, 35], [180, 40], [250, 46], [315, 52], [400, 57], [500, 63],
  ])('IT7 up to and including %d is %d um', (size, microns) => {
    expect(gradeWidth(size, 7)).toBeCloseTo(microns / 1000, 12);
  });

  test('boundaries and outside', () => {
    expect(gradeWidth(3.001, 7)).toBe(0.012);
    expect(gradeWidth(6.001, 12)).toBe(0.15);
    expect(gradeWidth(500.1, 7)).toBeNull();
    expect(gradeWidth(0, 7)).toBeNull();
    expect(gradeWidth(-5, 7)).toBeNull();
  });

  test('each grade is wider than the last, five grades up is near ten times', () => {
    for (const size of [2, 5, 8, 15, 25, 40, 70, 100, 150, 200, 300, 350, 450]) {
      const widths = grades.map((grade) => gradeWidth(size, grade) ?? NaN);
      for (let i = 1; i < widths.length; i++) expect(widths[i]).toBeGreaterThan(widths[i - 1] ?? NaN);
      // Every fifth grade is ten times, by the way the system is built (from memory); the table rounds.
      expect((gradeWidth(size, 12) ?? NaN) / (gradeWidth(size, 7) ?? NaN)).toBeCloseTo(10, 0);
    }
  });

  test('H7 and H8 as printed, pin m6 from memory, their fit computed', () => {
    expect([3, 4, 5, 6, 8, 10].map((size) => holeH(size, 7)?.upper)).toEqual([0.01, 0.012, 0.012, 0.012, 0.015, 0.015]);
    expect([3, 4, 5, 6, 8, 10].map((size) => holeH(size, 8)?.upper)).toEqual([0.014, 0.018, 0.018, 0.018, 0.022, 0.022]);
    expect(pinM6(12)).toEqual({ lower: 0.007, upper: 0.018 });
    expect(pinM6(18.1)).toBeNull();
    // m6 spans IT6: independent of memory.
    for (const size of [2, 5, 8, 15]) expect((pinM6(size)?.upper ?? NaN) - (pinM6(size)?.lower ?? NaN)).toBeCloseTo(gradeWidth(size, 6) ?? NaN, 12);
    expect(pinFit(3)?.interference).toBeCloseTo(0.008, 12);
    expect(pinFit(3)?.clearance).toBeCloseTo(0.008, 12);
    expect(pinFit(6)?.interference).toBeCloseTo(0.012, 12);
    expect(pinFit(6)?.clearance).toBeCloseTo(0.008, 12);
    expect(pinFit(8)?.clearance).toBeCloseTo(0.009, 12);
  });
});

describe('ASME Y14.5 fasteners', () => {
  test('worked: screw 6, hole 6.44 gives 0.22 each fixed (printed), 0.44 floating', () => {
    expect(fixedTolerance(6.44, 6)).toBeCloseTo(0.22, 12);
    expect(floatingTolerance(6.44, 6)).toBeCloseTo(0.44, 12);
  });

  test('M6 in its medium hole: 0.60 and 0.30 (computed)', () => {
    expect(floatingTolerance(clearanceHole('M6', 'medium'), 6)).toBeCloseTo(0.6, 12);
    expect(fixedTolerance(clearanceHole('M6', 'medium'), 6)).toBeCloseTo(0.3, 12);
  });

  test('an unequal split keeps the sum', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.1, max: 5, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true }), (gap, part) => {
        const tapped = part * gap;
        expect(tapped + fixedToleranceLeft(10 + gap, 10, tapped)).toBeCloseTo(gap, 9);
      }),
    );
  });

  test('position error of 0.1 and 0.15 is 0.3606 (computed)', () => {
    expect(positionError(0.1, 0.15)).toBeCloseTo(0.36056, 5);
  });
});

describe('ball-end scallop', () => {
  test.each([
    [3, 0.5, 0.010434814224650424], [3.175, 0.508, 0.010176308228213138], [5, 0.5, 0.0062539111404555925],
    [5, 1, 0.025062814466900285], [2, 0.2, 0.0025015644561821038], [6, 1, 0.020869628449300848],
  ])('R %d, step %d', (radius, step, height) => {
    expect(Math.abs(scallopHeight(radius, step) / height - 1)).toBeLessThan(1e-9);
  });

  test.each([[3, 0.005, 0.34626579386361567], [3, 0.01, 0.4894895300208167], [5, 0.01, 0.6321392251711644]])('inverse R %d, h %d', (radius, height, step) => {
    expect(Math.abs(scallopStep(radius, height) / step - 1)).toBeLessThan(1e-9);
  });

  test('inverse of each other, above s^2/8R, never above R; too wide a step is not a ridge', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.1, max: 25, noNaN: true }), fc.double({ min: 1e-3, max: 0.999, noNaN: true }), (radius, part) => {
        const step = 2 * radius * part;
        const height = scallopHeight(radius, step);
        expect(height).toBeGreaterThanOrEqual((step * step) / (8 * radius));
        expect(height).toBeLessThanOrEqual(radius);
        expect(Math.abs(scallopStep(radius, height) / step - 1)).toBeLessThan(1e-9);
      }),
    );
    expect(scallopHeight(3, 6.01)).toBeNaN();
    expect(scallopHeight(3, 0)).toBe(0);
  });
});
