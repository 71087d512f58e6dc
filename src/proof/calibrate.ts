/**
 * Readings of a calibration print -> PrintProfile. mm and degrees.
 *
 * Method: weighted least squares of printed = factor x drawn + growth, one line per axis, for holes and for shafts;
 * standard errors from the stated reading errors, widened when the readings scatter more than those allow (chi-square).
 * Skew from two diagonals of a parallelogram with sides A, B: rising^2 - falling^2 = 4 A B sin(skew); what both diagonals
 * have in common (rounded corners, flare) all but drops out. Stops being true where shrinkage is not linear (warped or
 * long thin prints), and for another material, layer height or place on the bed.
 */
import { leastSquares } from '../maths/dense.ts';
import { chiSquareTail } from '../maths/tails.ts';
import { tolerance } from '../maths/tolerance.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import type { PrintLine, PrintProfile } from './profile.ts';
import type { PrinterReadings } from './printerFile.ts';
import { printAxes } from './printSize.ts';

/** One size, drawn and measured, mm; `error` one sigma. */
interface Reading {
  readonly at: string;
  readonly drawn: number;
  readonly measured: number;
  readonly error: number;
}

const say = (mm: number): string => String(Number(mm.toFixed(3)));
const degreesPerRadian = 180 / Math.PI;

/** Everything that can be known of the printer from these readings, or every reason why not. */
export function calibratePrinter(readings: PrinterReadings): Result<PrintProfile> {
  const issues: Issue[] = [];
  const notes: string[] = [];
  const bars = printAxes.map((axis) => takeSizes(readings.bars, 'bars', readings.readingError).filter((_, i) => readings.bars[i]!.axis === axis));
  const [x, y, z] = printAxes.map((axis, i) => lineThrough(bars[i]!, `${axis.toUpperCase()} bars`, axis === 'z', issues, notes)) as [PrintLine | null, PrintLine | null, PrintLine | null];
  const hole = lineThrough(takeSizes(readings.holes, 'holes', readings.readingError), 'holes', true, issues, notes);
  const shaft = lineThrough(takeSizes(readings.shafts, 'shafts', readings.readingError), 'shafts', true, issues, notes);
  const flare = flareOf(readings, issues, notes);
  const skew = skewOf(readings, x, y, issues);
  if (issues.length > 0) return refuse(...issues);
  if (x === null || y === null) throw new Error('calibratePrinter: an axis without a line was not refused');
  if (z === null) notes.push('Nothing was measured along Z; heights are drawn as they are.');
  return ok({ printOnly: true, printer: readings.printer, material: readings.material, axes: { x, y, z }, hole, shaft, skew, flare, readingError: readings.readingError, notes });
}

const takeSizes = (sizes: readonly { readonly drawn: number; readonly measured: number; readonly error?: number | undefined }[], name: string, usual: number): Reading[] =>
  sizes.map(({ drawn, measured, error }, i) => ({ at: `${name}[${i}]`, drawn, measured, error: error ?? usual }));

/** A printed size that differs from the drawn one by more than any printer does. */
function slipIn({ at, drawn, measured, error }: Reading): Issue | null {
  if (![drawn, measured, error].every((value) => Number.isFinite(value) && value > 0)) {
    return { code: 'print-reading-unusable', at, message: `Expected a drawn size, a measured size and an error above 0 mm, got ${drawn}, ${measured}, ${error}.`, hint: 'Type the reading again.' };
  }
  const most = tolerance.printSlip + tolerance.printSlipShare * drawn;
  if (Math.abs(measured - drawn) <= most) return null;
  return { code: 'print-reading-slip', at, message: `Drawn ${say(drawn)} mm, measured ${say(measured)} mm; a print comes within ${say(most)} mm of what is drawn.`, hint: 'Check the figure, its unit and which piece it was read on.' };
}

