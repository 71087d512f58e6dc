/** Drawings of patterns and of test fits: what is drawn enlarged says so, and the arrows point where the numbers do. */
import { describe, expect, test } from 'vitest';
import { diagnose } from '../../src/fit/diagnosis.ts';
import { locateHoles } from '../../src/holes/locate.ts';
import type { HoleReading } from '../../src/holes/pattern.ts';
import type { Vec2 } from '../../src/maths/vec.ts';
import { boundsOf } from '../../src/outputs/drawing.ts';
import { fitDrawing } from '../../src/outputs/fitDrawing.ts';
import { ellipseMark, enlargement, patternDrawing } from '../../src/outputs/patternFiles.ts';
import { svgText } from '../../src/outputs/svg.ts';
import { unwrap } from '../../src/result.ts';

test('enlargements are 1, 2 or 5 times a power of ten, never below 1', () => {
  expect([[0.1, 10], [0.3, 10], [0.012, 10], [20, 10], [0, 10]].map(([largest, wanted]) => enlargement(largest!, wanted!))).toEqual([100, 20, 500, 1, 1]);
});

test('an ellipse is as long and as turned as it says, times its enlargement', () => {
  const { least, most } = boundsOf({ marks: [ellipseMark([5, 7], { major: 0.2, minor: 0.1, angle: 90 }, 10, 'accent')] });
  expect([...least, ...most]).toEqual([4, 5, 6, 9].map((v) => expect.closeTo(v, 6)));
});

const readings: HoleReading[] = ([['A', 'B', 100], ['B', 'C', 60], ['C', 'D', 100], ['D', 'A', 60], ['A', 'C', 116.62], ['B', 'D', 116.62]] as const).map(([a, b, value]) => ({ kind: 'centre', a, b, value }));

describe('drawings', () => {
  test('a pattern names its holes and its enlargement', () => {
    const pattern = unwrap(locateHoles(readings, { readingError: 0.05, jawWidth: 0, equalHoles: false, seenFrom: 'outside', sides: [{ hole: 'C', from: 'A', to: 'B', side: 'left' }] }));
    const svg = svgText(patternDrawing(pattern, readings, 'mm'), { title: 'x' });
    for (const name of 'ABCD') expect(svg).toContain(`>${name}  `);
    expect(svg).toMatch(/drawn \d+ times their size/);
  });

  test('a test fit has an arrow for each hole read, as long as its offset times the factor', () => {
    const pattern = ([[0, 0], [100, 0], [100, 60], [0, 60]] as const).map((at, i) => ({ name: `T${i + 1}`, path: `tabs[${i}]`, at: at as Vec2, diameter: 5.5 }));
    const d = unwrap(diagnose(pattern.map(({ name }) => ({ hole: name, dx: 0.4, dy: 0.3 })), pattern, { on: 'print', against: 'mating part', seenFrom: 'outside', lay: 'located', madeFrom: 'A', current: 'A', readingError: 0.05 }));
    const { marks } = fitDrawing(d);
    const factor = enlargement(0.5, 100 / 8);
    const shafts = marks.flatMap((mark) => (mark.kind === 'path' && mark.pen === 'reading' && mark.segments.length === 1 ? [mark.segments[0]!] : []));
    expect(shafts).toHaveLength(4);
    for (const shaft of shafts) if (shaft.kind === 'line') expect([shaft.to[0] - shaft.from[0], shaft.to[1] - shaft.from[1]]).toEqual([expect.closeTo(0.4 * factor, 6), expect.closeTo(0.3 * factor, 6)]);
    expect(marks.some((mark) => mark.kind === 'text' && mark.text.includes(`drawn ${factor} times`))).toBe(true);
  });
});
