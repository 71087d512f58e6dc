/** Changes of bend, radii and length of curves known in closed form; distance travelled; thinning. */
import { describe, expect, test } from 'vitest';
import { distanceTravelled } from '../../src/contour/travel.ts';
import { lobesOf, shapeOf } from '../../src/contour/shape.ts';
import { thinned } from '../../src/contour/thin.ts';
import { throughPoints } from '../../src/contour/through.ts';
import { smooth, type Course } from '../../src/contour/smooth.ts';
import { interpolateCubic } from '../../src/maths/interpolate.ts';
import { piecewiseOf } from '../../src/maths/piecewise.ts';
import type { Vec2 } from '../../src/maths/vec.ts';
import { normals } from '../maths/noise.ts';
import { reportOf, shapes, tableOf } from './tables.ts';

const through = (f: (x: number) => number, from: number, to: number, n = 200): ReturnType<typeof piecewiseOf> =>
  piecewiseOf(interpolateCubic(Array.from({ length: n + 1 }, (_, i): Vec2 => [from + ((to - from) * i) / n, f(from + ((to - from) * i) / n)])));

const courseOf = (points: readonly Vec2[]): Course => ({
  points,
  columns: [Float64Array.from(points, (p) => p[0]), Float64Array.from(points, (p) => p[1])],
  t: distanceTravelled(points, []),
  weight: new Float64Array(points.length).fill(1),
  corners: [],
  startAngle: undefined,
  endAngle: undefined,
});

describe('shape', () => {
  test('a cubic parabola changes its bend once, at its middle', () => {
    const { inflections, leastConvex, leastConcave } = shapeOf(through((x) => (x / 40) ** 3, -60, 60), [], 1e-3);
    expect(inflections).toHaveLength(1);
    expect(inflections[0]![0]).toBeCloseTo(0, 1);
    expect(leastConvex!.at[0]).toBeLessThan(0);
    expect(leastConcave!.at[0]).toBeGreaterThan(0);
    expect(leastConvex!.radius).toBeCloseTo(leastConcave!.radius, 1);
  });

  test('four waves change their bend at every zero; least radius at the crests, 1 / (a k^2)', () => {
    const k = (2 * Math.PI) / 50;
    const { inflections, leastConvex, leastConcave } = shapeOf(through((x) => 4 * Math.sin(k * x), 0, 200, 400), [], 1e-3);
    expect(inflections.map((p) => Math.round(p[0]))).toEqual([25, 50, 75, 100, 125, 150, 175]);
    expect(leastConvex!.radius * 4 * k * k).toBeCloseTo(1, 2);
    expect(leastConcave!.radius * 4 * k * k).toBeCloseTo(1, 2);
  });

  test('a wave shallower than the depth asked for is straight', () => {
    const wave = through((x) => 40 - 0.05 * x + 0.02 * Math.sin(x / 12), 0, 300, 400);
    expect(shapeOf(wave, [], 0.05)).toMatchObject({ inflections: [], leastConvex: null, leastConcave: null });
    expect(shapeOf(wave, [], 0.001).inflections.length).toBe(7);
    // Depth of one lobe of a sine from zero to zero is its amplitude.
    expect(lobesOf(wave, [])[0]![2]!.depth).toBeCloseTo(0.02, 3);
  });

  test('a straight taper read with noise has no bends that count', () => {
    let bends = 0;
    for (let seed = 1; seed <= 100; seed++) bends += reportOf(tableOf(shapes.taper, 25, 0.05, seed), { readingError: 0.05 }).inflections.length;
    expect(bends).toBeLessThan(5);
  });

  test('a turn at a marked corner is not a change of bend', () => {
    const points: Vec2[] = [[0, 0], [10, 4], [20, 6], [30, 6], [40, 4], [50, 8], [60, 14]];
    const course = { ...courseOf(points), corners: [4] };
    const { curve, corners } = throughPoints(course);
    expect(corners).toHaveLength(1);
    expect(lobesOf(curve, corners)).toHaveLength(2);
    expect(shapeOf(curve, corners, 0.2).inflections).toEqual([]);
  });

  test('length of an arc', () => {
    expect(shapeOf(through((x) => Math.sqrt(100 * 100 - (x - 50) ** 2), 0, 100), [], 1e-3).length).toBeCloseTo(100 * 2 * Math.asin(0.5), 2);
  });
});

describe('distance travelled', () => {
  test('sparse readings: chord lengths', () => {
    expect([...distanceTravelled([[0, 0], [3, 4], [3, 4], [9, 12]], [])]).toEqual([0, 5, 5, 15]);
  });

  test('a scan denser than it is true: the length of the contour, not of the noise', () => {
    const noise = normals(4, 20_000);
    const points = Array.from({ length: 10_000 }, (_, i): Vec2 => [i * 0.038 + 0.05 * noise[2 * i]!, 30 + 0.05 * noise[2 * i + 1]!]);
    const t = distanceTravelled(points, []);
    let chords = 0;
    for (let i = 1; i < points.length; i++) chords += Math.hypot(points[i]![0] - points[i - 1]![0], points[i]![1] - points[i - 1]![1]);
    expect(chords).toBeGreaterThan(800);
    expect(t.at(-1)!).toBeGreaterThan(379);
    expect(t.at(-1)!).toBeLessThan(390);
    for (const at of [2500, 5000, 7500]) expect(t[at]! / t.at(-1)!).toBeCloseTo(at / 9999, 2);
    expect(Math.min(...t)).toBe(0);
  });
});

test('thinned: the misses of the means and their scatter are the misses of the readings, at every stiffness', () => {
  const noise = normals(5, 12_000);
  const points = noise.map((e, i): Vec2 => [(i * 380) / 11_999, shapes.dip((i * 380) / 11_999) + 0.05 * e]);
  const course = courseOf(points);
  expect(thinned(course).t.length).toBeLessThanOrEqual(4001);
  // `judge` sees the thinned readings, `misses` are those of the readings themselves; in variances of a reading.
  const gaps = [2, 8, 14].map((log) => {
    const found = smooth(course, () => log);
    return (found.judge(log).misses - found.misses) / 0.05 ** 2;
  });
  // Of 12 000 variances. What they differ by is the same for all, so the choice among them is not moved.
  for (const gap of gaps) expect(Math.abs(gap)).toBeLessThan(12);
  for (const gap of gaps) expect(Math.abs(gap - gaps[0]!)).toBeLessThan(3);
});
