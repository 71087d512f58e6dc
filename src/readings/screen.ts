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
import { sayList, sayNumber, type Reading, type Remark } from './reading.ts';
import { findSlips, near, rowsOf, type Slip } from './slips.ts';

export interface ScreenOptions {
  /** Source line of each reading; without it they are counted from 1. */
  readonly rows?: readonly number[];
  /** Units of the job, for figures in messages and for the check of the whole table. */
  readonly units?: Units;
  /** mm. What the part is known to measure along the section, if it is. */
  readonly expectedLength?: number;
}

/** Remarks on a trace. `points` in mm; readings left out should not be passed in. */
export function screenTrace(points: readonly Reading[], options: ScreenOptions = {}): readonly Remark[] {
  const say = sayer(options);
  const all = points.map((_, i) => i);
  if (looksSwapped(points)) return [...doubles(points, all, say), swappedRemark(), ...screenSize(points, options)];
  const direction = travel(points);
  const { slips, corrected } = findSlips(points, direction);
  const slipped = new Set(slips.flatMap(rowsOf));
  const sound = all.filter((i) => !slipped.has(i));
  return [
    ...doubles(points, sound, say),
    ...slips.map((slip) => slipRemark(slip, points, say)),
    ...disorder(corrected, direction, say),
    // Measured as if the slips were put right, so that one slip is not named twice.
    ...screenSize(corrected, options),
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

function slipRemark(slip: Slip, points: readonly Reading[], say: Sayer): Remark {
  const inch = slip.factor === mmPerInch || slip.factor === 1 / mmPerInch;
  const times = slip.factor > 1 ? `${sayNumber(slip.factor)} times too large` : `${sayNumber(1 / slip.factor)} times too small`;
  const what = slip.x && slip.z ? 'Station and height look' : slip.x ? 'The station looks' : 'The height looks';
  const indexes = rowsOf(slip);
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

// mm. A cover shorter than an inch or longer than a hundred is not what this is for.
const shortest = mmPerInch;
const longest = 100 * mmPerInch;

/** Whether the stations as a whole span what a part can, or what this one is known to. */
export function screenSize(points: readonly Reading[], { units = 'mm', expectedLength }: ScreenOptions): readonly Remark[] {
  if (points.length < 3) return [];
  const xs = points.map((p) => p.x);
  const span = xs.reduce((most, x) => Math.max(most, x), -Infinity) - xs.reduce((least, x) => Math.min(least, x), Infinity);
  if (!(span > 0)) return [];
  const small = expectedLength === undefined ? span < shortest : near(span * mmPerInch, expectedLength);
  const large = expectedLength === undefined ? span > longest : near(span / mmPerInch, expectedLength);
  if (small && units === 'mm') return [tableUnit(`The stations span ${sayNumber(span)} mm in all; read as inches they would span ${sayNumber(span * mmPerInch)} mm.`, 'If they are inches, read them in inches.')];
  if (large && units === 'inch') return [tableUnit(`The stations span ${sayNumber(span / mmPerInch)} in in all; read as mm they would span ${sayNumber(span / mmPerInch)} mm.`, 'If they are millimetres, read them in mm.')];
  if (small) return [tableUnit(`The stations span ${sayNumber(span / mmPerInch)} in in all, ${sayNumber(span)} mm.`, 'Check their unit.')];
  if (large) return [tableUnit(`The stations span ${sayNumber(span)} mm in all.`, 'Check their unit.')];
  return [];
}

const tableUnit = (message: string, hint: string): Remark => ({ code: 'table-unit', at: '', points: [], message, hint });
