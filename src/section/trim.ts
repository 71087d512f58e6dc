/**
 * The stretch of the contour between two stations, as its own B-spline spans: cut exactly by knot insertion and moved so
 * that the front station is 0. Millimetres; x right, z up.
 * Stops being true: the contour must run forward (x rising, no steeper than tolerance.steepest) between the stations.
 */
import { domainOf, mapPoles, snappedToKnot, splitAt, type BSplineCurve } from '../maths/bspline.ts';
import { evaluate, piecewiseOf, type Piecewise } from '../maths/piecewise.ts';
import { brentRoot, quadraticRoots } from '../maths/roots.ts';
import { radiansToDegrees } from '../maths/angle.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2 } from '../maths/vec.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';

/** A place on a chain of spans. */
interface Place {
  readonly span: number;
  readonly u: number;
}

/** Places at which the chain turns from running forward to running back or the other way, both ends included. */
function turningPlaces(spans: readonly Piecewise[]): Place[] {
  const out: Place[] = [];
  let forward: boolean | null = null;
  spans.forEach((p, k) => {
    for (let i = 0; i + 1 < p.breaks.length; i++) {
      const h = p.breaks[i + 1]! - p.breaks[i]!;
      const [x1, x2, x3] = [p.x[4 * i + 1]!, p.x[4 * i + 2]!, p.x[4 * i + 3]!];
      let last = 0;
      for (const root of [...quadraticRoots(x1, 2 * x2, 3 * x3).filter((s) => s > 0 && s < h), h]) {
        const s = (last + root) / 2;
        const now = x1 + s * (2 * x2 + 3 * x3 * s) > 0;
        if (now !== forward) out.push({ span: k, u: p.breaks[i]! + last });
        forward = now;
        last = root;
      }
    }
  });
  out.push({ span: spans.length - 1, u: spans.at(-1)!.breaks.at(-1)! });
  return out;
}

const xAt = (span: Piecewise, u: number, work: Float64Array): number => {
  evaluate(span, u, work);
  return work[0]!;
};

/** Lowest and highest station any point of the spans stands at. */
export function stationRange(spans: readonly BSplineCurve[]): readonly [number, number] {
  const work = new Float64Array(6);
  const pieces = spans.map(piecewiseOf);
  const stations = [spans[0]!.poles[0]![0], ...turningPlaces(pieces).map((p) => xAt(pieces[p.span]!, p.u, work)), spans.at(-1)!.poles.at(-1)![0]];
  return [Math.min(...stations), Math.max(...stations)];
}

/** Where a section begins or ends: a station as typed, or (`given` false) the end of the contour, wherever that stands. */
export interface Edge {
  readonly station: number;
  readonly given: boolean;
}

/**
 * The spans from front to back, moved by -front in x; the ends stand exactly on 0 and back - front. Of several forward
 * stretches that hold both stations the highest is the top.
 */
export function trimmed(spans: readonly BSplineCurve[], front: Edge, back: Edge): Result<BSplineCurve[]> {
  const work = new Float64Array(6);
  const pieces = spans.map(piecewiseOf);
  const turns = turningPlaces(pieces);
  const xOf = (p: Place): number => xAt(pieces[p.span]!, p.u, work);
  let chosen: readonly [Place, Place] | null = null;
  let chosenHeight = -Infinity;
  for (let i = 0; i + 1 < turns.length; i++) {
    const [a, b] = [turns[i]!, turns[i + 1]!];
    if ((!front.given && i > 0) || (!back.given && i + 2 < turns.length)) continue;
    if (!(xOf(a) <= front.station + tolerance.point && xOf(b) >= back.station - tolerance.point)) continue;
    const cut = [front.given ? placeOf(pieces, a, b, front.station) : a, back.given ? placeOf(pieces, a, b, back.station) : b] as const;
    evaluate(pieces[cut[0].span]!, cut[0].u, work);
    if (work[1]! > chosenHeight) {
      chosen = cut;
      chosenHeight = work[1]!;
    }
  }
  if (!chosen) return refuse(notForward(pieces, turns, front.station, back.station));
  const out = cutOut(spans, chosen[0], chosen[1]).map((span) => mapPoles(span, ([x, z]) => [x - front.station, z]));
  out[0] = withEndX(out[0]!, 'first', 0);
  out[out.length - 1] = withEndX(out.at(-1)!, 'last', back.station - front.station);
  const steep = steepness(out, front.station);
  return steep ? refuse(steep) : ok(out);
}

