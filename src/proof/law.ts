/**
 * PrintProfile (or none) -> how the shapes of a print are drawn, before they are laid on the bed, and how the bed's own
 * scale and skew are taken out after. mm.
 *
 * Order of the work: holes of the solid drawn by `solidHole`; outside faces drawn in by `growth` (see grown.ts); joints
 * added with `hole` and `gap`; laid on the bed; `bed` stretches and shears the whole. Each step knows what the later ones
 * still do to it. Without a profile every step leaves things as they are.
 */
import { ok, type Result } from '../result.ts';
import type { Affine } from '../solid/meshRecipe.ts';
import { compensated, type Compensation } from './compensate.ts';
import type { PrintProfile } from './profile.ts';

export interface PrintLaw {
  readonly profile: PrintProfile | null;
  readonly compensation: Compensation | null;
  /** Diameter of a hole added to a piece, so that `wanted` comes out. */
  readonly hole: (wanted: number) => Result<number>;
  /** Diameter of a hole in the solid itself, whose wall is still drawn in with all other faces. */
  readonly solidHole: (wanted: number) => Result<number>;
  /** Gap to draw between two faces that both grow, so that `wanted` comes out. */
  readonly gap: (wanted: number) => number;
  /** mm a wall along X, along Y and a top face grow by, in all; 0 without a profile. */
  readonly growth: { readonly x: number; readonly y: number; readonly z: number };
  /** What is laid on the bed -> what is drawn. */
  readonly bed: Affine;
  /** mm the first layer is drawn inside its outline, all round. */
  readonly relief: number;
}

const same: Affine = { rows: [[1, 0, 0], [0, 1, 0], [0, 0, 1]], shift: [0, 0, 0] };

export function printLaw(profile: PrintProfile | null): PrintLaw {
  if (profile === null) return { profile, compensation: null, hole: ok, solidHole: ok, gap: (mm) => mm, growth: { x: 0, y: 0, z: 0 }, bed: same, relief: 0 };
  const compensation = compensated(profile);
  const { x, y, z } = profile.axes;
  const growth = { x: x.growth, y: y.growth, z: z?.growth ?? 0 };
  const mean = (growth.x + growth.y) / 2;
  // The bed's two scales make a round hole oval by their difference; the mean keeps its size.
  const scale = Math.sqrt(x.factor * y.factor);
  const hole = (wanted: number): Result<number> => {
    if (profile.hole === null) return ok(wanted * scale);
    const size = compensation.size('hole', wanted);
    return size.ok ? ok(size.value.drawn * scale) : size;
  };
  const solidHole = (wanted: number): Result<number> => {
    const drawn = hole(wanted);
    return drawn.ok ? ok(drawn.value - mean) : drawn;
  };
  const [ex, ey] = [compensation.place([1, 0]), compensation.place([0, 1])];
  const bed: Affine = { rows: [[ex.drawnX, ey.drawnX, 0], [ex.drawnY, ey.drawnY, 0], [0, 0, 1 / (z?.factor ?? 1)]], shift: [0, 0, 0] };
  return { profile, compensation, hole, solidHole, gap: (mm) => mm + mean, growth, bed, relief: compensation.bedRelief };
}

/** What this profile leaves uncorrected on a print, in sentences. */
export function leftUncorrected({ profile }: PrintLaw): string[] {
  if (profile === null) return ['No printer profile was given: nothing is corrected. Every size comes out as this printer makes it.'];
  return [
    ...(profile.hole === null ? ['No holes were measured on this printer: hole diameters are drawn as designed.'] : []),
    ...(profile.axes.z === null ? ['Nothing was measured along Z: heights are drawn as designed.'] : []),
    ...(profile.skew === null ? ['No diagonals were measured: the axes are taken to be square.'] : []),
    ...(profile.flare === null ? ['The flare of the first layer was not measured: it is not relieved.'] : []),
    ...(profile.hole === null ? [] : ['Slots are drawn by the line of the round holes, which they follow only nearly.']),
    'Holes across the layers (in walls), faces that look down, warping, seams and stringing are not corrected.',
  ];
}
