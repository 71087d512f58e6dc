/**
 * Network at its solution -> how well each unknown is held: covariance, ellipses, what can move unseen, and which reading
 * would help most. mm. Errors are taken as stated (variance of unit weight 1), not from the misses.
 * Shape: the covariance with shift and turn of the whole taken out (W. Baarda's S-transformation, 1973), which is what
 * matters where a pattern is laid onto another; the datum's own choice does not show in it.
 */
import { symmetricEigen } from '../maths/eigen.ts';
import { chiSquareQuantile } from '../maths/tails.ts';
import { tolerance } from '../maths/tolerance.ts';
import { isEdge, isPair, predict, type Network, type Tie } from './network.ts';
import type { ErrorEllipse, NextReading } from './pattern.ts';
import { freeOf, normalOf, rowsAt, unitsOf } from './solve.ts';
import { inverse } from './symmetric.ts';

/** Half axes of a plane ellipse of 95 %, in standard deviations: root of chi-square with two degrees. */
const ellipseFactor = Math.sqrt(chiSquareQuantile(0.05, 2));

export interface Spread {
  /** Over all numbers of the network; rows of held numbers are 0. */
  readonly covariance: readonly (readonly number[])[];
  /** x0 y0 x1 y1 ..., shift and turn of the whole taken out; as it is where holes are known. */
  readonly shape: readonly (readonly number[])[];
}

export interface Flex {
  /** How many readings are missing at least. */
  readonly missing: number;
  /** Holes that can move unseen; edges too. */
  readonly holes: readonly number[];
  readonly edges: readonly number[];
  /** Diameters that nothing tells from distances: holes. */
  readonly sizes: readonly number[];
  /** The reading that stops most of the movement; null when no reading of the usual kinds does. */
  readonly cure: { readonly kind: 'centre' | 'edge' | 'pin'; readonly a: number; readonly b: number } | null;
}

/** The covariance, or what is loose. */
export function spreadAt(network: Network, x: readonly number[]): { readonly spread: Spread } | { readonly flex: Flex } {
  const free = freeOf(network);
  const units = unitsOf(network, x);
  const { rows } = rowsAt(network, x, free, units);
  const normal = normalOf(rows, free.length);
  const { values, vectors } = symmetricEigen(normal);
  const loose = vectors.filter((_, k) => !(values[k]! > tolerance.networkFlexible * values[0]!));
  if (loose.length > 0) return { flex: flexOf(network, x, free, units, loose) };
  const small = inverse(normal);
  if (small === null) throw new Error('spreadAt: a network held in every direction has no inverse');
  const covariance = network.held.map(() => new Array<number>(network.count).fill(0));
  free.forEach((i, p) => free.forEach((j, q) => (covariance[i]![j] = small[p]![q]! * units[i]! * units[j]!)));
  return { spread: { covariance, shape: shapeOf(network, x, covariance) } };
}

/** S = I - G (G'G)^-1 G', with the two shifts and the turn about the middle as orthonormal columns of G. */
function shapeOf(network: Network, x: readonly number[], covariance: readonly (readonly number[])[]): number[][] {
  const n = network.holes.length;
  const q = covariance.slice(0, 2 * n).map((row) => row.slice(0, 2 * n));
  if (network.gauge.kind === 'known') return q;
  const away = rigidPart(x, n);
  const half = q.map((row) => away(row));
  return q.map((_, j) => away(half.map((row) => row[j]!)));
}

/** What is left of a movement of all holes when its shift and turn are taken out. */
function rigidPart(x: readonly number[], n: number): (move: readonly number[]) => number[] {
  const middle = [0, 1].map((axis) => Array.from({ length: n }, (_, i) => x[2 * i + axis]!).reduce((a, b) => a + b, 0) / n);
  const turn = Array.from({ length: 2 * n }, (_, k) => (k % 2 === 0 ? -(x[k + 1]! - middle[1]!) : x[k - 1]! - middle[0]!));
  const norm = Math.hypot(...turn) || 1;
  return (move) => {
    let [sx, sy, along] = [0, 0, 0];
    for (let k = 0; k < 2 * n; k++) {
      if (k % 2 === 0) sx += move[k]! / n;
      else sy += move[k]! / n;
      along += (move[k]! * turn[k]!) / norm;
    }
    return move.slice(0, 2 * n).map((value, k) => value - (k % 2 === 0 ? sx : sy) - (along * turn[k]!) / norm);
  };
}

export function ellipseOf(xx: number, xy: number, yy: number): ErrorEllipse {
  const middle = (xx + yy) / 2;
  const reach = Math.hypot((xx - yy) / 2, xy);
  return {
    major: ellipseFactor * Math.sqrt(Math.max(0, middle + reach)),
    minor: ellipseFactor * Math.sqrt(Math.max(0, middle - reach)),
    angle: (Math.atan2(2 * xy, xx - yy) / 2) * (180 / Math.PI),
  };
}

