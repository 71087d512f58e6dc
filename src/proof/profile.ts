/**
 * What a printer does to what is drawn, in one plain object: printed = factor x drawn + growth for every axis, for holes
 * and for shafts, the skew of its axes and the flare of its first layer, each with its standard error. mm, degrees.
 * It describes one printer with one material and one set of settings, and the print ONLY: nothing of it belongs in the design.
 */

/** printed = factor x drawn + growth. */
export interface PrintLine {
  readonly factor: number;
  /** mm */
  readonly growth: number;
  /** One sigma of each. */
  readonly factorError: number;
  readonly growthError: number;
  /** mm. Covariance of the two: longer bars that read high make the factor larger and the growth smaller. */
  readonly shared: number;
  /** mm. Least and greatest drawn size it was measured on; beyond them it is a guess, with the error it has there. */
  readonly from: number;
  readonly to: number;
  readonly readings: number;
  /** Scatter of the readings about the line against their stated errors, near 1 when those are right; null with two readings. */
  readonly scatter: number | null;
}

export interface PrintProfile {
  readonly printOnly: true;
  readonly printer: string;
  readonly material: string;
  readonly axes: Readonly<Record<'x' | 'y', PrintLine>> & { readonly z: PrintLine | null };
  /** Diameters of upright holes and shafts; null where none were measured. */
  readonly hole: PrintLine | null;
  readonly shaft: PrintLine | null;
  /** Degrees by which the angle between printed +X and +Y falls short of 90; null where no diagonals were measured. */
  readonly skew: { readonly degrees: number; readonly error: number } | null;
  /** mm by which an outer size at the bed exceeds the same size above; null where not measured. */
  readonly flare: { readonly mm: number; readonly error: number } | null;
  /** mm, one sigma of a reading, for what a check of the print should show. */
  readonly readingError: number;
  /** What a person should know before trusting it, in sentences. */
  readonly notes: readonly string[];
}
