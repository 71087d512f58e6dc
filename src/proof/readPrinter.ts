/**
 * Text of a printer file (`*.printer.json`) -> the document as typed, kept untouched, its readings in mm and the profile
 * they give. Everything wrong with the document is reported at once, each with its path and the nearest known name.
 */
import { show, type Units } from '../job/quantity.ts';
import { findHostile, parseJson, sayZodIssue, type DocumentKind } from '../job/documents.ts';
import { ok, refuse, type Result } from '../result.ts';
import { calibratePrinter } from './calibrate.ts';
import { printerSchema, type PrinterDocument, type PrinterReadings } from './printerFile.ts';
import type { PrintProfile } from './profile.ts';

export interface PrinterFile {
  /** What was typed, as it stands in the file. Saved again exactly so. */
  readonly document: PrinterDocument;
  /** What it means, mm. */
  readonly readings: PrinterReadings;
  readonly profile: PrintProfile;
}

/** A calibration has some dozens of readings and nests three deep. */
const printerKind: DocumentKind = { code: 'printer-file', name: 'printer file', fileName: 'printer file', longest: 1_000_000, deepest: 10, start: 'Is this the right file?' };

/** Reads a printer file. Refuses with every problem found. */
export function readPrinterProfile(text: string): Result<PrinterFile> {
  const parsed = parseJson(text, printerKind);
  return parsed.ok ? readPrinterDocument(parsed.value) : parsed;
}

/** Reads a printer file already parsed from JSON, or built in code. */
export function readPrinterDocument(input: unknown): Result<PrinterFile> {
  const hostile = findHostile(input, printerKind);
  if (hostile !== null) return refuse(hostile);
  if (typeof input !== 'object' || input === null || Array.isArray(input)) {
    return refuse({ code: 'not-a-printer-file', at: '', message: `Expected a printer file: one JSON object, got ${Array.isArray(input) ? 'a list' : show(input)}.`, hint: 'It starts with "coverwrightPrinter": 1.' });
  }
  const units: Units = (input as { readonly units?: unknown }).units === 'inch' ? 'inch' : 'mm';
  const schema = printerSchema(units);
  const read = schema.safeParse(input);
  if (!read.success) return refuse(...read.error.issues.flatMap((found) => sayZodIssue(found, schema, input)));
  const profile = calibratePrinter(read.data);
  return profile.ok ? ok({ document: input as PrinterDocument, readings: read.data, profile: profile.value }) : profile;
}
