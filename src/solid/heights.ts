/**
 * Heights along a contour: z at a station of cubic curves whose x strictly increases. mm.
 * Method: the piece by binary search on x at its ends, then Newton's method on x(u), kept inside the piece by bisection.
 */
import type { BSplineCurve } from '../maths/bspline.ts';
import { piecewiseOf, type Piecewise } from '../maths/piecewise.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2 } from '../maths/vec.ts';

export interface Heights {
  /** z at station x; beyond the ends, the height of the end. */
  readonly at: (x: number) => number;
  /** Least and most z between two stations, from samples at most `step` apart and at both stations. */
  readonly range: (from: number, to: number, step: number) => { readonly least: number; readonly most: number };
}

/** Samples of a range at most; wider ranges are sampled more coarsely. */
const mostSamples = 2000;

export function heightsOf(curves: readonly BSplineCurve[]): Heights {
  const spans = curves.map(spanOf);
  const at = (x: number): number => {
    const { pieces, ends } = spans.find((span) => x <= span.ends[span.ends.length - 1]!) ?? spans.at(-1)!;
    const piece = pieceAtStation(ends, x);
    return cubic(pieces.z, piece, reach(pieces, ends, piece, x));
  };
  const range = (from: number, to: number, step: number) => {
    const count = Math.min(mostSamples, Math.max(1, Math.ceil((to - from) / step)));
    let least = Infinity;
    let most = -Infinity;
    for (let i = 0; i <= count; i++) {
      const z = at(from + ((to - from) * i) / count);
      if (z < least) least = z;
      if (z > most) most = z;
    }
    return { least, most };
  };
  return { at, range };
}

/** Parameter of one curve at a station; beyond its ends, that of the end. */
export function parameterFinder(curve: BSplineCurve): (x: number) => number {
  const { pieces, ends } = spanOf(curve);
  return (x) => {
    const piece = pieceAtStation(ends, x);
    return pieces.breaks[piece]! + reach(pieces, ends, piece, x);
  };
}

function spanOf(curve: BSplineCurve): { readonly pieces: Piecewise; readonly ends: Float64Array } {
  const pieces = piecewiseOf(curve);
  return { pieces, ends: Float64Array.from(pieces.breaks, (_, i) => endX(pieces, i)) };
}

/** x at break i. */
function endX(p: Piecewise, i: number): number {
  const last = p.breaks.length - 2;
  const piece = Math.min(i, last);
  return cubic(p.x, piece, p.breaks[i]! - p.breaks[piece]!);
}

const cubic = (c: Float64Array, piece: number, s: number): number => c[4 * piece]! + s * (c[4 * piece + 1]! + s * (c[4 * piece + 2]! + s * c[4 * piece + 3]!));
const cubicSlope = (c: Float64Array, piece: number, s: number): number => c[4 * piece + 1]! + s * (2 * c[4 * piece + 2]! + s * 3 * c[4 * piece + 3]!);

function pieceAtStation(ends: Float64Array, x: number): number {
  let low = 0;
  let high = ends.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (ends[middle]! <= x) low = middle;
    else high = middle;
  }
  return low;
}

/** How far into a piece the station is reached. */
function reach(p: Piecewise, ends: Float64Array, low: number, x: number): number {
  let [from, to] = [0, p.breaks[low + 1]! - p.breaks[low]!];
  const still = tolerance.root * Math.max(1, to);
  const rise = ends[low + 1]! - ends[low]!;
  let s = Math.min(to, Math.max(0, ((x - ends[low]!) / rise) * to));
  for (let n = 0; n < 60 && to - from > still; n++) {
    const miss = cubic(p.x, low, s) - x;
    if (miss > 0) to = s;
    else from = s;
    const next = s - miss / cubicSlope(p.x, low, s);
    const kept = next > from && next < to ? next : (from + to) / 2;
    if (Math.abs(kept - s) <= still) break;
    s = kept;
  }
  return s;
}

export const firstPoint = (curves: readonly BSplineCurve[]): Vec2 => curves[0]!.poles[0]!;
export const lastPoint = (curves: readonly BSplineCurve[]): Vec2 => curves.at(-1)!.poles.at(-1)!;

/** One height, for callers that need few: z at station x. */
export const heightAt = (curves: readonly BSplineCurve[], x: number): number => heightsOf(curves).at(x);
