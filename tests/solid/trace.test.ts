/** Heights and traces on curves, against direct evaluation. No kernel here. */
import { describe, expect, test } from 'vitest';
import { pointAt } from '../../src/maths/bspline.ts';
import { tolerance } from '../../src/maths/tolerance.ts';
import { heightsOf, parameterFinder } from '../../src/solid/heights.ts';
import { bezier, circle, traceOn } from '../../src/solid/trace.ts';
import { crowned, dipped } from './part.ts';

describe('heights', () => {
  test.each([['crowned', crowned], ['dipped', dipped]] as const)('%s: the curve itself at many parameters', (_, [curve]) => {
    const heights = heightsOf([curve!]);
    const parameter = parameterFinder(curve!);
    const last = curve!.knots.at(-1)!;
    for (let i = 0; i <= 500; i++) {
      const u = (last * i) / 500;
      const [x, z] = pointAt(curve!, u);
      expect(heights.at(x)).toBeCloseTo(z, 9);
      expect(parameter(x)).toBeCloseTo(u, 8);
    }
  });
  test('beyond the ends the height of the end', () => {
    const heights = heightsOf(crowned);
    expect(heights.at(-5)).toBeCloseTo(heights.at(0), 9);
    expect(heights.at(300)).toBeCloseTo(heights.at(200), 9);
  });
});

describe('traces', () => {
  test.each([
    ['a circle', circle(80, 30, 9), 0, 2 * Math.PI],
    ['a line', bezier([[20, 10], [150, 60]]), 0, 1],
    ['a curve', bezier([[60, 10], [70, 30], [90, 5], [95, 20]]), 0, 1],
  ] as const)('%s stays on its path', (_, path, from, to) => {
    const [curve] = crowned;
    const trace = traceOn(curve!, path, from, to);
    for (let i = 0; i <= 997; i++) {
      const t = from + ((to - from) * i) / 997;
      const [u, y] = pointAt(trace, t);
      const [x] = pointAt(curve!, u);
      expect(Math.hypot(x - path(t).at[0], y - path(t).at[1])).toBeLessThan(1.2 * tolerance.trace);
    }
  });
});
