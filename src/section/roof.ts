/**
 * Top spans -> the roof: their offset by the skin, as cubic B-splines from one inner wall face to the other, and the
 * measure of how true it is. Millimetres; x right, z up.
 *
 * Method: the exact offset is no B-spline, so a twice continuously differentiable cubic is led through points of it with
 * its exact end directions, 48 steps shared out by length, each step halved until it is within half of tolerance.offset.
 * One roof span per top span.
 *
 * Where the offset of the last span stops short of the inner wall face it is lengthened straight.
 * At a corner that stands up (a ridge) the two offsets are cut where they cross; at a corner that dips (a valley) both are
 * lengthened straight until they meet, so the skin under a valley is thicker than stated, never thinner.
 *
 * Stops being true: a crown between the walls must be rounder than the skin by tolerance.leastRoofRadius.
 */
import type { BSplineCurve } from '../maths/bspline.ts';
import { interpolateCubic } from '../maths/interpolate.ts';
import { evaluate, footFrom, nearestOn, piecewiseOf, type Piecewise } from '../maths/piecewise.ts';
import { brentRoot } from '../maths/roots.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2 } from '../maths/vec.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import { atStation, distanceInside, firstOf, lastOf, offsetAt, tightestCrown, type Offset } from './offset.ts';

/** The part of one offset that becomes a roof span. */
export interface Stretch {
  readonly offset: Offset;
  readonly from: number;
  readonly to: number;
}

/** Steps the whole roof starts with, and the most one span may come to. */
const steps = 48;
const mostSteps = 4000;

/** `front` and `back`: stations of the inner wall faces. `frontStation` only words the messages in the person's stations. */
export function roofOf(top: readonly BSplineCurve[], skin: number, front: number, back: number, frontStation: number): Result<BSplineCurve[]> {
  const stretches = stretchesOf(top, skin, front, back);
  const fold = foldOf(stretches, skin);
  if (fold) return refuse(foldIssue(top, skin, front, back, frontStation, fold));
  if ('code' in stretches) return refuse(stretches);
  const total = stretches.reduce((sum, s) => sum + (s.to - s.from), 0);
  const roof = stretches.map((stretch) => followed(stretch, Math.max(4, Math.ceil((steps * (stretch.to - stretch.from)) / total))));
  const joined = roof.map((span, k) => withEnds(span, k === 0 ? front : null, k === roof.length - 1 ? back : null));
  for (let k = 1; k < joined.length; k++) joined[k] = { ...joined[k]!, poles: [joined[k - 1]!.poles.at(-1)!, ...joined[k]!.poles.slice(1)] };
  return ok(joined);
}

function withEnds(span: BSplineCurve, first: number | null, last: number | null): BSplineCurve {
  const poles = [...span.poles];
  if (first !== null) poles[0] = [first, poles[0]![1]];
  if (last !== null) poles[poles.length - 1] = [last, poles.at(-1)![1]];
  return { ...span, poles };
}

/** The stretches between the inner wall faces, or the corner that leaves no room for one. */
export function stretchesOf(top: readonly BSplineCurve[], skin: number, front: number, back: number): Stretch[] | Issue {
  const offsets = top.map((span): Offset => ({ curve: piecewiseOf(span), distance: skin }));
  const joints = offsets.slice(1).map((next, k) => jointOf(offsets[k]!, next));
  const out: Stretch[] = [];
  for (let k = 0; k < offsets.length; k++) {
    const from = Math.max(front, k === 0 ? -Infinity : joints[k - 1]!);
    const to = Math.min(back, k === offsets.length - 1 ? Infinity : joints[k]!);
    const outside = (k > 0 && joints[k - 1]! >= back) || (k < offsets.length - 1 && joints[k]! <= front);
    if (outside) continue;
    if (to - from <= tolerance.point) {
      return {
        code: 'corners-too-close',
        at: 'trace.points',
        message: `The stretch between the marked corners near x = ${top[k]!.poles[0]![0].toFixed(2)} mm is too short to be offset by a skin of ${skin} mm.`,
        hint: 'Unmark one of the corners, or make the skin thinner.',
      };
    }
    out.push({ offset: offsets[k]!, from: atStation(offsets[k]!, from, 'front'), to: atStation(offsets[k]!, to, 'back') });
  }
  return out;
}

