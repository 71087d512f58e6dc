/** Dense least squares against NIST StRD certified values (seen on a secondary page that quotes them; Wampler generated). */
import { describe, expect, test } from 'vitest';
import { leastSquares } from '../../src/maths/dense.ts';
import { norris } from './norris.ts';

describe('NIST StRD', () => {
  test('Norris: 36 readings, a line', () => {
    const fit = leastSquares(norris.map(([, x]) => [1, x]), norris.map(([y]) => y));
    const s = Math.sqrt(fit.squares / fit.freedom);
    expect(fit.coefficients[0]).toBeCloseTo(-0.262323073774029, 11);
    expect(fit.coefficients[1]).toBeCloseTo(1.00211681802045, 13);
    expect(s * Math.sqrt(fit.spread[0]![0]!)).toBeCloseTo(0.232818234301152, 11);
    expect(s * Math.sqrt(fit.spread[1]![1]!)).toBeCloseTo(0.429796848199937e-3, 14);
    expect(s).toBeCloseTo(0.884796396144373, 11);
    expect(fit.squares).toBeCloseTo(26.6173985294224, 9);
    expect(fit.rank).toBe(2);
  });

  test('NoInt1 and NoInt2: lines through the origin', () => {
    const one = leastSquares(Array.from({ length: 11 }, (_, i) => [60 + i]), Array.from({ length: 11 }, (_, i) => 130 + i));
    expect(one.coefficients[0]).toBeCloseTo(2.07438016528926, 13);
    expect(one.squares).toBeCloseTo(127.272727272727, 10);
    expect(Math.sqrt((one.squares / one.freedom) * one.spread[0]![0]!)).toBeCloseTo(0.0165289256198347, 14);
    const two = leastSquares([[4], [5], [6]], [3, 4, 4]);
    expect(two.coefficients[0]).toBeCloseTo(8 / 11, 14);
    expect(Math.sqrt((two.squares / two.freedom) * two.spread[0]![0]!)).toBeCloseTo(0.0420827318078432, 14);
  });

  test('Wampler 1 and 2: polynomials of degree five, exactly', () => {
    const x = Array.from({ length: 21 }, (_, i) => i);
    const rows = x.map((v) => Array.from({ length: 6 }, (_, k) => v ** k));
    for (const base of [1, 0.1]) {
      const fit = leastSquares(rows, rows.map((row) => row.reduce((sum, v, k) => sum + v * base ** k, 0)));
      fit.coefficients.forEach((c, k) => expect(Math.abs(c / base ** k - 1)).toBeLessThan(1e-7));
    }
  });
});

describe('weights and rank', () => {
  test('a weight of two is the row twice; a weight of nothing leaves it out', () => {
    const rows = [[1, 0], [1, 1], [1, 2], [1, 3]];
    const y = [0, 2, 3, 9];
    const twice = leastSquares([...rows, rows[2]!], [...y, y[2]!]);
    const weighted = leastSquares(rows, y, [1, 1, 2, 1]);
    weighted.coefficients.forEach((c, k) => expect(c).toBeCloseTo(twice.coefficients[k]!, 12));
    const without = leastSquares(rows.slice(0, 3), y.slice(0, 3));
    const zero = leastSquares(rows, y, [1, 1, 1, 0]);
    zero.coefficients.forEach((c, k) => expect(c).toBeCloseTo(without.coefficients[k]!, 12));
    expect(zero.freedom).toBe(1);
  });

  test('a column twice is one column: rank told, nothing thrown', () => {
    const fit = leastSquares([[1, 1, 2], [2, 2, 1], [3, 3, 5], [4, 4, 4]], [3, 3, 8, 8]);
    expect(fit.rank).toBe(2);
    expect(fit.squares).toBeCloseTo(0, 12);
  });

  test('ragged rows are a bug', () => {
    expect(() => leastSquares([[1, 2], [1]], [1, 2])).toThrow();
  });
});
