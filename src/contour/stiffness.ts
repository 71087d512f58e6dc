/**
 * How stiff the contour is: four rules that pick the penalty weight of penalised.ts. Stiffness in mm^3, searched on its
 * natural logarithm. A rule sees the fit only through `Judge`: what a fit of given stiffness misses by and spends.
 *
 * Reading error known. The discrepancy principle (Reinsch, Numer. Math. 10 (1967) 177) asks that the sum of squared
 * misses, each over its error, be about n, within sqrt(2n). A curve that itself spends p parameters on n readings is
 * expected to miss by n - p, not n; aimed at n it comes out too stiff, worst at the ends (circular arcs, 25 readings: off by
 * 2.5 errors there, against 1.5 by the rule used). Aiming at n - p does not settle it: over a wide range of stiffness misses and
 * n - p fall together. So among all stiffnesses the EXPECTED squared distance between curve and truth is estimated, by
 * misses / error^2 + 2 p (unbiased risk; C. L. Mallows, Technometrics 15 (1973) 661; for smoothing splines Craven and
 * Wahba, below), and the stiffest fit is taken whose estimate is within one reading's variance of the least: hardly less true
 * (1 to 3 %) and with half the false bends. `agreement` says whether its misses then agree with n - p, and so whether the
 * stated error can be believed.
 *
 * Reading error unknown: least V = (misses / n) / (1 - c p / n)^2, generalised cross validation (P. Craven and G. Wahba,
 * Numer. Math. 31 (1979) 377, with c = 1). With 25 readings that follows noise too often; c = 1.2 is as true or truer and has
 * a third of the false bends (Y. J. Kim and C. Gu, J. R. Statist. Soc. B 66 (2004) 337, advise 1.2 to 1.4; cited from memory).
 * The figures are from simulation on crowns, arcs, tapers and dips, 25 readings, 0.05 and 0.15 mm.
 *
 * Stops being true: cross validation wants about eight readings or more; errors that hang together look like shape to it.
 */
import { brentLeast, brentRoot } from '../maths/roots.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Order } from './design.ts';

/** What one stiffness amounts to. */
export interface Judged {
  /** Sum of weighted squared misses, mm^2 of a reading of weight one. */
  readonly misses: number;
  /** Parameters spent. */
  readonly freedom: number;
  /** What each weighted reading misses the fit of all the others by, over its relative error; made when asked for. */
  readonly leaveOneOut?: () => Float64Array;
}

export type Judge = (logStiffness: number) => Judged;

/** Every stiffness worth trying, as logarithms: from passing through the readings to a straight line. */
export interface Span {
  readonly low: number;
  readonly high: number;
}

/** Share of a zigzag not followed at the low end; bends straightened over the share left at the high end. */
const unfollowed = 1e-7;
const straightened = 1e5;
/** First mode of a free beam, beta * length: the gentlest bend there is. */
const gentlest = 4.73;

/** From following every zigzag of readings evenly spread over `length` to straightening the gentlest bend. */
export function stiffnessSpan(length: number, sites: number, totalWeight: number, order: Order = 2): Span {
  const gap = length / Math.max(1, sites - 1);
  const each = totalWeight / sites;
  const power = 2 * order - 1;
  return { low: Math.log(unfollowed * each * gap ** power), high: Math.log((straightened * totalWeight * length ** power) / gentlest ** (2 * order)) };
}

/** Remembers what was judged: each judgement is a factorisation. */
export function remembered(judge: Judge): Judge {
  const known = new Map<number, Judged>();
  return (log) => {
    const old = known.get(log);
    if (old) return old;
    const fresh = judge(log);
    known.set(log, fresh);
    return fresh;
  };
}

/** Width of one step of the coarse look: a factor of thirty, about two fifths of the parameters spent. */
const stride = 3.4;

/** What a parameter spent counts for in cross validation; fewer than twenty readings cannot afford more than the textbook's 1. */
export const caution = (count: number): number => (count < 20 ? 1 : 1.2);

/** Generalised cross validation score; infinite where nothing is left to judge by. */
export const crossValidationScore = ({ misses, freedom }: Judged, count: number, cautious = caution(count)): number =>
  cautious * freedom < count ? misses / count / (1 - (cautious * freedom) / count) ** 2 : Infinity;

/** Logarithm of the stiffness with the least cross validation score. */
export const byCrossValidation = (judge: Judge, count: number, span: Span, precision: number = tolerance.stiffness, cautious = caution(count)): number =>
  byLeast((judged) => crossValidationScore(judged, count, cautious), judge, span, precision);