/** Station at which two neighbouring offsets, lengthened straight where they stop short, meet. */
function jointOf(a: Offset, b: Offset): number {
  const end = offsetAt(a, lastOf(a));
  const start = offsetAt(b, firstOf(b));
  const low = Math.min(end.x, start.x);
  const high = Math.max(end.x, start.x);
  if (high - low <= tolerance.point) return (low + high) / 2;
  const gap = (x: number): number => offsetAt(a, atStation(a, x, 'back')).z - offsetAt(b, atStation(b, x, 'front')).z;
  const [g0, g1] = [gap(low), gap(high)];
  if (g0 * g1 > 0) return Math.abs(g0) < Math.abs(g1) ? low : high;
  return brentRoot(gap, low, high);
}

/**
 * The place where the offset folds: a crown between the walls no rounder than the skin allows. Where the fold is so deep that
 * the offset reaches the back wall before it leaves the front one, the crown between the two is to blame.
 */
export function foldOf(stretches: Stretch[] | Issue, skin: number): { radius: number; x: number } | null {
  if ('code' in stretches) return null;
  const work = new Float64Array(6);
  let worst: { radius: number; x: number } | null = null;
  for (const { offset, from, to } of stretches) {
    if (to > from && (to <= firstOf(offset) || from >= lastOf(offset))) continue;
    const { radius, u } = tightestCrown(offset.curve, Math.min(from, to), Math.max(from, to));
    if ((to <= from || radius < skin + tolerance.leastRoofRadius) && (!worst || radius < worst.radius)) {
      evaluate(offset.curve, u, work);
      worst = { radius, x: work[0]! };
    }
  }
  return worst;
}

function foldIssue(top: readonly BSplineCurve[], skin: number, front: number, back: number, frontStation: number, fold: { radius: number; x: number }): Issue {
  const most = largestSkin(top, skin, front, back);
  const station = (fold.x + frontStation).toFixed(2);
  const cure = most > 0 ? `Make the skin ${most.toFixed(2)} mm or less, fair the contour stiffer there, or mark the turn as a corner.` : 'Fair the contour stiffer there, or mark the turn as a corner.';
  return {
    code: 'skin-folds',
    at: 'body.skin',
    message: `The crown at station ${station} mm has a radius of ${fold.radius.toFixed(2)} mm; a skin of ${skin} mm needs at least ${(skin + tolerance.leastRoofRadius).toFixed(2)} mm.`,
    hint: cure,
  };
}

/** The largest skin, in hundredths, whose offset does not fold; 0 when none does. */
export function largestSkin(top: readonly BSplineCurve[], below: number, front: number, back: number): number {
  let good = 0;
  let bad = Math.floor(below * 100);
  const works = (hundredths: number): boolean => {
    const stretches = stretchesOf(top, hundredths / 100, front, back);
    return !('code' in stretches) && foldOf(stretches, hundredths / 100) === null;
  };
  while (bad - good > 1) {
    const middle = (good + bad) >> 1;
    if (works(middle)) good = middle;
    else bad = middle;
  }
  return good / 100;
}

