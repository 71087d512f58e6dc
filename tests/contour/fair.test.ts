/** The faired contour against truths known exactly: shapes with seeded noise, poses, corners, end angles, weights, ball tips. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { derivativesAt, domainOf, mapPoles, pointAt, sampleCurve, type BSplineCurve } from '../../src/maths/bspline.ts';
import { nearestOn, piecewiseOf } from '../../src/maths/piecewise.ts';
import type { Vec2 } from '../../src/maths/vec.ts';
import { normals } from '../maths/noise.ts';
import { fair as fairlyOrNot, fairly, pointOf, reportOf, shapes, tableOf } from './tables.ts';

const gap = (a: BSplineCurve, b: BSplineCurve): number => {
  const p = piecewiseOf(b);
  return Math.max(...sampleCurve(a, 0.01).map((at) => nearestOn(p, at).distance));
};
const slopeAt = (curve: BSplineCurve, u: number): number => {
  const [dx, dz] = derivativesAt(curve, u, 1)[1]!;
  return (Math.atan2(dz, dx) * 180) / Math.PI;
};

describe('truth', () => {
  test.each(Object.entries(shapes))('%s: 25 readings with 0.05 mm of noise give a curve nearer the truth than the readings', (_, f) => {
    let curve = 0;
    let reading = 0;
    for (let seed = 1; seed <= 60; seed++) {
      const table = tableOf(f, 25, 0.05, seed);
      const { report } = fairly(table, { readingError: 0.05 });
      for (const r of report.residuals) {
        curve += (r.foot[1] - f(r.foot[0])) ** 2;
        reading += (r.at[1] - f(r.at[0])) ** 2;
      }
    }
    // Simulated over 300 seeds: 0.7, 0.8, 0.3, 0.8 of the reading error at the readings; at the ends always most.
    expect(Math.sqrt(curve / reading)).toBeLessThan(0.85);
  });

  test('a straight taper comes out straight', () => {
    const exact = fairly(tableOf(shapes.taper, 12, 0, 1), { readingError: 0.05 });
    for (const p of sampleCurve(exact.spans[0]!, 0.01)) expect(p[1]).toBeCloseTo(shapes.taper(p[0]), 8);
    expect(exact.report).toMatchObject({ inflections: [], leastConvex: null, leastConcave: null });
    expect(exact.report.rms).toBeLessThan(1e-8);
  });

  test('readings without noise and without a stated error: the curve passes within a hundredth', () => {
    for (const f of Object.values(shapes)) {
      const { report } = fairly(tableOf(f, 31, 0, 1));
      expect(report.rule).toBe('cross validation');
      expect(Math.abs(report.largest.distance)).toBeLessThan(0.01);
      expect(report.outliers).toEqual([]);
    }
  });

  test('first and last pole stand exactly on the first and last used station', () => {
    for (let seed = 1; seed < 20; seed++) {
      const table = tableOf(shapes.dip, 25, 0.2, seed).map((p, i) => ({ ...p, x: p.x + 0.1234567 * ((i * 7) % 5) }));
      for (const smoothing of ['auto', 'cross validation', 'through the points', 'by hand'] as const) {
        const [span] = fairly(table, { readingError: 0.2 }, { smoothing }).spans;
        expect(span!.poles[0]![0]).toBe(table[0]!.x);
        expect(span!.poles.at(-1)![0]).toBe(table.at(-1)!.x);
        expect(span!.knots.length).toBe(span!.poles.length + 4);
      }
    }
  });
});

describe('smoothness', () => {
  const table = tableOf(shapes.crown, 25, 0.05, 3);

  test('auto: the stated error where there is one, of the table or of the readings; else cross validation', () => {
    expect(reportOf(table, { readingError: 0.05 })).toMatchObject({ rule: 'reading error', readingError: 0.05, readingErrorStated: true });
    expect(reportOf(table.map((p) => ({ ...p, error: 0.05 })))).toMatchObject({ rule: 'reading error', readingError: 0.05, readingErrorStated: true });
    expect(reportOf(table)).toMatchObject({ rule: 'cross validation', readingErrorStated: false, agreement: null });
    expect(reportOf(table.slice(0, 6))).toMatchObject({ rule: 'reading error', readingError: 0.05, readingErrorStated: false });
  });

  test('the error estimated from the readings is near the true one', () => {
    const found = Array.from({ length: 40 }, (_, seed) => reportOf(tableOf(shapes.crown, 40, 0.05, seed)).readingError);
    const mean = found.reduce((sum, v) => sum + v, 0) / found.length;
    expect(mean).toBeGreaterThan(0.04);
    expect(mean).toBeLessThan(0.06);
  });

  test('misses agree with a stated error that is right, and say so when it is wrong', () => {
    const mean = (stated: number): number => Array.from({ length: 40 }, (_, seed) => reportOf(tableOf(shapes.crown, 25, 0.05, seed), { readingError: stated }).agreement!).reduce((sum, v) => sum + v, 0) / 40;
    expect(Math.abs(mean(0.05))).toBeLessThan(1);
    expect(mean(0.02)).toBeGreaterThan(2);
    expect(mean(0.2)).toBeLessThan(-1.5);
  });

  test('for shapes that spend few parameters the misses lie in the band of Reinsch (1967), n -+ sqrt(2n), as often as they should', () => {
    let inside = 0;
    for (let seed = 1; seed <= 200; seed++) {
      const { weightedMisses } = reportOf(tableOf(shapes.taper, 49, 0.05, seed), { readingError: 0.05 });
      if (Math.abs(weightedMisses - 49) <= Math.sqrt(98)) inside++;
    }
    // One standard deviation either way: 68 % of tables, less a little for the parameters spent.
    expect(inside / 200).toBeGreaterThan(0.6);
  });

  test('by hand: 0 passes through the points, 1 is a straight line, and between them the curve only gets stiffer', () => {
    const loose = reportOf(table, {}, { smoothing: 'by hand', stiffness: 0 });
    expect(Math.abs(loose.largest.distance)).toBeLessThan(1e-4);
    const stiff = fairly(table, {}, { smoothing: 'by hand', stiffness: 1 });
    expect(stiff.report.freedom).toBeCloseTo(2, 3);
    const [a, b] = domainOf(stiff.spans[0]!);
    expect(slopeAt(stiff.spans[0]!, a)).toBeCloseTo(slopeAt(stiff.spans[0]!, b), 2);
    let before = 0;
    for (const knob of [0, 0.2, 0.4, 0.6, 0.8, 1]) {
      const { rms, freedom } = reportOf(table, {}, { smoothing: 'by hand', stiffness: knob });
      expect(rms).toBeGreaterThanOrEqual(before);
      expect(freedom).toBeCloseTo(2 * (25 / 2) ** (1 - knob), 1);
      before = rms;
    }
  });

  test('through the points: passes through every one, bends continuously', () => {
    const { spans, report } = fairly(table, {}, { smoothing: 'through the points' });
    expect(report.rms).toBeLessThan(1e-9);
    expect(report.through.largestDeparture).toBe(0);
    expect(report.stiffness).toEqual([0]);
    expect(spans[0]!.poles).toHaveLength(27);
  });

  test('25 readings with 0.15 mm of noise: passing through them makes a dozen false bends, fairing none that counts', () => {
    // Common practice says "about 12 against 0.5" for sweeps like these (computed); here counted on arcs of 400 to 1500 mm radius.
    let through = 0;
    let faired = 0;
    let tables = 0;
    for (const radius of [400, 1500]) {
      for (let seed = 1; seed <= 50; seed++, tables++) {
        const table = tableOf((x) => 60 - radius + Math.sqrt(radius * radius - (x - 190) ** 2), 25, 0.15, seed);
        faired += reportOf(table, { readingError: 0.15 }).inflections.length;
        // A curve through the points claims every bend it has: a thousandth of a millimetre deep is deep enough.
        through += reportOf(table, { readingError: 0.001 }, { smoothing: 'through the points' }).inflections.length;
      }
    }
    expect(through / tables).toBeGreaterThan(9);
    expect(faired / tables).toBeLessThan(0.5);
  });

  test('the comparison with passing through is in the report', () => {
    const report = reportOf(table, { readingError: 0.05 });
    expect(report.through.largestDeparture).toBeGreaterThan(0.02);
    expect(report.through.largestDeparture).toBeLessThan(0.3);
    expect(report.through.leastConvex!.radius).toBeLessThan(report.leastConvex!.radius);
  });

  test('a reading with a large error of its own hardly counts', () => {
    const f = shapes.crown;
    const table = tableOf(f, 25, 0.05, 9).map((p, i) => (i === 12 ? { ...p, z: p.z + 3, error: 3 } : p));
    const { report } = fairly(table, { readingError: 0.05 });
    expect(report.residuals[12]!.error).toBe(3);
    expect(report.residuals[12]!.distance).toBeGreaterThan(2.8);
    expect(report.outliers).toEqual([]);
    expect(report.residuals[12]!.leverage).toBeLessThan(0.01);
  });
});

describe('what the report says', () => {
  test('arc of 650 mm radius: least convex radius, length, no dip, no change of bend', () => {
    const report = reportOf(tableOf(shapes.arc, 60, 0.01, 2), { readingError: 0.01 });
    const length = 2 * 650 * Math.asin(190 / 650);
    expect(report.length).toBeCloseTo(length, 1);
    expect(report.inflections).toEqual([]);
    expect(report.leastConcave).toBeNull();
    // Curvature is the least certain figure: the penalty straightens the ends, and the bend beside them is sharper for it.
    expect(Math.abs(report.leastConvex!.radius / 650 - 1)).toBeLessThan(0.35);
  });

  test('dip: two changes of bend where the cosine has them, least dip radius at its bottom', () => {
    const k = (2 * Math.PI * 1.2) / 380;
    const report = reportOf(tableOf(shapes.dip, 60, 0.02, 4), { readingError: 0.02 });
    expect(report.inflections).toHaveLength(2);
    for (const i of [0, 1]) expect(Math.abs(report.inflections[i]![0] - ((2 * i + 1) * Math.PI) / 2 / k)).toBeLessThan(12);
    // At the bottom x = pi / k the slope is -0.03 and the second derivative 6 k^2.
    expect(Math.abs(report.leastConcave!.radius / (1 / (6 * k * k)) - 1)).toBeLessThan(0.15);
    expect(Math.abs(report.leastConcave!.at[0] - Math.PI / k)).toBeLessThan(20);
  });

  test('residuals are true distances, positive above; left-out readings keep theirs without weight', () => {
    const table = tableOf(shapes.arc, 25, 0.05, 5).map((p, i) => (i === 7 ? { ...p, z: p.z + 2, leaveOut: true } : p));
    const { report, spans } = fairly(table, { readingError: 0.05 });
    expect(report).toMatchObject({ used: 24, given: 25 });
    expect(report.residuals).toHaveLength(25);
    const p = piecewiseOf(spans[0]!);
    report.residuals.forEach((r, i) => {
      expect(r.index).toBe(i);
      expect(Math.abs(Math.abs(r.distance) - nearestOn(p, r.at).distance)).toBeLessThan(1e-9);
      expect(Math.sign(r.distance)).toBe(Math.sign(r.at[1] - r.foot[1]));
    });
    expect(report.residuals[7]).toMatchObject({ used: false, studentised: null, leverage: 0 });
    expect(report.residuals[7]!.distance).toBeGreaterThan(1.8);
    const without = fairly(table.filter((_, i) => i !== 7), { readingError: 0.05 });
    expect(gap(spans[0]!, without.spans[0]!)).toBeLessThan(1e-9);
    const sum = report.residuals.filter((r) => r.used).reduce((s, r) => s + r.leverage, 0);
    expect(sum).toBeCloseTo(report.freedom, 6);
  });

  test('the band holds the truth at about 95 % of places over many tables', () => {
    for (const stated of [0.1, undefined]) {
      let held = 0;
      let looked = 0;
      for (let seed = 1; seed <= 120; seed++) {
        const f = seed % 2 ? shapes.crown : shapes.dip;
        const report = reportOf(tableOf(f, 40, 0.1, seed), stated ? { readingError: stated } : {});
        for (const { at, half } of report.band) {
          const slope = (f(at[0] + 0.01) - f(at[0] - 0.01)) / 0.02;
          if (Math.abs(at[1] - f(at[0])) / Math.hypot(1, slope) <= half) held++;
          looked++;
        }
      }
      expect(held / looked).toBeGreaterThan(0.92);
      expect(held / looked).toBeLessThan(0.985);
    }
  });
});

describe('one case, many poses', () => {
  const table = tableOf(shapes.crown, 25, 0.05, 11);
  const given = { readingError: 0.05 };
  const [plain] = fairly(table, given).spans;

  test('moved', () => {
    const [moved] = fairly(table.map((p) => ({ ...p, x: p.x - 900, z: p.z + 250 })), given).spans;
    expect(gap(mapPoles(moved!, ([x, z]) => [x + 900, z - 250]), plain!)).toBeLessThan(1e-8);
  });

  test('mirrored', () => {
    const [mirrored] = fairly(table.map((p) => ({ ...p, x: -p.x })), given).spans;
    expect(mirrored!.poles[0]![0]).toBe(-380);
    expect(gap(mapPoles(mirrored!, ([x, z]) => [-x, z]), plain!)).toBeLessThan(1e-6);
  });

  test('read from back to front: the same curve, the same way round; residuals stay with their readings', () => {
    const back = fairly([...table].reverse(), given);
    expect(back.spans[0]).toEqual(plain);
    expect(back.report.residuals[3]!.at).toEqual(fairly(table, given).report.residuals[21]!.at);
    expect(back.report.residuals[3]!.distance).toBe(fairly(table, given).report.residuals[21]!.distance);
  });

  test('in other units', () => {
    const [small] = fairly(table.map((p) => ({ ...p, x: p.x / 25.4, z: p.z / 25.4 })), { readingError: 0.05 / 25.4 }).spans;
    expect(gap(mapPoles(small!, ([x, z]) => [25.4 * x, 25.4 * z]), plain!)).toBeLessThan(1e-6);
  });

  test('a reading given twice is two readings: as one of twice the weight', () => {
    const twice = fairly([...table.slice(0, 10), table[9]!, ...table.slice(10)], given);
    const heavy = fairly(table.map((p, i) => (i === 9 ? { ...p, error: 0.05 / Math.SQRT2 } : p)), given);
    expect(twice.report.used).toBe(26);
    expect(gap(twice.spans[0]!, heavy.spans[0]!)).toBeLessThan(0.01);
  });

  test('every station measured three times', () => {
    const noise = normals(8, 75);
    const thrice = Array.from({ length: 75 }, (_, i) => pointOf(Math.floor(i / 3) * 15, shapes.crown(Math.floor(i / 3) * 15) + 0.05 * noise[i]!));
    const { spans } = fairly(thrice, given);
    for (const p of sampleCurve(spans[0]!, 0.01)) expect(Math.abs(p[1] - shapes.crown(p[0]))).toBeLessThan(0.2);
  });

  test('readings closer together than they are true: a dense scan is faired, not followed', () => {
    const noise = normals(12, 8000);
    const scan = Array.from({ length: 4000 }, (_, i) => pointOf(i * 0.095 + 0.05 * noise[2 * i]!, shapes.crown(i * 0.095) + 0.05 * noise[2 * i + 1]!));
    for (const more of [given, {}]) {
      const { spans, report } = fairly(scan, more);
      expect(report.freedom).toBeLessThan(60);
      expect(Math.abs(report.rms / 0.05 - 1)).toBeLessThan(0.06);
      for (const p of sampleCurve(spans[0]!, 0.01)) expect(Math.abs(p[1] - shapes.crown(p[0]))).toBeLessThan(0.06);
    }
  });

  test('20 000 readings: thinning for the choice of stiffness changes nothing that can be seen', () => {
    const noise = normals(13, 20000);
    const scan = noise.map((e, i) => pointOf((i * 380) / 19999, shapes.dip((i * 380) / 19999) + 0.05 * e));
    const { spans, report } = fairly(scan, given);
    expect(Math.abs(report.rms / 0.05 - 1)).toBeLessThan(0.03);
    for (const p of sampleCurve(spans[0]!, 0.01)) expect(Math.abs(p[1] - shapes.dip(p[0]))).toBeLessThan(0.03);
    expect(spans[0]!.poles.length).toBeLessThan(500);
  });
});

describe('corners', () => {
  const roof = (x: number): number => (x < 150 ? 30 + 0.2 * x : 60 - 0.1 * (x - 150)) - ((x - 190) / 100) ** 2;
  const table = tableOf(roof, 39, 0.02, 6).map((p) => (Math.abs(p.x - 150) < 1e-9 ? { ...p, corner: true } : p));

  test('a marked corner splits the curve; the spans share the pole and meet at an angle', () => {
    const { spans, report } = fairly(table, { readingError: 0.02 });
    expect(table.filter((p) => p.corner)).toHaveLength(1);
    expect(spans).toHaveLength(2);
    expect(spans[0]!.poles.at(-1)).toEqual(spans[1]!.poles[0]);
    const end = slopeAt(spans[0]!, domainOf(spans[0]!)[1]);
    const start = slopeAt(spans[1]!, domainOf(spans[1]!)[0]);
    expect(end - start).toBeCloseTo(((Math.atan(0.208) - Math.atan(-0.092)) * 180) / Math.PI, 0);
    expect(report.stiffness).toHaveLength(2);
    expect(Math.abs(spans[0]!.poles.at(-1)![0] - 150)).toBeLessThan(0.1);
    for (const span of spans) for (const p of sampleCurve(span, 0.01)) expect(Math.abs(p[1] - roof(p[0]))).toBeLessThan(0.06);
  });

  test('unmarked, the same readings are rounded over', () => {
    const { report } = fairly(table.map((p) => ({ ...p, corner: false })), { readingError: 0.02 });
    expect(Math.abs(report.largest.distance)).toBeGreaterThan(0.03);
  });

  test('corners at the ends change nothing; corners side by side leave straight pieces', () => {
    const ends = fairly(table.map((p, i) => ({ ...p, corner: p.corner || i === 0 || i === 38 })), { readingError: 0.02 });
    expect(ends.spans).toEqual(fairly(table, { readingError: 0.02 }).spans);
    const many = fairly(table.map((p, i) => ({ ...p, corner: i >= 14 && i <= 17 })), { readingError: 0.02 });
    expect(many.spans).toHaveLength(5);
    many.spans.slice(1).forEach((span, k) => expect(span.poles[0]).toEqual(many.spans[k]!.poles.at(-1)));
    expect(many.report.largest.distance).toBeLessThan(0.1);
  });

  test('through the points keeps corners too', () => {
    const { spans, report } = fairly(table, {}, { smoothing: 'through the points' });
    expect(spans).toHaveLength(2);
    expect(report.rms).toBeLessThan(1e-9);
  });
});

describe('end angles', () => {
  const table = tableOf(shapes.arc, 25, 0.05, 14);

  test('are met exactly, at either end, by every rule', () => {
    for (const smoothing of ['auto', 'cross validation', 'through the points', 'by hand'] as const) {
      const [span] = fairly(table, { readingError: 0.05 }, { smoothing, startAngle: 25, endAngle: -10 }).spans;
      const [from, to] = domainOf(span!);
      expect(slopeAt(span!, from)).toBeCloseTo(25, 8);
      expect(slopeAt(span!, to)).toBeCloseTo(-10, 8);
      expect(span!.poles[0]![0]).toBe(0);
      expect(span!.poles.at(-1)![0]).toBe(380);
    }
  });

  test('belong to the front and the back whichever way the table runs', () => {
    const [span] = fairly([...table].reverse(), { readingError: 0.05 }, { startAngle: 25 }).spans;
    expect(slopeAt(span!, domainOf(span!)[0])).toBeCloseTo(25, 8);
  });

  test('the true angles draw the ends nearer the truth', () => {
    const angle = (Math.asin(190 / 650) * 180) / Math.PI;
    let free = 0;
    let held = 0;
    for (let seed = 1; seed <= 40; seed++) {
      const noisy = tableOf(shapes.arc, 25, 0.05, seed);
      const miss = (span: BSplineCurve): number => (pointAt(span, domainOf(span)[0])[1] - shapes.arc(0)) ** 2;
      free += miss(fairly(noisy, { readingError: 0.05 }).spans[0]!);
      held += miss(fairly(noisy, { readingError: 0.05 }, { startAngle: angle, endAngle: -angle }).spans[0]!);
    }
    expect(held).toBeLessThan(free);
  });
});

describe('NACA 0012 (Report 460, 1933; ordinates seen on a secondary page, curvature computed from the formula)', () => {
  const half = (x: number): number => 0.6 * (0.2969 * Math.sqrt(x) - 0.126 * x - 0.3516 * x ** 2 + 0.2843 * x ** 3 - 0.1015 * x ** 4);
  const ordinates = [[2.5, 2.6147], [5, 3.5547], [10, 4.6828], [20, 5.7375], [30, 6.0017], [40, 5.803], [50, 5.294], [60, 4.5634], [70, 3.6639], [80, 2.6231], [90, 1.4477]] as const;
  const chord = 400;

  test('the formula gives the published ordinates', () => {
    for (const [x, y] of ordinates) expect(100 * half(x / 100)).toBeCloseTo(y, 3);
  });

  const nose = (n: number, error: number, seed: number): ReturnType<typeof pointOf>[] => {
    // From below, round the nose, and along the top: the tangent at the nose is vertical.
    const noise = normals(seed, 2 * n);
    return Array.from({ length: n }, (_, i) => {
      const turn = -0.3 * Math.PI + (0.8 * Math.PI * i) / (n - 1);
      const x = 1 - Math.cos(turn);
      return pointOf(chord * x + error * noise[2 * i]!, Math.sign(turn) * chord * half(Math.min(1, x)) + error * noise[2 * i + 1]!);
    });
  };

  test('exact readings, passed through: ordinates, nose radius 1.1019 t^2 and curvature along the top', () => {
    const { spans, report } = fairly(nose(161, 0, 1), {}, { smoothing: 'through the points' });
    const p = piecewiseOf(spans[0]!);
    for (const [x, y] of ordinates) expect(nearestOn(p, [x * 4, y * 4]).distance).toBeLessThan(2e-3);
    expect(report.leastConvex!.radius / (chord * 0.0158669298)).toBeCloseTo(1, 1);
    expect(Math.hypot(...report.leastConvex!.at)).toBeLessThan(2);
    for (const [x, curvature] of [[0.01, 21.06079353], [0.05, 3.8185593], [0.1, 1.66363831], [0.3, 0.45167937], [0.5, 0.217543], [0.7, 0.13765916]] as const) {
      const { u } = nearestOn(p, [chord * x, chord * half(x)]);
      const [, d1, d2] = derivativesAt(spans[0]!, u, 2);
      const found = (-chord * (d1![0] * d2![1] - d1![1] * d2![0])) / Math.hypot(...d1!) ** 3;
      expect(found / curvature).toBeCloseTo(1, 1);
    }
  });

  test('readings with 0.02 mm of noise: within three errors of the ordinates, nose radius within 8 %', () => {
    for (let seed = 1; seed <= 5; seed++) {
      const { spans, report } = fairly(nose(81, 0.02, seed), { readingError: 0.02 });
      const p = piecewiseOf(spans[0]!);
      for (const [x, y] of ordinates) expect(nearestOn(p, [x * 4, y * 4]).distance).toBeLessThan(0.06);
      expect(Math.abs(report.leastConvex!.radius / (chord * 0.0158669298) - 1)).toBeLessThan(0.08);
    }
  });
});

describe('ball tip', () => {
  const radius = 3;
  /** Bottom of a ball resting on the contour at contact point p with upward normal n. */
  const readingOf = (p: Vec2, n: Vec2): Vec2 => [p[0] + radius * n[0], p[1] + radius * n[1] - radius];

  test.each([15, 30])('on a slope of %d deg a 6 mm ball reads high by r (1/cos t - 1): 0.11 at 15, 0.46 at 30 (computed)', (deg) => {
    const t = (deg * Math.PI) / 180;
    const table = Array.from({ length: 12 }, (_, i) => {
      const p: Vec2 = [10 * i, 5 + 10 * i * Math.tan(t)];
      const [x, z] = readingOf(p, [-Math.sin(t), Math.cos(t)]);
      return pointOf(x, z);
    });
    const high = table[5]!.z - (5 + table[5]!.x * Math.tan(t));
    expect(high).toBeCloseTo(radius * (1 / Math.cos(t) - 1), 12);
    expect(high).toBeCloseTo(deg === 15 ? 0.11 : 0.46, 2);
    const { spans, report } = fairly(table, { tipRadius: radius, readingError: 0.02 });
    for (const p of sampleCurve(spans[0]!, 0.01)) expect(p[1]).toBeCloseTo(5 + p[0] * Math.tan(t), 6);
    expect(report.tipShift).toBeCloseTo(Math.hypot(radius * Math.sin(t), radius * (1 - Math.cos(t))), 6);
  });

  test('on an arc the contact points are found along the true normals', () => {
    const table = Array.from({ length: 41 }, (_, i) => {
      const a = Math.PI / 2 + 0.8 - (1.6 * i) / 40;
      return pointOf(...readingOf([100 + 90 * Math.cos(a), 90 * Math.sin(a)], [Math.cos(a), Math.sin(a)]));
    });
    const { spans, report } = fairly(table, { tipRadius: radius }, { smoothing: 'through the points' });
    for (const p of sampleCurve(spans[0]!, 0.001)) expect(Math.abs(Math.hypot(p[0] - 100, p[1]) - 90)).toBeLessThan(0.02);
    expect(report.residuals[0]!.at[0]).toBeCloseTo(100 + 90 * Math.cos(Math.PI / 2 + 0.8), 1);
    expect(fairly(table).report.tipShift).toBe(0);
  });

  test('a left-out reading is compensated as well', () => {
    const t = Math.PI / 12;
    const table = Array.from({ length: 12 }, (_, i) => {
      const [x, z] = readingOf([10 * i, 5 + 10 * i * Math.tan(t)], [-Math.sin(t), Math.cos(t)]);
      return pointOf(x, z, { leaveOut: i === 4 });
    });
    const { report } = fairly(table, { tipRadius: radius, readingError: 0.02 });
    expect(Math.abs(report.residuals[4]!.distance)).toBeLessThan(1e-6);
  });
});