/** Share of the readings that trimmed cross validation believes. */
const believed = 0.8;

/**
 * Logarithm of the stiffness at which the better four fifths of the readings are best foretold by the others. A few slips
 * cannot sway it, as they sway every rule that adds up squares; it is rougher than those, and only used to find slips.
 */
export const byTrimmedCrossValidation = (judge: Judge, count: number, span: Span, precision: number = stride / 3): number =>
  byLeast(
    (judged) => {
      const squares = judged.leaveOneOut!().map((e) => e * e).sort();
      const most = Math.max(1, Math.ceil(believed * count));
      let sum = 0;
      for (let i = 0; i < most; i++) sum += squares[i]!;
      return sum;
    },
    judge,
    span,
    precision,
  );

/** The coarse look: every stiffness tried first, rising. */
function gridOf(span: Span): number[] {
  const steps = Math.ceil((span.high - span.low) / stride);
  return Array.from({ length: steps + 1 }, (_, i) => span.low + ((span.high - span.low) * i) / steps);
}

/** Best of a coarse look over the whole span, from the stiff end, made exact; ties go to the stiffer. */
function byLeast(scoreOf: (judged: Judged) => number, judge: Judge, span: Span, precision: number): number {
  const score = (log: number): number => scoreOf(judge(log));
  const grid = gridOf(span);
  let best = grid.length - 1;
  for (let i = best; i >= 0; i--) if (score(grid[i]!) < score(grid[best]!) * (1 - tolerance.stiffness)) best = i;
  return brentLeast(score, grid[Math.max(0, best - 1)]!, grid[Math.min(grid.length - 1, best + 1)]!, precision);
}

/** Logarithm of the stiffness whose misses reach `target(judged)`; the stiffest one, or the end of the span nothing crosses. */
export function byMisses(judge: Judge, target: (judged: Judged) => number, span: Span, precision: number = tolerance.stiffness): number {
  const over = (log: number): number => {
    const judged = judge(log);
    return judged.misses - target(judged);
  };
  let high = span.high;
  if (over(high) <= 0) return high;
  for (let low = high; low > span.low; high = low) {
    low = Math.max(span.low, low - stride);
    if (over(low) <= 0) return brentRoot(over, low, high, precision);
  }
  return span.low;
}

/** Estimate of the expected squared distance between curve and truth, summed over readings, in variances of a reading (less n). */
const risk = ({ misses, freedom }: Judged, error: number): number => misses / (error * error) + 2 * freedom;

/** Logarithm of the stiffness with the least expected error, when one sigma of a reading of weight one is `error`. */
export const byUnbiasedRisk = (judge: Judge, error: number, span: Span, precision: number = tolerance.stiffness): number =>
  byLeast((judged) => risk(judged, error), judge, span, precision);

/**
 * Logarithm of the stiffest fit whose expected squared error is within one reading's variance of the least, when one sigma of a
 * reading of weight one is `error`.
 */
export function byReadingError(judge: Judge, error: number, span: Span, precision: number = tolerance.stiffness): number {
  const best = byUnbiasedRisk(judge, error, span, precision);
  const over = (log: number): number => risk(judge(log), error) - risk(judge(best), error) - 1;
  if (over(span.high) <= 0) return span.high;
  let from = best;
  for (const log of gridOf(span)) if (log > best && over(log) <= 0) from = log;
  const beyond = gridOf(span).find((log) => log > from)!;
  return brentRoot(over, from, beyond, precision);
}

/**
 * How the misses agree with the stated error: the number of standard deviations, sqrt(2 (n - p)), by which the sum of
 * squared misses over errors exceeds n - p. Within -1 .. 1 is Reinsch's band, corrected for the parameters spent.
 */
export const agreement = ({ misses, freedom }: Judged, count: number, error: number): number => {
  const spare = Math.max(1, count - freedom);
  return (misses / (error * error) - spare) / Math.sqrt(2 * spare);
};

/** Logarithm of the stiffness that spends `freedom` parameters. */
export function byFreedom(judge: Judge, freedom: number, span: Span, precision: number = tolerance.stiffness): number {
  const over = (log: number): number => judge(log).freedom - freedom;
  if (over(span.high) >= 0) return span.high;
  if (over(span.low) <= 0) return span.low;
  return brentRoot(over, span.low, span.high, precision);
}

/**
 * Parameters spent for a stiffness knob of 0..1: from every reading (0) to a straight line (1), in equal ratios, so that
 * equal turns of the knob look like equal changes whatever the number of readings.
 */
export const freedomByHand = (knob: number, count: number, straight: number): number => straight * (count / straight) ** (1 - knob);
