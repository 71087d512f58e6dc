/**
 * The product of this room: a FairedContour, the smooth side profile found from the readings, with everything a person
 * needs to judge it. Plane of the section, (x, z) in mm, x = station as typed (not yet shifted to the front wall), z up.
 */
import type { BSplineCurve } from '../maths/bspline.ts';
import type { Vec2 } from '../maths/vec.ts';

export interface FairedContour {
  /**
   * One clamped cubic B-spline per stretch between marked corners, from the lower end station to the higher,
   * whichever way the table runs. Neighbours share their end pole.
   * The parameter is the chord length of the readings scaled to mm. The first and last pole stand exactly on the first
   * and last used station.
   */
  readonly spans: readonly BSplineCurve[];
  readonly report: ContourReport;
}

/** How one reading sits against the curve. */
export interface Residual {
  /** Index into trace.points. */
  readonly index: number;
  /** The reading after tip compensation. */
  readonly at: Vec2;
  /** Nearest point on the curve. */
  readonly foot: Vec2;
  /** mm, signed square to the curve, positive above it (left of travel). */
  readonly distance: number;
  /** One sigma used for this reading, mm. */
  readonly error: number;
  /** Robust leave-one-out studentised residual; null for readings left out. */
  readonly studentised: number | null;
  /** How much the curve follows this reading alone, 0 to 1. */
  readonly leverage: number;
  /** False when the person marked the reading to be left out. */
  readonly used: boolean;
}

export interface RadiusAt {
  readonly radius: number;
  readonly at: Vec2;
}

/** What the shape of a curve amounts to; given for the faired curve and for the curve through every point. */
export interface ShapeFigures {
  /** Where the bend changes side. */
  readonly inflections: readonly Vec2[];
  /** Smallest radius where the top is hollow towards the inside of the part (a crown); null when there is none. */
  readonly leastConvex: RadiusAt | null;
  /** Smallest radius where the top dips; null when there is none. */
  readonly leastConcave: RadiusAt | null;
  /** mm along the curve. */
  readonly length: number;
}

/** A reading that does not fit the rest, with the reason; it is named, never dropped. */
export interface Outlier {
  readonly index: number;
  /** mm above the curve of the OTHER readings, square to it. */
  readonly distance: number;
  readonly studentised: number;
  /** Limit the studentised residual was held against. */
  readonly limit: number;
}

export interface ContourReport extends ShapeFigures {
  /** Readings used; readings given. */
  readonly used: number;
  readonly given: number;
  /** How the smoothness was chosen in the end. */
  readonly rule: 'reading error' | 'cross validation' | 'through the points' | 'by hand';
  /** Penalty weight per span, mm^3 scale of the roughness integral. */
  readonly stiffness: readonly number[];
  /** Effective number of free parameters (trace of the influence matrix), per coordinate. */
  readonly freedom: number;
  /** mm, one sigma: as stated, or as estimated from the readings when none was stated. */
  readonly readingError: number;
  readonly readingErrorStated: boolean;
  /** mm, square to the curve, over used readings. */
  readonly rms: number;
  /** Sum over used readings of (distance / error)^2; Reinsch's band for it is used -+ sqrt(2 used). */
  readonly weightedMisses: number;
  /**
   * Where the reading error is stated: how many standard deviations the misses exceed what it promises for a curve that
   * spends `freedom` parameters. Within -1 .. 1 they agree (Reinsch's band); far above, the stated error is too small or a
   * reading is wrong; far below, it is too large. Null when not stated.
   */
  readonly agreement: number | null;
  readonly largest: Residual;
  readonly residuals: readonly Residual[];
  /** Half width of the 95 % band of the curve, square to it, at points along it. */
  readonly band: readonly { readonly at: Vec2; readonly half: number }[];
  readonly outliers: readonly Outlier[];
  /** The same readings joined without smoothing, for comparison. */
  readonly through: ShapeFigures & { readonly largestDeparture: number };
  /** Largest shift of a reading by tip compensation, mm; 0 without a ball tip. */
  readonly tipShift: number;
}
