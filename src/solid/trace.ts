/**
 * A path on the plan, seen in the parameters of a swept face: u of the contour it is swept from, y along the sweep.
 * Method: exact points and end slopes joined by a cubic, the steps made smaller until it is off by less than
 * tolerance.trace half way between them.
 * Stops being true: the path has to stay within the stations of one curve. mm; the path's own parameter is kept.
 */
import { derivativesAt, pointAt, type BSplineCurve } from '../maths/bspline.ts';
import { interpolateCubic } from '../maths/interpolate.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2 } from '../maths/vec.ts';
import { parameterFinder } from './heights.ts';

/** Place and slope of a path on the plan. */
export interface PathPoint {
  readonly at: Vec2;
  readonly slope: Vec2;
}

export type Path = (t: number) => PathPoint;

const fewest = 8;
const most = 512;

export function traceOn(curve: BSplineCurve, path: Path, from: number, to: number): BSplineCurve {
  const parameter = parameterFinder(curve);
  const place = (t: number): Vec2 => {
    const { at } = path(t);
    return [parameter(at[0]), at[1]];
  };
  const slope = (t: number): Vec2 => {
    const { at, slope: [dx, dy] } = path(t);
    return [dx / derivativesAt(curve, parameter(at[0]), 1)[1]![0], dy];
  };
  const speed = Math.max(...[from, (from + to) / 2, to].map((t) => Math.hypot(...derivativesAt(curve, place(t)[0], 1)[1]!)));
  const ends = { start: slope(from), end: slope(to) };
  for (let count = fewest; ; count = Math.ceil(1.5 * count)) {
    const times = Array.from({ length: count + 1 }, (_, i) => from + ((to - from) * i) / count);
    const trace = interpolateCubic(times.map(place), ends, times);
    const off = times.slice(1).some((t, i) => {
      const middle = (t + times[i]!) / 2;
      const [a, b] = [place(middle), pointAt(trace, middle)];
      return Math.hypot((a[0] - b[0]) * speed, a[1] - b[1]) > tolerance.trace;
    });
    if (!off || count >= most) return trace;
  }
}

/** A circle, counter-clockwise from +X as seen from above, over its angle. */
export const circle = (x: number, y: number, radius: number): Path => (angle) => ({
  at: [x + radius * Math.cos(angle), y + radius * Math.sin(angle)],
  slope: [-radius * Math.sin(angle), radius * Math.cos(angle)],
});

/** A straight line or a Bezier curve by its poles, over 0 to 1. */
export const bezier = (poles: readonly Vec2[]): Path => (t) => {
  let row = poles;
  while (row.length > 2) row = row.slice(1).map((p, i): Vec2 => between(row[i]!, p, t));
  const [a, b] = row as [Vec2, Vec2];
  const degree = poles.length - 1;
  return { at: between(a, b, t), slope: [degree * (b[0] - a[0]), degree * (b[1] - a[1])] };
};

const between = (a: Vec2, b: Vec2, t: number): Vec2 => [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