/** A cubic led through points of a stretch, steps halved where it strays. */
function followed(stretch: Stretch, count: number): BSplineCurve {
  const { offset, from, to } = stretch;
  const inner = [firstOf(offset), lastOf(offset)].filter((s) => s > from && s < to);
  const fixed = [from, ...inner, to];
  const clear = (to - from) / (50 * count);
  const even = Array.from({ length: count - 1 }, (_, i) => from + ((to - from) * (i + 1)) / count).filter((s) => fixed.every((t) => Math.abs(s - t) > clear));
  let sites = [...fixed, ...even].sort((a, b) => a - b);
  for (;;) {
    const points = sites.map((s) => offsetAt(offset, s));
    const t = [0];
    for (let i = 1; i < points.length; i++) {
      const [a, b] = [points[i - 1]!, points[i]!];
      // The length of a circular arc with these end directions: chord * (1 + turn^2 / 24).
      const turn = a.tx * b.tz - a.tz * b.tx;
      t.push(t[i - 1]! + Math.hypot(b.x - a.x, b.z - a.z) * (1 + (turn * turn) / 24));
    }
    const [first, last] = [points[0]!, points.at(-1)!];
    const curve = interpolateCubic(points.map((p): Vec2 => [p.x, p.z]), { start: [first.tx, first.tz], end: [last.tx, last.tz] }, t);
    const strays = strayingSteps(curve, t, stretch, sites);
    if (strays.size === 0 || sites.length > mostSteps) return curve;
    sites = sites.flatMap((s, i) => (strays.has(i) ? [s, (s + sites[i + 1]!) / 2] : [s]));
  }
}

function strayingSteps(curve: BSplineCurve, t: readonly number[], { offset }: Stretch, sites: readonly number[]): Set<number> {
  const p = piecewiseOf(curve);
  const work = new Float64Array(6);
  const foot = new Float64Array(6);
  const out = new Set<number>();
  for (let i = 0; i + 1 < sites.length; i++) {
    for (const share of [0.25, 0.5, 0.75]) {
      evaluate(p, t[i]! + share * (t[i + 1]! - t[i]!), work, i);
      const s = sites[i]! + share * (sites[i + 1]! - sites[i]!);
      const u = footFrom(offset.curve, work[0]!, work[1]!, s, firstOf(offset), lastOf(offset), foot);
      if (Math.abs(distanceInside(offset.curve, work[0]!, work[1]!, u, foot) - offset.distance) > tolerance.offset / 2) out.add(i);
    }
  }
  return out;
}

/** Places looked at per knot interval of the roof when it is measured. */
const measures = 8;

/**
 * Largest distance, mm, between a roof and the true offset of a top, both given as spans: how far any point of the roof is
 * from standing `skin` inside its own top span (lengthened straight at its ends), and how far it comes nearer than `skin` to
 * any of them. Independent of how the roof was made.
 */
export function offsetError(top: readonly BSplineCurve[], roof: readonly BSplineCurve[], skin: number): number {
  const tops = top.map(piecewiseOf);
  const work = new Float64Array(6);
  let worst = 0;
  for (const span of roof) {
    const p = piecewiseOf(span);
    const points: Vec2[] = [];
    for (let i = 0; i + 1 < p.breaks.length; i++) {
      for (let j = 0; j <= measures; j++) {
        evaluate(p, p.breaks[i]! + ((p.breaks[i + 1]! - p.breaks[i]!) * j) / measures, work, i);
        points.push([work[0]!, work[1]!]);
      }
    }
    let own = Infinity;
    for (const curve of tops) own = Math.min(own, strayFrom(curve, points, skin));
    worst = Math.max(worst, own);
    for (const at of points.filter((_, i) => i % (measures + 1) === 0)) for (const curve of tops) worst = Math.max(worst, skin - nearestOn(curve, at).distance);
  }
  return worst;
}

function strayFrom(curve: Piecewise, points: readonly Vec2[], skin: number): number {
  const work = new Float64Array(6);
  let worst = 0;
  let u = nearestOn(curve, points[0]!).u;
  for (const [x, z] of points) {
    u = footFrom(curve, x, z, u, curve.breaks[0]!, curve.breaks.at(-1)!, work);
    worst = Math.max(worst, Math.abs(distanceInside(curve, x, z, u, work) - skin));
  }
  return worst;
}
