/**
 * One contour fit from start to finish: readings with weights and parameters -> knots, end conditions, stiffness, curve.
 * Plane of the section, mm. Misses are taken square to the curve at the reading's own parameter: along the curve a
 * reading says nothing.
 * Knots: one per reading up to a hundred readings; beyond that a hundred spread like the readings, doubled while the fit
 * spends more than a third of them, up to 1600. A cubic with k knots follows all that a fit spending k/3 parameters can
 * show, so the penalty and not the knots decides; and the curve that goes to the kernel stays light.
 */
import type { Piecewise } from '../maths/piecewise.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2 } from '../maths/vec.ts';
import { basisAt, knotPlan, piecesOf, rowsOn, type KnotPlan, type Order, type Rows } from './design.ts';
import { certaintyOf, fitAt, type Certainty, type Fit, type Tie } from './penalised.ts';
import { needsThinning, thinned } from './thin.ts';
import { remembered, stiffnessSpan, type Judge, type Span } from './stiffness.ts';

/** Readings ready to be fitted, in order of travel, x not falling over the whole. */
export interface Course {
  readonly points: readonly Vec2[];
  /** The same, x and z apart. */
  readonly columns: readonly [Float64Array, Float64Array];
  /** Distance travelled at each. */
  readonly t: Float64Array;
  /** Relative weight of each, one for a reading with the reference error. */
  readonly weight: Float64Array;
  /** Indices of the readings at which the contour turns sharply; neither first nor last. */
  readonly corners: readonly number[];
  /** Stated directions at the two ends, rad from +x, up positive. */
  readonly startAngle: number | undefined;
  readonly endAngle: number | undefined;
}

export interface Smooth {
  readonly fit: Fit;
  /** Equations of the x and of the z column. */
  readonly ties: readonly [readonly Tie[], readonly Tie[]];
  readonly certainty: Certainty;
  readonly logStiffness: number;
  readonly misses: number;
  /** Every judgement made on the way, for another rule to look at the same fits. */
  readonly judge: Judge;
  readonly span: Span;
  /** Readings with weight. */
  readonly count: number;
}

/** Picks a stiffness: sees what each would amount to, the number of weighted readings and the range worth looking in. */
export type Chooser = (judge: Judge, count: number, span: Span) => number;

const firstKnots = 100;
const mostKnots = 1600;
/** Knots nearer than this share of the mean gap are one. */
const leastGap = 0.02;

/** The fit with the stiffness that `pick` picks. */
export function smooth(course: Course, pick: Chooser, order: Order = 2): Smooth {
  for (let most = firstKnots; ; most *= 2) {
    const plan = knotPlan(sitesOf(course, most), new Set(course.corners.map((i) => course.t[i]!)), order);
    const framed = frame(plan, course, pick);
    if (course.t.length <= most || most >= mostKnots || framed.judge(framed.logStiffness).freedom <= most / 3) return finished(framed, course);
  }
}

/** The fit on the knots of an earlier one, by another rule or with other weights. */
export function smoothAgain(before: Smooth, course: Course, pick: Chooser): Smooth {
  const { rows } = before.fit;
  if (course.weight !== rows.weight) return finished(frame(rows.plan, course, pick), course);
  return finished({ ...before, seen: rows, logStiffness: pick(before.judge, before.count, before.span) }, course);
}

type Framed = Pick<Smooth, 'ties' | 'judge' | 'span' | 'count' | 'logStiffness'> & { readonly seen: Rows };

/** Knots and end conditions settled, stiffness picked. */
function frame(plan: KnotPlan, course: Course, pick: Chooser): Framed {
  const few = needsThinning(course) ? thinned(course) : null;
  const seen = rowsOn(plan, few?.t ?? course.t, few?.columns ?? course.columns, few?.weight ?? course.weight);
  let total = 0;
  let count = 0;
  for (const w of course.weight) {
    total += w;
    if (w > 0) count++;
  }
  const length = plan.breaks.at(-1)! - plan.breaks[0]!;
  const span = stiffnessSpan(length, Math.min(seen.weighted, plan.breaks.length), total, plan.order);
  const under = (ties: Smooth['ties']): Framed => {
    const judge = judgeOf(seen, ties, few?.scatter ?? 0);
    return { seen, ties, judge, span, count, logStiffness: pick(judge, count, span) };
  };
  const free = under(endTies(plan, course, [1, 1]));
  if (course.startAngle === undefined && course.endAngle === undefined) return free;
  // The stated direction is held at the speed the fit itself has there: a second round makes that consistent.
  return under(endTies(plan, course, endSpeeds(fitAt(seen, Math.exp(free.logStiffness), free.ties))));
}

const judgeOf = (rows: Rows, ties: Smooth['ties'], scatter: number): Judge =>
  remembered((log) => {
    const fit = fitAt(rows, Math.exp(log), ties);
    const certainty = certaintyOf(fit, ties[1]);
    return { misses: scatter + sumOfMisses(fit), freedom: certainty.freedom, leaveOneOut: () => leaveOneOut(fit, certainty) };
  });

function finished(framed: Framed, course: Course): Smooth {
  const { seen, ties, judge, span, count, logStiffness } = framed;
  const rows = seen.weight === course.weight ? seen : rowsOn(seen.plan, course.t, course.columns, course.weight);
  const fit = pinned(fitAt(rows, Math.exp(logStiffness), ties), course);
  return { fit, ties, judge, span, count, logStiffness, certainty: certaintyOf(fit, ties[1]), misses: sumOfMisses(fit) };
}

/** Readings looked at per knot when knots are spread like the readings. */
const mostSeen = 50;

