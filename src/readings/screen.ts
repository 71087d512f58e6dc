/**
 * Readings of a side profile in mm -> remarks on what looks like a slip of the pen: doubles, disorder, a table typed from
 * the far end, a row or block typed in the other unit, a decimal mark in the wrong place, swapped columns.
 *
 * Nothing is changed. A slip is named only where the neighbours agree with each other and with the corrected value, and
 * flatly disagree with the value given; readings merely off the curve are the contour room's business (its outliers).
 * Where it stops: a slip at the very first or last row in one coordinate alone, and a block of more than half the table,
 * cannot be told from the truth and are not named.
 */
import { mmPerInch, type Units } from '../job/quantity.ts';
import { tolerance } from '../maths/tolerance.ts';
import { sayList, sayNumber, type Remark } from './reading.ts';

export interface ScreenOptions {
  /** Source line of each reading; without it they are counted from 1. */
  readonly rows?: readonly number[];
  /** Units of the job, for figures in messages and for the check of the whole table. */
  readonly units?: Units;
  /** mm. What the part is known to measure along the section, if it is. */
  readonly expectedLength?: number;
}

interface Reading {
  readonly x: number;
  readonly z: number;
}

/** Remarks on a trace. `points` in mm; readings left out should not be passed in. */
export function screenTrace(points: readonly Reading[], options: ScreenOptions = {}): readonly Remark[] {
  const say = sayer(options);
  const all = points.map((_, i) => i);
  if (looksSwapped(points)) return [...doubles(points, all, say), swappedRemark(), ...wholeTable(points, options)];
  const direction = travel(points);
  const { slips, corrected } = findSlips(points, direction);
  const slipped = new Set(slips.flatMap((slip) => range(slip.from, slip.to)));
  const sound = all.filter((i) => !slipped.has(i));
  return [
    ...doubles(points, sound, say),
    ...slips.map((slip) => slipRemark(slip, points, say)),
    ...disorder(corrected, direction, say),
    // Measured as if the slips were put right, so that one slip is not named twice.
    ...wholeTable(corrected, options),
  ];
}

interface Sayer {
  span(from: number, to: number): string;
  rows(indexes: readonly number[]): string;
  length(mm: number): string;
}

function sayer({ rows, units = 'mm' }: ScreenOptions): Sayer {
  const number = (index: number): string => String(rows?.[index] ?? index + 1);
  const noun = rows === undefined ? 'reading' : 'row';
  return {
    span: (from, to) => `${noun}s ${number(from)} to ${number(to)}`,
    rows: (indexes) => (indexes.length === 1 ? `${noun} ${number(indexes[0] ?? 0)}` : `${noun}s ${sayList(indexes.map(number))}`),
    length: (mm) => (units === 'mm' ? `${sayNumber(mm)} mm` : `${sayNumber(mm / mmPerInch)} in`),
  };
}

const range = (from: number, to: number): number[] => Array.from({ length: to - from + 1 }, (_, i) => from + i);

/** +1 when stations mostly grow down the table, -1 when they mostly shrink. */
function travel(points: readonly Reading[]): 1 | -1 {
  let balance = 0;
  for (let i = 1; i < points.length; i++) balance += Math.sign((points[i] as Reading).x - (points[i - 1] as Reading).x);
  return balance < 0 ? -1 : 1;
}

function doubles(points: readonly Reading[], among: readonly number[], say: Sayer): readonly Remark[] {
  const order = [...among].sort((a, b) => (points[a] as Reading).x - (points[b] as Reading).x || a - b);
  const groups: number[][] = [];
  for (const index of order) {
    const last = groups.at(-1);
    const first = last?.[0];
    if (last !== undefined && first !== undefined && (points[index] as Reading).x - (points[first] as Reading).x <= tolerance.point) last.push(index);
    else groups.push([index]);
  }
  return groups.filter((group) => group.length > 1).map((group) => {
    const members = [...group].sort((a, b) => a - b);
    const heights = members.map((index) => (points[index] as Reading).z);
    const same = Math.max(...heights) - Math.min(...heights) <= tolerance.point;
    const station = say.length((points[members[0] ?? 0] as Reading).x);
    return same
      ? { code: 'same-reading', at: say.rows(members), points: members, message: `The same reading ${members.length} times: station ${station}, height ${say.length(heights[0] ?? 0)}.`, hint: 'Keep one of them, unless it was measured more than once.' }
      : { code: 'same-station', at: say.rows(members), points: members, message: `One station, ${station}, with heights from ${say.length(Math.min(...heights))} to ${say.length(Math.max(...heights))}.`, hint: 'Right if it was measured more than once; otherwise correct the station.' };
  });
}

