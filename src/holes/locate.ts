/**
 * Readings between holes -> HolePattern: places with their errors, slips named, what to measure next. mm, degrees.
 * Method: weighted least squares by Gauss-Newton from starts found by classical scaling (start.ts, solve.ts), all patterns
 * that fit as well looked for (solutions.ts), errors carried through linearly (spread.ts), slips by Baarda's test (judge.ts).
 * Stops being true: errors that are not small against the distances; readings that share one error (a bent caliper).
 */
import { degreesToRadians, radiansToDegrees } from '../maths/angle.ts';
import { chiSquareTail } from '../maths/tails.ts';
import type { Vec2 } from '../maths/vec.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import { findSlips, judge, pairChecks, criticalResidual } from './judge.ts';
import { buildNetwork, isPair, type Network } from './network.ts';
import type { HolePattern, HoleReading, LocatedHole, NetworkSettings, Slip } from './pattern.ts';
import { namesOf, sayReading, screenReadings } from './screen.ts';
import { apartInDistance, asGood, closeness, solutions } from './solutions.ts';
import type { Fitted } from './solve.ts';
import { distancesOf, startDiameters } from './start.ts';
import { ellipseOf, nextReading, spreadAt, type Flex, type Spread } from './spread.ts';

export function locateHoles(readings: readonly HoleReading[], settings: NetworkSettings): Result<HolePattern> {
  const screened = screenReadings(readings, settings);
  if (screened.length > 0) return refuse(...screened);
  const { holes, edges } = namesOf(readings);
  const datum = (settings.known?.length ?? 0) >= 2 ? null : (settings.datum ?? { origin: holes[0]!, towards: holes[1]! });
  const network = buildNetwork(readings, holes, edges, settings, datum);
  const found = solutions(network);
  const best = found[0];
  if (best === undefined) {
    return refuse({ code: 'no-pattern', at: '', message: 'No pattern agrees with the direction of the edges and of the datum together.', hint: 'Look again at the angles of the edges, and from which side it was seen.' });
  }
  const looked = spreadAt(network, best.x);
  if ('flex' in looked) return refuse(...impossibleTriangles(network, readings), sayFlex(network, looked.flex));
  const chosen = choose(network, found, settings);
  if (!chosen.ok) return chosen;
  const { fitted } = chosen.value;
  const held = spreadAt(network, fitted.x);
  if ('flex' in held) return refuse(sayFlex(network, held.flex));
  const slips = findSlips(network, fitted.x, held.spread);
  // Three holes in line may miss a triangle by chance; it only counts where the whole does not agree either.
  const broken = slips.length === 0 || slips.some((slip) => slip.suspects.length === 1) ? [] : impossibleTriangles(network, readings);
  if (broken.length > 0) return refuse(...broken);
  return ok(describe(network, readings, settings, fitted, held.spread, slips, chosen.value));
}

/** The value a reading should have at a pattern: the verifier, in the part frame, written without the network. */
export function readingAt(pattern: HolePattern, reading: HoleReading, jawWidth: number): number | null {
  const hole = (name: string): LocatedHole | undefined => pattern.holes.find((h) => h.name === name);
  const a = hole(reading.a);
  if (a === undefined) return null;
  const seen = (h: LocatedHole): number => Math.sqrt(Math.max(0, (h.diameter ?? NaN) ** 2 - jawWidth ** 2));
  if (reading.kind === 'pin') return a.diameter;
  if (reading.kind === 'jaws') return seen(a);
  if (isPair(reading.kind)) {
    const b = hole(reading.b);
    if (b === undefined) return null;
    const centre = Math.hypot(a.at[0] - b.at[0], a.at[1] - b.at[1]);
    return reading.kind === 'centre' ? centre : centre + ((reading.kind === 'outside' ? 1 : -1) * (seen(a) + seen(b))) / 2;
  }
  const edge = pattern.edges.find((e) => e.name === reading.b);
  if (edge === undefined) return null;
  const t = degreesToRadians(edge.angle);
  const centre = Math.abs(-Math.sin(t) * (a.at[0] - edge.through[0]) + Math.cos(t) * (a.at[1] - edge.through[1]));
  return reading.kind === 'edge' ? centre : centre + ((reading.kind === 'edge far' ? 1 : -1) * seen(a)) / 2;
}

