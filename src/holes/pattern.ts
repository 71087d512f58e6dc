/**
 * What the room of hole patterns takes and gives: readings between holes and the pattern found from them. mm and degrees.
 *
 * Frame: the pattern is given in the part frame as seen from OUTSIDE (above), whatever side it was measured from. Without
 * `at` and `angle` the first datum hole is the origin and X runs to the second.
 */
import type { Vec2 } from '../maths/vec.ts';
import type { Issue } from '../result.ts';

/**
 * centre: between two centres. outside: over the far walls of two holes. inside: over the web between them.
 * edge, edge near, edge far: from a straight edge, square to it, to the centre, the near wall or the far wall of a hole.
 * pin: largest pin that enters. jaws: the hole's diameter by inside jaws, which read a chord where they are flat.
 */
export const holeReadingKinds = ['centre', 'outside', 'inside', 'edge', 'edge near', 'edge far', 'pin', 'jaws'] as const;
export type HoleReadingKind = (typeof holeReadingKinds)[number];

export interface HoleReading {
  readonly kind: HoleReadingKind;
  /** The hole. */
  readonly a: string;
  /** The other hole, or the edge; empty for pin and jaws. */
  readonly b: string;
  /** mm */
  readonly value: number;
  /** mm, one sigma, where it differs from the rest. */
  readonly error?: number;
  /** Keep it but do not use it. */
  readonly leaveOut?: boolean;
}

/** Hole `hole` lies to this side of a walk from one hole to another, as looked at by who measured. */
export interface SideStatement {
  readonly hole: string;
  readonly from: string;
  readonly to: string;
  readonly side: 'left' | 'right';
}

export interface StraightEdge {
  readonly name: string;
  /** deg. Direction against the datum's X, as looked at, holes on its left. Unknown when left out. */
  readonly angle?: number;
}

export interface NetworkSettings {
  /** mm, one sigma of a reading that does not state its own. */
  readonly readingError: number;
  /** mm. Width of the flats of the inside jaws; 0 for knife edges. Flats sit on a chord: sqrt(D^2 - w^2). */
  readonly jawWidth: number;
  /** All holes have one diameter. */
  readonly equalHoles: boolean;
  /** Side the pattern was looked at; undefined when nobody said. */
  readonly seenFrom?: 'outside' | 'mating';
  /** Two holes, or a hole and the edge X runs along. The first two holes read when left out. */
  readonly datum?: { readonly origin: string; readonly towards: string } | { readonly origin: string; readonly along: string };
  /** Where the origin stands in the part frame, and how the datum's X is turned there (deg, as seen from outside). */
  readonly at?: Vec2;
  readonly angle?: number;
  /** Holes whose places are known and held, part frame. Two or more take the place of the datum. */
  readonly known?: readonly { readonly name: string; readonly at: Vec2 }[];
  readonly edges?: readonly StraightEdge[];
  readonly sides?: readonly SideStatement[];
}

/** The region that holds the true centre 95 times in 100. Half axes in mm; `angle` of the long one in deg from X. */
export interface ErrorEllipse {
  readonly major: number;
  readonly minor: number;
  readonly angle: number;
}

export interface LocatedHole {
  readonly name: string;
  readonly at: Vec2;
  /** xx, xy, yy in mm2. */
  readonly covariance: readonly [number, number, number];
  readonly ellipse: ErrorEllipse;
  /** The same with shift and turn of the whole pattern taken out: what counts where it is laid onto another. */
  readonly shape: ErrorEllipse;
  /** mm; null when nothing read says it. */
  readonly diameter: number | null;
  /** mm, one sigma; 0 without a diameter. */
  readonly diameterError: number;
}

export interface JudgedReading {
  /** Place in the list of readings given. */
  readonly index: number;
  readonly predicted: number;
  /** Reading less prediction. */
  readonly residual: number;
  readonly error: number;
  /** 0: nothing checks this reading; 1: it is checked wholly by the others. */
  readonly redundancy: number;
  /** Residual against its own error (Baarda's w); 0 where redundancy is. Beyond 3.29 a slip is suspected. */
  readonly normalised: number;
  /** mm. The smallest slip that would be seen 8 times in 10; infinite where nothing checks it. */
  readonly detectable: number;
}

/** A reading that does not agree with the others. Named, never dropped: set leaveOut to do without it. */
export interface Slip {
  readonly index: number;
  readonly normalised: number;
  /** mm. How much too long it seems to read. */
  readonly amount: number;
  /** Readings that could be the wrong one just as well, itself included. One alone is located. */
  readonly suspects: readonly number[];
  /** mm. How far the hole it moves most would move without it. */
  readonly effect: number;
}

/** Outside less inside over a pair must be the two diameters together. */
export interface PairCheck {
  readonly a: string;
  readonly b: string;
  readonly outside: number;
  readonly inside: number;
  /** mm. (outside - inside) less the sum of the diameters as read. */
  readonly difference: number;
  readonly limit: number;
  readonly passed: boolean;
}

export interface NextReading {
  readonly kind: 'centre' | 'edge';
  readonly a: string;
  readonly b: string;
  /** True when this reading is already there and would be taken again. */
  readonly again: boolean;
  /** mm, long half axis of the worst ellipse now and after. */
  readonly worstNow: number;
  readonly worstThen: number;
}

/** side: does `hole` lie left or right of the way between two others. seen from: which side was looked at. */
export type MirrorQuestion = { readonly kind: 'side'; readonly hole: string; readonly from: string; readonly to: string } | { readonly kind: 'seen from' };

export interface HolePattern {
  readonly holes: readonly LocatedHole[];
  readonly edges: readonly { readonly name: string; readonly angle: number; readonly through: Vec2 }[];
  readonly readings: readonly JudgedReading[];
  readonly slips: readonly Slip[];
  readonly checks: readonly PairCheck[];
  readonly next: NextReading | null;
  /** Readings used less unknowns. */
  readonly freedom: number;
  /** Weighted squares of the residuals over freedom, root: 1 when the stated errors are true. 0 without freedom. */
  readonly spread: number;
  /** x0 y0 x1 y1 ... of the holes, mm2, shift and turn of the whole taken out, for whoever carries the errors on. */
  readonly covariance: readonly (readonly number[])[];
  /** Distances cannot tell a pattern from its mirror; null when it is settled, else the question to ask. */
  readonly mirror: string | null;
  /** The same question for a face that answers it by a key. */
  readonly question: MirrorQuestion | null;
  readonly remarks: readonly Issue[];
}
