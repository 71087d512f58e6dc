/**
 * One contour fit from start to finish: readings with weights and parameters -> knots, end conditions, stiffness, curve.
 * Plane of the section, mm. Misses are taken square to the curve at the reading's own parameter: along the curve a
 * reading says nothing.
 * Knots: one per reading up to a hundred readings; beyond that a hundred spread like the readings, doubled while the fit
 * spends more than a third of them, up to 1600. A cubic with k knots follows all that a fit spending k/3 parameters can
 * show, so the penalty and not the knots decides; and the curve that goes to the kernel stays light.
 */
import type { Piecewise } from '../maths/piecewise.ts';
import type { Vec2 } from '../maths/vec.ts';
import { certaintyOf, fitAt, knotPlan, piecesOf, rowsOn, reweighted, type Certainty, type Fit, type KnotPlan, type Rows, type Tie } from './penalised.ts';
import { remembered, stiffnessSpan, type Judge, type Span } from './stiffness.ts';

/** Readings ready to be fitted, in order of travel, x not falling over the whole. */
export interface Course {
  readonly points: readonly Vec2[];
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
}

/** Picks a stiffness: sees what each would amount to, the number of weighted readings and the range worth looking in. */
export type Chooser = (judge: Judge, count: number, span: Span) => number;

const firstKnots = 100;
const mostKnots = 1600;
/** Knots nearer than this share of the mean gap are one. */
const leastGap = 0.02;

/** The fit with the stiffness that `pick` picks. */
export function smooth(course: Course, pick: Chooser): Smooth {
  for (let most = firstKnots; ; most *= 2) {
    const sites = sitesOf(course, most);
    const plan = knotPlan(sites, new Set(course.corners.map((i) => course.t[i]!)));
    const rows = rowsOn(plan, course.t, columnsOf(course.points), course.weight);
    const found = settle(rows, course, pick);
    if (course.t.length <= most || most >= mostKnots || found.certainty.freedom <= most / 3) return found;
  }
}

/** The fit on the knots of an earlier one, with other weights. */
export const smoothAgain = (before: Smooth, course: Course, pick: Chooser): Smooth => settle(reweighted(before.fit.rows, course.weight), course, pick);

function settle(rows: Rows, course: Course, pick: Chooser): Smooth {
  let total = 0;
  for (const w of rows.weight) total += w;
  const { plan } = rows;
  const length = plan.breaks.at(-1)! - plan.breaks[0]!;
  const span = stiffnessSpan(length, Math.min(rows.weighted, plan.breaks.length), total);
  const choose = (ties: Smooth['ties']): Smooth => {
    const judge = remembered((log) => {
      const fit = fitAt(rows, Math.exp(log), ties);
      return { misses: sumOfMisses(fit), freedom: certaintyOf(fit, ties[1]).freedom };
    });
    const logStiffness = pick(judge, rows.weighted, span);
    const fit = pinned(fitAt(rows, Math.exp(logStiffness), ties), course);
    return { fit, ties, certainty: certaintyOf(fit, ties[1]), logStiffness, misses: sumOfMisses(fit) };
  };
  let found = choose(endTies(plan, course, [1, 1]));
  if (course.startAngle === undefined && course.endAngle === undefined) return found;
  // The stated direction is held at the speed the fit itself has there: a second round makes that consistent.
  found = choose(endTies(plan, course, endSpeeds(found)));
  return found;
}

const columnsOf = (points: readonly Vec2[]): Float64Array[] => [Float64Array.from(points, (p) => p[0]), Float64Array.from(points, (p) => p[1])];

function sitesOf(course: Course, most: number): number[] {
  const sorted = Float64Array.from(course.t).sort();
  const n = sorted.length;
  const start = course.t[0]!;
  const end = course.t[n - 1]!;
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

function endSpeeds({ fit }: Smooth): readonly [number, number] {
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
    out[i] = (dz * tx - dx * tz) / (Math.sqrt(tx * tx + tz * tz) || 1);
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
