/**
 * Network and a start -> the unknowns with the least sum of squared misses, each miss against its own error.
 * Method: Gauss-Newton on the normal equations with Levenberg's damping, which fades out. mm, radians; turns of edges are
 * scaled by the size of the pattern so that all unknowns are lengths. Finds the minimum next to its start: many starts are
 * ambiguity.ts's work. `missOf` and `gradientAt` are the verifiers: at the answer the gradient is zero.
 */
import { choleskySolve } from './symmetric.ts';
import { predict, type Network } from './network.ts';
import { tolerance } from '../maths/tolerance.ts';

export interface Fitted {
  readonly x: readonly number[];
  /** Sum of (miss / error)^2. */
  readonly squares: number;
}

/** Numbers that are free to move. */
export const freeOf = (network: Network): number[] => network.held.flatMap((held, i) => (held ? [] : [i]));

/** mm per unit of each number: 1, and the pattern's size for turns. */
export function unitsOf(network: Network, x: readonly number[]): number[] {
  const n = network.holes.length;
  let size = 1;
  for (let i = 0; i < n; i++) size = Math.max(size, Math.abs(x[2 * i]! - x[0]!), Math.abs(x[2 * i + 1]! - x[1]!));
  return network.held.map((_, i) => (i >= network.edgeAt && (i - network.edgeAt) % 2 === 0 ? 1 / size : 1));
}

export interface Rows {
  /** One row per tie, over the free numbers, scaled by error and unit. */
  readonly rows: readonly (readonly number[])[];
  /** Miss over error. */
  readonly misses: readonly number[];
  readonly squares: number;
}

export function rowsAt(network: Network, x: readonly number[], free: readonly number[], units: readonly number[]): Rows {
  let squares = 0;
  const misses: number[] = [];
  const rows = network.ties.map((tie) => {
    const row = new Array<number>(network.count).fill(0);
    const miss = (tie.value - predict(network, x, tie, row)) / tie.error;
    misses.push(miss);
    squares += miss * miss;
    return free.map((i) => (row[i]! * units[i]!) / tie.error);
  });
  return { rows, misses, squares };
}

/** J'J of scaled rows, dense and symmetric. */
export function normalOf(rows: readonly (readonly number[])[], n: number): number[][] {
  const out = Array.from({ length: n }, () => new Array<number>(n).fill(0));
  for (const row of rows) {
    for (let i = 0; i < n; i++) {
      const value = row[i]!;
      if (value === 0) continue;
      const into = out[i]!;
      for (let j = i; j < n; j++) into[j]! += value * row[j]!;
    }
  }
  for (let i = 0; i < n; i++) for (let j = 0; j < i; j++) out[i]![j] = out[j]![i]!;
  return out;
}

const mostRounds = 200;
/** Share of the diagonal added to it: at first, and where no step helps any more. */
const firstDamping = 1e-3;
const stuckDamping = 1e12;

export function solveFrom(network: Network, start: readonly number[]): Fitted {
  const free = freeOf(network);
  const n = free.length;
  let x = start.map((value, i) => network.holdings.get(i) ?? value);
  const units = unitsOf(network, x);
  let now = rowsAt(network, x, free, units);
  let damping = firstDamping;
  for (let round = 0; round < mostRounds; round++) {
    const normal = normalOf(now.rows, n);
    const pull = new Array<number>(n).fill(0);
    now.rows.forEach((row, k) => row.forEach((value, i) => (pull[i]! += value * now.misses[k]!)));
    const largest = Math.max(...normal.map((row, i) => row[i]!));
    const step = choleskySolve(normal.map((row, i) => row.map((value, j) => (i === j ? value * (1 + damping) + largest * tolerance.pivot : value))), pull);
    const next = [...x];
    if (step !== null) free.forEach((i, k) => (next[i]! += step[k]! * units[i]!));
    const then = step === null ? now : rowsAt(network, next, free, units);
    if (step === null || !(then.squares <= now.squares)) {
      damping *= 8;
      if (damping > stuckDamping) break;
      continue;
    }
    const moved = Math.max(...step.map((move) => Math.abs(move)));
    x = next;
    now = then;
    if (moved < tolerance.networkStill) break;
    damping = Math.max(damping / 8, tolerance.pivot);
  }
  return { x, squares: now.squares };
}

/** Length of the gradient of half the squares, in 1/mm: zero at a minimum. */
export function gradientAt(network: Network, x: readonly number[]): number {
  const free = freeOf(network);
  const { rows, misses } = rowsAt(network, x, free, unitsOf(network, x));
  return Math.hypot(...free.map((__, i) => rows.reduce((sum, row, k) => sum + row[i]! * misses[k]!, 0)));
}
