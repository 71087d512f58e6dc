/**
 * The printer file, `*.printer.json`: the readings of a calibration print as they were typed, with label, unit, range and
 * help of each. Reading it through `printerSchema(units)` gives millimetres; what was typed stays in the document.
 * The file keeps readings, not results, so that a profile can never disagree with what was measured.
 */
import { z } from 'zod';
import { fieldsIn, type Fields } from '../job/fields.ts';
import type { Units } from '../job/quantity.ts';
import { tolerance } from '../maths/tolerance.ts';
import { printAxes } from './printSize.ts';

/** The version of the printer file written today. */
export const printerFileVersion = 1;

const list = <T extends z.ZodType>(item: T, label: string, help: string) =>
  z.array(item, { error: `${label}: expected a list.` }).max(500, { error: `${label}: expected at most 500.` }).default([]).meta({ label, help });

const size = (f: Fields, label: string, help: string) => f.length({ label, help, least: 0.1, most: 2000, step: 0.01 });
const errorOf = (f: Fields) => f.length({ label: 'Reading error', help: 'One sigma of this reading, where it differs from the rest.', least: 1e-4, most: 5, step: 0.01 });

function buildPrinterSchema(units: Units) {
  const f = fieldsIn(units);
  const pair = {
    drawn: size(f, 'Drawn', 'Size as drawn for the calibration print, before anything was corrected.'),
    measured: size(f, 'Measured', 'What the instrument showed on the print.'),
    error: errorOf(f).optional(),
  };
  const bar = z.strictObject({ axis: f.choice(printAxes, { label: 'Axis', help: 'Axis of the printer the bar lies along.' }), ...pair });
  const round = z.strictObject(pair);
  const rectangle = z.strictObject({
    x: size(f, 'Side along X', 'Drawn side along X.'),
    y: size(f, 'Side along Y', 'Drawn side along Y.'),
    rising: size(f, 'Rising diagonal', 'Measured from the corner at least X and Y to the corner at most X and Y, seen from above.'),
    falling: size(f, 'Falling diagonal', 'Measured across the other two corners.'),
    error: errorOf(f).optional(),
  });
  const flare = z.strictObject({
    atBed: size(f, 'At the bed', 'Outer size measured on the first layer.'),
    above: size(f, 'Above', 'The same outer size measured well above the bed.'),
    error: errorOf(f).optional(),
  });
  return z.strictObject({
    $schema: z.string().max(500).optional(),
    coverwrightPrinter: z.literal(printerFileVersion, { error: `Expected coverwrightPrinter: ${printerFileVersion}.` }),
    printer: f.text({ label: 'Printer', help: 'Name of the printer.', longest: 80 }).min(1, { error: 'Printer: expected a name.' }),
    material: f.text({ label: 'Material', help: 'What was printed, and the settings that matter.', longest: 200 }).default(''),
    note: f.text({ label: 'Note', help: 'Date, instrument, anything to remember.', longest: 2000 }).default(''),
    units: f.choice(['mm', 'inch'], { label: 'Units', help: 'What a number typed without a unit means.' }).default('mm'),
    readingError: f.length({ label: 'Reading error', help: 'One sigma of a reading.', least: 1e-4, most: 5, step: 0.01 }).default(tolerance.readingError),
    bars: list(bar, 'Bars', 'Outside sizes along X, Y and Z: two lengths or more of each, far apart.'),
    holes: list(round, 'Holes', 'Diameters of upright holes, by pin: two sizes or more.'),
    shafts: list(round, 'Shafts', 'Diameters of upright round plugs: two sizes or more.'),
    rectangles: list(rectangle, 'Rectangles', 'Diagonals of a drawn square or rectangle.'),
    flares: list(flare, 'Flares', 'Outer size at the bed and above it.'),
  });
}

const schemas = { mm: buildPrinterSchema('mm'), inch: buildPrinterSchema('inch') } as const;

export const printerSchema = (units: Units): (typeof schemas)['mm'] => schemas[units];

/** Calibration readings in mm. */
export type PrinterReadings = z.output<(typeof schemas)['mm']>;
/** The file as typed. */
export type PrinterDocument = z.input<(typeof schemas)['mm']>;
