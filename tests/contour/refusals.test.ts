/** Bad input: refused in one sentence that names the rows, says what was expected and how to put it right. */
import { describe, expect, test } from 'vitest';
import type { Issue } from '../../src/result.ts';
import type { TracePoint } from '../../src/job/schema.ts';
import { normals } from '../maths/noise.ts';
import { fair, pointOf, shapes, tableOf } from './tables.ts';

const issuesOf = (...args: Parameters<typeof fair>): readonly Issue[] => {
  const result = fair(...args);
  if (result.ok) throw new Error('was accepted');
  return result.issues;
};
const points = (...list: (readonly [number, number])[]): TracePoint[] => list.map(([x, z]) => pointOf(x, z));

describe('refused', () => {
  test('fewer than three readings, left-out ones not counted', () => {
    expect(issuesOf([])[0]).toMatchObject({ code: 'too-few-readings', at: 'trace.points' });
    const issue = issuesOf([...points([0, 1], [10, 2]), pointOf(20, 3, { leaveOut: true })])[0]!;
    expect(issue.message).toBe('Expected at least 3 readings to fair a contour, got 2 (and 1 left out).');
    expect(fair(points([0, 1], [10, 2], [20, 3])).ok).toBe(true);
  });

  test('coordinates of a thousand kilometres, together with everything else that is wrong', () => {
    const found = issuesOf(points([0, 1], [1e9, 2]));
    expect(found.map((i) => i.code)).toEqual(['reading-too-far', 'too-few-readings']);
    expect(found[0]!.at).toBe('trace.points[1]');
    expect(found[0]!.message).toContain('reading 2');
    expect(found[0]!.message).toContain('10000 mm');
  });

  test('all readings in one place; all at one station', () => {
    expect(issuesOf(points([5, 5], [5, 5], [5, 5]))[0]!.code).toBe('readings-in-one-place');
    const vertical = issuesOf(points([5, 0], [5, 10], [5, 20], [5.001, 30]))[0]!;
    expect(vertical).toMatchObject({ code: 'contour-vertical', at: 'trace.points' });
    expect(vertical.hint).toContain('columns');
  });

  test('a table out of order names the rows at which it turns back', () => {
    const table = tableOf(shapes.crown, 25, 0.05, 1);
    const swapped = [...table];
    [swapped[7], swapped[8]] = [swapped[8]!, swapped[7]!];
    const issue = issuesOf(swapped, { readingError: 0.05 })[0]!;
    expect(issue.code).toBe('contour-turns-back');
    expect(issue.at).toBe('readings 8, 9');
    expect(issue.message).toContain('readings 8, 9');
    expect(issue.hint).toContain('Sort');
  });

  test('the numbers of the rows are those of the table as given: left-out readings and tables from back to front included', () => {
    const table = tableOf(shapes.crown, 25, 0.05, 1).map((p, i) => (i === 2 ? { ...p, leaveOut: true } : p));
    [table[7], table[8]] = [table[8]!, table[7]!];
    expect(issuesOf(table)[0]!.at).toBe('readings 8, 9');
    expect(issuesOf([...table].reverse())[0]!.at).toBe('readings 18, 17');
  });

  test('measured twice, one pass after the other', () => {
    const table = tableOf(shapes.crown, 25, 0.05, 1);
    expect(issuesOf([...table, ...table])[0]).toMatchObject({ code: 'contour-turns-back', at: 'readings 25, 26' });
  });

  test('a contour that crosses itself names both stretches', () => {
    const issue = issuesOf(points([0, 0], [50, 0], [100, 10], [110, 60], [70, 80], [50, 40], [60, -30], [120, -40], [200, -40]), { readingError: 0.05 })[0]!;
    expect(issue.code).toBe('contour-crosses-itself');
    expect(issue.at).toBe('readings 2, 6');
    expect(issue.message).toContain('between readings 2 and 3 it meets the stretch between 6 and 7');
  });

  test('a thousand readings in no order', () => {
    const noise = normals(3, 1000);
    expect(issuesOf(noise.map((e) => pointOf(190 + 60 * e, shapes.crown(190))))[0]!.code).toMatch(/contour-(turns-back|crosses-itself)/);
  });

  test('end angles that point against the readings', () => {
    const steep = Array.from({ length: 20 }, (_, i) => pointOf(10 * Math.sin((i * Math.PI) / 38), 10 - 10 * Math.cos((i * Math.PI) / 38) + 4 * i));
    const found = issuesOf(steep, { readingError: 0.05 }, { startAngle: -60, endAngle: -70 });
    expect(found.map((i) => i.at)).toEqual(['contour.startAngle', 'contour.endAngle']);
    expect(found[0]!.message).toMatch(/is -60 deg, but the readings run at \d+ deg/);
  });

  test('a ball that cannot have touched the bottom of the dip', () => {
    const dip = Array.from({ length: 41 }, (_, i) => pointOf(i, 20 - 8 * Math.exp(-(((i - 20) / 2) ** 2))));
    const result = fair(dip, { tipRadius: 40 }, { smoothing: 'through the points' });
    expect(result.ok).toBe(false);
    if (!result.ok) expect(result.issues[0]!.code).toMatch(/tip-too-large|contour-crosses-itself|contour-turns-back/);
  });
});

describe('not refused', () => {
  test('all on one line: a straight taper is a contour', () => expect(fair(points([0, 1], [10, 2], [20, 3], [30, 4])).ok).toBe(true));
  test('the same reading twice', () => expect(fair(points([0, 1], [10, 2], [10, 2], [20, 3], [30, 4])).ok).toBe(true));
  test('two readings at one station', () => expect(fair(points([0, 1], [10, 2], [10, 2.1], [20, 3], [30, 4])).ok).toBe(true));
  test('three readings, every rule', () => {
    for (const smoothing of ['auto', 'reading error', 'cross validation', 'through the points', 'by hand'] as const) {
      for (const more of [{}, { readingError: 0.05 }]) expect(fair(points([0, 1], [10, 4], [20, 3]), more, { smoothing }).ok).toBe(true);
    }
  });
  test('a small step back within the reading error', () => {
    expect(fair(points([0, 1], [10, 2], [9.95, 2.02], [20, 3], [30, 3.5], [40, 3.6]), { readingError: 0.05 }).ok).toBe(true);
  });
  test('a nose with a vertical tangent: the contour may have one, the section may not', () => {
    const nose = Array.from({ length: 30 }, (_, i) => pointOf(30 - 30 * Math.cos((i / 29) * 2 - 0.6), 20 + 30 * Math.sin((i / 29) * 2 - 0.6)));
    expect(fair(nose, { readingError: 0.02 }).ok).toBe(true);
  });
  test('errors from a ten-thousandth to fifty millimetres side by side', () => {
    const table = tableOf(shapes.crown, 25, 0.05, 1).map((p, i) => ({ ...p, error: i % 2 ? 1e-4 : 50 }));
    const result = fair(table);
    expect(result.ok).toBe(true);
  });
});