// Stations out of order while heights run strictly one way, over this many rows at least, is no profile.
const swapRows = 5;

function looksSwapped(points: readonly Reading[]): boolean {
  if (points.length < swapRows) return false;
  const signs = (pick: (p: Reading) => number): readonly number[] => points.slice(1).map((p, i) => Math.sign(pick(p) - pick(points[i] as Reading)));
  const heights = signs((p) => p.z);
  const stations = signs((p) => p.x);
  if (heights[0] === 0 || heights.some((sign) => sign !== heights[0])) return false;
  const up = stations.filter((sign) => sign > 0).length;
  const down = stations.filter((sign) => sign < 0).length;
  // More than the odd slip: at least two steps, and a fifth of them, go against the rest; and heights span more than stations do.
  const against = Math.min(up, down);
  const span = (pick: (p: Reading) => number): number => points.reduce((most, p) => Math.max(most, pick(p)), -Infinity) - points.reduce((least, p) => Math.min(least, pick(p)), Infinity);
  return against >= 2 && against * 5 >= stations.length && span((p) => p.z) > span((p) => p.x);
}

const swappedRemark = (): Remark => ({
  code: 'columns-swapped',
  at: '',
  points: [],
  message: 'Heights run strictly one way and stations go to and fro: the two columns may be swapped.',
  hint: 'If so, swap them: the first is the station along the section, the second the height.',
});

function disorder(points: readonly Reading[], direction: 1 | -1, say: Sayer): readonly Remark[] {
  const inOrder = longestRise(points.map((p) => direction * p.x));
  const out = points.map((_, i) => i).filter((i) => !inOrder.has(i));
  if (out.length > 0) {
    return [{ code: 'out-of-order', at: say.rows(out), points: out, message: `Out of order: ${out.length === 1 ? 'its station does' : 'their stations do'} not lie between the neighbours'.`, hint: 'Check the stations; if they are right, sort the rows by station.' }];
  }
  if (direction < 0) {
    const [first, last] = [points[0], points.at(-1)] as [Reading, Reading];
    return [{ code: 'reversed', at: '', points: [], message: `Stations run downwards, from ${say.length(first.x)} to ${say.length(last.x)}.`, hint: 'Right if they were taken from the back; check that stations count from the front wall.' }];
  }
  return [];
}

/** Positions of a longest non-falling subsequence (patience sorting, n log n). */
function longestRise(values: readonly number[]): ReadonlySet<number> {
  const tails: number[] = [];
  const before: number[] = [];
  values.forEach((value, i) => {
    let low = 0;
    let high = tails.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((values[tails[middle] as number] as number) <= value) low = middle + 1;
      else high = middle;
    }
    before[i] = low === 0 ? -1 : (tails[low - 1] as number);
    tails[low] = i;
  });
  const chosen = new Set<number>();
  for (let i = tails.at(-1) ?? -1; i >= 0; i = before[i] as number) chosen.add(i);
  return chosen;
}

// --- slips -------------------------------------------------------------------------------------------------------

/** Rows `from` to `to` whose station, height or both are `factor` times what the neighbours say. */
interface Slip {
  readonly from: number;
  readonly to: number;
  readonly factor: number;
  readonly x: boolean;
  readonly z: boolean;
}

const factors = [mmPerInch, 1 / mmPerInch, 10, 1 / 10];
const blockFactors = [mmPerInch, 1 / mmPerInch];

// Neighbours and corrected value agree within this part of the value; 10 and 25.4 are a factor of 2.54 apart.
const agree = 0.15;
// Blocks are looked for only in tables with few breaks; a table broken everywhere is disorder, not a slip.
const mostBreaks = 24;

/** Slips in order of rows, and the readings as they would be without them. Each find is judged with the earlier ones put right. */
function findSlips(points: readonly Reading[], direction: 1 | -1): { readonly slips: readonly Slip[]; readonly corrected: readonly Reading[] } {
  const corrected = [...points];
  const slips: Slip[] = [];
  const take = (slip: Slip): void => {
    slips.push(slip);
    for (const i of range(slip.from, slip.to)) {
      const { x, z } = corrected[i] as Reading;
      corrected[i] = { x: slip.x ? x / slip.factor : x, z: slip.z ? z / slip.factor : z };
    }
  };
  if (points.length < 4) return { slips, corrected };
  for (let i = 1; i < points.length - 1; i++) {
    const slip = lone(corrected, i, direction);
    if (slip !== null) take(slip);
  }
  for (let round = 0; round < mostBreaks; round++) {
    const slip = firstBlock(corrected, direction);
    if (slip === null) break;
    take(slip);
  }
  return { slips: slips.sort((a, b) => a.from - b.from), corrected };
}

