/**
 * Network -> starts for its unknowns, with no hand-given start. mm.
 * Method: centre distances as far as the readings tell them, missing ones filled in by the shortest way round, then classical
 * scaling of the distances (W. S. Torgerson, Psychometrika 17, 1952): the two largest eigenvectors of the doubly centred
 * squared distances. Holes tied to nothing but edges are spread out and left to the solver. A start is only near the answer.
 */
import { symmetricEigen } from '../maths/eigen.ts';
import type { Random } from '../maths/random.ts';
import { place, similarityFit } from '../maths/similarity.ts';
import type { Vec2 } from '../maths/vec.ts';
import { isEdge, isPair, type Network } from './network.ts';

/** Diameters as their own readings say, or the mean of what outside and inside over one pair leave, or a tenth of the distances. */
export function startDiameters(network: Network): number[] {
  const out = new Array<number>(network.count).fill(0);
  const said = new Map<number, number[]>();
  const note = (d: number, value: number): void => void said.set(d, [...(said.get(d) ?? []), value]);
  for (const tie of network.ties) if (tie.kind === 'pin' || tie.kind === 'jaws') note(network.diameterOf[tie.a]!, tie.value);
  for (const outer of network.ties) {
    for (const inner of network.ties) {
      if (outer.kind !== 'outside' || inner.kind !== 'inside' || key(outer) !== key(inner)) continue;
      for (const hole of [outer.a, outer.b]) if (!said.has(network.diameterOf[hole]!)) note(network.diameterOf[hole]!, (outer.value - inner.value) / 2);
    }
  }
  const usual = Math.min(...network.ties.map((tie) => tie.value)) / 10;
  for (const d of network.diameterOf) {
    if (d === -1) continue;
    const values = said.get(d);
    out[d] = values ? values.reduce((a, b) => a + b, 0) / values.length : usual;
  }
  return out;
}

const key = (tie: { readonly a: number; readonly b: number }): string => `${Math.min(tie.a, tie.b)} ${Math.max(tie.a, tie.b)}`;

/** Centre distances, the shortest way round where none was read; Infinity between holes that are not tied together. */
export function distancesOf(network: Network, numbers: readonly number[]): number[][] {
  const n = network.holes.length;
  const d = Array.from({ length: n }, (_, i) => Array.from({ length: n }, (__, j) => (i === j ? 0 : Infinity)));
  for (const tie of network.ties) {
    if (!isPair(tie.kind)) continue;
    const half = tie.kind === 'centre' ? 0 : (numbers[network.diameterOf[tie.a]!]! + numbers[network.diameterOf[tie.b]!]!) / 2;
    const centre = Math.max(0, tie.kind === 'outside' ? tie.value - half : tie.value + half);
    d[tie.a]![tie.b] = d[tie.b]![tie.a] = Math.min(d[tie.a]![tie.b]!, centre);
  }
  if (network.gauge.kind === 'known') {
    for (const i of network.gauge.holes) for (const j of network.gauge.holes) {
      if (i !== j) d[i]![j] = Math.hypot(hold(network, 2 * i) - hold(network, 2 * j), hold(network, 2 * i + 1) - hold(network, 2 * j + 1));
    }
  }
  for (let k = 0; k < n; k++) for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) d[i]![j] = Math.min(d[i]![j]!, d[i]![k]! + d[k]![j]!);
  return d;
}

const hold = (network: Network, i: number): number => network.holdings.get(i) ?? 0;

/** Points whose distances are nearest to those given. */
export function scaleToPlane(distances: readonly (readonly number[])[]): Vec2[] {
  const n = distances.length;
  const known = distances.flat().filter(Number.isFinite);
  const far = 1.5 * Math.max(1, ...known);
  const squares = distances.map((row) => row.map((d) => (Number.isFinite(d) ? d : far) ** 2));
  const means = squares.map((row) => row.reduce((a, b) => a + b, 0) / n);
  const mean = means.reduce((a, b) => a + b, 0) / n;
  const { values, vectors } = symmetricEigen(squares.map((row, i) => row.map((s, j) => -(s - means[i]! - means[j]! + mean) / 2)));
  const [r1, r2] = [Math.sqrt(Math.max(0, values[0] ?? 0)), Math.sqrt(Math.max(0, values[1] ?? 0))];
  // A pattern on one line still gets some width, or the solver would never leave the line.
  return distances.map((_, i) => [r1 * vectors[0]![i]!, Math.max(r2, r1 / 20) * (vectors[1]?.[i] ?? 0)]);
}

