/**
 * Readings and datum -> a network of unknowns, and what each reading should be at given unknowns, with its gradient.
 * Unknowns: x, y of each hole, diameters, and for each straight edge its turn and distance; the datum's are held.
 * An edge with direction t has the normal n = (-sin t, cos t); a hole p stands n . p - c from it.
 * mm and radians inside. Flats of jaws of width w touch a hole of diameter D on a chord, so D counts as sqrt(D^2 - w^2)
 * wherever jaws touch its wall (computed; seen by pins as D itself).
 */
import { degreesToRadians } from '../maths/angle.ts';
import type { HoleReading, NetworkSettings } from './pattern.ts';

export interface Tie {
  /** Place in the readings given. */
  readonly index: number;
  readonly kind: HoleReading['kind'];
  readonly a: number;
  /** Index of the other hole or of the edge; -1 for none. */
  readonly b: number;
  readonly value: number;
  readonly error: number;
}

export interface Network {
  readonly holes: readonly string[];
  readonly edges: readonly string[];
  readonly ties: readonly Tie[];
  /** Where each unknown stands in the vector of all numbers: holes' x and y first, then diameters, then edges' turn and distance. */
  readonly diameterOf: readonly number[];
  readonly edgeAt: number;
  readonly count: number;
  /** True where a number is held by the datum. */
  readonly held: readonly boolean[];
  /** Values of held numbers. */
  readonly holdings: ReadonlyMap<number, number>;
  readonly jawWidth: number;
  /** +1 for holes on the left of an edge's direction, -1 where the edge's direction is given and it was looked at from the other side. */
  readonly edgeSign: readonly number[];
  readonly gauge: { readonly kind: 'holes'; readonly origin: number; readonly towards: number } | { readonly kind: 'edge'; readonly origin: number; readonly edge: number } | { readonly kind: 'known'; readonly holes: readonly number[] };
}

const touchesWall: Readonly<Record<HoleReading['kind'], boolean>> = { centre: false, outside: true, inside: true, edge: false, 'edge near': true, 'edge far': true, pin: true, jaws: true };
export const isPair = (kind: HoleReading['kind']): boolean => kind === 'centre' || kind === 'outside' || kind === 'inside';
export const isEdge = (kind: HoleReading['kind']): boolean => kind === 'edge' || kind === 'edge near' || kind === 'edge far';

/** Numbers the unknowns. Names must have been checked before. */
export function buildNetwork(readings: readonly HoleReading[], holes: readonly string[], edges: readonly string[], settings: NetworkSettings, datum: NonNullable<NetworkSettings['datum']> | null): Network {
  const used = readings.flatMap((reading, index) => (reading.leaveOut ? [] : [{ reading, index }]));
  const holeIndex = new Map(holes.map((name, i) => [name, i]));
  const edgeIndex = new Map(edges.map((name, i) => [name, i]));
  const ties = used.map(({ reading, index }): Tie => ({
    index,
    kind: reading.kind,
    a: holeIndex.get(reading.a)!,
    b: isPair(reading.kind) ? holeIndex.get(reading.b)! : isEdge(reading.kind) ? edgeIndex.get(reading.b)! : -1,
    value: reading.value,
    error: reading.error ?? settings.readingError,
  }));
  let count = 2 * holes.length;
  const diameterOf = new Array<number>(holes.length).fill(-1);
  for (const tie of ties) {
    if (!touchesWall[tie.kind]) continue;
    for (const hole of isPair(tie.kind) ? [tie.a, tie.b] : [tie.a]) {
      if (diameterOf[hole] !== -1) continue;
      const shared = settings.equalHoles ? diameterOf.find((d) => d !== -1) : undefined;
      diameterOf[hole] = shared ?? count++;
    }
  }
  if (settings.equalHoles) {
    const shared = diameterOf.find((d) => d !== -1);
    if (shared !== undefined) diameterOf.fill(shared);
  }
  const edgeAt = count;
  count += 2 * edges.length;
  const flip = settings.seenFrom === 'mating' ? -1 : 1;
  const holdings = new Map<number, number>();
  const edgeSign = edges.map((name, e) => {
    const isAlong = datum !== null && 'along' in datum && datum.along === name;
    const angle = isAlong ? 0 : settings.edges?.find((edge) => edge.name === name)?.angle;
    if (angle === undefined) return 1;
    holdings.set(edgeAt + 2 * e, degreesToRadians(angle) * flip);
    return flip;
  });
  const gauge = gaugeOf(settings, datum, holeIndex, edgeIndex);
  if (gauge.kind === 'known') {
    for (const { name, at } of settings.known ?? []) {
      const i = holeIndex.get(name);
      if (i !== undefined) holdings.set(2 * i, at[0]).set(2 * i + 1, at[1]);
    }
  } else {
    holdings.set(2 * gauge.origin, 0).set(2 * gauge.origin + 1, 0);
    if (gauge.kind === 'holes') holdings.set(2 * gauge.towards + 1, 0);
  }
  return { holes, edges, ties, diameterOf, edgeAt, count, held: Array.from({ length: count }, (_, i) => holdings.has(i)), holdings, jawWidth: settings.jawWidth, edgeSign, gauge };
}

