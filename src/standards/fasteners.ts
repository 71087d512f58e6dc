/**
 * Hole and screw sizes -> how far holes may lie from their true place so that every screw still enters.
 * ASME Y14.5 appendix B (seen on secondary pages). T is the DIAMETER of the zone: an offset of T / 2 in any direction.
 * H = smallest hole, F = largest screw, both as made at their tight limit, mm; never the nominal plus or minus.
 */
import type { Source } from './source.ts';

export const fastenerSource: Source = {
  standard: 'ASME Y14.5 appendix B',
  basis: 'secondary page',
  note: 'Fixed formula only with a projected zone, or holes square enough that lean does not matter.',
};

/** mm. Both parts have clearance holes: T = H - F for each part. Negative: the screw does not enter even when true. */
export const floatingTolerance = (hole: number, screw: number): number => hole - screw;

/** mm. One part is tapped or holds a pin: T = (H - F) / 2 for each part, split equally. */
export const fixedTolerance = (hole: number, screw: number): number => (hole - screw) / 2;

/** mm. One part tapped, split as wished: what is left for the clearance holes when the tapped holes take `tapped`. */
export const fixedToleranceLeft = (hole: number, screw: number, tapped: number): number => hole - screw - tapped;

/** mm. Position error as it is reported: the diameter of the circle about the true place through the found one. */
export const positionError = (dx: number, dy: number): number => 2 * Math.hypot(dx, dy);
