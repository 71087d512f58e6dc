/**
 * The product of this room: readings in the form the job file keeps them, with where they come from and what looks odd.
 * Nothing is corrected on the way in: what was typed stays as typed, and every doubt is a remark with the rows it is about.
 */
import { mmPerInch, type Units } from '../job/quantity.ts';
import type { Issue } from '../result.ts';

/**
 * One reading as `trace.points` of a job document takes it: text as typed (`"1 3/32"`, `".765"`) or a number, a bare one in
 * the units of the job. A unit that came from the head of the table stands behind the text (`"1.25in"`).
 */
export interface TraceReading {
  readonly x: string | number;
  readonly z: string | number;
  readonly error?: string | number;
  readonly corner?: boolean;
  readonly leaveOut?: boolean;
  readonly note?: string;
}

/** A reading as understood: station and height in mm. */
export interface Reading {
  readonly x: number;
  readonly z: number;
}

/** Something a person should look at, which does not stop the reading. `points` are indexes into the readings it came with. */
export interface Remark extends Issue {
  readonly points: readonly number[];
}

export interface Provenance {
  /** File name; empty when pasted. */
  readonly file: string;
  readonly kind: 'table' | 'DXF' | 'SVG';
  readonly count: number;
  /** How the unit of the numbers was decided, in words. */
  readonly units: string;
  /** Everything above and how the points were taken, as one line for `trace.source`. */
  readonly words: string;
}

/** What a file or a pasted text gave. */
export interface Readings {
  /** Put into `trace.points` as they are. */
  readonly points: readonly TraceReading[];
  /** The same in mm, for drawing and screening. */
  readonly mm: readonly Reading[];
  readonly remarks: readonly Remark[];
  readonly provenance: Provenance;
}

/** Units a file may be in. `px`: 96 to the inch, as CSS defines it. */
export type FileUnit = 'um' | 'mm' | 'cm' | 'dm' | 'm' | 'thou' | 'in' | 'ft' | 'px';

export const mmPerFileUnit: Readonly<Record<FileUnit, number>> = {
  um: 1e-3,
  mm: 1,
  cm: 10,
  dm: 100,
  m: 1000,
  thou: mmPerInch / 1000,
  in: mmPerInch,
  ft: 12 * mmPerInch,
  px: mmPerInch / 96,
};

/**
 * A number drawn in `unit`, in document form for a job typed in `units`: bare where the two agree, else with its unit, so
 * that the figure itself stays as drawn wherever the job's grammar has the unit.
 */
export function typedNumber(value: number, unit: FileUnit, units: Units): string | number {
  if (unit === (units === 'mm' ? 'mm' : 'in')) return value;
  // Units the job's grammar does not have are turned into mm; twelve digits drop the rounding of the factor, nothing else.
  if (unit === 'ft' || unit === 'px' || unit === 'dm') return typedNumber(Number((value * mmPerFileUnit[unit]).toPrecision(12)), 'mm', units);
  return `${value}${unit}`;
}

/** Most readings a job takes (the job schema's own limit). */
export const mostReadings = 200_000;

/** `rows 3, 4, 9 and 12 more`: names at most `most` of them. */
export function sayList(names: readonly string[], most = 6): string {
  if (names.length <= 1) return names[0] ?? '';
  if (names.length <= most) return `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
  return `${names.slice(0, most).join(', ')} and ${names.length - most} more`;
}

/** A figure as a message shows it: up to six significant digits. */
export const sayNumber = (value: number): string => String(Number(value.toPrecision(6)));