/** Places of the holes, brought into the datum's frame, edges laid along, as a start for the solver. */
export function startFrom(network: Network, places: readonly Vec2[]): number[] {
  const x = startDiameters(network);
  const seated = seat(network, places);
  seated.forEach(([px, py], i) => ([x[2 * i], x[2 * i + 1]] = [px, py]));
  layEdges(network, x);
  for (const [i, value] of network.holdings) x[i] = value;
  return x;
}

function seat(network: Network, places: readonly Vec2[]): Vec2[] {
  const { gauge } = network;
  if (gauge.kind === 'holes') {
    const [o, b] = [places[gauge.origin]!, places[gauge.towards]!];
    return turned(places, o, -Math.atan2(b[1] - o[1], b[0] - o[0]));
  }
  if (gauge.kind === 'edge') {
    const x = startDiameters(network);
    places.forEach(([px, py], i) => ([x[2 * i], x[2 * i + 1]] = [px, py]));
    return turned(places, places[gauge.origin]!, -bestTurn(network, x, gauge.edge).turn);
  }
  return ontoKnown(network, places, gauge.holes);
}

function turned(places: readonly Vec2[], about: Vec2, turn: number): Vec2[] {
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  return places.map(([x, y]) => [c * (x - about[0]) - s * (y - about[1]), s * (x - about[0]) + c * (y - about[1])]);
}

/** Turned and shifted onto the known holes by least squares. */
function ontoKnown(network: Network, places: readonly Vec2[], known: readonly number[]): Vec2[] {
  const fit = similarityFit(known.map((i) => places[i]!), known.map((i): Vec2 => [hold(network, 2 * i), hold(network, 2 * i + 1)]), false);
  return places.map((p) => place(fit, p));
}

const edgeTurns = 72;

/** The turn of an edge, tried all the way round, that agrees best with its readings at these places. */
function bestTurn(network: Network, x: readonly number[], edge: number): { readonly turn: number; readonly distance: number } {
  const ties = network.ties.filter((tie) => isEdge(tie.kind) && tie.b === edge);
  const sign = network.edgeSign[edge]!;
  const given = network.holdings.get(network.edgeAt + 2 * edge);
  const fixed = network.gauge.kind === 'edge' && network.gauge.edge === edge ? undefined : given;
  let best = { turn: 0, distance: 0, miss: Infinity };
  for (let k = 0; k < (fixed === undefined ? edgeTurns : 1); k++) {
    const turn = fixed ?? (2 * Math.PI * k) / edgeTurns;
    const gaps = ties.map((tie) => sign * (-Math.sin(turn) * x[2 * tie.a]! + Math.cos(turn) * x[2 * tie.a + 1]!) - tie.value);
    const mean = gaps.reduce((a, b) => a + b, 0) / Math.max(1, gaps.length);
    const miss = gaps.reduce((sum, gap) => sum + (gap - mean) ** 2, 0);
    if (miss < best.miss) best = { turn, distance: sign * mean, miss };
  }
  return best;
}

function layEdges(network: Network, x: number[]): void {
  network.edges.forEach((_, e) => {
    const { turn, distance } = bestTurn(network, x, e);
    x[network.edgeAt + 2 * e] = turn;
    x[network.edgeAt + 2 * e + 1] = distance;
  });
}

/** The first start, its mirror image and `more` shaken ones. */
export function starts(network: Network, more: number, random: Random): number[][] {
  const distances = distancesOf(network, startDiameters(network));
  const places = scaleToPlane(distances);
  const size = Math.max(1, ...places.map(([x, y]) => Math.hypot(x, y)));
  const mirrored = places.map(([x, y]): Vec2 => [x, -y]);
  const shaken = Array.from({ length: more }, () => places.map(([x, y]): Vec2 => [x + size * random.normal(), y + size * random.normal()]));
  return [places, mirrored, ...shaken].map((p) => startFrom(network, p));
}
