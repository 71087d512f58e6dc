/**
 * Billet with its flip corner, set down on the fixture -> three numbers to touch off before the second operation is cut,
 * and what they would show after each plausible mistake. The flip corner is waste cut away in the first operation at one
 * corner of the billet: none of the other corners is like it, so that a billet turned end for end or cut as its mirror
 * image shows another face there. X and Y are its two faces, Z is the raw upper face. mm.
 *
 * Method: a probe is a ray in plan at the height of the billet; what it shows is the first edge of the billet it meets,
 * moved as the mistake moves it. Stops being true: sawn faces are only as true as the saw, which is why Z has more room.
 */
import type { Job } from '../job/schema.ts';
import type { Vec2, Vec3 } from '../maths/vec.ts';
import type { FixturePlan, Operation, Stock, TouchNumber, TouchOff, WrongFlip } from './holding.ts';
import { moved } from './motion.ts';
import { zeroOf } from './operations.ts';

/** mm. A machined face off by more than this is another face (common practice, no source). */
export const faceTolerance = 0.2;
/** mm. The same for a sawn face measured by calipers (common practice, no source). */
export const rawTolerance = 0.5;
/** mm from the edge of the flip corner to where it is touched. */
const probeDeep = 3;

/** A probe on the plan: starts outside the billet and runs along one axis. */
interface Probe {
  readonly from: Vec2;
  readonly axis: 0 | 1;
  readonly way: 1 | -1;
}

/** The billet's outline in plan at full height, its flip corner taken out. */
export function billetOutline({ box: { least, most }, flipCorner }: Stock): readonly Vec2[] {
  const corners: readonly Vec2[] = [[least[0], least[1]], [most[0], least[1]], [most[0], most[1]], [least[0], most[1]]];
  if (flipCorner === null) return corners;
  const { least: a, most: b } = flipCorner;
  const inner: Vec2 = [a[0] > least[0] + 1e-9 ? a[0] : b[0], a[1] > least[1] + 1e-9 ? a[1] : b[1]];
  return corners.flatMap((corner, i): readonly Vec2[] => {
    if (corner[0] < a[0] - 1e-9 || corner[0] > b[0] + 1e-9 || corner[1] < a[1] - 1e-9 || corner[1] > b[1] + 1e-9) return [corner];
    // Even corners are come to along Y and left along X, odd ones the other way about.
    const along: readonly Vec2[] = [[inner[0], corner[1]], inner, [corner[0], inner[1]]];
    return i % 2 === 0 ? [...along].reverse() : along;
  });
}

/** First edge a probe meets, as the coordinate along its axis; null when it meets none. */
function met(outline: readonly Vec2[], { from, axis, way }: Probe): number | null {
  const across = axis === 0 ? 1 : 0;
  const hits = outline.flatMap((a, i): number[] => {
    const b = outline[(i + 1) % outline.length]!;
    const [p, q] = [a[across]! - from[across]!, b[across]! - from[across]!];
    if (p > 0 === q > 0) return [];
    const hit = a[axis]! + ((b[axis]! - a[axis]!) * p) / (p - q);
    return (hit - from[axis]!) * way > 0 ? [hit] : [];
  });
  return hits.length === 0 ? null : hits.reduce((best, hit) => ((hit - best) * way < 0 ? hit : best));
}

/** Where the probes run: into the two faces of the flip corner, or, without one, into the raw faces beside the first corner. */
function probesOf({ box: { least, most }, flipCorner }: Stock): readonly [Probe, Probe] {
  const size: Vec2 = [most[0] - least[0], most[1] - least[1]];
  const corner = flipCorner ?? { least: [least[0], least[1]] as Vec2, most: [least[0] + size[0] / 8, least[1] + size[1] / 8] as Vec2 };
  const front = corner.least[0] <= least[0] + 1e-9;
  const left = corner.least[1] <= least[1] + 1e-9;
  // Near the outer edges of the corner, where a ball has most room.
  const inX = front ? least[0] + Math.min(probeDeep, (corner.most[0] - corner.least[0]) / 2) : most[0] - Math.min(probeDeep, (corner.most[0] - corner.least[0]) / 2);
  const inY = left ? least[1] + Math.min(probeDeep, (corner.most[1] - corner.least[1]) / 2) : most[1] - Math.min(probeDeep, (corner.most[1] - corner.least[1]) / 2);
  const away = 2 * (size[0] + size[1]);
  return [
    { from: [front ? least[0] - away : most[0] + away, inY], axis: 0, way: front ? 1 : -1 },
    { from: [inX, left ? least[1] - away : most[1] + away], axis: 1, way: left ? 1 : -1 },
  ];
}