type Chosen = Pick<HolePattern, 'mirror' | 'question'> & { readonly fitted: Fitted };

/** Of all patterns that fit, the one the statements about sides leave; refuses where two differ in more than their side. */
function choose(network: Network, found: readonly Fitted[], settings: NetworkSettings): Result<Chosen> {
  const flip = settings.seenFrom === 'mating' ? -1 : 1;
  const agrees = ({ x }: Fitted): boolean =>
    (settings.sides ?? []).every(({ hole, from, to, side }) => sideOf(x, index(network, from), index(network, to), index(network, hole)) * flip * (side === 'left' ? 1 : -1) > 0);
  const good = found.filter((one) => one.squares - found[0]!.squares < asGood);
  const left = good.filter(agrees);
  if (left.length === 0) {
    const worse = found.some(agrees);
    return refuse({
      code: 'sides-contradict',
      at: 'side',
      message: 'No pattern that fits the readings has its holes on the sides stated.',
      hint: worse ? 'One does, but fits much worse: look again which hole lies left or right, and from which side it was seen.' : 'Look again which hole lies left or right, and from which side it was seen.',
    });
  }
  const near = closeness(network);
  const others = left.slice(1).filter((one) => apartInDistance(network, left[0]!.x, one.x).most > 2 * near);
  if (others.length > 0) return refuse(sayTwo(network, left[0]!, others[0]!));
  const offLine = network.holes.findIndex((_, i) => left.length > 1 && Math.abs(left[0]!.x[2 * i + 1]! - left[1]!.x[2 * i + 1]!) + Math.abs(left[0]!.x[2 * i]! - left[1]!.x[2 * i]!) > near);
  if (left.length > 1) {
    const [from, to] = datumNames(network);
    const at = index(network, from);
    const towards = index(network, to);
    const leftOne = left.find((one) => sideOf(one.x, at, towards, offLine) * flip > 0) ?? left[0]!;
    return ok({ fitted: leftOne, question: { kind: 'side', hole: network.holes[offLine]!, from, to }, mirror: `Distances fit this pattern and its mirror image alike. Seen from the side you measured, does ${network.holes[offLine]} lie left or right of the way from ${from} to ${to}? Left is assumed.` });
  }
  if (settings.seenFrom !== undefined) return ok({ fitted: left[0]!, mirror: null, question: null });
  return ok({ fitted: left[0]!, question: { kind: 'seen from' }, mirror: 'From which side was the pattern measured: from outside, or from the mating face? Outside is assumed.' });
}

const index = (network: Network, name: string): number => network.holes.indexOf(name);

function datumNames(network: Network): readonly [string, string] {
  const { gauge } = network;
  if (gauge.kind === 'holes') return [network.holes[gauge.origin]!, network.holes[gauge.towards]!];
  if (gauge.kind === 'known') return [network.holes[gauge.holes[0]!]!, network.holes[gauge.holes[1]!]!];
  return [network.holes[gauge.origin]!, network.holes[gauge.origin === 0 ? 1 : 0]!];
}

/** Above 0 when hole k lies left of the way from i to j, as seen from outside. */
function sideOf(x: readonly number[], i: number, j: number, k: number): number {
  return (x[2 * j]! - x[2 * i]!) * (x[2 * k + 1]! - x[2 * i + 1]!) - (x[2 * j + 1]! - x[2 * i + 1]!) * (x[2 * k]! - x[2 * i]!);
}

function sayTwo(network: Network, one: Fitted, other: Fitted): Issue {
  const { i, j, most } = apartInDistance(network, one.x, other.x);
  const [a, b] = [network.holes[i]!, network.holes[j]!];
  const length = ({ x }: Fitted): string => Math.hypot(x[2 * i]! - x[2 * j]!, x[2 * i + 1]! - x[2 * j + 1]!).toFixed(1);
  return {
    code: 'two-patterns',
    at: '',
    message: `Two patterns fit these readings equally well: ${a} to ${b} is ${length(one)} mm in one and ${length(other)} mm in the other (${most.toFixed(1)} mm apart).`,
    hint: `Measure ${a} to ${b}, or say on which side a hole lies.`,
  };
}