/** The place between a and b, where x rises, that stands at a station. */
function placeOf(spans: readonly Piecewise[], a: Place, b: Place, station: number): Place {
  for (let k = a.span; k <= b.span; k++) {
    const p = spans[k]!;
    const from = k === a.span ? a.u : p.breaks[0]!;
    const to = k === b.span ? b.u : p.breaks.at(-1)!;
    const work = new Float64Array(6);
    const over = (u: number): number => {
      evaluate(p, u, work);
      return work[0]! - station;
    };
    if (over(from) >= -tolerance.point) return { span: k, u: from };
    if (over(to) >= tolerance.point || (k === b.span && over(to) > 0)) return { span: k, u: snappedToKnot(p.breaks, brentRoot(over, from, to)) };
    if (k === b.span) return { span: k, u: to };
  }
  throw new Error('placeOf: station not between the places');
}

function cutOut(spans: readonly BSplineCurve[], from: Place, to: Place): BSplineCurve[] {
  const out: BSplineCurve[] = [];
  for (let k = from.span; k <= to.span; k++) {
    let span = spans[k]!;
    const [first, last] = domainOf(span);
    if (k === to.span) {
      if (to.u <= first) continue;
      if (to.u < last) span = splitAt(span, to.u)[0];
    }
    if (k === from.span) {
      if (from.u >= last) continue;
      if (from.u > first) span = splitAt(span, from.u)[1];
    }
    out.push(span);
  }
  return out;
}

/** The end pole exactly on a station; it was there to rounding. */
function withEndX(span: BSplineCurve, end: 'first' | 'last', x: number): BSplineCurve {
  const poles = [...span.poles];
  const i = end === 'first' ? 0 : poles.length - 1;
  poles[i] = [x, poles[i]![1]];
  return { ...span, poles };
}

function notForward(spans: readonly Piecewise[], turns: readonly Place[], front: number, back: number): Issue {
  const work = new Float64Array(6);
  const stations = turns.slice(1, -1).map((p) => xAt(spans[p.span]!, p.u, work));
  const inside = stations.filter((x) => x > front - tolerance.point && x < back + tolerance.point);
  const at = (inside.length > 0 ? inside : stations)[0] ?? front;
  return {
    code: 'contour-not-forward',
    at: 'trace.points',
    message: `The contour stands upright or overhangs at station ${at.toFixed(2)} mm; expected it to run forward from front (${front} mm) to back (${back} mm).`,
    hint: 'Set front and back stations clear of the overhang, correct the readings there, or mark the sharp turn as a corner.',
  };
}

const looks = 8;

/** The steepest place, when it is steeper than a section may be. `out` stands at x - front. */
function steepness(out: readonly BSplineCurve[], front: number): Issue | null {
  const work = new Float64Array(6);
  let least = Infinity;
  let at = 0;
  for (const span of out) {
    const p = piecewiseOf(span);
    for (let i = 0; i + 1 < p.breaks.length; i++) {
      for (let j = 0; j <= looks; j++) {
        evaluate(p, p.breaks[i]! + ((p.breaks[i + 1]! - p.breaks[i]!) * j) / looks, work, i);
        const cosine = work[2]! / Math.sqrt(work[2]! * work[2]! + work[3]! * work[3]!);
        if (cosine < least) {
          least = cosine;
          at = work[0]!;
        }
      }
    }
  }
  if (least >= Math.cos(tolerance.steepest)) return null;
  return {
    code: 'contour-too-steep',
    at: 'trace.points',
    message: `The contour stands at ${radiansToDegrees(Math.acos(Math.max(-1, least))).toFixed(0)} deg at station ${(at + front).toFixed(2)} mm; expected no more than ${radiansToDegrees(tolerance.steepest).toFixed(0)} deg between front and back.`,
    hint: 'Set the front and back stations clear of the upright part: the walls stand there.',
  };
}

/** Lowest point of spans over a stretch of x, found on the polynomial pieces themselves. */
export function lowestOn(spans: readonly BSplineCurve[], from: number, to: number): Vec2 | null {
  const work = new Float64Array(6);
  let lowest: Vec2 | null = null;
  const offer = (x: number, z: number): void => {
    if (x >= from - tolerance.point && x <= to + tolerance.point && (!lowest || z < lowest[1])) lowest = [x, z];
  };
  for (const span of spans) {
    const p = piecewiseOf(span);
    for (let i = 0; i + 1 < p.breaks.length; i++) {
      const h = p.breaks[i + 1]! - p.breaks[i]!;
      const level = quadraticRoots(p.z[4 * i + 1]!, 2 * p.z[4 * i + 2]!, 3 * p.z[4 * i + 3]!).filter((s) => s > 0 && s < h);
      for (const s of [0, ...level, h]) {
        evaluate(p, p.breaks[i]! + s, work, i);
        offer(work[0]!, work[1]!);
      }
      for (const station of [from, to]) {
        const over = (s: number): number => {
          evaluate(p, p.breaks[i]! + s, work, i);
          return work[0]! - station;
        };
        if (over(0) < 0 && over(h) > 0) {
          over(brentRoot(over, 0, h));
          offer(station, work[1]!);
        }
      }
    }
  }
  return lowest;
}
