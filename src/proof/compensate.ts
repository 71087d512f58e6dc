/**
 * PrintProfile -> what to draw so that a wanted size comes out of the printer, and what a drawn size comes out as.
 * mm and degrees. Design sizes go in as numbers and come out as PrintSize or PrintPlace, which no design field takes.
 *
 * Method: the lines of the profile turned round: drawn = (wanted - growth) / factor. Distances between centres carry no
 * growth. Plan positions: printed X runs along the bed's X, printed Y leans by the skew. Errors are first order, one
 * sigma, from the covariance of each line. Stops being true outside the sizes measured (said by `beyond`), and for
 * inside sizes of pockets and slots, which the profile does not cover.
 */
import type { Vec2 } from '../maths/vec.ts';
import { ok, refuse, type Result } from '../result.ts';
import type { PrintLine, PrintProfile } from './profile.ts';
import { drawnForPrint, type PrintKind, type PrintPlace, type PrintSize } from './printSize.ts';

/** What a drawn size comes out as. */
export interface ExpectedSize {
  /** mm on the print. */
  readonly mm: number;
  /** mm, one sigma of the printed size itself. */
  readonly error: number;
  /** mm, one sigma of what an instrument should show of it. */
  readonly readingError: number;
  /** The size lies outside those the printer was measured on. */
  readonly beyond: boolean;
}

export interface Compensation {
  /** What to draw so that `wanted` mm of the design come out. Refused where nothing like it was measured. */
  readonly size: (of: PrintKind, wanted: number) => Result<PrintSize>;
  /** Where to draw a plan position of the design; skew not measured counts as none. */
  readonly place: (wanted: Vec2) => PrintPlace;
  /** mm by which the first layer is drawn inside the outline all round, so that flare does not jam the seat. Never negative. */
  readonly bedRelief: number;
}

const radians = (degrees: number): number => (degrees * Math.PI) / 180;

/** The line a size follows; centre distances follow their axis without its growth. */
function lineFor(profile: PrintProfile, of: PrintKind): PrintLine | null {
  if (of === 'hole' || of === 'shaft') return profile[of];
  const axis = of.at(-1) as 'x' | 'y' | 'z';
  const line = profile.axes[axis];
  return line === null || of.startsWith('outside') ? line : { ...line, growth: 0, growthError: 0, shared: 0, from: 0 };
}

function lineNeeded(profile: PrintProfile, of: PrintKind, mm: number): Result<PrintLine> {
  if (!(Number.isFinite(mm) && mm > 0)) return refuse({ code: 'print-size-unusable', at: of, message: `Expected a size above 0 mm, got ${mm}.`, hint: 'Correct the size.' });
  const line = lineFor(profile, of);
  if (line !== null) return ok(line);
  const what = of === 'hole' || of === 'shaft' ? `${of}s` : `bars along ${of.at(-1)!.toUpperCase()}`;
  return refuse({ code: 'print-not-measured', at: of, message: `No ${what} were measured on ${profile.printer}, so ${of} sizes cannot be corrected for it.`, hint: `Print and measure two or more ${what} of different size, or draw this size as it is.` });
}

/** How to draw for this printer. */
export function compensated(profile: PrintProfile): Compensation {
  const { x, y } = profile.axes;
  const skew = radians(profile.skew?.degrees ?? 0);
  return {
    size: (of, wanted) => {
      const line = lineNeeded(profile, of, wanted);
      if (!line.ok) return line;
      const drawn = (wanted - line.value.growth) / line.value.factor;
      if (drawn > 0) return ok(drawnForPrint(of, drawn));
      return refuse({ code: 'print-size-too-small', at: of, message: `A size of ${wanted} mm is below the ${Number(line.value.growth.toFixed(3))} mm this printer adds to what is drawn.`, hint: 'It cannot be printed to size; drill or cut it after printing.' });
    },
    place: ([wantedX, wantedY]) => ({ printOnly: true, drawnX: (wantedX - wantedY * Math.tan(skew)) / x.factor, drawnY: wantedY / (y.factor * Math.cos(skew)) }),
    bedRelief: Math.max(0, profile.flare?.mm ?? 0) / 2,
  };
}

/** What a size drawn in the print's files comes out as, with its error. */
export function expectedPrinted(profile: PrintProfile, size: PrintSize): Result<ExpectedSize> {
  const { drawn } = size;
  const found = lineNeeded(profile, size.of, drawn);
  if (!found.ok) return found;
  const line = found.value;
  const error = Math.sqrt(Math.max(0, line.factorError ** 2 * drawn ** 2 + 2 * line.shared * drawn + line.growthError ** 2));
  return ok({ mm: line.factor * drawn + line.growth, error, readingError: Math.hypot(error, profile.readingError), beyond: drawn < line.from || drawn > line.to });
}

/** Where a position drawn in the print's files comes out, mm. */
export function expectedPlace(profile: PrintProfile, place: PrintPlace): Vec2 {
  const { x, y } = profile.axes;
  const skew = radians(profile.skew?.degrees ?? 0);
  return [x.factor * place.drawnX + y.factor * Math.sin(skew) * place.drawnY, y.factor * Math.cos(skew) * place.drawnY];
}

/** Verifier: mm between a wanted design size and what comes out when the compensated size is drawn; 0 but for rounding. */
export function compensationError(profile: PrintProfile, of: PrintKind, wanted: number): Result<number> {
  const size = compensated(profile).size(of, wanted);
  if (!size.ok) return size;
  const printed = expectedPrinted(profile, size.value);
  return printed.ok ? ok(printed.value.mm - wanted) : printed;
}
