/**
 * What a published figure rests on. Every table of this room carries one of these, and a finding or a sheet that uses the
 * figure can say it. No standard's own text was opened for these tables: "secondary page" means a page that quotes it.
 */
export type Basis = 'secondary page' | 'from memory' | 'computed' | 'common practice';

export interface Source {
  /** The standard or handbook the figures belong to; empty for plain practice. */
  readonly standard: string;
  readonly basis: Basis;
  /** What was checked, and where the figures stop being true. */
  readonly note: string;
}

/** The way a finding or a sheet names it: `ISO 273 (seen on a secondary page)`. */
export function saySource(source: Source): string {
  const basis = source.basis === 'secondary page' ? 'seen on a secondary page' : source.basis;
  return source.standard === '' ? basis : `${source.standard} (${basis})`;
}

/** mm per inch, exact by definition (1959 agreement). Inch tables below are kept in inches as printed. */
export const mmPerInch = 25.4;