function sitesOf(course: Course, most: number): number[] {
  const count = course.t.length;
  const stride = Math.max(1, Math.floor(count / (mostSeen * most)));
  const sorted = Float64Array.from({ length: Math.ceil(count / stride) }, (_, k) => course.t[k * stride]!).sort();
  const n = sorted.length;
  const start = course.t[0]!;
  const end = course.t[count - 1]!;
  const fixed = new Set([start, end, ...course.corners.map((i) => course.t[i]!)]);
  const wanted = n <= most ? [...sorted] : Array.from({ length: most }, (_, k) => sorted[Math.round((k * (n - 1)) / (most - 1))]!);
  const all = [...wanted, ...fixed].sort((a, b) => a - b);
  const gap = (leastGap * (end - start)) / Math.min(n, most);
  const out: number[] = [start];
  for (const site of all) {
    const last = out.at(-1)!;
    if (site <= last) continue;
    if (site - last >= gap || (fixed.has(site) && fixed.has(last))) out.push(site);
    else if (fixed.has(site)) out[out.length - 1] = site;
  }
  return out;
}

/**
 * Equations at the ends: x of the first and last coefficient is the first and last station; a stated direction fixes the
 * second coefficient's x and its rise over the first, at the given speeds.
 */
function endTies(plan: KnotPlan, course: Course, speeds: readonly [number, number]): Smooth['ties'] {
  const last = plan.coefficients - 1;
  const from = course.points[0]![0];
  const to = course.points.at(-1)![0];
  const x: Tie[] = [
    { entries: [[0, 1]], value: from },
    { entries: [[last, 1]], value: to },
  ];
  const z: Tie[] = [];
  const b = plan.breaks;
  if (course.startAngle !== undefined) {
    const arm = ((b[1]! - b[0]!) * speeds[0]) / 3;
    x.push({ entries: [[1, 1]], value: from + arm * Math.cos(course.startAngle) });
    z.push({ entries: [[1, 1], [0, -1]], value: arm * Math.sin(course.startAngle) });
  }
  if (course.endAngle !== undefined) {
    const arm = ((b.at(-1)! - b.at(-2)!) * speeds[1]) / 3;
    x.push({ entries: [[last - 1, 1]], value: to - arm * Math.cos(course.endAngle) });
    z.push({ entries: [[last, 1], [last - 1, -1]], value: arm * Math.sin(course.endAngle) });
  }
  return [x, z];
}

function endSpeeds(fit: Fit): readonly [number, number] {
  const [x, z] = fit.coefficients as [Float64Array, Float64Array];
  const { breaks } = fit.rows.plan;
  const n = x.length - 1;
  const speed = (a: number, b: number, h: number): number => (3 * Math.hypot(x[a]! - x[b]!, z[a]! - z[b]!)) / h;
  return [speed(1, 0, breaks[1]! - breaks[0]!), speed(n, n - 1, breaks.at(-1)! - breaks.at(-2)!)];
}

/** The end stations to the last bit. */
function pinned(fit: Fit, course: Course): Fit {
  const x = fit.coefficients[0]!;
  x[0] = course.points[0]![0];
  x[x.length - 1] = course.points.at(-1)![0];
  return fit;
}

/** The fitted curve as polynomial pieces, all stretches in one. */
export const piecesOfFit = (fit: Fit): Piecewise => ({
  breaks: fit.rows.plan.breaks,
  x: piecesOf(fit.rows.plan, fit.coefficients[0]!),
  z: piecesOf(fit.rows.plan, fit.coefficients[1]!),
});

/** Signed distance of every reading from the curve, square to it at the reading's parameter; positive on its left. */
export function squareMisses(fit: Fit): Float64Array {
  const { t, piece, columns, count, plan } = fit.rows;
  const p = piecesOfFit(fit);
  const x = columns[0]!;
  const z = columns[1]!;
  const out = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const k = 4 * piece[i]!;
    const s = t[i]! - plan.breaks[piece[i]!]!;
    const dx = x[i]! - (p.x[k]! + s * (p.x[k + 1]! + s * (p.x[k + 2]! + s * p.x[k + 3]!)));
    const dz = z[i]! - (p.z[k]! + s * (p.z[k + 1]! + s * (p.z[k + 2]! + s * p.z[k + 3]!)));
    const tx = p.x[k + 1]! + s * (2 * p.x[k + 2]! + 3 * s * p.x[k + 3]!);
    const tz = p.z[k + 1]! + s * (2 * p.z[k + 2]! + 3 * s * p.z[k + 3]!);
    const speed = Math.sqrt(tx * tx + tz * tz);
    out[i] = speed > 0 ? (dz * tx - dx * tz) / speed : 0;
  }
  return out;
}

/** Of every weighted reading, what it misses the fit of all the others by, times the root of its weight. */
function leaveOneOut(fit: Fit, { variance }: Certainty): Float64Array {
  const { rows } = fit;
  const misses = squareMisses(fit);
  const out = new Float64Array(rows.weighted);
  const b = new Float64Array(4);
  for (let i = 0, n = 0; i < rows.count; i++) {
    const w = rows.weight[i]!;
    if (w === 0) continue;
    basisAt(rows.plan, rows.piece[i]!, rows.t[i]!, b);
    out[n++] = (Math.sqrt(w) * misses[i]!) / Math.max(tolerance.pivot, 1 - w * variance(rows.piece[i]!, b));
  }
  return out;
}

function sumOfMisses(fit: Fit): number {
  const { weight } = fit.rows;
  const misses = squareMisses(fit);
  let sum = 0;
  for (let i = 0; i < misses.length; i++) if (weight[i]! > 0) sum += weight[i]! * misses[i]! * misses[i]!;
  return sum;
}