function sayFlex(network: Network, flex: Flex): Issue {
  const { cure, missing } = flex;
  const names = [...flex.holes.map((i) => network.holes[i]!), ...flex.edges.map((e) => `edge ${network.edges[e]!}`)];
  const count = `${missing} more reading${missing === 1 ? ' is' : 's are'} needed.`;
  if (flex.sizes.length > 0 && cure?.kind === 'pin') {
    return { code: 'size-unknown', at: '', message: `Nothing tells the diameter of ${flex.sizes.map((i) => network.holes[i]!).join(', ')} from the distances. ${count}`, hint: `Measure the hole ${network.holes[cure.a]!} with a pin, or over and between the same two holes.` };
  }
  const message = `${names.join(', ')} can move without any reading noticing. ${count}`;
  if (cure === null) return { code: 'pattern-flexible', at: '', message, hint: 'The holes stand in one line, and lengths along it do not hold them across: measure each to a straight edge, or to a hole beside the line.' };
  const to = cure.kind === 'edge' ? `edge ${network.edges[cure.b]!}` : cure.kind === 'centre' ? network.holes[cure.b]! : '';
  return { code: 'pattern-flexible', at: '', message, hint: cure.kind === 'pin' ? `Measure the hole ${network.holes[cure.a]!} with a pin.` : `Measure ${network.holes[cure.a]!} to ${to}.` };
}

/** Three distances of which one is longer than the other two together, beyond their errors. */
function impossibleTriangles(network: Network, readings: readonly HoleReading[]): Issue[] {
  const sizes = startDiameters(network);
  const direct = network.ties.flatMap((tie) => (isPair(tie.kind) ? [{ tie, length: distancesOf({ ...network, ties: [tie], gauge: { kind: 'holes', origin: 0, towards: 1 } }, sizes)[tie.a]![tie.b]! }] : []));
  const sides = new Map(direct.map((d) => [`${Math.min(d.tie.a, d.tie.b)} ${Math.max(d.tie.a, d.tie.b)}`, d]));
  const n = network.holes.length;
  let worst: { over: number; names: string[]; rows: number[] } | null = null;
  for (let i = 0; i < n; i++) for (let j = i + 1; j < n; j++) for (let k = j + 1; k < n; k++) {
    const three = [sides.get(`${i} ${j}`), sides.get(`${j} ${k}`), sides.get(`${i} ${k}`)];
    if (three.some((side) => side === undefined)) continue;
    const sorted = (three as typeof direct).sort((a, b) => b.length - a.length);
    const limit = criticalResidual * Math.hypot(...sorted.map(({ tie }) => tie.error));
    const over = sorted[0]!.length - sorted[1]!.length - sorted[2]!.length - limit;
    if (over > (worst?.over ?? 0)) worst = { over, names: sorted.map(({ tie }) => `${sayReading(readings[tie.index]!)} ${tie.value} mm`), rows: sorted.map(({ tie }) => tie.index + 1) };
  }
  if (worst === null) return [];
  return [{ code: 'no-triangle', at: `readings ${worst.rows.join(', ')}`, message: `${worst.names[0]} is longer than ${worst.names[1]} and ${worst.names[2]} together: no triangle has such sides.`, hint: 'One of the three is wrong, or names the wrong hole: measure them again.' }];
}

function describe(network: Network, readings: readonly HoleReading[], settings: NetworkSettings, { x, squares }: Fitted, spread: Spread, slips: readonly Slip[], { mirror, question }: Chosen): HolePattern {
  const place = placing(settings, network);
  const holes = network.holes.map((name, i): LocatedHole => {
    const d = network.diameterOf[i]!;
    const [xx, xy, yy] = place.covariance(spread.covariance, i);
    return {
      name,
      at: place.point([x[2 * i]!, x[2 * i + 1]!]),
      covariance: [xx, xy, yy],
      ellipse: ellipseOf(xx, xy, yy),
      shape: ellipseOf(...place.covariance(spread.shape, i)),
      diameter: d === -1 ? null : x[d]!,
      diameterError: d === -1 ? 0 : Math.sqrt(spread.covariance[d]![d]!),
    };
  });
  const judged = judge(network, x, spread);
  const freedom = network.ties.length - network.held.filter((held) => !held).length;
  return {
    holes,
    edges: network.edges.map((name, e) => {
      const [t, c] = [x[network.edgeAt + 2 * e]!, x[network.edgeAt + 2 * e + 1]!];
      return { name, angle: radiansToDegrees(t) + place.degrees, through: place.point([-Math.sin(t) * c, Math.cos(t) * c]) };
    }),
    readings: judged,
    slips,
    checks: pairChecks(readings, settings),
    next: nextReading(network, x, spread, settings.readingError),
    freedom,
    spread: freedom > 0 ? Math.sqrt(squares / freedom) : 0,
    covariance: place.whole(spread.shape),
    mirror,
    question,
    remarks: remarksOn(network, readings, judged, freedom, squares, slips),
  };
}

