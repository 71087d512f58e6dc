/** Smooth runs of quadratic curves as one B-spline each: the same line, by the definition of either curve. */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { bezierPoint, domainOf, pointAt } from '../../src/maths/bspline.ts';
import { distance2, type Vec2 } from '../../src/maths/vec.ts';
import { inkOf, readFont } from '../../src/solid/kernel/glyphs.ts';
import { endOf, type Outline } from '../../src/solid/outline.ts';
import { joinedCurves } from '../../src/solid/joinedCurves.ts';

/** Points close together along an outline. */
function dense({ from, strokes }: Outline, steps: number): Vec2[] {
  let at = from;
  return strokes.flatMap((stroke) => {
    const start = at;
    at = endOf(stroke);
    const point = (share: number): Vec2 => {
      if (stroke.kind === 'bezier') return bezierPoint([start, ...stroke.inner, stroke.to], share);
      if (stroke.kind === 'curve') {
        const [a, b] = domainOf(stroke.curve);
        return pointAt(stroke.curve, a + (b - a) * share);
      }
      return [start[0] + (at[0] - start[0]) * share, start[1] + (at[1] - start[1]) * share];
    };
    return Array.from({ length: steps }, (_, i) => point(i / steps));
  });
}

const font = readFont(readFileSync('public/fonts/Barlow-Medium.ttf'));

test('letters keep their line, with fewer strokes', () => {
  const outlines = inkOf(font, 'FRONT OB-230 S&', 8).flatMap(({ rim, holes }) => [rim, ...holes]);
  const joined = outlines.map(joinedCurves);
  const count = (all: readonly Outline[]): number => all.reduce((sum, { strokes }) => sum + strokes.length, 0);
  expect(count(joined)).toBeLessThan(0.8 * count(outlines));
  outlines.forEach((outline, i) => {
    const line = dense(outline, 400);
    for (const point of dense(joined[i]!, 40)) expect(Math.min(...line.map((p) => distance2(p, point)))).toBeLessThan(0.01);
    expect(endOf(joined[i]!.strokes.at(-1)!)).toEqual(endOf(outline.strokes.at(-1)!));
  });
});

test('two curves of unlike size with one tangent are one curve; its joint lies on it exactly', () => {
  const outline: Outline = { from: [0, 0], strokes: [{ kind: 'bezier', inner: [[0, 2]], to: [1, 2] }, { kind: 'bezier', inner: [[4, 2]], to: [4, -3] }, { kind: 'line', to: [0, 0] }] };
  const [curve, line, ...rest] = joinedCurves(outline).strokes;
  expect([line?.kind, rest.length]).toEqual(['line', 0]);
  if (curve?.kind !== 'curve') throw new Error('not joined');
  // The spans are as 1 to 3, the distances of the joint from its neighbours.
  expect(curve.curve.knots).toEqual([0, 0, 0, 1, 4, 4, 4]);
  expect(pointAt(curve.curve, 1)).toEqual([1, 2]);
  [0.25, 0.5, 0.75].forEach((share) => {
    bezierPoint([[0, 0], [0, 2], [1, 2]], share).forEach((v, k) => expect(pointAt(curve.curve, share)[k]).toBeCloseTo(v, 12));
    bezierPoint([[1, 2], [4, 2], [4, -3]], share).forEach((v, k) => expect(pointAt(curve.curve, 1 + 3 * share)[k]).toBeCloseTo(v, 12));
  });
});

test('a corner, a backward turn and more than half a turn begin a new curve', () => {
  const bezier = (inner: Vec2, to: Vec2) => ({ kind: 'bezier', inner: [inner], to }) as const;
  const kinds = (strokes: Outline['strokes']): string[] => joinedCurves({ from: [0, 0], strokes }).strokes.map((stroke) => stroke.kind);
  expect(kinds([bezier([0, 1], [1, 1]), bezier([2, 2], [3, 0])])).toEqual(['bezier', 'bezier']);
  expect(kinds([bezier([0, 1], [1, 1]), bezier([0.5, 1], [0.5, 0])])).toEqual(['bezier', 'bezier']);
  // A rounded square of four quarters, gone round: two halves.
  expect(kinds([bezier([0, 1], [1, 1]), bezier([2, 1], [2, 0]), bezier([2, -1], [1, -1]), bezier([0, -1], [0, 0])])).toEqual(['curve', 'curve']);
});
