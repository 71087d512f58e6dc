/**
 * How stiff the contour is: four rules that pick the penalty weight of penalised.ts. Stiffness in mm^3, searched on its
 * natural logarithm. A rule sees the fit only through `Judge`: what a fit of given stiffness misses by and spends.
 *
 * Reading error known. The discrepancy principle (Reinsch, Numer. Math. 10 (1967) 177) asks that the sum of squared
 * misses, each over its error, be about n, within sqrt(2n). A curve that itself spends p parameters on n readings is
 * expected to miss by n - p, not n; aimed at n it comes out too stiff, worst at the ends (on circular arcs of 25 readings,
 * two and a half errors there, against one and a quarter). But misses / (n - p) hardly changes over a wide range of
 * stiffness, so n - p picks no point in it. Of all stiffnesses the one with the least EXPECTED distance between curve and
 * truth is taken: least misses / error^2 + 2 p (unbiased risk; C. L. Mallows, Technometrics 15 (1973) 661, and for smoothing
 * splines Craven and Wahba, below, section 2). Its misses then agree with n - p where the stated error is right;
 * `agreement` says whether they do, and so whether the stated error can be believed.
 *
 * Reading error unknown: least V = (misses / n) / (1 - p / n)^2, generalised cross validation (P. Craven and G. Wahba,
 * Numer. Math. 31 (1979) 377). On readings that are rounded and not noisy it comes close to passing through them.
 *
 * Stops being true: cross validation wants about eight readings or more; errors that hang together look like shape to it.
 */
import { brentLeast, brentRoot } from '../maths/roots.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Order } from './penalised.ts';

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

/**
 * The ends lie where, for readings evenly spread over `length`, all but one part in 1e7 of a zigzag is followed, and all
 * but one part in 1e5 of the gentlest bend (free-free beam, first mode 4.73) is straightened.
 */
export function stiffnessSpan(length: number, sites: number, totalWeight: number, order: Order = 2): Span {
  const gap = length / Math.max(1, sites - 1);
  const each = totalWeight / sites;
  const power = 2 * order - 1;
  return { low: Math.log(1e-7 * each * gap ** power), high: Math.log((1e5 * totalWeight * length ** power) / 4.73 ** (2 * order)) };
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

/** Generalised cross validation score. */
export const crossValidationScore = ({ misses, freedom }: Judged, count: number): number => misses / count / (1 - freedom / count) ** 2;

/** Logarithm of the stiffness with the least cross validation score. */
export const byCrossValidation = (judge: Judge, count: number, span: Span, precision = tolerance.stiffness): number =>
  byLeast((judged) => crossValidationScore(judged, count), judge, span, precision);

/** Share of the readings that trimmed cross validation believes. */
const believed = 0.8;

/**
 * Logarithm of the stiffness at which the better four fifths of the readings are best foretold by the others. A few slips
 * cannot sway it, as they sway every rule that adds up squares; it is rougher than those, and only used to find slips.
 */
export const byTrimmedCrossValidation = (judge: Judge, count: number, span: Span, precision = stride / 3): number =>
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

/** Best of a coarse look over the whole span, from the stiff end, made exact; ties go to the stiffer. */
function byLeast(scoreOf: (judged: Judged) => number, judge: Judge, span: Span, precision: number): number {
  const score = (log: number): number => scoreOf(judge(log));
  const steps = Math.ceil((span.high - span.low) / stride);
  const at = (i: number): number => span.low + ((span.high - span.low) * i) / steps;
  let best = steps;
  for (let i = steps; i >= 0; i--) if (score(at(i)) < score(at(best)) * (1 - tolerance.stiffness)) best = i;
  return brentLeast(score, at(Math.max(0, best - 1)), at(Math.min(steps, best + 1)), precision);
}

/** Logarithm of the stiffness whose misses reach `target(judged)`; the stiffest one, or the end of the span nothing crosses. */
export function byMisses(judge: Judge, target: (judged: Judged) => number, span: Span, precision = tolerance.stiffness): number {
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

/** Logarithm of the stiffness with the least expected error, when one sigma of a reading of weight one is `error`. */
export const byReadingError = (judge: Judge, _count: number, error: number, span: Span, precision = tolerance.stiffness): number =>
  byLeast(({ misses, freedom }) => misses + 2 * error * error * freedom, judge, span, precision);

/**
 * How the misses agree with the stated error: the number of standard deviations, sqrt(2 (n - p)), by which the sum of
 * squared misses over errors exceeds n - p. Within -1 .. 1 is Reinsch's band, corrected for the parameters spent.
 */
export const agreement = ({ misses, freedom }: Judged, count: number, error: number): number => {
  const spare = Math.max(1, count - freedom);
  return (misses / (error * error) - spare) / Math.sqrt(2 * spare);
};

/** Logarithm of the stiffness that spends `freedom` parameters. */
export function byFreedom(judge: Judge, freedom: number, span: Span, precision = tolerance.stiffness): number {
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