function gaugeOf(settings: NetworkSettings, datum: NonNullable<NetworkSettings['datum']> | null, holeIndex: ReadonlyMap<string, number>, edgeIndex: ReadonlyMap<string, number>): Network['gauge'] {
  if (datum === null) return { kind: 'known', holes: (settings.known ?? []).flatMap(({ name }) => holeIndex.get(name) ?? []) };
  const origin = holeIndex.get(datum.origin)!;
  return 'towards' in datum ? { kind: 'holes', origin, towards: holeIndex.get(datum.towards)! } : { kind: 'edge', origin, edge: edgeIndex.get(datum.along)! };
}

/** What jaws see of a diameter, and how fast that grows with it. */
export function jawsSee(diameter: number, width: number): readonly [number, number] {
  if (diameter <= width) return [diameter, 1];
  const seen = Math.sqrt(diameter * diameter - width * width);
  return [seen, diameter / seen];
}

/** Predicted reading; adds its gradient to `row`, which must be zero before. */
export function predict(network: Network, x: readonly number[], tie: Tie, row: number[]): number {
  if (isPair(tie.kind)) return predictPair(network, x, tie, row);
  if (isEdge(tie.kind)) return predictEdge(network, x, tie, row);
  const d = network.diameterOf[tie.a]!;
  const [seen, rate] = tie.kind === 'pin' ? [x[d]!, 1] : jawsSee(x[d]!, network.jawWidth);
  row[d]! += rate;
  return seen;
}

function predictPair(network: Network, x: readonly number[], tie: Tie, row: number[]): number {
  const [a, b] = [2 * tie.a, 2 * tie.b];
  const [dx, dy] = [x[b]! - x[a]!, x[b + 1]! - x[a + 1]!];
  // Two centres on one spot have no direction; any serves to part them.
  const length = Math.hypot(dx, dy) || Number.MIN_VALUE;
  const [ux, uy] = length > Number.MIN_VALUE ? [dx / length, dy / length] : [1, 0];
  row[a]! -= ux;
  row[a + 1]! -= uy;
  row[b]! += ux;
  row[b + 1]! += uy;
  if (tie.kind === 'centre') return length;
  const sign = tie.kind === 'outside' ? 0.5 : -0.5;
  let sum = length;
  for (const hole of [tie.a, tie.b]) {
    const d = network.diameterOf[hole]!;
    const [seen, rate] = jawsSee(x[d]!, network.jawWidth);
    sum += sign * seen;
    row[d]! += sign * rate;
  }
  return sum;
}

function predictEdge(network: Network, x: readonly number[], tie: Tie, row: number[]): number {
  const t = network.edgeAt + 2 * tie.b;
  const a = 2 * tie.a;
  const sign = network.edgeSign[tie.b]!;
  const [s, c] = [Math.sin(x[t]!), Math.cos(x[t]!)];
  row[a]! -= sign * s;
  row[a + 1]! += sign * c;
  row[t]! -= sign * (c * x[a]! + s * x[a + 1]!);
  row[t + 1]! -= sign;
  const centre = sign * (-s * x[a]! + c * x[a + 1]! - x[t + 1]!);
  if (tie.kind === 'edge') return centre;
  const d = network.diameterOf[tie.a]!;
  const [seen, rate] = jawsSee(x[d]!, network.jawWidth);
  const half = tie.kind === 'edge far' ? 0.5 : -0.5;
  row[d]! += half * rate;
  return centre + half * seen;
}