/** The line through some readings; null when there are none (and may be none) or they are refused. */
function lineThrough(readings: readonly Reading[], name: string, optional: boolean, issues: Issue[], notes: string[]): PrintLine | null {
  const slips = readings.map(slipIn).filter((slip) => slip !== null);
  issues.push(...slips);
  if (slips.length > 0) return null;
  if (readings.length === 0) {
    if (!optional) issues.push({ code: 'print-axis-missing', at: 'bars', message: `Expected measured ${name}, got none.`, hint: 'Print and measure two bars along that axis, one short and one as long as the bed allows.' });
    return null;
  }
  const at = readings[0]!.at.replace(/\[.*/, '');
  const from = Math.min(...readings.map((r) => r.drawn));
  const to = Math.max(...readings.map((r) => r.drawn));
  const apart = tolerance.barsApart * Math.max(...readings.map((r) => r.error));
  if (to - from < apart) {
    issues.push({ code: 'print-one-size', at, message: `The ${name} are drawn ${from === to ? `${say(from)} mm only` : `${say(from)} to ${say(to)} mm`}: scale and edge growth cannot be told apart.`, hint: `Add another size at least ${say(apart)} mm away; for scale the longest that fits.` });
    return null;
  }
  return fitLine(readings, name, { from, to }, notes);
}

function fitLine(readings: readonly Reading[], name: string, range: { readonly from: number; readonly to: number }, notes: string[]): PrintLine {
  const weights = readings.map((r) => r.error ** -2);
  const fit = leastSquares(readings.map((r) => [r.drawn, 1]), readings.map((r) => r.measured), weights);
  const scatter = fit.freedom > 0 ? Math.sqrt(fit.squares / fit.freedom) : null;
  const wide = scatter !== null && chiSquareTail(fit.squares, fit.freedom) < tolerance.printScatter;
  if (wide) {
    const misses = fit.residuals.map((r, i) => Math.abs(r) / readings[i]!.error);
    const worst = misses.indexOf(Math.max(...misses));
    notes.push(`The ${name} scatter ${say(scatter)} times their stated error and the errors are widened by that; ${readings[worst]!.at} misses most, by ${say(fit.residuals[worst]!)} mm. Read it again.`);
  }
  const variance = wide ? scatter ** 2 : 1;
  const [ff, fo] = fit.spread[0]!;
  return {
    factor: fit.coefficients[0]!,
    growth: fit.coefficients[1]!,
    factorError: Math.sqrt(variance * ff!),
    growthError: Math.sqrt(variance * fit.spread[1]![1]!),
    shared: variance * fo!,
    ...range,
    readings: readings.length,
    scatter,
  };
}

/** Weighted mean and its standard error. */
function meanOf(values: readonly number[], errors: readonly number[]): { readonly mean: number; readonly error: number } {
  const fit = leastSquares(values.map(() => [1]), values, errors.map((error) => error ** -2));
  return { mean: fit.coefficients[0]!, error: Math.sqrt(fit.spread[0]![0]!) };
}

function flareOf(readings: PrinterReadings, issues: Issue[], notes: string[]): PrintProfile['flare'] {
  const pairs = readings.flares.map(({ atBed, above, error }, i): Reading => ({ at: `flares[${i}]`, drawn: above, measured: atBed, error: error ?? readings.readingError }));
  const slips = pairs.map(slipIn).filter((slip) => slip !== null);
  issues.push(...slips);
  if (pairs.length === 0 || slips.length > 0) return null;
  const { mean, error } = meanOf(pairs.map((p) => p.measured - p.drawn), pairs.map((p) => p.error * Math.SQRT2));
  if (mean < -2 * error) notes.push(`The first layer is ${say(-mean)} mm smaller than the rest; it is not relieved further. Is the nozzle too far from the bed?`);
  return { mm: mean, error };
}

function skewOf(readings: PrinterReadings, x: PrintLine | null, y: PrintLine | null, issues: Issue[]): PrintProfile['skew'] {
  const slips = readings.rectangles.flatMap((r, i) =>
    (['rising', 'falling'] as const).flatMap((which) => slipIn({ at: `rectangles[${i}].${which}`, drawn: Math.hypot(r.x, r.y), measured: r[which], error: r.error ?? readings.readingError }) ?? []),
  );
  issues.push(...slips);
  if (readings.rectangles.length === 0 || slips.length > 0 || x === null || y === null) return null;
  const each = readings.rectangles.flatMap((r, i) => {
    const area = 4 * (x.factor * r.x + x.growth) * (y.factor * r.y + y.growth);
    const sine = (r.rising ** 2 - r.falling ** 2) / area;
    if (Math.abs(sine) > tolerance.printSkew) {
      issues.push({ code: 'print-skew-slip', at: `rectangles[${i}]`, message: `Diagonals of ${say(r.rising)} and ${say(r.falling)} mm cannot both belong to a rectangle of ${say(r.x)} x ${say(r.y)} mm: they would put it ${say(Math.asin(Math.min(1, Math.abs(sine))) * degreesPerRadian)} degrees out of square.`, hint: 'Measure both diagonals again, over the same kind of corner.' });
      return [];
    }
    const cosine = Math.sqrt(1 - sine ** 2);
    return [{ angle: Math.asin(sine), error: (2 * (r.error ?? readings.readingError) * Math.hypot(r.rising, r.falling)) / area / cosine }];
  });
  if (each.length === 0) return null;
  const { mean, error } = meanOf(each.map((e) => e.angle), each.map((e) => e.error));
  return { degrees: mean * degreesPerRadian, error: error * degreesPerRadian };
}

