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
  /** One sigma of each, mm, in units of `reference`: 1 / relative^2 is the weight. */
  readonly weight: Float64Array;
  /** Positions in `index` of the marked corners, ends excepted. */
  readonly corners: readonly number[];
  /** mm, one sigma of a reading of weight one. The default where none is stated. */
  readonly reference: number;
  readonly stated: boolean;
  /** Index into trace.points of the readings left out. */
  readonly leftOut: readonly number[];
  readonly backwards: boolean;
}

const rowName = (index: number): string => `trace.points[${index}]`;

export function gather(trace: Trace): Result<Gathered> {
  const given = trace.points.map((_, i) => i);
  const used = given.filter((i) => !trace.points[i]!.leaveOut);
  const at = (i: number): Vec2 => [trace.points[i]!.x, trace.points[i]!.z];
  const issues: Issue[] = [];
  const far = given.filter((i) => !(Math.abs(trace.points[i]!.x) <= tolerance.largestPart && Math.abs(trace.points[i]!.z) <= tolerance.largestPart));
  if (far.length > 0) {
    const worst = trace.points[far[0]!]!;
    issues.push({
      code: 'reading-too-far',
      at: far.length === 1 ? rowName(far[0]!) : 'trace.points',
      message: `${sayRows(far.map((i) => i + 1))}: expected stations and heights within ${tolerance.largestPart} mm, got (${worst.x}, ${worst.z}) mm.`,
      hint: 'Check the unit and the decimal point, or leave the reading out.',
    });
  }
  if (used.length < 3) {
    issues.push({
      code: 'too-few-readings',
      at: 'trace.points',
      message: `Expected at least 3 readings to fair a contour, got ${used.length}${used.length < given.length ? ` (and ${given.length - used.length} left out)` : ''}.`,
      hint: 'Add readings; 20 to 40 are usual, closer together where the contour turns.',
    });
  }
  if (issues.length > 0) return refuse(...issues);
  const xs = used.map((i) => trace.points[i]!.x);
  const zs = used.map((i) => trace.points[i]!.z);
  const wide = spread(xs);
  const extent = Math.max(wide, spread(zs));
  if (extent <= tolerance.finestReading) {
    return refuse({
      code: 'readings-in-one-place',
      at: 'trace.points',
      message: `All ${used.length} readings stand at one point, (${xs[0]}, ${zs[0]}) mm; expected points along the contour.`,
      hint: 'Check the columns: station first, height second.',
    });
  }
  if (wide <= Math.max(tolerance.point, extent * tolerance.vertical)) {
    return refuse({
      code: 'contour-vertical',
      at: 'trace.points',
      message: `All ${used.length} readings stand at station ${xs[0]} mm; expected a contour that runs along the stations.`,
      hint: 'Check the columns: station first, height second.',
    });
  }
  const backwards = xs.at(-1)! < xs[0]!;
  const index = backwards ? [...used].reverse() : used;
  const errors = errorsOf(trace, index);
  const points = index.map(at);
  const disorder = orderIssues(points, index.map((i) => i + 1), errors.reference);
  if (disorder.length > 0) return refuse(...disorder);
  return ok({
    index,
    points,
    ...errors,
    corners: cornersOf(trace, index),
    leftOut: given.filter((i) => trace.points[i]!.leaveOut),
    backwards,
  });
}

function cornersOf(trace: Trace, index: readonly number[]): number[] {
  const out: number[] = [];
  for (let k = 1; k < index.length - 1; k++) if (trace.points[index[k]!]!.corner) out.push(k);
  return out;
}

function spread(values: readonly number[]): number {
  let low = Infinity;
  let high = -Infinity;
  for (const v of values) {
    low = Math.min(low, v);
    high = Math.max(high, v);
  }
  return high - low;
}

/** Errors as weights: a reading without its own error has the table's, else the middle one of those stated, else the default. */
function errorsOf(trace: Trace, index: readonly number[]): Pick<Gathered, 'reference' | 'stated' | 'weight'> {
  const own: number[] = [];
  for (const i of index) if (trace.points[i]!.error !== undefined) own.push(trace.points[i]!.error!);
  const stated = trace.readingError !== undefined || own.length > 0;
  const reference = trace.readingError ?? (own.length > 0 ? median(own) : tolerance.readingError);
  return { reference, stated, weight: Float64Array.from(index, (i) => (reference / (trace.points[i]!.error ?? reference)) ** 2) };
}
