/** Tables of readings for the contour tests: known shapes, seeded noise, and the contour fitted to them. */
import { fairContour } from '../../src/contour/fair.ts';
import type { ContourReport, FairedContour } from '../../src/contour/contour.ts';
import type { Job, Trace, TracePoint } from '../../src/job/schema.ts';
import { unwrap, type Result } from '../../src/result.ts';
import { normals } from '../maths/noise.ts';

export type Settings = Job['contour'];
export const auto: Settings = { smoothing: 'auto', stiffness: 0.5 };

/** Heights over stations 0..380 mm. */
export const shapes = {
  crown: (x: number): number => 30 + 25 * Math.sin(Math.PI * (0.1 + (0.85 * x) / 380)) - (8 * x) / 380 + 3 * Math.sin((7 * x) / 380),
  arc: (x: number): number => -600 + Math.sqrt(650 * 650 - (x - 190) ** 2),
  taper: (x: number): number => 40 - 0.05 * x,
  dip: (x: number): number => 45 + 6 * Math.cos((x / 380) * 2 * Math.PI * 1.2) - 0.03 * x,
} as const;

export const pointOf = (x: number, z: number, more: Partial<TracePoint> = {}): TracePoint => ({ x, z, corner: false, leaveOut: false, ...more });

export const traceOf = (points: readonly TracePoint[], more: Partial<Trace> = {}): Trace => ({ points: [...points], tipRadius: 0, source: 'test', ...more });

/** `n` readings of a height function over 0..380 mm, with seeded normal noise of `error` mm in the height. */
export function tableOf(f: (x: number) => number, n: number, error: number, seed: number): TracePoint[] {
  const noise = normals(seed, n);
  return noise.map((e, i) => pointOf((380 * i) / (n - 1), f((380 * i) / (n - 1)) + error * e));
}

export const fair = (points: readonly TracePoint[], more: Partial<Trace> = {}, settings: Partial<Settings> = {}): Result<FairedContour> =>
  fairContour(traceOf(points, more), { ...auto, ...settings });

export const fairly = (points: readonly TracePoint[], more: Partial<Trace> = {}, settings: Partial<Settings> = {}): FairedContour => unwrap(fair(points, more, settings));

export const reportOf = (points: readonly TracePoint[], more: Partial<Trace> = {}, settings: Partial<Settings> = {}): ContourReport => fairly(points, more, settings).report;
