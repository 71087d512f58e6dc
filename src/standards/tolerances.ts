/**
 * Sizes -> general tolerances (ISO 2768-1), IT grades (ISO 286-1), hole H and dowel pin m6. mm in, mm out (angles deg).
 * A size on a boundary belongs to the lower range ("over ... up to and including"). Seen on secondary pages that agree,
 * except where a line says from memory.
 */
import type { Source } from './source.ts';

export const generalToleranceSource: Source = { standard: 'ISO 2768-1', basis: 'secondary page', note: 'Several pages agree. Class c starting .15/.2 is DIN 7168, not this standard.' };
export const gradeSource: Source = { standard: 'ISO 286-1', basis: 'secondary page', note: 'IT12 to IT14 over 315 mm from memory.' };
export const pinSource: Source = { standard: 'ISO 286-2 m6', basis: 'from memory', note: 'Sizes 3 to 18 mm only.' };

export const toleranceClasses = ['f', 'm', 'c', 'v'] as const;
/** ISO 2768-1 classes: fine, medium, coarse, very coarse. */
export type ToleranceClass = (typeof toleranceClasses)[number];

/** First range whose upper end holds `size`; -1 when above the last or below `over`. */
function rangeOf(upTo: readonly number[], over: number, size: number): number {
  return size < over ? -1 : upTo.findIndex((most) => size <= most);
}

// mm. Over 0.5 up to ...
const linearUpTo = [3, 6, 30, 120, 400, 1000, 2000, 4000];
const linear: Readonly<Record<ToleranceClass, readonly (number | null)[]>> = {
  f: [0.05, 0.05, 0.1, 0.15, 0.2, 0.3, 0.5, null],
  m: [0.1, 0.1, 0.2, 0.3, 0.5, 0.8, 1.2, 2],
  c: [0.2, 0.3, 0.5, 0.8, 1.2, 2, 3, 4],
  v: [null, 0.5, 1, 1.5, 2.5, 4, 6, 8],
};

/** mm, plus or minus, table 1. Null where the standard gives none: below 0.5 mm, above 4 m, or a class that skips the range. */
export const generalLinear = (size: number, grade: ToleranceClass): number | null => linear[grade][rangeOf(linearUpTo, 0.5, size)] ?? null;

const radiusUpTo = [3, 6, Infinity];
const radii: Readonly<Record<ToleranceClass, readonly number[]>> = { f: [0.2, 0.5, 1], m: [0.2, 0.5, 1], c: [0.4, 1, 2], v: [0.4, 1, 2] };

/** mm, plus or minus, table 2: outside radii and chamfer heights. Null below 0.5 mm. */
export const generalRadius = (size: number, grade: ToleranceClass): number | null => radii[grade][rangeOf(radiusUpTo, 0.5, size)] ?? null;

const legUpTo = [10, 50, 120, 400, Infinity];
// Minutes of arc. Class c at 120 to 400 mm is 15; one page prints 20.
const angles: Readonly<Record<ToleranceClass, readonly number[]>> = {
  f: [60, 30, 20, 10, 5],
  m: [60, 30, 20, 10, 5],
  c: [90, 60, 30, 15, 10],
  v: [180, 120, 60, 30, 20],
};

/** deg, plus or minus, table 3; `shorterLeg` in mm. */
export function generalAngle(shorterLeg: number, grade: ToleranceClass): number | null {
  const minutes = angles[grade][rangeOf(legUpTo, 0, shorterLeg)];
  return minutes === undefined ? null : minutes / 60;
}

export const grades = [6, 7, 8, 9, 10, 11, 12, 13, 14] as const;
export type Grade = (typeof grades)[number];

// mm up to and including.
const gradeUpTo = [3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500];
// Micrometres.
const gradeTable: Readonly<Record<Grade, readonly number[]>> = {
  6: [6, 8, 9, 11, 13, 16, 19, 22, 25, 29, 32, 36, 40],
  7: [10, 12, 15, 18, 21, 25, 30, 35, 40, 46, 52, 57, 63],
  8: [14, 18, 22, 27, 33, 39, 46, 54, 63, 72, 81, 89, 97],
  9: [25, 30, 36, 43, 52, 62, 74, 87, 100, 115, 130, 140, 155],
  10: [40, 48, 58, 70, 84, 100, 120, 140, 160, 185, 210, 230, 250],
  11: [60, 75, 90, 110, 130, 160, 190, 220, 250, 290, 320, 360, 400],
  12: [100, 120, 150, 180, 210, 250, 300, 350, 400, 460, 520, 570, 630],
  13: [140, 180, 220, 270, 330, 390, 460, 540, 630, 720, 810, 890, 970],
  14: [250, 300, 360, 430, 520, 620, 740, 870, 1000, 1150, 1300, 1400, 1550],
};

/** mm. Width of an IT grade for a nominal size over 0 up to 500 mm; null outside. */
export function gradeWidth(size: number, grade: Grade): number | null {
  const microns = gradeTable[grade][rangeOf(gradeUpTo, Number.MIN_VALUE, size)];
  return microns === undefined ? null : microns / 1000;
}

export interface Limits {
  /** mm from nominal. */
  readonly lower: number;
  readonly upper: number;
}

/** Hole H: from nominal up by the grade. */
export function holeH(size: number, grade: Grade): Limits | null {
  const width = gradeWidth(size, grade);
  return width === null ? null : { lower: 0, upper: width };
}

// Micrometres [lower, upper] over 0-3, 3-6, 6-10, 10-18 mm.
const m6Table: readonly (readonly [number, number])[] = [[2, 8], [4, 12], [6, 15], [7, 18]];

/** Dowel pin m6, from memory; null above 18 mm. */
export function pinM6(size: number): Limits | null {
  const row = m6Table[rangeOf(gradeUpTo.slice(0, m6Table.length), Number.MIN_VALUE, size)];
  return row === undefined ? null : { lower: row[0] / 1000, upper: row[1] / 1000 };
}

/** mm. Loosest and tightest of a pin m6 in a hole H; both positive numbers. */
export function pinFit(size: number, grade: Grade = 7): { readonly clearance: number; readonly interference: number } | null {
  const hole = holeH(size, grade);
  const pin = pinM6(size);
  return hole === null || pin === null ? null : { clearance: hole.upper - pin.lower, interference: pin.upper - hole.lower };
}
