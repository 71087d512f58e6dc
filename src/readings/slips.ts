/**
 * Readings of a side profile in mm -> rows and blocks that are 10 or 25.4 times off their neighbours.
 *
 * Judged with the neighbours alone: they must agree with each other and with the divided value, and flatly disagree with
 * the value given. Where it stops: see screen.ts.
 */
import { mmPerInch } from '../job/quantity.ts';
import type { Reading } from './reading.ts';

/** Rows `from` to `to` whose station, height or both are `factor` times what the neighbours say. */
export interface Slip {
  readonly from: number;
  readonly to: number;
  readonly factor: number;
  readonly x: boolean;
  readonly z: boolean;
}

const factors = [mmPerInch, 1 / mmPerInch, 10, 1 / 10];
const blockFactors = [mmPerInch, 1 / mmPerInch];

/** Indexes of the rows of a slip. */
export const rowsOf = (slip: Slip): readonly number[] => Array.from({ length: slip.to - slip.from + 1 }, (_, i) => slip.from + i);

// Neighbours and corrected value agree within this part of the value; 10 and 25.4 are a factor of 2.54 apart.
const agree = 0.15;
// Blocks are looked for only in tables with few breaks; a table broken everywhere is disorder, not a slip.
const mostBreaks = 24;

/** Slips in order of rows, and the readings as they would be without them. Each find is judged with the earlier ones put right. */
export function findSlips(points: readonly Reading[], direction: 1 | -1): { readonly slips: readonly Slip[]; readonly corrected: readonly Reading[] } {
  const corrected = [...points];
  const slips: Slip[] = [];
  const take = (slip: Slip): void => {
    slips.push(slip);
    for (const i of rowsOf(slip)) {
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

/** Two lengths within the agreeing part of the smaller. */
export const near = (a: number, b: number): boolean => Math.abs(a - b) <= agree * Math.min(Math.abs(a), Math.abs(b));

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
