/**
 * The penalised spline against the natural cubic smoothing spline: titanium heat data and de Boor's chapter XIV example
 * (figures computed with a dense Reinsch / Green-Silverman program that agrees with scipy to 1e-13), and scipy's own
 * make_smoothing_spline with weights (fixture; how it was made stands in the file).
 */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { curvesOf, knotPlan, rowsOn, type Rows } from '../../src/contour/design.ts';
import { certaintyOf, fitAt, missesOf, valuesAt, type Fit } from '../../src/contour/penalised.ts';
import { byCrossValidation, byFreedom, byMisses, crossValidationScore, remembered, stiffnessSpan, type Judge } from '../../src/contour/stiffness.ts';
import { derivativesAt } from '../../src/maths/bspline.ts';
import { interpolateCubic } from '../../src/maths/interpolate.ts';
import { titanium, titaniumSites } from './titanium.ts';

function rowsOf(x: readonly number[], y: readonly number[], w: readonly number[] = x.map(() => 1)): Rows {
  return rowsOn(knotPlan(x), Float64Array.from(x), [Float64Array.from(y)], Float64Array.from(w));
}
const judgeOf = (rows: Rows): Judge =>
  remembered((log) => {
    const fit = fitAt(rows, Math.exp(log));
    return { misses: missesOf(fit), freedom: certaintyOf(fit).freedom };
  });
const spanOf = (rows: Rows) => stiffnessSpan(rows.plan.breaks.at(-1)! - rows.plan.breaks[0]!, rows.count, rows.count);

/** Integral of the squared second derivative, from R of the plan: |R c|^2. */
function roughness({ rows, coefficients }: Fit): number {
  const { rough, coefficients: size } = rows.plan;
  let sum = 0;
  for (let j = 0; j < size; j++) {
    let value = 0;
    for (let k = 0; k < 4 && j + k < size; k++) value += rough.data[4 * j + k]! * coefficients[0]![j + k]!;
    sum += value * value;
  }
  return sum;
}

