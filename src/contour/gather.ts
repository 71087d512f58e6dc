/**
 * From the readings as typed to the arrays the fit works on; refuses what cannot be a contour, naming every reason.
 * Plane of the section, mm. A table given from back to front is worked from front to back: the contour always runs from
 * the lower station to the higher one; `index` leads back to the table.
 */
import type { Issue, Result } from '../result.ts';
import { ok, refuse } from '../result.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2 } from '../maths/vec.ts';
import type { Trace } from '../job/schema.ts';
import { median, orderIssues, sayRows } from './travel.ts';

export interface Gathered {
  /** Index into trace.points of each used reading, in order of travel from the lower station to the higher. */
  readonly index: readonly number[];
  /** The used readings, before tip compensation. */
  readonly points: readonly Vec2[];
  /** Relative weight of each: (reference / its error) squared. */
  readonly weight: Float64Array;
  /** Positions in `index` of the marked corners, ends excepted. */
  readonly corners: readonly number[];
  /** mm, one sigma of a reading of weight one. The default where none is stated. */
  readonly reference: number;
  readonly stated: boolean;
  /** Index into trace.points of the readings left out. */
  readonly leftOut: readonly number[];
}

export function gather(trace: Trace): Result<Gathered> {
  const { points: given } = trace;
  const used: number[] = [];
  const leftOut: number[] = [];
  const far: number[] = [];
  const x: Spread = { low: Infinity, high: -Infinity };
  const z: Spread = { low: Infinity, high: -Infinity };
  for (let i = 0; i < given.length; i++) {
    const p = given[i]!;
    if (!(Math.abs(p.x) <= tolerance.largestPart && Math.abs(p.z) <= tolerance.largestPart)) far.push(i);
    (p.leaveOut ? leftOut : used).push(i);
    if (p.leaveOut) continue;
    widen(x, p.x);
    widen(z, p.z);
  }
  const issues: Issue[] = [];
  if (far.length > 0) {
    const worst = given[far[0]!]!;
    issues.push({
      code: 'reading-too-far',
      at: far.length === 1 ? `trace.points[${far[0]}]` : 'trace.points',
      message: `${sayRows(far.map((i) => i + 1))}: expected stations and heights within ${tolerance.largestPart} mm, got (${worst.x}, ${worst.z}) mm.`,
      hint: 'Check the unit and the decimal point, or leave the reading out.',
    });
  }
  if (used.length < 3) {
    issues.push({
      code: 'too-few-readings',
      at: 'trace.points',
      message: `Expected at least 3 readings to fair a contour, got ${used.length}${leftOut.length > 0 ? ` (and ${leftOut.length} left out)` : ''}.`,
      hint: 'Add readings; 20 to 40 are usual, closer together where the contour turns.',
    });
  }
  if (issues.length > 0) return refuse(...issues);
  const first = given[used[0]!]!;
  const wide = x.high - x.low;
  const extent = Math.max(wide, z.high - z.low);
  if (extent <= tolerance.finestReading) {
    return refuse({
      code: 'readings-in-one-place',
      at: 'trace.points',
      message: `All ${used.length} readings stand at one point, (${first.x}, ${first.z}) mm; expected points along the contour.`,
      hint: 'Check the columns: station first, height second.',
    });
  }
  if (wide <= Math.max(tolerance.point, extent * tolerance.vertical)) {
    return refuse({
      code: 'contour-vertical',
      at: 'trace.points',
      message: `All ${used.length} readings stand at station ${first.x} mm; expected a contour that runs along the stations.`,
      hint: 'Check the columns: station first, height second.',
    });
  }
  const backwards = given[used.at(-1)!]!.x < first.x;
  const index = backwards ? used.reverse() : used;
  const errors = errorsOf(trace, index);
  const points = index.map((i): Vec2 => [given[i]!.x, given[i]!.z]);
  const disorder = orderIssues(points, index.map((i) => i + 1), errors.reference);
  if (disorder.length > 0) return refuse(...disorder);
  return ok({
    index,
    points,
    ...errors,
    corners: cornersOf(trace, index),
    leftOut,
  });
}

function cornersOf(trace: Trace, index: readonly number[]): number[] {
  const out: number[] = [];
  for (let k = 1; k < index.length - 1; k++) if (trace.points[index[k]!]!.corner) out.push(k);
  return out;
}

interface Spread {
  low: number;
  high: number;
}

function widen(range: Spread, value: number): void {
  if (value < range.low) range.low = value;
  if (value > range.high) range.high = value;
}

/** Errors as weights: a reading without its own error has the table's, else the middle one of those stated, else the default. */
function errorsOf(trace: Trace, index: readonly number[]): Pick<Gathered, 'reference' | 'stated' | 'weight'> {
  const own: number[] = [];
  for (const i of index) if (trace.points[i]!.error !== undefined) own.push(trace.points[i]!.error!);
  const stated = trace.readingError !== undefined || own.length > 0;
  const reference = trace.readingError ?? (own.length > 0 ? median(own) : tolerance.readingError);
  const weight = new Float64Array(index.length).fill(1);
  if (own.length > 0) index.forEach((i, k) => (weight[k] = (reference / (trace.points[i]!.error ?? reference)) ** 2));
  return { reference, stated, weight };
}