export const ellipseAt = (q: readonly (readonly number[])[], hole: number): ErrorEllipse => ellipseOf(q[2 * hole]![2 * hole]!, q[2 * hole]![2 * hole + 1]!, q[2 * hole + 1]![2 * hole + 1]!);

function candidates(network: Network): Tie[] {
  const n = network.holes.length;
  const out: Tie[] = [];
  const plain = { index: -1, value: 0, error: 1 };
  for (let a = 0; a < n; a++) for (let b = a + 1; b < n; b++) out.push({ ...plain, kind: 'centre', a, b });
  for (let b = 0; b < network.edges.length; b++) for (let a = 0; a < n; a++) out.push({ ...plain, kind: 'edge', a, b });
  return out;
}

const already = (network: Network, next: Tie): boolean =>
  network.ties.some((tie) =>
    next.kind === 'centre' ? isPair(tie.kind) && ((tie.a === next.a && tie.b === next.b) || (tie.a === next.b && tie.b === next.a)) : isEdge(tie.kind) && tie.a === next.a && tie.b === next.b,
  );

function gradientOf(network: Network, x: readonly number[], tie: Tie): number[] {
  const row = new Array<number>(network.count).fill(0);
  predict(network, x, tie, row);
  return row;
}

function flexOf(network: Network, x: readonly number[], free: readonly number[], units: readonly number[], loose: readonly (readonly number[])[]): Flex {
  const moves = loose.map((vector) => {
    const whole = new Array<number>(network.count).fill(0);
    free.forEach((i, k) => (whole[i] = vector[k]! * units[i]!));
    return whole;
  });
  // Loose directions are mixed arbitrarily, so a number counts by its share over all of them.
  const share = (i: number): number => Math.hypot(...moves.map((move) => move[i]! / units[i]!));
  const moving = 0.05;
  const pins = network.diameterOf.flatMap((d, a): Tie[] => (d === -1 ? [] : [{ index: -1, value: 0, error: 1, kind: 'pin', a, b: -1 }]));
  let cure: Flex['cure'] = null;
  let most = 0.05;
  for (const tie of [...candidates(network), ...pins]) {
    const row = gradientOf(network, x, tie);
    const stops = Math.hypot(...moves.map((move) => row.reduce((sum, value, i) => sum + value * move[i]!, 0)));
    if (stops > most * 1.001) [most, cure] = [stops, { kind: tie.kind as 'centre' | 'edge' | 'pin', a: tie.a, b: tie.b }];
  }
  return {
    missing: loose.length,
    holes: network.holes.flatMap((_, i) => (Math.hypot(share(2 * i), share(2 * i + 1)) > moving ? [i] : [])),
    edges: network.edges.flatMap((_, e) => (Math.hypot(share(network.edgeAt + 2 * e), share(network.edgeAt + 2 * e + 1)) > moving ? [e] : [])),
    sizes: network.holes.flatMap((_, i) => (network.diameterOf[i] !== -1 && share(network.diameterOf[i]!) > moving ? [i] : [])),
    cure,
  };
}

/** The reading, taken with `error`, after which the worst ellipse of the shape is smallest. Readings not yet taken come first. */
export function nextReading(network: Network, x: readonly number[], spread: Spread, error: number): NextReading | null {
  const n = network.holes.length;
  const worstNow = Math.max(...network.holes.map((_, i) => ellipseAt(spread.shape, i).major));
  const away = network.gauge.kind === 'known' ? (move: readonly number[]): number[] => move.slice(0, 2 * n) : rigidPart(x, n);
  const judged = candidates(network).map((tie) => {
    const row = gradientOf(network, x, tie);
    const pull = spread.covariance.map((line) => line.reduce((sum, value, i) => sum + value * row[i]!, 0));
    const size = error * error + row.reduce((sum, value, i) => sum + value * pull[i]!, 0);
    const gain = away(pull);
    const then = network.holes.map((_, i) => {
      const [gx, gy] = [gain[2 * i]!, gain[2 * i + 1]!];
      const [a, b] = [spread.shape[2 * i]!, spread.shape[2 * i + 1]!];
      return ellipseOf(a[2 * i]! - (gx * gx) / size, a[2 * i + 1]! - (gx * gy) / size, b[2 * i + 1]! - (gy * gy) / size).major;
    });
    return { tie, again: already(network, tie), worst: Math.max(...then) };
  });
  const fresh = judged.filter(({ again }) => !again);
  const best = (fresh.length > 0 ? fresh : judged).reduce<(typeof judged)[number] | null>((least, one) => (least === null || one.worst < least.worst ? one : least), null);
  if (best === null || best.worst >= worstNow) return null;
  const { tie } = best;
  const names = tie.kind === 'centre' ? network.holes : network.edges;
  return { kind: tie.kind as 'centre' | 'edge', a: network.holes[tie.a]!, b: names[tie.b]!, again: best.again, worstNow, worstThen: best.worst };
}
