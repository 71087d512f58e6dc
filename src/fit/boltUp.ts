/**
 * Our holes, the mating holes and their screws -> does everything bolt up: the best move and the margin of each hole. mm, degrees.
 *
 * Margins: minimax.ts. A floating screw has (hole - screw) / 2 of radial slack from our hole; where the mating hole is a
 * clearance hole too its slack adds (ASME Y14.5 appendix B, seen on secondary pages: T = H - F floating, (H - F) / 2 fixed).
 * Stops being true: what is left out of it: square of the holes, bent parts, paint, threads out of upright.
 */
import { degreesToRadians, radiansToDegrees } from '../maths/angle.ts';
import type { Vec2 } from '../maths/vec.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import { emptySeat, marginsAt, seatPattern, workFor, type Packed, type Seated } from './minimax.ts';

export interface BoltHole {
  readonly name: string;
  readonly at: Vec2;
  readonly diameter: number;
  /** Extra length of a slot, and its direction in deg from X; 0 for a round hole. */
  readonly slot: number;
  readonly slotAngle: number;
  /** mm, largest screw. */
  readonly screw: number;
  /** Where its mating hole stands. */
  readonly mating: Vec2;
  /** mm; null for a tapped hole. */
  readonly matingDiameter: number | null;
}

export interface BoltUp {
  /** Best rigid move of our part: shift, then turn about the middle in deg. */
  readonly shift: Vec2;
  readonly turn: number;
  /** The smallest margin at that move; below 0 a screw does not enter. */
  readonly margin: number;
  /** No move is better than this by more. */
  readonly gap: number;
  readonly holes: readonly { readonly name: string; readonly margin: number; readonly presses: boolean }[];
  /** The smallest margin when the holes are merely fitted on the average, for comparison. */
  readonly averageMargin: number;
}

/** What makes a bolting impossible to ask about. */
export function boltIssues(holes: readonly BoltHole[]): Issue[] {
  const issues: Issue[] = [];
  if (holes.length < 2) issues.push({ code: 'too-few-holes', at: '', message: `Expected at least two holes, got ${holes.length}.`, hint: 'Say which holes bolt to what.' });
  for (const hole of holes) {
    if (!(hole.diameter >= hole.screw)) issues.push({ code: 'hole-too-small', at: hole.name, message: `Hole ${hole.name} is ${hole.diameter} mm, its screw ${hole.screw} mm: it does not enter even when true.`, hint: 'Make the hole larger or the screw smaller.' });
    if (hole.matingDiameter !== null && !(hole.matingDiameter >= hole.screw)) issues.push({ code: 'hole-too-small', at: hole.name, message: `The mating hole of ${hole.name} is ${hole.matingDiameter} mm, its screw ${hole.screw} mm.`, hint: 'A tapped hole has no clearance: leave its diameter out.' });
  }
  return issues;
}

/** The holes as numbers about their middle, and where ours stand less where the screws stand. */
export function packHoles(holes: readonly BoltHole[]): { readonly packed: Packed; readonly dx: Float64Array; readonly dy: Float64Array } {
  const n = holes.length;
  const middle: Vec2 = [holes.reduce((sum, h) => sum + h.at[0], 0) / n, holes.reduce((sum, h) => sum + h.at[1], 0) / n];
  const px = Float64Array.from(holes, (h) => h.at[0] - middle[0]);
  const py = Float64Array.from(holes, (h) => h.at[1] - middle[1]);
  const packed: Packed = {
    n,
    px,
    py,
    half: Float64Array.from(holes, (h) => h.slot / 2),
    sx: Float64Array.from(holes, (h) => Math.cos(degreesToRadians(h.slotAngle))),
    sy: Float64Array.from(holes, (h) => Math.sin(degreesToRadians(h.slotAngle))),
    slack: Float64Array.from(holes, (h) => (h.diameter - h.screw) / 2 + (h.matingDiameter === null ? 0 : (h.matingDiameter - h.screw) / 2)),
    reach: Math.max(1, ...holes.map((_, i) => Math.hypot(px[i]!, py[i]!))),
  };
  return { packed, dx: Float64Array.from(holes, (h) => h.at[0] - h.mating[0]), dy: Float64Array.from(holes, (h) => h.at[1] - h.mating[1]) };
}

/** The best move and what is left at each hole. */
export function boltUp(holes: readonly BoltHole[]): Result<BoltUp> {
  const issues = boltIssues(holes);
  if (issues.length > 0) return refuse(...issues);
  const { packed, dx, dy } = packHoles(holes);
  const seat = seatExactly(packed, dx, dy);
  const margins = marginsAt(packed, dx, dy, seat.move);
  return ok({
    shift: [seat.move[0]!, seat.move[1]!],
    turn: radiansToDegrees(seat.move[2]! / packed.reach),
    margin: Math.min(...margins),
    gap: seat.gap,
    holes: holes.map((hole, i) => ({ name: hole.name, margin: margins[i]!, presses: seat.weight[i]! > presses })),
    averageMargin: Math.min(...marginsAt(packed, dx, dy, averageMove(packed, dx, dy))),
  });
}

const turnRounds = 6;

/** The fine seat with the turn taken exactly: what a turn does beyond its first order is put into the places, and again. */
function seatExactly(packed: Packed, dx: Float64Array, dy: Float64Array): Seated {
  const seat = emptySeat(packed.n);
  const work = workFor(packed.n);
  const [x, y] = [Float64Array.from(dx), Float64Array.from(dy)];
  for (let round = 0; round < turnRounds; round++) {
    seatPattern(packed, x, y, seat, work, true);
    const turn = seat.move[2]! / packed.reach;
    const [c, s] = [Math.cos(turn) - 1, Math.sin(turn) - turn];
    for (let i = 0; i < packed.n; i++) {
      x[i] = dx[i]! + c * packed.px[i]! - s * packed.py[i]!;
      y[i] = dy[i]! + s * packed.px[i]! + c * packed.py[i]!;
    }
  }
  return seat;
}

/** Share of the proof from which a hole counts as pressing. */
const presses = 0.01;

function averageMove(p: Packed, dx: Float64Array, dy: Float64Array): Float64Array {
  const mean = (v: Float64Array): number => v.reduce((a, b) => a + b, 0) / p.n;
  let [turn, size] = [0, 0];
  for (let i = 0; i < p.n; i++) {
    turn += p.px[i]! * dy[i]! - p.py[i]! * dx[i]!;
    size += p.px[i]! ** 2 + p.py[i]! ** 2;
  }
  return Float64Array.of(-mean(dx), -mean(dy), size > 0 ? (-turn / size) * p.reach : 0);
}
