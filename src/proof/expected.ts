/**
 * What instruments should show on the print: design size, size as drawn, size as printed and its error, for every reading of
 * a plan. mm. Errors are one sigma, first order, from the lines of the profile and its reading error.
 *
 * `readingMiss` is the verifier: printed less design. Corrected pieces give 0 but for what the profile does not cover.
 */
import { degreesToRadians } from '../maths/angle.ts';
import { tolerance } from '../maths/tolerance.ts';
import { sub3, type Vec3 } from '../maths/vec.ts';
import { applyAffine, type Affine } from '../solid/meshRecipe.ts';
import { expectedPlace, expectedPrinted } from './compensate.ts';
import type { PrintLaw } from './law.ts';
import { drawnForPrint } from './printSize.ts';
import type { PrintLine, PrintProfile } from './profile.ts';
import type { WantedReading } from './proofPlan.ts';

export interface ExpectedReading {
  readonly name: string;
  readonly what: WantedReading['what'];
  readonly design: number;
  /** As drawn for the printer. */
  readonly drawn: number;
  /** Null where the profile says nothing of such a size. */
  readonly printed: number | null;
  /** One sigma of what an instrument should show; null with `printed`. */
  readonly error: number | null;
  /** Outside what the printer was measured on: another size, or a slot, whose width follows the line of round holes only nearly. */
  readonly beyond: boolean;
}

/** Printed less design; null where nothing can be said. */
export const readingMiss = ({ printed, design }: ExpectedReading): number | null => (printed === null ? null : printed - design);

/** What a reading taken on the print says of it. */
export interface ReadBack {
  /** mm, read less expected; less design where nothing is expected. */
  readonly off: number;
  /** Within the band that holds 95 readings in 100; null where nothing is expected. */
  readonly within: boolean | null;
  /** A slip rather than a print: farther off than any printer is. */
  readonly slip: boolean;
}

export function judgeReading({ design, drawn, printed, error }: ExpectedReading, read: number): ReadBack {
  const slip = Math.abs(read - drawn) > tolerance.printSlip + tolerance.printSlipShare * drawn;
  return { off: read - (printed ?? design), within: printed === null || error === null ? null : Math.abs(read - printed) <= band95 * error, slip };
}

/** 95 readings in 100 lie within so many standard errors. */
export const band95 = 1.96;

export function expectedReading(wanted: WantedReading, lay: Affine, law: PrintLaw, corrected: boolean): ExpectedReading {
  if (wanted.what === 'centres' || wanted.what === 'outside') return alongLine(wanted, lay, law, corrected);
  const { profile, hole } = law;
  const { name, what, size: design } = wanted;
  const kind = what === 'shaft' ? 'shaft' : 'hole';
  // `hole` speaks of sizes before the bed's scale is taken out; here it has been.
  const scale = profile === null ? 1 : Math.sqrt(profile.axes.x.factor * profile.axes.y.factor);
  const before = corrected && kind === 'hole' ? hole(design) : null;
  const drawn = before?.ok ? before.value / scale : design;
  const printed = profile === null || profile[kind] === null ? null : expectedPrinted(profile, drawnForPrint(kind, drawn));
  if (printed === null || !printed.ok) return { name, what, design, drawn, printed: null, error: null, beyond: false };
  return { name, what, design, drawn, printed: printed.value.mm, error: printed.value.readingError, beyond: printed.value.beyond || what === 'slot' };
}

function alongLine(wanted: Extract<WantedReading, { what: 'centres' | 'outside' }>, lay: Affine, law: PrintLaw, corrected: boolean): ExpectedReading {
  const { name, what } = wanted;
  const outside = wanted.what === 'outside';
  const span: Vec3 = wanted.what === 'centres' ? sub3(wanted.to, wanted.from) : (wanted.along.map((c) => c * wanted.size) as unknown as Vec3);
  const design = Math.hypot(...span);
  const onBed = applyAffine(lay, span);
  const way: Vec3 = onBed.map((c) => c / design) as unknown as Vec3;
  const squares: Vec3 = way.map((c) => c * c) as unknown as Vec3;
  const growth = outside ? law.growth.x * squares[0] + law.growth.y * squares[1] + law.growth.z * squares[2] : 0;
  const before: Vec3 = corrected ? (onBed.map((c, k) => c - growth * way[k]!) as unknown as Vec3) : onBed;
  const onFile = corrected ? applyAffine(law.bed, before) : before;
  const drawn = Math.hypot(...onFile);
  const { profile } = law;
  if (profile === null || (profile.axes.z === null && squares[2] > 0.5)) return { name, what, design, drawn, printed: null, error: null, beyond: false };
  const [px, py] = expectedPlace(profile, { printOnly: true, drawnX: onFile[0], drawnY: onFile[1] });
  const printed = Math.hypot(px, py, onFile[2] * (profile.axes.z?.factor ?? 1)) + growth;
  return { name, what, design, drawn, printed, error: Math.hypot(errorAlong(profile, squares, drawn, outside, way), profile.readingError), beyond: beyond(profile, squares, drawn, outside) };
}

const linesOf = ({ axes }: PrintProfile): readonly (PrintLine | null)[] => [axes.x, axes.y, axes.z];

function errorAlong(profile: PrintProfile, squares: Vec3, drawn: number, outside: boolean, [x, y]: Vec3): number {
  const axes = linesOf(profile).map((line, k) => {
    if (line === null) return 0;
    const grown = outside ? 2 * line.shared * drawn + line.growthError ** 2 : 0;
    return squares[k]! ** 2 * Math.max(0, (line.factorError * drawn) ** 2 + grown);
  });
  const skew = x * y * drawn * degreesToRadians(profile.skew?.error ?? 0);
  return Math.sqrt(axes.reduce((sum, one) => sum + one, skew ** 2));
}

/** Whether a size lies outside what was measured along the axis it mostly follows. Centre distances start from nothing. */
function beyond(profile: PrintProfile, squares: Vec3, drawn: number, outside: boolean): boolean {
  const line = linesOf(profile)[squares.indexOf(Math.max(...squares))];
  return line !== null && line !== undefined && (drawn > line.to || (outside && drawn < line.from));
}
