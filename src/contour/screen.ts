/**
 * Which readings do not fit the rest: named, never dropped. And how large an error the good readings show.
 *
 * Method: a fit of its own, with the squared THIRD derivative as penalty, so that the steady bend of a crown costs nothing and
 * its ends are not taken for slips. Each reading's miss is held against what a fit WITHOUT it could be expected to miss it
 * by (leave-one-out, studentised: miss / (error * sqrt(1/w - variance)), as for a straight line through points, true here
 * because the fit is a posterior mean). Of the readings beyond the limit the worst within its neighbourhood is set aside, the
 * stiffness chosen anew without it, and so on; a slip therefore cannot smear into its neighbours. Meanwhile the stiffness is the one that foretells the better four fifths best (trimmed cross validation), because
 * one slip sways every rule that adds up squares into following it. Three or more side by
 * side are taken back for good: that is a bend of the contour, not slips of the hand. At the end each reading set aside is
 * taken back if the fit of the others expects it after all.
 *
 * Scale: the stated error; else the scatter of the readings still in, by the median (robust) while setting aside and by
 * the mean square when deciding. Limit: two-sided, one per cent chance that ANY of n good readings is accused
 * (Bonferroni), Student's distribution where the scatter is estimated.
 *
 * Stops being true: when more than a fifth of the readings disagree there is no majority to believe; a hard bend caught by
 * a single reading looks like a slip; and with a dozen readings or fewer and no stated error there is nothing to hold a miss
 * against. That is why a person decides. On a stretch of fewer than five
 * readings nothing is accused.
 */
import { normalQuantile, studentQuantile } from '../maths/distributions.ts';
import { tolerance } from '../maths/tolerance.ts';
import { basisAt } from './design.ts';
import { byTrimmedCrossValidation } from './stiffness.ts';
import { smooth, smoothAgain, squareMisses, type Chooser, type Course, type Smooth } from './smooth.ts';

export interface Screened {
  /** mm, one sigma of a reading of weight one: stated, or the scatter of the good readings. */
  readonly error: number;
  /** Degrees of freedom behind `error`; Infinity when stated. */
  readonly behind: number;
  /** Miss of each reading from the fit of the good ones, mm, and that over what was to be expected. */
  readonly misses: Float64Array;
  readonly studentised: Float64Array;
  /** Indices of the accused. */
  readonly accused: readonly number[];
  readonly limit: number;
}

/** Chance that any reading of a good table is accused. */
const falseAlarm = 0.01;
/** At most one reading in this many is set aside. */
const mostShare = 5;
const mostRounds = 12;
/** Among more readings than this a few slips do not sway the ordinary rules, and the robust one is slow. */
const mostDoubted = 2000;

export function screen(course: Course, pick: Chooser, stated: number | undefined): Screened {
  const n = course.points.length;
  const most = Math.floor(n / mostShare);
  const out = new Set<number>();
  const shape = new Set(sparse(course));
  const doubting: Chooser = n <= mostDoubted ? byTrimmedCrossValidation : pick;
  let fit = smooth(course, doubting, 3);
  for (let round = 0; round < mostRounds; round++) {
    const view = look(fit, course.weight, stated, 'robust');
    const worst = worstAround(view, out, shape, Math.max(1, Math.round(n / Math.max(3, fit.certainty.freedom) / 2)));
    if (worst.length === 0 || out.size + worst.length > most) break;
    for (const i of worst) out.add(i);
    for (const i of runsOf(out)) {
      out.delete(i);
      shape.add(i);
    }
    fit = smoothAgain(fit, withoutReadings(course, out), doubting);
  }
  fit = smoothAgain(fit, withoutReadings(course, out), pick);
  const cleared = new Map<number, number>();
  for (let round = 0; round < mostRounds && out.size > 0; round++) {
    const view = look(fit, course.weight, stated, 'mean square');
    const forgiven = [...out].filter((i) => Math.abs(view.studentised[i]!) <= view.limit);
    if (forgiven.length === 0) break;
    for (const i of forgiven) {
      out.delete(i);
      cleared.set(i, view.studentised[i]!);
    }
    fit = smoothAgain(fit, withoutReadings(course, out), pick);
  }
  const { error, behind, misses, studentised, limit } = look(fit, course.weight, stated, 'mean square');
  // A reading taken back keeps the figure it was judged by.
  for (const [i, value] of cleared) studentised[i] = value;
  return { error, behind, misses, studentised, limit, accused: [...out].sort((a, b) => a - b) };
}

