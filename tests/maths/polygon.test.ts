/** Areas, inside tests and self-crossing, against brute force over all pairs. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { insidePolygon, segmentsCross, selfCrossing, signedArea } from '../../src/maths/polygon.ts';
import type { Vec2 } from '../../src/maths/vec.ts';
import { normals } from './noise.ts';

const square: Vec2[] = [[0, 0], [4, 0], [4, 3], [0, 3]];

describe('polygons', () => {
  test('area is signed by the way round', () => {
    expect(signedArea(square)).toBe(12);
    expect(signedArea([...square].reverse())).toBe(-12);
  });

  test('inside', () => {
    expect(insidePolygon(square, [1, 1])).toBe(true);
    expect(insidePolygon(square, [5, 1])).toBe(false);
    expect(insidePolygon([[0, 0], [4, 0], [4, 4], [2, 1], [0, 4]], [2, 2])).toBe(false);
  });
});

describe('self-crossing', () => {
  const brute = (points: readonly Vec2[]): boolean => {
    for (let i = 0; i + 1 < points.length; i++) {
      for (let j = i + 2; j + 1 < points.length; j++) {
        const closed = points[0]![0] === points.at(-1)![0] && points[0]![1] === points.at(-1)![1];
        if (closed && i === 0 && j === points.length - 2) continue;
        if (segmentsCross(points[i]!, points[i + 1]!, points[j]!, points[j + 1]!)) return true;
      }
    }
    return false;
  };

  test('agrees with trying every pair', () => {
    const coordinate = fc.double({ min: 0, max: 10, noNaN: true });
    fc.assert(
      fc.property(fc.array(fc.tuple(coordinate, coordinate), { minLength: 2, maxLength: 12 }), (points) => {
        const found = selfCrossing(points);
        expect(found !== null).toBe(brute(points));
        if (found) expect(segmentsCross(points[found[0]]!, points[found[0] + 1]!, points[found[1]]!, points[found[1] + 1]!)).toBe(true);
      }),
      { numRuns: 500 },
    );
  });

  test('a loop is found and named wherever it lies, at any pose', () => {
    const loop: Vec2[] = [[0, 0], [10, 0], [10, 5], [5, 5], [5, -5], [20, -5]];
    expect(selfCrossing(loop)).toEqual([0, 3]);
    for (const turn of [0.3, 1.2, 2.9]) {
      const turned = loop.map(([x, z]): Vec2 => [1e4 + x * Math.cos(turn) - z * Math.sin(turn), -300 + x * Math.sin(turn) + z * Math.cos(turn)]);
      expect(selfCrossing(turned)).toEqual([0, 3]);
    }
    expect(selfCrossing([...square, square[0]!])).toBeNull();
    expect(selfCrossing([[0, 0], [1, 1]])).toBeNull();
    expect(selfCrossing([[0, 0], [0, 0], [0, 0], [0, 0]])).toBeNull();
  });

  test('100 000 points of a wandering line, with one loop hidden in it', () => {
    const g = normals(7, 100_000);
    const line = g.map((e, i): Vec2 => [i, 3 * Math.sin(i / 900) + 0.2 * e]);
    expect(selfCrossing(line)).toBeNull();
    const looped = line.map((p, i): Vec2 => (i === 70_003 ? [p[0] - 2.5, p[1] + 0.4] : i === 70_004 ? [p[0] - 2.6, p[1] - 5] : p));
    const found = selfCrossing(looped)!;
    expect(Math.abs(found[0] - 70_002)).toBeLessThan(5);
  });

  test('one very long step among short ones', () => {
    const line = Array.from({ length: 5000 }, (_, i): Vec2 => [i * 0.01, 0]);
    expect(selfCrossing([...line, [1e4, 1e4], [25, -1]])).not.toBeNull();
  });
});
