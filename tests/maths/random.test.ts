/** The generator against its published sequence, and its draws against what they should be. */
import { expect, test } from 'vitest';
import { randomFrom, randomFromState } from '../../src/maths/random.ts';

// Output of the authors' C code for state 1, 2, 3, 4, as several public test suites print it.
test('xoshiro128** gives its published sequence', () => {
  const { bits } = randomFromState([1, 2, 3, 4]);
  expect(Array.from({ length: 10 }, bits)).toEqual([11520, 0, 5927040, 70819200, 2031721883, 1637235492, 1287239034, 3734860849, 3729100597, 4258142804]);
});

test('a seed is a stream; seeds differ, also in their high bits', () => {
  const take = (seed: number): number[] => Array.from({ length: 4 }, randomFrom(seed).bits);
  expect(take(7)).toEqual(take(7));
  expect(new Set([0, 1, 7, 2 ** 31, 2 ** 32 - 1].map((seed) => take(seed).join())).size).toBe(5);
});

test('uniform and normal draws have their mean and spread', () => {
  const n = 200_000;
  const { uniform, normal } = randomFrom(3);
  const stats = (draw: () => number): readonly [number, number, number] => {
    const v = Array.from({ length: n }, draw);
    const mean = v.reduce((a, b) => a + b, 0) / n;
    return [mean, v.reduce((a, b) => a + (b - mean) ** 2, 0) / n, v.reduce((a, b) => a + (b - mean) ** 4, 0) / n];
  };
  const [m, s] = stats(uniform);
  expect(m).toBeCloseTo(0.5, 2);
  expect(s).toBeCloseTo(1 / 12, 2);
  const [mean, variance, fourth] = stats(normal);
  expect(mean).toBeCloseTo(0, 2);
  expect(Math.abs(variance - 1)).toBeLessThan(0.02);
  expect(Math.abs(fourth - 3)).toBeLessThan(0.1);
});
