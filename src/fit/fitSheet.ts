/**
 * A sheet of offsets -> a test fit as the job keeps it, through the job schema. The first row heads the columns; each other
 * row is one hole, in any of these ways:
 *
 *   hole, dx, dy            T1, 0.3, -0.1
 *   hole, clock, amount     T1, 1.5, 0.3
 *   hole, pin               T1, 4.7
 *
 * Settings, each on a line of its own: `on: print` or `on: part`, `against: drawing`, `revision: A`, `seen from: mating`,
 * `lay: free`, `error: 0.1`, `mating diameter: 5`, `profile:`, `printer:`, `printed on:`, `scale: 0.997; 0.998`,
 * `compensated: yes`, `quarter turn: no`.
 */
import { readDocument, type JobFile } from '../job/read.ts';
import type { JobDocument, TestFit } from '../job/schema.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import { byLine, readSheet, sayLine, unknownSettings, yesNo, type Sheet } from '../holes/sheet.ts';
import type { PrintProfile } from '../proof/profile.ts';
import type { FitContext, OffsetReading } from './offsets.ts';

type TypedFit = NonNullable<JobDocument['testFits']>[number];

export interface FitRead {
  /** The job with the sheet kept in it as its last test fit. */
  readonly file: JobFile;
  readonly fit: TestFit;
}

const settingNames: Readonly<Record<string, string>> = {
  on: 'on',
  against: 'against',
  revision: 'revision',
  'seen from': 'seenFrom',
  lay: 'lay',
  error: 'readingError',
  'mating diameter': 'matingDiameter',
  profile: 'profile',
  printer: 'printer',
  'printed on': 'printedOn',
};
const columnNames = ['hole', 'dx', 'dy', 'clock', 'amount', 'pin', 'error'] as const;

export function readFitSheet(text: string, file: JobFile): Result<FitRead> {
  const sheet = readSheet(text);
  if (!sheet.ok) return sheet;
  const issues = unknownSettings(sheet.value, [...Object.keys(settingNames), 'scale', 'compensated', 'quarter turn']);
  const lines = new Map<string, number>();
  const typed = { ...settingsOf(sheet.value, issues, lines), offsets: offsetsOf(sheet.value, issues, lines) } as unknown as TypedFit;
  if (issues.length > 0) return refuse(...issues);
  const before = file.document.testFits ?? [];
  const read = readDocument({ ...file.document, testFits: [...before, typed] });
  const own = `testFits[${before.length}].`;
  if (!read.ok) return byLine(read.issues, (path) => lines.get(/^\w+(?:\[\d+\])?/.exec(path.startsWith(own) ? path.slice(own.length) : '')?.[0] ?? '') ?? null);
  return ok({ file: read.value, fit: read.value.job.testFits.at(-1)! });
}

function settingsOf(sheet: Sheet, issues: Issue[], lines: Map<string, number>): Record<string, unknown> {
  const out: Record<string, unknown> = {};
  for (const { name, value, line } of sheet.settings) {
    const bad = (expected: string): void => void issues.push({ code: 'bad-setting', at: sayLine(line), message: `Expected ${expected}, got "${value.slice(0, 60)}".`, hint: 'Correct that line.' });
    const key = settingNames[name];
    if (key !== undefined) {
      out[key] = key === 'seenFrom' && /mating/i.test(value) ? 'mating' : ['on', 'against', 'lay', 'seenFrom'].includes(key) ? value.toLowerCase() : value;
      lines.set(key, line);
    } else if (name === 'scale') {
      const cells = value.split(value.includes(';') ? ';' : ',').map((cell) => Number(cell.trim().replace(',', '.')));
      if (cells.length > 2 || cells.some((cell) => !Number.isFinite(cell))) bad('scale: X; Y, near 1');
      else [out['scaleX'], out['scaleY']] = [cells[0], cells[1] ?? cells[0]];
      lines.set('scaleX', line).set('scaleY', line);
    } else if (name === 'compensated' || name === 'quarter turn') {
      const answer = yesNo(value);
      if (answer === null) bad('yes or no');
      else out[name === 'compensated' ? 'compensated' : 'quarterTurn'] = answer;
    }
  }
  return out;
}