/** From the datum's frame into the part frame; nothing to do where holes are known there. */
function placing({ at = [0, 0], angle = 0 }: NetworkSettings, network: Network) {
  const degrees = network.gauge.kind === 'known' ? 0 : angle;
  const [ox, oy] = network.gauge.kind === 'known' ? [0, 0] : at;
  const t = degreesToRadians(degrees);
  const [c, s] = [Math.cos(t), Math.sin(t)];
  const turn = (q: readonly (readonly number[])[], i: number, j: number): readonly [number, number, number, number] => {
    const [a, b, d, e] = [q[2 * i]![2 * j]!, q[2 * i]![2 * j + 1]!, q[2 * i + 1]![2 * j]!, q[2 * i + 1]![2 * j + 1]!];
    return [c * c * a - c * s * (b + d) + s * s * e, c * s * (a - e) + c * c * b - s * s * d, c * s * (a - e) + c * c * d - s * s * b, s * s * a + c * s * (b + d) + c * c * e];
  };
  return {
    degrees,
    point: ([px, py]: Vec2): Vec2 => [ox + c * px - s * py, oy + s * px + c * py],
    covariance: (q: readonly (readonly number[])[], i: number): readonly [number, number, number] => {
      const [xx, xy, , yy] = turn(q, i, i);
      return [xx, xy, yy];
    },
    whole: (q: readonly (readonly number[])[]): number[][] => {
      const n = network.holes.length;
      const out = Array.from({ length: 2 * n }, () => new Array<number>(2 * n).fill(0));
      for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) [out[2 * i]![2 * j], out[2 * i]![2 * j + 1], out[2 * i + 1]![2 * j], out[2 * i + 1]![2 * j + 1]] = turn(q, i, j) as [number, number, number, number];
      return out;
    },
  };
}

function remarksOn(network: Network, readings: readonly HoleReading[], judged: HolePattern['readings'], freedom: number, squares: number, slips: readonly Slip[]): Issue[] {
  const remarks: Issue[] = [];
  const seen = new Map<string, number>();
  for (const { index: i } of network.ties) {
    const { kind, a, b, value } = readings[i]!;
    const name = `${kind} ${isPair(kind) ? [a, b].sort().join(' ') : `${a} ${b}`} ${value}`;
    const before = seen.get(name);
    if (before !== undefined) remarks.push({ code: 'reading-twice', at: `reading ${i + 1}`, message: `It says the same as reading ${before + 1}, and both count as measured.`, hint: 'If it was measured once and typed twice, remove one.' });
    else seen.set(name, i);
  }
  const unchecked = judged.filter((one) => one.redundancy === 0);
  if (freedom === 0) remarks.push({ code: 'nothing-checks', at: '', message: 'There are just enough readings: nothing checks any of them, and a slip would not show.', hint: 'Take at least two more.' });
  else if (unchecked.length > 0) remarks.push({ code: 'unchecked', at: unchecked.map((one) => `reading ${one.index + 1}`).join(', '), message: `Nothing checks ${unchecked.map((one) => sayReading(readings[one.index]!)).join('; ')}: a slip there would not show.`, hint: 'Measure the same holes another way.' });
  if (slips.length === 0 && freedom > 0 && chiSquareTail(squares, freedom) < 0.001) {
    remarks.push({ code: 'readings-scatter', at: 'readingError', message: `The readings disagree ${Math.sqrt(squares / freedom).toFixed(1)} times as much as their stated error.`, hint: 'State a larger reading error, or measure again.' });
  }
  return remarks;
}