describe('titanium heat data', () => {
  // stiffness, misses, freedom, GCV, roughness, g(1), g(11), g(29), g(30), g(31), g(32), g(49); computed.
  const table = [
    [1, 5.0138482095e-6, 48.3528993597, 5.8671015e-4, 6.4379141e-4, 0.643938017, 0.644226959, 1.337182207, 1.880075313, 2.169282459, 2.073980779, 0.607963542],
    [10, 3.0697778371e-4, 43.9110644532, 5.8083011e-4, 5.8304027e-4, 0.643449807, 0.645736244, 1.345796032, 1.874005784, 2.169649255, 2.067061048, 0.607705346],
    [100, 6.5974720873e-3, 30.6423232534, 9.5926413e-4, 4.351417e-4, 0.640894402, 0.649714318, 1.384352799, 1.856457844, 2.141782075, 2.040180377, 0.606938435],
    [1000, 9.4325756722e-2, 18.1955286444, 4.8707839e-3, 2.154927e-4, 0.636642071, 0.65334283, 1.462238671, 1.804902393, 2.000143537, 1.936190137, 0.606654458],
    [1e4, 0.6285178999, 10.7131683902, 2.1009459e-2, 5.548369e-5, 0.635172293, 0.656746916, 1.469305913, 1.638511325, 1.722140363, 1.688818987, 0.609702435],
    [1e5, 2.0012573471, 6.469865847, 5.4213259e-2, 7.6300199e-6, 0.637776859, 0.64623605, 1.313671473, 1.368207656, 1.390147981, 1.374072235, 0.560051311],
  ] as const;
  const rows = rowsOf(titaniumSites, titanium);

  test.each(table)('stiffness %d', (stiffness, misses, freedom, score, rough, ...values) => {
    const fit = fitAt(rows, stiffness);
    expect(missesOf(fit) / misses - 1).toBeCloseTo(0, 9);
    expect(certaintyOf(fit).freedom).toBeCloseTo(freedom, 9);
    expect(crossValidationScore({ misses, freedom }, 49, 1) / score - 1).toBeCloseTo(0, 7);
    expect(roughness(fit) / rough - 1).toBeCloseTo(0, 7);
    const g = valuesAt(fit);
    [1, 11, 29, 30, 31, 32, 49].forEach((i, k) => expect(g[i - 1]).toBeCloseTo(values[k]!, 8));
  });

  test('least cross validation at 7.11594 (computed): stiffness to one per cent, score to a millionth', () => {
    const judge = judgeOf(rows);
    const log = byCrossValidation(judge, 49, spanOf(rows), 1e-3, 1);
    expect(Math.exp(log) / 7.11594 - 1).toBeCloseTo(0, 2);
    expect(crossValidationScore(judge(log), 49, 1) / 5.796201046e-4 - 1).toBeCloseTo(0, 6);
    expect(judge(log).freedom).toBeCloseTo(45.12, 1);
  });

  test('Reinsch: sum of squared misses over errors equal to n (computed)', () => {
    const judge = judgeOf(rows);
    for (const [error, stiffness, freedom] of [[0.005, 26.28206927, 39.14013], [0.01, 78.65347515, 32.19723]] as const) {
      const log = byMisses(judge, () => 49 * error * error, spanOf(rows), 1e-9);
      expect(Math.exp(log) / stiffness - 1).toBeCloseTo(0, 6);
      expect(judge(log).freedom).toBeCloseTo(freedom, 4);
    }
  });

  test('no stiffness at all is the natural interpolant', () => {
    const fit = fitAt(rows, 1e-9);
    const curve = interpolateCubic(titanium.map((y, i) => [titaniumSites[i]!, y] as const), {}, titaniumSites);
    const [smooth] = curvesOf(rows.plan, Float64Array.from(titaniumSites.flatMap((x, i) => (i === 0 || i === 48 ? [x, x] : [x]))), fit.coefficients[0]!);
    for (let x = 596; x < 1075; x += 7.3) expect(derivativesAt(smooth!, x, 0)[0]![1]).toBeCloseTo(derivativesAt(curve, x, 0)[0]![1], 7);
  });
});

