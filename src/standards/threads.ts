/**
 * Threads by name -> pitch, diameters, limits, tapping drill, clearance hole. Inch rows are kept in inches as printed;
 * every function answers in mm.
 *
 * Metric: ISO 261/262/724 coarse, 6H internal, 6g external (ISO 965); unified: UNC, 2B internal, 2A external (ASME B1.1).
 * Only the sizes in `threadNames`; coarse pitch only; right-hand only. Limits hold before plating.
 */
import { mmPerInch, type Source } from './source.ts';

/** Threads and screws by name, as the trade writes them. */
export const threadNames = ['M3', 'M4', 'M5', 'M6', 'M8', 'M10', 'M12', '#6-32', '#8-32', '#10-24', '1/4-20', '5/16-18', '3/8-16'] as const;
export type ThreadName = (typeof threadNames)[number];

/** Clearance classes of ISO 273: fine (H12), medium (H13), coarse (H14). Inch sizes take close, normal, loose of ASME B18.2.8. */
export const fitClasses = ['fine', 'medium', 'coarse'] as const;
export type FitClass = (typeof fitClasses)[number];

/** Figures of one thread, all mm and mm2. D and d as in ISO 68-1: capital for the nut, small for the bolt. */
export interface Thread {
  readonly name: ThreadName;
  readonly system: 'metric' | 'unified';
  /** Nominal (basic major) diameter d. */
  readonly major: number;
  readonly pitch: number;
  /** Basic pitch diameter d - 0.649519 P. */
  readonly pitchDiameter: number;
  /** Basic minor diameter of the nut, D1 = d - 1.082532 P. */
  readonly minorInternal: number;
  /** Root diameter of the bolt, d3 = d - 1.226869 P. */
  readonly rootExternal: number;
  /** Limits of the tapped hole (6H or 2B): least and most minor diameter, most pitch diameter. */
  readonly d1Least: number;
  readonly d1Most: number;
  readonly d2MostInternal: number;
  /** Limits of the screw (6g or 2A): least major diameter, least pitch diameter. */
  readonly dLeastExternal: number;
  readonly d2LeastExternal: number;
  readonly tapDrill: number;
  /** What is stamped on that drill: `4.2 mm`, `#7`, `F`. */
  readonly tapDrillName: string;
  /** Tensile stress area as printed. */
  readonly stressArea: number;
  /** Clearance holes, fine, medium, coarse. */
  readonly clearance: Readonly<Record<FitClass, number>>;
}

interface MetricRow {
  readonly name: ThreadName;
  readonly d: number;
  readonly pitch: number;
  readonly drill: number;
  readonly d1: readonly [least: number, most: number];
  readonly d2MostInternal: number;
  readonly dLeast: number;
  readonly d2Least: number;
  readonly at: number;
  readonly clearance: readonly [fine: number, medium: number, coarse: number];
}

export const metricSource: Source = {
  standard: 'ISO 261, ISO 724, ISO 965 (6H/6g), ISO 898-1 (stress areas), ISO 2306 and DIN 336 (drills)',
  basis: 'secondary page',
  note: 'Drill, minor diameter and limits on pages that quote the standards; at least two agreed on drills.',
};

export const metricClearanceSource: Source = {
  standard: 'ISO 273',
  basis: 'secondary page',
  note: 'All three columns on one page. BS 4186:1967 looks alike but prints 14.0 and 15.0 for M12.',
};

