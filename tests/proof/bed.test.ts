/** Turning and sharing of the bed, seams and pins: against formulas and brute force. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Vec2 } from '../../src/maths/vec.ts';
import { extentOf, shareBeds, turnToFit } from '../../src/proof/bed.ts';
import { pinPlaces } from '../../src/proof/joints.ts';
import { seamsFor } from '../../src/proof/seams.ts';

const bed = { x: 210, y: 210, z: 250, margin: 5 };
const rectangle = (p: number, q: number): Vec2[] => [[0, 0], [p, 0], [p, q], [0, q]];

describe('turning to fit', () => {
  test('as it is, a quarter turn, slantwise, or not at all', () => {
    expect(turnToFit(rectangle(200, 150), bed)).toBe(0);
    expect(turnToFit(rectangle(150, 205), { ...bed, x: 210, y: 160 })).toBe(90);
    expect(turnToFit(rectangle(250, 30), bed)).toBe(45);
    expect(turnToFit(rectangle(300, 30), bed)).toBeNull();
    expect(turnToFit(rectangle(209, 209), bed, 1.01)).toBeNull();
  });

  test('a slanted rectangle fits where the formula for rectangles in rectangles says (W. Carver, Amer. Math. Monthly 64 (1957) 114; from memory)', () => {
    fc.assert(
      fc.property(fc.double({ min: 211, max: 290, noNaN: true }), fc.double({ min: 1, max: 200, noNaN: true }), (p, q) => {
        const [a, b] = [210, 210];
        const least = (2 * p * q * a + (p * p - q * q) * Math.sqrt(p * p + q * q - a * a)) / (p * p + q * q);
        // Whole degrees miss the best turn by half a degree at most.
        if (b < least - 1e-9) expect(turnToFit(rectangle(p, q), bed)).toBeNull();
        else if (b > least + 0.1) expect(turnToFit(rectangle(p, q), bed)).not.toBeNull();
      }),
      { numRuns: 300 },
    );
  });
});

test('pieces that share a bed stand inside it and clear of each other, each on some bed', () => {
  fc.assert(
    fc.property(fc.array(fc.tuple(fc.double({ min: 1, max: 210, noNaN: true }), fc.double({ min: 1, max: 210, noNaN: true })), { minLength: 1, maxLength: 25 }), (sizes) => {
      const placed = shareBeds(sizes, bed);
      placed.forEach(({ at, bed: on }, i) => {
        expect(at[0] >= 5 && at[1] >= 5 && at[0] + sizes[i]![0] <= 215 + 1e-9 && at[1] + sizes[i]![1] <= 215 + 1e-9).toBe(true);
        placed.forEach((other, j) => {
          if (j <= i || other.bed !== on) return;
          const apart = [0, 1].some((k) => at[k]! + sizes[i]![k]! <= other.at[k]! || other.at[k]! + sizes[j]![k]! <= at[k]!);
          expect(apart).toBe(true);
        });
      });
      expect([...new Set(placed.map((one) => one.bed))]).toEqual(Array.from({ length: 1 + Math.max(...placed.map((one) => one.bed)) }, (_, i) => i));
    }),
    { numRuns: 200 },
  );
});

describe('seams', () => {
  test('none when it is short enough; even halves when nothing is in the way', () => {
    expect(seamsFor({ from: 0, to: 200, longest: 210, lap: 20, kept: [] })).toEqual([]);
    expect(seamsFor({ from: 0, to: 300, longest: 210, lap: 20, kept: [] })).toEqual([150]);
    expect(seamsFor({ from: -16, to: 396, longest: 210, lap: 20, kept: [] })).toHaveLength(2);
    expect(seamsFor({ from: 0, to: 300, longest: 210, lap: 20, kept: [{ from: 10, to: 290 }] })).toBeNull();
  });

  test('as few as brute force finds, as even, and never where they may not be', () => {
    const kept = fc.array(fc.tuple(fc.integer({ min: 0, max: 60 }), fc.integer({ min: 1, max: 20 })), { maxLength: 4 });
    fc.assert(
      fc.property(fc.integer({ min: 20, max: 60 }), fc.integer({ min: 16, max: 40 }), kept, (to, longest, stretches) => {
        const lap = 4;
        const task = { from: 0, to, longest, lap, kept: stretches.map(([a, w]) => ({ from: a, to: a + w })) };
        const found = seamsFor(task);
        const free = Array.from({ length: to - 1 }, (_, i) => i + 1).filter((c) => !task.kept.some((k) => c > k.from && c < k.to));
        const fits = (seams: readonly number[]): boolean => [0, ...seams].every((c, i) => (seams[i] ?? to) - c + (i < seams.length ? lap : 0) <= longest);
        const uneven = (seams: readonly number[]): number => [0, ...seams].reduce((sum, c, i) => sum + ((seams[i] ?? to) - c - to / (seams.length + 1)) ** 2, 0);
        const one = free.map((c) => [c]).filter(fits);
        const two = free.flatMap((a) => free.filter((b) => b > a).map((b) => [a, b])).filter(fits);
        if (to <= longest) expect(found).toEqual([]);
        else if (one.length > 0) expect([found!.length, uneven(found!)]).toEqual([1, Math.min(...one.map(uneven))]);
        else if (two.length > 0) {
          expect(found).toHaveLength(2);
          expect(uneven(found!)).toBeCloseTo(Math.min(...two.map(uneven)), 9);
        } else expect(found === null || found.length > 2).toBe(true);
      }),
      { numRuns: 300 },
    );
  });
});

test('pins stand uneven about the middle, and unlike those of any other joint', () => {
  const taken: Vec2[] = [];
  for (let i = 0; i < 6; i++) {
    const pins = pinPlaces([10, 110], (v) => v > 20 && v < 100 && Math.abs(v - 60) > 8, 6, taken)!;
    expect(Math.abs(pins[0] + pins[1] - 120)).toBeGreaterThanOrEqual(3);
    for (const other of taken) expect(Math.max(Math.abs(pins[0] - 10 - other[0]), Math.abs(pins[1] - 10 - other[1]))).toBeGreaterThanOrEqual(3);
    taken.push([pins[0] - 10, pins[1] - 10]);
  }
  expect(pinPlaces([10, 30], () => true, 24, [])).toBeNull();
});

test('extent of a turned box', () => expect(extentOf(rectangle(3, 4), 90).map((v) => Math.round(v * 1e9) / 1e9)).toEqual([4, 3]));