describe("de Boor's chapter XIV example", () => {
  // Cubic B-spline on 0 0 0 0 1 3 4 6 6 6 6, fourth coefficient one; 61 values rounded to two decimals; error 0.005.
  const x = Array.from({ length: 61 }, (_, i) => i / 10);
  const curve = { degree: 3, knots: [0, 0, 0, 0, 1, 3, 4, 6, 6, 6, 6], poles: Array.from({ length: 7 }, (_, j) => [0, j === 3 ? 1 : 0] as const) };
  const exact = x.map((u) => derivativesAt(curve, u, 0)[0]![1]);
  const y = exact.map((v) => Math.floor(100 * v + 0.5) / 100);
  const rows = rowsOf(x, y);

  test('the data are the published ones', () => {
    expect(y.reduce((sum, v) => sum + v, 0)).toBeCloseTo(14.98, 10);
    for (const [i, v] of [[5, 0.01041667], [10, 0.08333333], [20, 0.46666667], [30, 0.65], [40, 0.26666667], [60, 0]] as const) expect(exact[i]).toBeCloseTo(v, 8);
  });

  // S, stiffness, freedom, g(1) g(6) g(11) g(21) g(31) g(41) g(61); computed.
  test.each([
    [60000, 35.82892045, 2.573147, 0.11285437, 0.17590963, 0.23736882, 0.33663296, 0.36130645, 0.2927372, 0.03118055],
    [6000, 0.92134112118, 4.911774, -0.07698181, 0.02639409, 0.14956503, 0.45601348, 0.56262632, 0.3152365, -0.05524713],
    [600, 0.15742498377, 7.081831, -0.02961974, 0.01512673, 0.10528781, 0.46641411, 0.61901234, 0.28750339, -0.01189811],
    [60, 0.03331994631, 9.961398, -0.00839122, 0.01198419, 0.08923509, 0.46787436, 0.6391694, 0.27406661, -0.00305707],
    [6, 2.6505798664e-4, 30.582868, -0.00007594, 0.0119633, 0.08113605, 0.47041607, 0.64906103, 0.26902938, 0.00002639],
    [0.6, 1.2214558418e-5, 53.564047, -0.00000122, 0.01066183, 0.08046281, 0.47049034, 0.65005993, 0.2700603, 0.00000007],
  ])('S = %d', (s, stiffness, freedom, ...values) => {
    const judge = judgeOf(rows);
    const log = byMisses(judge, () => s * 0.005 ** 2, spanOf(rows), 1e-10);
    expect(Math.exp(log) / stiffness - 1).toBeCloseTo(0, 6);
    const fit = fitAt(rows, Math.exp(log));
    expect(certaintyOf(fit).freedom).toBeCloseTo(freedom, 5);
    const g = valuesAt(fit);
    [1, 6, 11, 21, 31, 41, 61].forEach((i, k) => expect(g[i - 1]).toBeCloseTo(values[k]!, 7));
  });

  test('S = 600000 is more than a straight line misses by, so the line it is', () => {
    const judge = judgeOf(rows);
    const span = spanOf(rows);
    expect(byMisses(judge, () => 600000 * 0.005 ** 2, span)).toBe(span.high);
    const g = valuesAt(fitAt(rows, Math.exp(span.high)));
    x.forEach((u, i) => expect(g[i]).toBeCloseTo(0.2941036489 - 0.0161766261 * u, 5));
    expect(judge(span.high).misses / 0.005 ** 2).toBeCloseTo(136816.8247, -1);
  });
});

describe('scipy make_smoothing_spline, weighted, uneven sites', () => {
  const fixture = JSON.parse(readFileSync(new URL('../fixtures/smoothing-spline-scipy.json', import.meta.url), 'utf8')) as {
    cases: { x: number[]; y: number[]; w: number[]; stiffness: number; fitted: number[]; at: number[]; value: number[]; slope: number[]; bend: number[] }[];
  };
  test.each(fixture.cases.map((c, i) => [i, c.x.length, c.stiffness, c] as const))('case %d: %d sites, stiffness %d', (_, __, ___, c) => {
    const fit = fitAt(rowsOf(c.x, c.y, c.w), c.stiffness);
    valuesAt(fit).forEach((g, i) => expect(g).toBeCloseTo(c.fitted[i]!, 8));
    const greville = Array.from({ length: fit.rows.plan.coefficients }, (_, j) => (fit.rows.plan.knots[j + 1]! + fit.rows.plan.knots[j + 2]! + fit.rows.plan.knots[j + 3]!) / 3);
    const [curve] = curvesOf(fit.rows.plan, Float64Array.from(greville), fit.coefficients[0]!);
    c.at.forEach((u, i) => {
      const [p, d1, d2] = derivativesAt(curve!, u, 2);
      expect(p![1]).toBeCloseTo(c.value[i]!, 8);
      expect(d1![1]).toBeCloseTo(c.slope[i]!, 7);
      expect(d2![1]).toBeCloseTo(c.bend[i]!, 6);
    });
  });
});