/** Readings on a stretch between corners so short that nothing there can be held against them. */
function sparse({ corners, points }: Course): number[] {
  const marks = [0, ...corners, points.length - 1];
  return marks.slice(1).flatMap((to, m) => {
    const from = marks[m]!;
    return to - from + 1 >= fewest ? [] : Array.from({ length: to - from + 1 }, (_, k) => from + k);
  });
}

const fewest = 5;

/** The same course with some readings out of the reckoning. */
export function withoutReadings(course: Course, out: Iterable<number>): Course {
  const taken = [...out];
  if (taken.length === 0) return course;
  const weight = Float64Array.from(course.weight);
  for (const i of taken) weight[i] = 0;
  return { ...course, weight };
}

interface View {
  readonly error: number;
  readonly behind: number;
  readonly misses: Float64Array;
  readonly studentised: Float64Array;
  readonly limit: number;
}

function look(found: Smooth, weight: Float64Array, stated: number | undefined, scale: 'robust' | 'mean square'): View {
  const { rows } = found.fit;
  const n = rows.count;
  const misses = squareMisses(found.fit);
  const studentised = new Float64Array(n);
  const b = new Float64Array(4);
  const used = rows.weight;
  for (let i = 0; i < n; i++) {
    basisAt(rows.plan, rows.piece[i]!, rows.t[i]!, b);
    const variance = found.certainty.variance(rows.piece[i]!, b);
    const own = 1 / weight[i]!;
    const expected = used[i]! > 0 ? Math.max(own - variance, tolerance.pivot * own) : own + variance;
    studentised[i] = misses[i]! / Math.sqrt(expected);
  }
  const spare = rows.weighted - found.certainty.freedom;
  let error = stated;
  if (error === undefined) {
    const square = spare > 0 ? Math.sqrt(found.misses / spare) : 0;
    error = Math.max(tolerance.finestReading, scale === 'robust' ? Math.min(square, robustScale(studentised, used)) : square);
  }
  for (let i = 0; i < n; i++) studentised[i]! /= error;
  const behind = stated === undefined ? Math.max(1, spare - 1) : Infinity;
  const tail = 1 - falseAlarm / (2 * n);
  const limit = behind === Infinity ? normalQuantile(tail) : studentQuantile(tail, behind);
  return { error, behind, misses, studentised, limit };
}

/** Readings set aside side by side, this many or more: the contour bends there, it was not the hand that slipped. */
const longRun = 3;

function runsOf(out: ReadonlySet<number>): number[] {
  const sorted = [...out].sort((a, b) => a - b);
  const found: number[] = [];
  let from = 0;
  for (let k = 1; k <= sorted.length; k++) {
    if (k < sorted.length && sorted[k] === sorted[k - 1]! + 1) continue;
    if (k - from >= longRun) found.push(...sorted.slice(from, k));
    from = k;
  }
  return found;
}

/** 1.4826 times the median size: sigma of a normal distribution whatever a minority does. */
function robustScale(values: Float64Array, used: Float64Array): number {
  const sizes = new Float64Array(values.length);
  let n = 0;
  for (let i = 0; i < values.length; i++) if (used[i]! > 0) sizes[n++] = Math.abs(values[i]!);
  const sorted = sizes.subarray(0, n).sort();
  return n === 0 ? 0 : (1.4826 * (sorted[(n - 1) >> 1]! + sorted[n >> 1]!)) / 2;
}

/** Readings beyond the limit that are the worst among their neighbours still in. */
function worstAround(view: View, out: ReadonlySet<number>, shape: ReadonlySet<number>, reach: number): number[] {
  const size = view.studentised.map((v, i) => (out.has(i) || shape.has(i) ? 0 : Math.abs(v)));
  const found: number[] = [];
  for (let i = 0; i < size.length; i++) {
    if (size[i]! <= view.limit) continue;
    let worst = true;
    for (let k = Math.max(0, i - reach); k <= Math.min(size.length - 1, i + reach); k++) {
      if (size[k]! > size[i]! || (size[k] === size[i] && k < i)) worst = false;
    }
    if (worst) found.push(i);
  }
  return found;
}