test('every table of three or more scattered points gives a contour or a named refusal, never a throw', () => {
  const point = fc.record({ x: fc.double({ min: -50, max: 400, noNaN: true }), z: fc.double({ min: 0, max: 80, noNaN: true }), corner: fc.boolean(), leaveOut: fc.boolean() });
  fc.assert(
    fc.property(
      fc.array(point, { maxLength: 14 }),
      fc.boolean(),
      fc.constantFrom('auto', 'cross validation', 'through the points', 'by hand', 'reading error'),
      fc.option(fc.double({ min: 1e-4, max: 5, noNaN: true }), { nil: undefined }),
      fc.option(fc.double({ min: -80, max: 80, noNaN: true }), { nil: undefined }),
      fc.constantFrom(0, 0, 3),
      (points, sorted, smoothing, readingError, startAngle, tipRadius) => {
        const table = sorted ? [...points].sort((a, b) => a.x - b.x) : points;
        const result = fairlyOrNot(table, { ...(readingError === undefined ? {} : { readingError }), tipRadius }, { smoothing, ...(startAngle === undefined ? {} : { startAngle }) });
        if (!result.ok) {
          for (const issue of result.issues) {
            expect(issue.message.length).toBeGreaterThan(10);
            expect(issue.hint.length).toBeGreaterThan(5);
          }
          return;
        }
        const { spans, report } = result.value;
        for (const span of spans) for (const [x, z] of span.poles) expect(Number.isFinite(x) && Number.isFinite(z)).toBe(true);
        expect(Number.isFinite(report.rms + report.freedom + report.length + report.weightedMisses)).toBe(true);
        for (const r of report.residuals) expect(Number.isFinite(r.distance)).toBe(true);
      },
    ),
    { numRuns: 400 },
  );
});