function firstBlock(points: readonly Reading[], direction: 1 | -1): Slip | null {
  const breaks = breaksOf(points, direction);
  if (breaks.length === 0 || breaks.length > mostBreaks) return null;
  const widest = 5 * typicalStep(points);
  for (const [from, to] of blocksBetween(breaks, points.length)) {
    const slip = block(points, from, to, direction, widest);
    if (slip !== null) return slip;
  }
  return null;
}

/** One row inside the table against the row above and the row below. */
function lone(points: readonly Reading[], i: number, direction: 1 | -1): Slip | null {
  const [before, here, after] = [points[i - 1], points[i], points[i + 1]] as [Reading, Reading, Reading];
  if (direction * (after.x - before.x) <= 0) return null;
  for (const factor of factors) {
    const x = stationSlips(before, here.x, after, factor, direction);
    const z = heightSlips(before, here, after, factor);
    if (x || z) return { from: i, to: i, factor, x, z };
  }
  return null;
}

/** The station lies outside its neighbours', and within them once divided; the neighbours are near enough together to tell. */
function stationSlips(before: Reading, x: number, after: Reading, factor: number, direction: 1 | -1): boolean {
  const between = (value: number): boolean => direction * (value - before.x) > 0 && direction * (after.x - value) > 0;
  const middle = (before.x + after.x) / 2;
  return !between(x) && between(x / factor) && Math.abs(after.x - before.x) <= 2 * agree * Math.abs(middle);
}

/** The neighbours' heights are of one size, and the height lies between them once divided and far outside them as given. */
function heightSlips(before: Reading, here: Reading, after: Reading, factor: number): boolean {
  const part = (here.x - before.x) / (after.x - before.x);
  const expected = before.z + (after.z - before.z) * (part > 0 && part < 1 ? part : 0.5);
  return here.z !== 0 && ofOneSize(before.z, after.z) && near(here.z / factor, expected);
}

/** Same sign, and neither more than 1.6 times the other: a factor of 10 cannot hide between them. */
const ofOneSize = (a: number, b: number): boolean => a * b > 0 && Math.abs(a) <= 1.6 * Math.abs(b) && Math.abs(b) <= 1.6 * Math.abs(a);

const near = (a: number, b: number): boolean => Math.abs(a - b) <= agree * Math.min(Math.abs(a), Math.abs(b));

/** Steps from row i to row i + 1 that no profile makes: backwards, or to a height several times the one before. */
function breaksOf(points: readonly Reading[], direction: 1 | -1): readonly number[] {
  const breaks: number[] = [];
  for (let i = 0; i + 1 < points.length; i++) {
    const [a, b] = [points[i], points[i + 1]] as [Reading, Reading];
    const back = direction * (b.x - a.x) < 0;
    const ratio = Math.abs(b.z) / Math.abs(a.z);
    if (back || ratio > 4 || ratio < 1 / 4) breaks.push(i);
  }
  return breaks;
}

/**
 * Stretches of rows from one break to another, the table's ends included, no longer than half the table. Those with
 * neighbours on both sides first: a block in the middle is the likelier slip than all that follows it. Then the shortest.
 */
function blocksBetween(breaks: readonly number[], count: number): readonly (readonly [number, number])[] {
  const edges = [-1, ...breaks, count - 1];
  const blocks: [number, number][] = [];
  for (let a = 0; a < edges.length; a++) {
    for (let b = a + 1; b < edges.length; b++) {
      const from = (edges[a] as number) + 1;
      const to = edges[b] as number;
      if (to - from + 1 >= 2 && (to - from + 1) * 2 <= count) blocks.push([from, to]);
    }
  }
  const inner = ([from, to]: [number, number]): number => (from > 0 && to < count - 1 ? 0 : 1);
  return blocks.sort((p, q) => inner(p) - inner(q) || p[1] - p[0] - (q[1] - q[0]));
}