// mm, as printed.
const metricRows: readonly MetricRow[] = [
  { name: 'M3', d: 3, pitch: 0.5, drill: 2.5, d1: [2.459, 2.599], d2MostInternal: 2.775, dLeast: 2.874, d2Least: 2.58, at: 5.03, clearance: [3.2, 3.4, 3.6] },
  { name: 'M4', d: 4, pitch: 0.7, drill: 3.3, d1: [3.242, 3.422], d2MostInternal: 3.663, dLeast: 3.838, d2Least: 3.433, at: 8.78, clearance: [4.3, 4.5, 4.8] },
  { name: 'M5', d: 5, pitch: 0.8, drill: 4.2, d1: [4.134, 4.334], d2MostInternal: 4.605, dLeast: 4.826, d2Least: 4.361, at: 14.2, clearance: [5.3, 5.5, 5.8] },
  { name: 'M6', d: 6, pitch: 1, drill: 5, d1: [4.917, 5.153], d2MostInternal: 5.5, dLeast: 5.794, d2Least: 5.212, at: 20.1, clearance: [6.4, 6.6, 7] },
  { name: 'M8', d: 8, pitch: 1.25, drill: 6.8, d1: [6.647, 6.912], d2MostInternal: 7.348, dLeast: 7.76, d2Least: 7.042, at: 36.6, clearance: [8.4, 9, 10] },
  { name: 'M10', d: 10, pitch: 1.5, drill: 8.5, d1: [8.376, 8.676], d2MostInternal: 9.206, dLeast: 9.732, d2Least: 8.862, at: 58, clearance: [10.5, 11, 12] },
  { name: 'M12', d: 12, pitch: 1.75, drill: 10.2, d1: [10.106, 10.441], d2MostInternal: 11.063, dLeast: 11.701, d2Least: 10.679, at: 84.3, clearance: [13, 13.5, 14.5] },
];

interface UnifiedRow {
  readonly name: ThreadName;
  /** in */
  readonly d: number;
  readonly perInch: number;
  readonly drillName: string;
  /** in */
  readonly drill: number;
  /** in, 2B minor diameter. */
  readonly d1: readonly [least: number, most: number];
  /** in2 */
  readonly at: number;
  /** in, least diameters of the close, normal and loose hole. */
  readonly clearance: readonly [close: number, normal: number, loose: number];
}

export const unifiedSource: Source = {
  standard: 'ASME B1.1 UNC 2B/2A',
  basis: 'secondary page',
  note: 'Drills on two pages. 2B minor diameters on one page with misprints elsewhere; every figure agrees to 0.001 in with the formulas of ASME B1.1 (from memory). Pitch diameter limits are computed from those formulas.',
};

export const unifiedClearanceSource: Source = {
  standard: 'ASME B18.2.8-1999 table 1a, least diameters',
  basis: 'secondary page',
  note: '#6 close and normal are the sizes of the drills seen (#23, #18). Older charts with .144/.1495 for #6 are not this standard.',
};

// in, as printed.
const unifiedRows: readonly UnifiedRow[] = [
  { name: '#6-32', d: 0.138, perInch: 32, drillName: '#36', drill: 0.1065, d1: [0.104, 0.114], at: 0.00909, clearance: [0.154, 0.17, 0.185] },
  { name: '#8-32', d: 0.164, perInch: 32, drillName: '#29', drill: 0.136, d1: [0.13, 0.139], at: 0.014, clearance: [0.18, 0.196, 0.213] },
  { name: '#10-24', d: 0.19, perInch: 24, drillName: '#25', drill: 0.1495, d1: [0.145, 0.156], at: 0.0175, clearance: [0.206, 0.221, 0.238] },
  { name: '1/4-20', d: 0.25, perInch: 20, drillName: '#7', drill: 0.201, d1: [0.196, 0.207], at: 0.0318, clearance: [0.266, 0.281, 0.297] },
  { name: '5/16-18', d: 0.3125, perInch: 18, drillName: 'F', drill: 0.257, d1: [0.252, 0.265], at: 0.0524, clearance: [0.328, 0.344, 0.359] },
  { name: '3/8-16', d: 0.375, perInch: 16, drillName: '5/16', drill: 0.3125, d1: [0.307, 0.321], at: 0.0775, clearance: [0.391, 0.406, 0.422] },
];

/** Basic profile of ISO 68-1 and of the unified thread (from memory; the printed tables agree to their last digit). */
const basicProfile = (d: number, p: number) => ({
  major: d,
  pitch: p,
  pitchDiameter: d - 0.649519 * p,
  minorInternal: d - 1.082532 * p,
  rootExternal: d - 1.226869 * p,
});

const fromMetric = (row: MetricRow): Thread => ({
  name: row.name,
  system: 'metric',
  ...basicProfile(row.d, row.pitch),
  d1Least: row.d1[0],
  d1Most: row.d1[1],
  d2MostInternal: row.d2MostInternal,
  dLeastExternal: row.dLeast,
  d2LeastExternal: row.d2Least,
  tapDrill: row.drill,
  tapDrillName: `${row.drill.toFixed(1)} mm`,
  stressArea: row.at,
  clearance: { fine: row.clearance[0], medium: row.clearance[1], coarse: row.clearance[2] },
});