export function touchOffOf(job: Job, stock: Stock, fixture: FixturePlan, op2: Operation): TouchOff {
  const probes = probesOf(stock);
  const outline = billetOutline(stock);
  const right = probes.map((probe) => met(outline, probe)!) as [number, number];
  const top = stock.box.most[2];
  const height = (Math.max(stock.outlineTo, stock.box.most[2] - 2 * job.holding.stockOver) + top) / 2;
  const lateral = (i: 0 | 1): TouchNumber => {
    const { axis, way, from } = probes[i];
    const at: Vec3 = axis === 0 ? [right[0], from[1], height] : [from[0], right[1], height];
    const machine = moved(op2.motion, at);
    const machined = stock.flipCorner !== null;
    return {
      axis: axis === 0 ? 'X' : 'Y',
      value: machine[axis],
      tolerance: machined ? faceTolerance : rawTolerance,
      at: machine,
      way: axis === 0 ? [way, 0, 0] : [0, way, 0],
      said: `${machined ? 'Face of the flip corner' : 'Raw face of the billet'} towards ${way > 0 ? 'minus' : 'plus'} ${axis === 0 ? 'X' : 'Y'}, the probe moving ${way > 0 ? 'plus' : 'minus'} ${axis === 0 ? 'X' : 'Y'}.`,
    };
  };
  const over: Vec3 = [(stock.box.least[0] + stock.box.most[0]) / 2, (stock.box.least[1] + stock.box.most[1]) / 2, top];
  const up = moved(op2.motion, over);
  const numbers = [lateral(0), lateral(1), { axis: 'Z', value: up[2], tolerance: rawTolerance, at: up, way: [0, 0, -1], said: 'Raw upper face of the billet, as it was measured before the first operation.' } as TouchNumber] as const;
  return { numbers: [...numbers], wrong: wrongFlips(job, stock, fixture, op2, probes, numbers) };
}

type PlanMap = (p: Vec2) => Vec2;

function wrongFlips(job: Job, stock: Stock, fixture: FixturePlan, op2: Operation, probes: readonly [Probe, Probe], numbers: readonly TouchNumber[]): WrongFlip[] {
  const outline = billetOutline(stock);
  const { least, most } = stock.box;
  const middle: Vec2 = [(least[0] + most[0]) / 2, (least[1] + most[1]) / 2];
  const shown = (what: string, map: PlanMap, lift = 0): WrongFlip => {
    const there = outline.map(map);
    return told(what, [...probes.map((probe) => shift(met(there, probe), op2.motion.shift[probe.axis])), numbers[2]!.value + lift], numbers);
  };
  const half = (about: Vec2): PlanMap => ([x, y]) => [2 * about[0] - x, 2 * about[1] - y];
  const [a, b] = fixture.pins;
  const onPins: WrongFlip[] = a === undefined || b === undefined ? [] : [shown('set down end for end, each pin in the other hole', half([(a.at[0] + b.at[0]) / 2, (a.at[1] + b.at[1]) / 2]))];
  return [
    shown('turned over about the other axis: end for end on the fixture', half(middle)),
    ...onPins,
    shown('first side cut as its mirror image, front to back', ([x, y]) => [2 * middle[0] - x, y]),
    shown('first side cut as its mirror image, left to right', ([x, y]) => [x, 2 * middle[1] - y]),
    shown('flip corner forgotten, or the wrong piece', (p) => nearestCorner(stock, p)),
    ...otherZeros(job, fixture, op2, numbers),
    shown('first side faced from a wrong Z zero: the allowance under the feet left on', (p) => p, stock.allowance.under),
  ];
}

/** The outline without its flip corner: its inner points go out to the corner. */
function nearestCorner({ box: { least, most }, flipCorner }: Stock, [x, y]: Vec2): Vec2 {
  if (flipCorner === null) return [x, y];
  const { least: a, most: b } = flipCorner;
  const within = x >= a[0] - 1e-9 && x <= b[0] + 1e-9 && y >= a[1] - 1e-9 && y <= b[1] + 1e-9;
  return within ? [a[0] <= least[0] + 1e-9 ? least[0] : most[0], a[1] <= least[1] + 1e-9 ? least[1] : most[1]] : [x, y];
}

/** Zeros taken up at another of the places one could have meant: every number is off by the way between them. */
function otherZeros(job: Job, fixture: FixturePlan, op2: Operation, numbers: readonly TouchNumber[]): WrongFlip[] {
  const upright = op2.motion.rotation;
  const others = (['bore', 'centre', 'corner', 'pin'] as const).map((choice) => zeroOf(choice, 'plate', upright, fixture.plate, op2.zero.at[2], '', fixture)).filter((zero, i, all) => zero.choice !== op2.zero.choice && all.findIndex((one) => one.choice === zero.choice) === i);
  const off = (what: string, by: Vec3): WrongFlip => told(what, numbers.map((number, i) => number.value + by[i]!), numbers);
  return [
    ...others.map(({ choice, at }) => off(`zero taken at the ${choice === 'bore' ? 'touch-off bore' : choice === 'pin' ? 'round pin' : `${choice} of the plate`} instead`, [op2.zero.at[0] - at[0], op2.zero.at[1] - at[1], 0])),
    off('Z zero taken on the table instead of the plate', [0, 0, job.holding.plate]),
  ];
}

const shift = (value: number | null, by: number): number | null => (value === null ? null : value + by);

const told = (what: string, shows: readonly (number | null)[], numbers: readonly TouchNumber[]): WrongFlip => ({
  what,
  shows,
  told: shows.some((value, i) => value === null || Math.abs(value - numbers[i]!.value) > numbers[i]!.tolerance),
});