/** A block in the other unit: both numbers of every row, joining its neighbours once divided. */
function block(points: readonly Reading[], from: number, to: number, direction: 1 | -1, widest: number): Slip | null {
  const before = points[from - 1];
  const after = points[to + 1];
  const inside = points.slice(from, to + 1);
  if (!rises(inside, direction)) return null;
  for (const factor of blockFactors) {
    const first = scaled(inside[0] as Reading, factor);
    const last = scaled(inside.at(-1) as Reading, factor);
    // Stations must join in order and without a hole; heights must join closely.
    if (!joins(before, first, direction, widest) || !joins(last, after, direction, widest)) continue;
    // And as given they must not.
    const wrong = (before !== undefined && !near(before.z, (inside[0] as Reading).z)) || (after !== undefined && !near(after.z, (inside.at(-1) as Reading).z));
    if (wrong) return { from, to, factor, x: true, z: true };
  }
  return null;
}

const scaled = (p: Reading, factor: number): Reading => ({ x: p.x / factor, z: p.z / factor });

const rises = (points: readonly Reading[], direction: 1 | -1): boolean =>
  points.every((p, i) => i === 0 || direction * (p.x - (points[i - 1] as Reading).x) >= 0);

function joins(a: Reading | undefined, b: Reading | undefined, direction: 1 | -1, widest: number): boolean {
  if (a === undefined || b === undefined) return true;
  const step = direction * (b.x - a.x);
  return step > 0 && step <= widest && near(a.z, b.z);
}

/** Median distance between neighbouring stations. */
function typicalStep(points: readonly Reading[]): number {
  const steps = points.slice(1).map((p, i) => Math.abs(p.x - (points[i] as Reading).x)).sort((a, b) => a - b);
  return steps[steps.length >> 1] ?? 0;
}

function slipRemark(slip: Slip, points: readonly Reading[], say: Sayer): Remark {
  const inch = slip.factor === mmPerInch || slip.factor === 1 / mmPerInch;
  const times = slip.factor > 1 ? `${sayNumber(slip.factor)} times too large` : `${sayNumber(1 / slip.factor)} times too small`;
  const what = slip.x && slip.z ? 'Station and height look' : slip.x ? 'The station looks' : 'The height looks';
  const indexes = range(slip.from, slip.to);
  const first = points[slip.from] as Reading;
  const given = slip.x && slip.z ? `${say.length(first.x)}, ${say.length(first.z)}` : say.length(slip.x ? first.x : first.z);
  const meant = slip.x && slip.z ? `${say.length(first.x / slip.factor)}, ${say.length(first.z / slip.factor)}` : say.length((slip.x ? first.x : first.z) / slip.factor);
  return {
    code: inch ? 'inch-slip' : 'decimal-slip',
    at: indexes.length > 2 ? say.span(slip.from, slip.to) : say.rows(indexes),
    points: indexes,
    message: `${what} ${times} against the neighbours: ${given}, where ${meant} would fit.`,
    hint: inch ? (slip.factor > 1 ? 'If typed in mm in a table of inches, add "mm".' : 'If typed in inches in a table of mm, add "in".') : 'Check the decimal mark.',
  };
}

// --- the whole table ---------------------------------------------------------------------------------------------

// mm. A cover shorter than an inch or longer than a hundred is not what this is for.
const shortest = mmPerInch;
const longest = 100 * mmPerInch;

function wholeTable(points: readonly Reading[], { units = 'mm', expectedLength }: ScreenOptions): readonly Remark[] {
  if (points.length < 3) return [];
  const xs = points.map((p) => p.x);
  const span = xs.reduce((most, x) => Math.max(most, x), -Infinity) - xs.reduce((least, x) => Math.min(least, x), Infinity);
  if (!(span > 0)) return [];
  const small = expectedLength === undefined ? span < shortest : near(span * mmPerInch, expectedLength);
  const large = expectedLength === undefined ? span > longest : near(span / mmPerInch, expectedLength);
  if (small && units === 'mm') return [tableUnit(`The stations span ${sayNumber(span)} mm in all; read as inches they would span ${sayNumber(span * mmPerInch)} mm.`, 'If they are inches, read the table in inches.')];
  if (large && units === 'inch') return [tableUnit(`The stations span ${sayNumber(span / mmPerInch)} in in all; read as mm they would span ${sayNumber(span / mmPerInch)} mm.`, 'If they are millimetres, read the table in mm.')];
  if (small) return [tableUnit(`The stations span ${sayNumber(span / mmPerInch)} in in all, ${sayNumber(span)} mm.`, 'Check the unit of the table.')];
  if (large) return [tableUnit(`The stations span ${sayNumber(span)} mm in all.`, 'Check the unit of the table.')];
  return [];
}

const tableUnit = (message: string, hint: string): Remark => ({ code: 'table-unit', at: '', points: [], message, hint });
