/**
 * How stiff the contour is: four rules that pick the penalty weight of penalised.ts. Stiffness in mm^3, searched on its
 * natural logarithm. A rule sees the fit only through `Judge`: what a fit of given stiffness misses by and spends.
 *
 * Reading error known (discrepancy principle). Reinsch (Numer. Math. 10 (1967) 177) asks that the sum of squared misses,
 * each over its error, lie in n - sqrt(2n) .. n + sqrt(2n). Aiming at n makes the curve too stiff: a curve that spends p
 * parameters on n readings is expected to miss by about n - p, so n - p is the aim (the unbiased estimate of the error
 * variance, G. Wahba, J. R. Statist. Soc. B 45 (1983) 133). Where p alone would leave the band, its lower edge
 * n - sqrt(2n) is the aim instead, so that the result is always inside Reinsch's band where the readings allow it, and a
 * stated error slightly too small cannot drag the curve through every point. The stiffest such fit is taken.
 *
 * Reading error unknown: least V = (misses / n) / (1 - p / n)^2, generalised cross validation (P. Craven and G. Wahba,
 * Numer. Math. 31 (1979) 377). On readings that are rounded and not noisy it comes close to passing through them.
 *
 * Stops being true: cross validation wants about eight readings or more; errors that hang together look like shape to it.
 */
import { brentLeast, brentRoot } from '../maths/roots.ts';
import { tolerance } from '../maths/tolerance.ts';

/** What one stiffness amounts to. */
export interface Judged {
  /** Sum of weighted squared misses, mm^2 of a reading of weight one. */
  readonly misses: number;
  /** Parameters spent. */
  readonly freedom: number;
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
export function stiffnessSpan(length: number, sites: number, totalWeight: number): Span {
  const gap = length / Math.max(1, sites - 1);
  const each = totalWeight / sites;
  return { low: Math.log(1e-7 * each * gap ** 3), high: Math.log((1e5 * totalWeight * length ** 3) / 4.73 ** 4) };
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

const stride = 2.5;

/** Generalised cross validation score. */
export const crossValidationScore = ({ misses, freedom }: Judged, count: number): number => misses / count / (1 - freedom / count) ** 2;

/** Logarithm of the stiffness with the least cross validation score. */
export function byCrossValidation(judge: Judge, count: number, span: Span, precision = tolerance.stiffness): number {
  const score = (log: number): number => crossValidationScore(judge(log), count);
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

/** Aim of the reading-error rule: misses over the variance of a reading, given what the fit spends. */
export const missesAim = (count: number, freedom: number): number => Math.max(count - freedom, count - Math.sqrt(2 * count));

export const byReadingError = (judge: Judge, count: number, error: number, span: Span, precision = tolerance.stiffness): number =>
  byMisses(judge, ({ freedom }) => error * error * missesAim(count, freedom), span, precision);

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