describe('structure', () => {
  test('order of the readings, doubled readings and weights of two are the same fit', () => {
    const x = [0, 1, 2.5, 4, 7, 8];
    const y = [0, 2, 1, 3, 2, 5];
    const plan = knotPlan(x);
    const t = Float64Array.from([...x, 2.5]);
    const twice = fitAt(rowsOn(plan, t, [Float64Array.from([...y, 1])], new Float64Array(7).fill(1)), 0.7);
    const weighted = fitAt(rowsOn(plan, Float64Array.from(x), [Float64Array.from(y)], Float64Array.of(1, 1, 2, 1, 1, 1)), 0.7);
    const mixed = fitAt(rowsOn(plan, Float64Array.from(x).reverse(), [Float64Array.from(y).reverse()], Float64Array.of(1, 1, 1, 2, 1, 1)), 0.7);
    weighted.coefficients[0]!.forEach((c, j) => {
      expect(twice.coefficients[0]![j]).toBeCloseTo(c, 11);
      expect(mixed.coefficients[0]![j]).toBeCloseTo(c, 11);
    });
  });

  test('ties are met exactly and cost their share of freedom', () => {
    const rows = rowsOf(titaniumSites, titanium);
    const free = fitAt(rows, 100);
    const tie = { entries: [[0, -1], [1, 1]] as const, value: 0.02 };
    const held = fitAt(rows, 100, [[tie]]);
    expect(held.coefficients[0]![1]! - held.coefficients[0]![0]!).toBeCloseTo(0.02, 11);
    expect(missesOf(held) + 100 * roughness(held)).toBeGreaterThan(missesOf(free) + 100 * roughness(free));
    const spent = certaintyOf(free).freedom - certaintyOf(held, [tie]).freedom;
    expect(spent).toBeGreaterThan(0);
    expect(spent).toBeLessThan(1);
  });

  test('a sharp turn cuts the curve into spans that share a pole; nothing is smoothed across it', () => {
    const x = Array.from({ length: 21 }, (_, i) => i);
    const y = x.map((v) => Math.abs(v - 10));
    const plan = knotPlan(x, new Set([10]));
    const fit = fitAt(rowsOn(plan, Float64Array.from(x), [Float64Array.from(x), Float64Array.from(y)], new Float64Array(21).fill(1)), 1e6);
    const spans = curvesOf(plan, fit.coefficients[0]!, fit.coefficients[1]!);
    expect(spans).toHaveLength(2);
    expect(spans[0]!.poles.at(-1)).toEqual(spans[1]!.poles[0]);
    for (const span of spans) expect(span.knots.length).toBe(span.poles.length + 4);
    expect(missesOf(fit, 1)).toBeLessThan(1e-12);
    expect(certaintyOf(fit).freedom).toBeCloseTo(3, 1);
  });

  test('variances are those of the dense formula: freedom is the sum of the leverages', () => {
    const rows = rowsOf(titaniumSites, titanium);
    const fit = fitAt(rows, 50);
    const { freedom, variance } = certaintyOf(fit);
    let sum = 0;
    titaniumSites.forEach((t, i) => {
      const s = t - rows.plan.breaks[rows.piece[i]!]!;
      const b = Float64Array.from({ length: 4 }, (_, j) => {
        const k = 16 * rows.piece[i]! + 4 * j;
        const p = rows.plan.basis;
        return p[k]! + s * (p[k + 1]! + s * (p[k + 2]! + s * p[k + 3]!));
      });
      sum += variance(rows.piece[i]!, b);
    });
    expect(sum).toBeCloseTo(freedom, 9);
    // Leverage of reading 20 by moving it: d fitted / d reading.
    const moved = titanium.map((y, i) => (i === 20 ? y + 1 : y));
    const change = valuesAt(fitAt(rowsOf(titaniumSites, moved), 50))[20]! - valuesAt(fit)[20]!;
    const b = new Float64Array(4);
    for (let j = 0; j < 4; j++) b[j] = rows.plan.basis[16 * rows.piece[20]! + 4 * j]!;
    expect(variance(rows.piece[20]!, b)).toBeCloseTo(change, 9);
  });

  test('freedom asked for is freedom given', () => {
    const judge = judgeOf(rowsOf(titaniumSites, titanium));
    for (const freedom of [2.5, 7, 20, 45]) expect(judge(byFreedom(judge, freedom, { low: -10, high: 25 }, 1e-8)).freedom).toBeCloseTo(freedom, 5);
  });
});