function offsetsOf({ rows }: Sheet, issues: Issue[], lines: Map<string, number>): Record<string, unknown>[] {
  const [head, ...rest] = rows;
  const columns = (head?.value ?? []).map((cell) => cell.toLowerCase().replace(/\s+/g, ''));
  if (head === undefined || !columns.includes('hole')) {
    issues.push({ code: 'no-heads', at: head === undefined ? '' : sayLine(head.line), message: 'Expected a first row that heads the columns, with hole among them.', hint: 'Write it like: hole, dx, dy.' });
    return [];
  }
  for (const column of columns) {
    if (!(columnNames as readonly string[]).includes(column)) issues.push({ code: 'unknown-column', at: sayLine(head.line), message: `"${column.slice(0, 40)}" is not a column of this sheet.`, hint: `Known: ${columnNames.join(', ')}.` });
  }
  return rest.map(({ line, value }, i) => {
    lines.set(`offsets[${i}]`, line);
    return Object.fromEntries(columns.flatMap((column, k) => (value[k] === undefined || value[k] === '' ? [] : [[column, column === 'clock' ? clockOf(value[k]) : value[k]]])));
  });
}

/** `1.5` or `1:30` as hours; what is not a time is left for the schema to refuse. */
function clockOf(text: string): unknown {
  const found = /^(\d{1,2}):(\d{2})$/.exec(text);
  const hours = found === null ? Number(text.replace(',', '.')) : Number(found[1]) + Number(found[2]) / 60;
  return Number.isFinite(hours) ? hours : text;
}

/** What `diagnose` takes, from a test fit of the job. The revision it was made from is the present one unless stated. */
export function fitOf(fit: TestFit, current: string): { readonly readings: readonly OffsetReading[]; readonly context: FitContext } {
  const { profile, printer, printedOn, scaleX, scaleY, printSkew, quarterTurn, compensated, matingDiameter } = fit;
  return {
    readings: fit.offsets.map((offset): OffsetReading => {
      const { hole, dx, dy, clock, amount, pin, error } = offset;
      return { hole, ...(dx === undefined ? {} : { dx }), ...(dy === undefined ? {} : { dy }), ...(clock === undefined ? {} : { clock }), ...(amount === undefined ? {} : { amount }), ...(pin === undefined ? {} : { pin }), ...(error === undefined ? {} : { error }) };
    }),
    context: {
      on: fit.on,
      against: fit.against,
      seenFrom: fit.seenFrom,
      lay: fit.lay,
      madeFrom: fit.revision ?? current,
      current,
      readingError: fit.readingError,
      ...(matingDiameter === undefined ? {} : { matingDiameter }),
      ...(profile === undefined ? {} : { print: { profile, printer: printer ?? printedOn ?? '', printedOn: printedOn ?? printer ?? '', scale: [scaleX, scaleY] as const, skew: printSkew, quarterTurn, compensated } }),
    },
  };
}

/** A name as it stands on a sheet: one line, no remark sign, no longer than a field. */
export const sheetText = (text: string): string => text.replaceAll(/[#\r\n]/g, ' ').slice(0, 60).trim();

/**
 * The document with one of its test fits (the last, unless stated) told what a printer's profile says: whose it is, scale and skew. Taken out once, by
 * `diagnose`, and only of a print that was not already drawn for them.
 */
export function withProfile(document: JobDocument, profile: PrintProfile, index = (document.testFits?.length ?? 0) - 1): Result<JobDocument> {
  const fit = document.testFits?.[index];
  if (fit === undefined) return ok(document);
  const issues: Issue[] = [];
  const own = sheetText(profile.printer);
  const other = [fit.printer, fit.printedOn].find((name) => name !== undefined && name !== '' && sheetText(name) !== own);
  if (fit.on === 'part') issues.push({ code: 'two-loops', at: 'printer', message: 'A printer profile has nothing to do with a machined part.', hint: 'Say that it was a print, or leave the printer file out.' });
  if (other !== undefined) issues.push({ code: 'other-printer', at: 'printer', message: `This printer file was measured on ${profile.printer}; the piece was printed on, or drawn for, ${other}.`, hint: `Hand in the printer file of ${other}, or measure one.` });
  if (fit.scaleX !== undefined || fit.scaleY !== undefined) issues.push({ code: 'scale-twice', at: 'scale', message: 'A print scale is stated with the offsets and in the printer file; it is taken out once.', hint: 'Take the scale out of the sheet.' });
  if (issues.length > 0) return refuse(...issues);
  const { x, y } = profile.axes;
  const told = { ...fit, profile: fit.profile ?? sheetText(profile.material || profile.printer), printer: own, printedOn: own, scaleX: x.factor, scaleY: y.factor, ...(profile.skew === null ? {} : { printSkew: profile.skew.degrees }) };
  return ok({ ...document, testFits: document.testFits!.map((one, i) => (i === index ? told : one)) });
}
