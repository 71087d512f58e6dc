/**
 * Network at its solution -> each reading judged: residual, redundancy, normalised residual, slips named. mm.
 * Method: W. Baarda's data snooping (A Testing Procedure for Use in Geodetic Networks, 1968): with known errors the residual
 * over its own standard deviation is standard normal; beyond 3.29 (one in a thousand) a slip is suspected, the largest first,
 * then without that reading again. Stops being true: with little redundancy one slip shows in several readings alike; then
 * all that could be wrong are named as suspects. A reading nothing checks is never suspected, however wrong.
 */
import { normalQuantile } from '../maths/distributions.ts';
import type { HoleReading, JudgedReading, PairCheck, Slip } from './pattern.ts';
import type { Network } from './network.ts';
import { freeOf, rowsAt, solveFrom, unitsOf } from './solve.ts';
import { spreadAt, type Spread } from './spread.ts';

/** Two-sided, one in a thousand: 3.2905. */
export const criticalResidual = normalQuantile(1 - 0.001 / 2);
/** Shift of the normal that is seen 8 times in 10 at that limit: 4.132. */
const seenShift = criticalResidual + normalQuantile(0.8);
/** Readings whose suspicion is this much weaker in squares (odds of about 5 to 1) are cleared. */
const cleared = 3.2;
const leastRedundancy = 1e-6;

export function judge(network: Network, x: readonly number[], spread: Spread): JudgedReading[] {
  const free = freeOf(network);
  const units = unitsOf(network, x);
  const { rows, misses } = rowsAt(network, x, free, units);
  return network.ties.map((tie, k) => {
    const row = rows[k]!;
    let used = 0;
    for (let i = 0; i < free.length; i++) {
      if (row[i] === 0) continue;
      for (let j = 0; j < free.length; j++) used += (row[i]! * row[j]! * spread.covariance[free[i]!]![free[j]!]!) / (units[free[i]!]! * units[free[j]!]!);
    }
    const left = 1 - used;
    const redundancy = left > leastRedundancy ? Math.min(1, left) : 0;
    const residual = misses[k]! * tie.error;
    return {
      index: tie.index,
      predicted: tie.value - residual,
      residual,
      error: tie.error,
      redundancy,
      normalised: redundancy === 0 ? 0 : misses[k]! / Math.sqrt(redundancy),
      detectable: redundancy === 0 ? Infinity : (seenShift * tie.error) / Math.sqrt(redundancy),
    };
  });
}

/** Slips, the worst first. Each is judged with those before it set aside. */
export function findSlips(network: Network, x: readonly number[], spread: Spread): Slip[] {
  const slips: Slip[] = [];
  let [net, at, held] = [network, x, spread];
  for (let left = network.ties.length; left > 0; left--) {
    const judged = judge(net, at, held);
    const worst = judged.reduce((most, one) => (Math.abs(one.normalised) > Math.abs(most.normalised) ? one : most));
    if (!(Math.abs(worst.normalised) > criticalResidual)) break;
    const suspects = judged.filter((one) => one.redundancy > 0 && worst.normalised ** 2 - one.normalised ** 2 < cleared);
    const without = { ...net, ties: net.ties.filter((tie) => tie.index !== worst.index) };
    const then = solveFrom(without, at);
    const moved = Math.max(...network.holes.map((_, i) => Math.hypot(then.x[2 * i]! - at[2 * i]!, then.x[2 * i + 1]! - at[2 * i + 1]!)));
    slips.push({ index: worst.index, normalised: worst.normalised, amount: worst.residual / worst.redundancy, suspects: suspects.map((one) => one.index).sort((a, b) => a - b), effect: moved });
    // Where any of several could be it, taking one away would only hide the others.
    if (suspects.length > 1) break;
    const next = spreadAt(without, then.x);
    if ('flex' in next) break;
    [net, at, held] = [without, then.x, next.spread];
  }
  return slips;
}

/** A - B = D1 + D2 over every pair read both over the far walls and over the web, with diameters as jaws or pins read them. */
export function pairChecks(readings: readonly HoleReading[], settings: { readonly readingError: number; readonly equalHoles: boolean }): PairCheck[] {
  const used = readings.filter((reading) => !reading.leaveOut);
  const sizes = (hole: string): readonly HoleReading[] => used.filter((r) => (r.kind === 'jaws' || r.kind === 'pin') && (settings.equalHoles || r.a === hole));
  const error = (reading: HoleReading): number => reading.error ?? settings.readingError;
  return used.flatMap((outside) => {
    if (outside.kind !== 'outside') return [];
    const inside = used.find((r) => r.kind === 'inside' && ((r.a === outside.a && r.b === outside.b) || (r.a === outside.b && r.b === outside.a)));
    if (inside === undefined) return [];
    let sum = 0;
    let variance = error(outside) ** 2 + error(inside) ** 2;
    for (const hole of [outside.a, outside.b]) {
      // Jaws sit on the same chord in all three readings, so they are compared with jaws where there are any.
      const all = sizes(hole);
      const size = all.filter((r) => r.kind === 'jaws').length > 0 ? all.filter((r) => r.kind === 'jaws') : all;
      if (size.length === 0) return [];
      sum += size.reduce((total, r) => total + r.value, 0) / size.length;
      variance += size.reduce((total, r) => total + error(r) ** 2, 0) / size.length ** 2;
    }
    const difference = outside.value - inside.value - sum;
    const limit = criticalResidual * Math.sqrt(variance);
    return [{ a: outside.a, b: outside.b, outside: outside.value, inside: inside.value, difference, limit, passed: Math.abs(difference) <= limit }];
  });
}
