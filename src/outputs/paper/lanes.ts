/**
 * Dimensions round a view, stacked so that none runs into another: each side of the view has lanes, short dimensions take
 * the inner ones, and two share a lane only where their figures and arrows leave room. Paper mm.
 */
import type { Vec2 } from '../../maths/vec.ts';
import { dimension, dimensionForm, type Bounds, type Mark } from '../drawing.ts';

export interface SideDimension {
  readonly side: 'below' | 'above' | 'left' | 'right';
  /** The two points measured between; only their coordinate along the side counts for the figure. */
  readonly from: Vec2;
  readonly to: Vec2;
  readonly text: string;
}

/** mm from the view to the first lane, and from lane to lane, in heights of the figures. */
const firstLane = 2.6;
const laneStep = 2.6;

/** Marks of all dimensions; `around` is the box of the view they stand outside of. */
export function dimensionMarks(dimensions: readonly SideDimension[], around: Bounds, height: number): Mark[] {
  return (['below', 'above', 'left', 'right'] as const).flatMap((side) => sideMarks(dimensions.filter((one) => one.side === side), side, around, height));
}

/** How far the dimensions of a side reach out of the view, mm. */
export function reachOf(dimensions: readonly SideDimension[], side: SideDimension['side'], height: number): number {
  const lanes = lanesOf(dimensions.filter((one) => one.side === side), height);
  return lanes.length === 0 ? 0 : (firstLane + laneStep * (lanes.length - 1) + 1.6) * height;
}

/** How far figures and arrows stand out past the ends of the view, along a side, mm: before and after. */
export function overhang(dimensions: readonly SideDimension[], side: SideDimension['side'], [least, most]: Vec2, height: number): Vec2 {
  const spans = lanesOf(dimensions.filter((one) => one.side === side), height).flat();
  return [Math.max(0, ...spans.map((span) => least - span.least)), Math.max(0, ...spans.map((span) => span.most - most))];
}

interface Spanned {
  readonly dimension: SideDimension;
  readonly least: number;
  readonly most: number;
}

const isLevel = (side: SideDimension['side']): boolean => side === 'below' || side === 'above';

function lanesOf(dimensions: readonly SideDimension[], height: number): Spanned[][] {
  const spans = dimensions.map((one): Spanned => {
    const axis = isLevel(one.side) ? 0 : 1;
    const [a, b] = [Math.min(one.from[axis], one.to[axis]), Math.max(one.from[axis], one.to[axis])];
    const { before, after } = dimensionForm(b - a, one.text, height);
    return { dimension: one, least: a - before, most: b + after };
  });
  const lanes: Spanned[][] = [];
  for (const span of [...spans].sort((p, q) => p.most - p.least - (q.most - q.least))) {
    const lane = lanes.find((one) => one.every((other) => span.least > other.most + height / 2 || other.least > span.most + height / 2));
    if (lane === undefined) lanes.push([span]);
    else lane.push(span);
  }
  return lanes;
}

function sideMarks(dimensions: readonly SideDimension[], side: SideDimension['side'], around: Bounds, height: number): Mark[] {
  return lanesOf(dimensions, height).flatMap((lane, k) => {
    const out = (firstLane + laneStep * k) * height;
    return lane.flatMap(({ dimension: one }) => oneMarks(one, side, around, out, height));
  });
}

function oneMarks({ from, to, text }: SideDimension, side: SideDimension['side'], { least, most }: Bounds, out: number, height: number): Mark[] {
  // Drawn from its own points; `dimension` puts it to the left of the way it runs.
  const level = isLevel(side);
  const axis = level ? 0 : 1;
  const across = level ? 1 : 0;
  const [a, b] = from[axis] <= to[axis] ? [from, to] : [to, from];
  const line = side === 'below' ? least[1] - out : side === 'above' ? most[1] + out : side === 'left' ? least[0] - out : most[0] + out;
  // Both ends are brought to the one nearer the line, so that the extension lines start at what they measure.
  const start = Math.abs(line - a[across]) < Math.abs(line - b[across]) ? a[across] : b[across];
  const p: Vec2 = level ? [a[0], start] : [start, a[1]];
  const q: Vec2 = level ? [b[0], start] : [start, b[1]];
  const offset = level ? line - start : start - line;
  return dimension(p, q, offset, text, height);
}