/**
 * Limits of class 2A/2B in inches, ASME B1.1 clause 5 formulas (from memory), length of engagement one diameter, coarse series.
 * 1/4-20 gives a least screw pitch diameter of .2127 in, the figure seen on a secondary page.
 */
function unifiedLimits(d: number, p: number) {
  const pitchTolerance = 0.0015 * Math.cbrt(d) + 0.0015 * Math.sqrt(d) + 0.015 * p ** (2 / 3);
  const allowance = 0.3 * pitchTolerance;
  const d2 = d - 0.649519 * p;
  return {
    d2LeastExternal: d2 - allowance - pitchTolerance,
    dLeastExternal: d - allowance - 0.06 * p ** (2 / 3),
    d2MostInternal: d2 + 1.3 * pitchTolerance,
  };
}

function fromUnified(row: UnifiedRow): Thread {
  const pitch = 1 / row.perInch;
  const basic = basicProfile(row.d * mmPerInch, pitch * mmPerInch);
  const limits = unifiedLimits(row.d, pitch);
  return {
    name: row.name,
    system: 'unified',
    ...basic,
    d1Least: row.d1[0] * mmPerInch,
    d1Most: row.d1[1] * mmPerInch,
    d2MostInternal: limits.d2MostInternal * mmPerInch,
    dLeastExternal: limits.dLeastExternal * mmPerInch,
    d2LeastExternal: limits.d2LeastExternal * mmPerInch,
    tapDrill: row.drill * mmPerInch,
    tapDrillName: row.drillName,
    stressArea: row.at * mmPerInch ** 2,
    clearance: { fine: row.clearance[0] * mmPerInch, medium: row.clearance[1] * mmPerInch, coarse: row.clearance[2] * mmPerInch },
  };
}

/** Every thread of `threadNames`, in that order. */
export const threads: readonly Thread[] = [...metricRows.map(fromMetric), ...unifiedRows.map(fromUnified)];

const byName = new Map(threads.map((thread) => [thread.name, thread]));

/** Throws on a name outside `threadNames`: the schema has already refused it. */
export function thread(name: ThreadName): Thread {
  const found = byName.get(name);
  if (found === undefined) throw new Error(`no thread ${String(name)}`);
  return found;
}

/** Source of the thread limits and drill of this thread. */
export const threadSource = (name: ThreadName): Source => (thread(name).system === 'metric' ? metricSource : unifiedSource);

/** mm. Nominal diameter. */
export const majorDiameter = (name: ThreadName): number => thread(name).major;

/** mm. */
export const threadPitch = (name: ThreadName): number => thread(name).pitch;

/** mm. Diameter of the drill before tapping (cutting taps; a forming tap needs a larger one). */
export const tapDrill = (name: ThreadName): number => thread(name).tapDrill;

/** mm. Hole the screw passes through. ISO 273 for metric, least diameters of ASME B18.2.8 for inch screws. */
export const clearanceHole = (name: ThreadName, fit: FitClass): number => thread(name).clearance[fit];

export const clearanceSource = (name: ThreadName): Source => (thread(name).system === 'metric' ? metricClearanceSource : unifiedClearanceSource);

/** Hand and machine taps by the length of their cutting chamfer. */
export type TapKind = 'bottoming' | 'plug' | 'taper';

export const tapRunOutSource: Source = {
  standard: '',
  basis: 'secondary page',
  note: 'Tap makers: drill = thread + tap chamfer + one pitch (printed example 1/4-20: .375 + .100 + .050 in). Chamfer taken at its longest: bottoming 2, plug 5, taper 10 threads.',
};

const chamferThreads: Readonly<Record<TapKind, number>> = { bottoming: 2, plug: 5, taper: 10 };

/** mm from the last full thread to the end of the drill at full diameter: tap chamfer at its longest plus one pitch. */
export const tapRunOut = (name: ThreadName, tap: TapKind = 'bottoming'): number => (chamferThreads[tap] + 1) * threadPitch(name);
