/** Readings -> contour, without the rest of a job: what the verb `fair` and the library's `fair` do. */
import { fairContour } from './contour/fair.ts';
import type { FairedContour } from './contour/contour.ts';
import type { Units } from './job/quantity.ts';
import { readDocument } from './job/read.ts';
import type { JobDocument, Trace } from './job/schema.ts';
import { ok, type Result } from './result.ts';

type TraceDocument = NonNullable<JobDocument['trace']>;

export interface FairOptions {
  /** What a bare number means; mm when left out. */
  readonly units?: Units;
  /** One sigma of a reading, as typed; the readings decide when left out. */
  readonly readingError?: string | number;
  /** Radius of the ball tip, as typed. */
  readonly tipRadius?: string | number;
  /** As in the job file. */
  readonly contour?: NonNullable<JobDocument['contour']>;
}

export interface Faired {
  readonly contour: FairedContour;
  readonly trace: Trace;
}

/** Fairs readings given as in a job's `trace.points`: `[station, height]` pairs or objects, numbers or typed text. */
export function fair(points: NonNullable<TraceDocument['points']>, options: FairOptions = {}): Result<Faired> {
  const { units = 'mm', readingError, tipRadius, contour = {} } = options;
  // The job's own reader checks everything, so a table of readings is judged by the same rules as a job.
  const read = readDocument({
    coverwright: 1,
    units,
    trace: { points, ...(readingError === undefined ? {} : { readingError }), ...(tipRadius === undefined ? {} : { tipRadius }) },
    contour,
    body: { width: '100mm' },
  });
  if (!read.ok) return read;
  const { trace, contour: settings } = read.value.job;
  const faired = fairContour(trace, settings);
  return faired.ok ? ok({ contour: faired.value, trace }) : faired;
}
