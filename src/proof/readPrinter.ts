/**
 * Text of a printer file (`*.printer.json`) -> the document as typed, kept untouched, its readings in mm and the profile
 * they give. Everything wrong with the document is reported at once, each with its path and the nearest known name.
 */
import type { z } from 'zod';
import { show, type Units } from '../job/quantity.ts';
import { nearest } from '../job/read.ts';
import { bare, sayPath, schemaAt, type Path } from '../job/shape.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
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

/** Characters: a calibration has some dozens of readings. */
export const longestPrinterText = 1_000_000;
/** A printer file nests three deep. */
const deepest = 10;

const issue = (code: string, at: string, message: string, hint: string): Issue => ({ code, at, message, hint });

/** Reads a printer file. Refuses with every problem found. */
export function readPrinterProfile(text: string): Result<PrinterFile> {
  const parsed = parse(text);
  return parsed.ok ? readPrinterDocument(parsed.value) : parsed;
}

/** Reads a printer file already parsed from JSON, or built in code. */
export function readPrinterDocument(input: unknown): Result<PrinterFile> {
  if (typeof input !== 'object' || input === null || Array.isArray(input)) {
    return refuse(issue('not-a-printer-file', '', `Expected a printer file: one JSON object, got ${Array.isArray(input) ? 'a list' : show(input)}.`, 'It starts with "coverwrightPrinter": 1.'));
  }
  if (depthOf(input) > deepest) return refuse(issue('printer-file-too-deep', '', `The printer file nests more than ${deepest} deep.`, 'It nests three deep; remove what does not belong.'));
  const units: Units = (input as { readonly units?: unknown }).units === 'inch' ? 'inch' : 'mm';
  const schema = printerSchema(units);
  const read = schema.safeParse(input);
  if (!read.success) return refuse(...read.error.issues.flatMap((found) => sayFound(found, schema, input)));
  const profile = calibratePrinter(read.data);
  return profile.ok ? ok({ document: input as PrinterDocument, readings: read.data, profile: profile.value }) : profile;
}

function parse(text: string): Result<unknown> {
  if (text.length > longestPrinterText) return refuse(issue('printer-file-too-large', '', `Expected a printer file of at most ${longestPrinterText / 1e6} MB, got ${(text.length / 1e6).toFixed(1)} MB.`, 'Is this the right file?'));
  const clean = text.charCodeAt(0) === 0xfeff ? text.slice(1) : text;
  if (clean.trim() === '') return refuse(issue('printer-file-empty', '', 'The printer file is empty.', 'Is this the right file?'));
  try {
    return ok(JSON.parse(clean) as unknown);
  } catch {
    return refuse(issue('printer-file-not-json', '', 'The printer file is not JSON.', 'Is it cut short, or a comma or quote missing?'));
  }
}

/** How deep lists and objects nest; iterative, and stops counting once it is too deep. */
function depthOf(input: object): number {
  let level: unknown[] = [input];
  let depth = 0;
  while (level.length > 0 && depth <= deepest) {
    level = level.flatMap((value) => (typeof value === 'object' && value !== null ? Object.values(value as object) : [])).filter((value) => typeof value === 'object' && value !== null);
    depth++;
  }
  return depth;
}

function sayFound(found: z.core.$ZodIssue, schema: z.core.$ZodType, document: unknown): Issue[] {
  const inside = schemaAt(schema, found.path as Path);
  if (found.code === 'unrecognized_keys') {
    const names = inside.found === null ? null : schemaAt(inside.found, [' ']);
    const known = names === null || names.found !== null ? [] : names.known.filter((name) => name !== '$schema');
    return found.keys.map((key) => {
      const near = nearest(key, known);
      return issue('unknown-name', sayPath([...found.path, key]), `"${key.slice(0, 60)}" is not a name used here.`, near ? `Did you mean ${near}?` : `Known here: ${known.join(', ')}.`);
    });
  }
  const at = sayPath(found.path);
  const typed = found.path.reduce<unknown>((value, step) => (typeof value === 'object' && value !== null ? (value as Record<PropertyKey, unknown>)[step] : undefined), document);
  if (typed === undefined && found.code !== 'custom') {
    const label = inside.found === null ? undefined : bare(inside.found).meta?.label;
    return [issue('missing', at, `${label ?? at} is missing.`, 'Add it.')];
  }
  const hint = found.code === 'custom' && typeof found.params?.['hint'] === 'string' ? found.params['hint'] : '';
  const got = found.code === 'custom' ? '' : ` Got ${show(typed)}.`;
  return [issue(found.code === 'custom' ? 'bad-value' : found.code.replaceAll('_', '-'), at, `${found.message}${got}`, hint || 'Correct it.')];
}
