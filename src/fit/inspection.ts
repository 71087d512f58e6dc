/**
 * A first-article sheet as filled in -> every reading with its verdict, the place of each hole in the datum frame and
 * after the best move of the whole pattern, and the offsets `diagnose` takes: those are the machine's, not the design's.
 * mm; part frame. The place of a hole is off by 2 sqrt(dx2 + dy2), a diameter like its tolerance (ASME Y14.5).
 */
import { byLine, readSheet, sayLine, unknownSettings, type Sheet } from '../holes/sheet.ts';
import { readLength, type Units } from '../job/quantity.ts';
import type { JobDocument } from '../job/schema.ts';
import { readDocument, type JobFile } from '../job/read.ts';
import { place, similarityFit } from '../maths/similarity.ts';
import { radiansToDegrees } from '../maths/angle.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2 } from '../maths/vec.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import type { SolidPlan } from '../solid/plan.ts';
import { characteristicsOf, type Characteristic } from './firstArticle.ts';

export type Verdict = 'in' | 'out' | 'not measured';

export interface Inspected {
  readonly characteristic: Characteristic;
  /** mm, or for a thread 1 for passed and 0 for not; null where nothing was typed. */
  readonly measured: number | null;
  /** Measured less nominal, mm; null for a thread and where nothing was typed. */
  readonly off: number | null;
  /** A place is judged by its circle, X and Y together. */
  readonly verdict: Verdict;
}

export interface HolePlace {
  readonly hole: string;
  readonly nominal: Vec2;
  readonly measured: Vec2;
  /** 2 sqrt(dx2 + dy2) in the datum frame. */
  readonly position: number;
  /** The same after the pattern as a whole is moved to fit best. */
  readonly bestFit: number;
  /** Diameter of the circle it has to lie in. */
  readonly allowed: number;
}

export interface Inspection {
  readonly rows: readonly Inspected[];
  readonly places: readonly HolePlace[];
  /** The move of the whole pattern that fits best, measured less nominal; null with fewer than two places. */
  readonly move: { readonly shift: Vec2; readonly degrees: number } | null;
  readonly counts: Readonly<Record<Verdict, number>>;
  /** The job with the places kept in it as a test fit of the machined part; null with fewer than two places. */
  readonly file: JobFile | null;
}

/** Whether a sheet is a first article, by its first setting. */
export const isInspection = (text: string): boolean => /^\s*first article\s*:/im.test(text);

const known = ['first article', 'revision', 'units', 'error'];
const columns = ['number', 'feature', 'what', 'nominal', 'least', 'most', 'instrument', 'measured'];

export function readInspection(text: string, file: JobFile, plan: SolidPlan): Result<Inspection> {
  const sheet = readSheet(text);
  if (!sheet.ok) return sheet;
  const issues = unknownSettings(sheet.value, known);
  const setting = (name: string): string | undefined => sheet.value.settings.findLast((one) => one.name === name)?.value;
  const { job } = file;
  if (setting('first article') !== job.partNumber) issues.push({ code: 'other-part', at: 'first article', message: `This sheet is of part ${setting('first article') || '(none named)'}; the job is ${job.partNumber}.`, hint: 'Take the sheet that was made with this job.' });
  if (setting('revision') !== job.revision) issues.push({ code: 'other-revision', at: 'revision', message: `This sheet is of revision ${setting('revision') || '(none named)'}; the job is at ${job.revision}.`, hint: `Measure a part of ${job.revision}, or use the job as it was at ${setting('revision') || 'that revision'}.` });
  const units = setting('units') === 'inch' ? 'inch' : setting('units') === 'mm' ? 'mm' : null;
  if (units === null) issues.push({ code: 'no-unit', at: 'units', message: `Expected units: mm or units: inch, got ${setting('units') ?? 'nothing'}.`, hint: 'Say what a bare number on this sheet means.' });
  const error = readLength(setting('error') ?? '0.02mm', units ?? 'mm');
  if (!error.ok || !(error.value.mm > 0)) issues.push({ code: 'bad-error', at: 'error', message: `Expected one sigma of a reading above 0, got "${setting('error') ?? ''}".`, hint: 'Write error: 0.02mm.' });
  const read = rowsOf(sheet.value, characteristicsOf(job, plan), units ?? 'mm', issues);
  if (issues.length > 0 || !error.ok) return refuse(...issues);
  const places = placesOf(read, job.bolting.positionTolerance);
  const rows = read.map((row): Inspected => ({ ...row, verdict: verdictOf(row, places) }));
  const kept = places.length < 2 ? null : keep(file, places, error.value.mm);
  if (kept !== null && !kept.ok) return byLine(kept.issues, () => null);
  const count = (verdict: Verdict): number => rows.filter((row) => row.verdict === verdict).length;
  return ok({ rows, places, move: moveOf(places), counts: { in: count('in'), out: count('out'), 'not measured': count('not measured') }, file: kept?.value ?? null });
}

type Read = Omit<Inspected, 'verdict'>;

function rowsOf(sheet: Sheet, wanted: readonly Characteristic[], units: Units, issues: Issue[]): Read[] {
  const [head, ...rows] = sheet.rows;
  const heads = (head?.value ?? []).map((cell) => cell.toLowerCase());
  if (head === undefined || columns.some((name) => !heads.includes(name))) {
    issues.push({ code: 'no-heads', at: head === undefined ? '' : sayLine(head.line), message: `Expected a row that heads the columns: ${columns.join('; ')}.`, hint: 'Fill in the sheet as it was written; keep its first rows.' });
    return [];
  }
  const column = (name: string): number => heads.indexOf(name);
  const typed = new Map<Characteristic, number | null>();
  for (const { line, value } of rows) {
    const [feature, what] = [value[column('feature')] ?? '', value[column('what')] ?? ''];
    const one = wanted.find((other) => other.feature === feature && other.what === what);
    if (one === undefined) {
      issues.push({ code: 'unknown-row', at: sayLine(line), message: `"${`${feature} ${what}`.slice(0, 60)}" is not measured on this part.`, hint: 'The design may have changed since the sheet was made: make a new sheet.' });
      continue;
    }
    if (typed.has(one)) issues.push({ code: 'typed-twice', at: sayLine(line), message: `${feature} ${what} stands on two rows; each reading counts once.`, hint: 'Keep one of the two.' });
    const nominal = one.kind === 'thread' ? null : readLength(value[column('nominal')] ?? '', units);
    if (nominal !== null && (!nominal.ok || Math.abs(nominal.value.mm - one.nominal) > Math.max(tolerance.writtenPlace, nominal.value.impliedError) * 1.01)) {
      issues.push({ code: 'other-nominal', at: sayLine(line), message: `${feature} ${what}: the sheet says ${value[column('nominal')] ?? 'nothing'}, the job ${Number(one.nominal.toFixed(4))} mm.`, hint: 'The design has changed since the sheet was made: make a new sheet.' });
      continue;
    }
    typed.set(one, measuredOf(one, value[column('measured')] ?? '', units, line, issues));
  }
  return wanted.map((characteristic): Read => {
    const measured = typed.get(characteristic) ?? null;
    return { characteristic, measured, off: measured === null || characteristic.kind === 'thread' ? null : measured - characteristic.nominal };
  });
}

/** mm that a first article may be off before a slip of unit or place is likelier than a bad part. */
const slip = 10;

function measuredOf(one: Characteristic, cell: string, units: Units, line: number, issues: Issue[]): number | null {
  if (cell.trim() === '') return null;
  const bad = (code: string, message: string, hint: string): null => {
    issues.push({ code, at: sayLine(line), message: `${one.feature} ${one.what}: ${message}`, hint });
    return null;
  };
  if (one.kind === 'thread') {
    if (/^(?:ok|go|yes|pass(?:ed)?)$/i.test(cell)) return 1;
    return /^(?:no|no go|fail(?:ed)?)$/i.test(cell) ? 0 : bad('bad-thread', `expected ok or no, got "${cell.slice(0, 40)}".`, 'Say whether the gauge passes.');
  }
  const read = readLength(cell, units);
  if (!read.ok) return bad(read.issues[0]!.code, read.issues[0]!.message, read.issues[0]!.hint);
  if (Math.abs(read.value.mm - one.nominal) > slip) return bad('far-off', `${cell} is ${Number((read.value.mm - one.nominal).toFixed(2))} mm from nominal.`, 'Check unit, decimal point and row; a part that far off is scrap without a sheet.');
  return read.value.mm;
}

function placesOf(rows: readonly Read[], allowed: number): HolePlace[] {
  const found = rows.flatMap((row) => {
    if (row.characteristic.kind !== 'place x' || row.measured === null) return [];
    const y = rows.find((other) => other.characteristic.kind === 'place y' && other.characteristic.feature === row.characteristic.feature);
    if (y?.measured == null) return [];
    return [{ hole: row.characteristic.feature, nominal: [row.characteristic.nominal, y.characteristic.nominal] as Vec2, measured: [row.measured, y.measured] as Vec2 }];
  });
  if (found.length === 0) return [];
  const fit = similarityFit(found.map((one) => one.nominal), found.map((one) => one.measured), false);
  return found.map((one) => {
    const off = (from: Vec2): number => 2 * Math.hypot(one.measured[0] - from[0], one.measured[1] - from[1]);
    return { ...one, position: off(one.nominal), bestFit: found.length < 2 ? 0 : off(place(fit, one.nominal)), allowed };
  });
}

function moveOf(places: readonly HolePlace[]): Inspection['move'] {
  if (places.length < 2) return null;
  const { turn, shift } = similarityFit(places.map((one) => one.nominal), places.map((one) => one.measured), false);
  return { shift, degrees: radiansToDegrees(turn) };
}

function verdictOf({ characteristic: one, measured, off }: Read, places: readonly HolePlace[]): Verdict {
  if (measured === null) return 'not measured';
  if (one.kind === 'thread') return measured === 1 ? 'in' : 'out';
  if (one.kind === 'size') return off! >= one.lower - tolerance.point && off! <= one.upper + tolerance.point ? 'in' : 'out';
  const hole = places.find((other) => other.hole === one.feature);
  if (hole === undefined) return 'not measured';
  return hole.position <= hole.allowed + tolerance.point ? 'in' : 'out';
}

/** The places as a test fit of the machined part against the drawing: how far each hole has to move to be right. */
function keep(file: JobFile, places: readonly HolePlace[], error: number): Result<JobFile> {
  const mm = (value: number): string => `${Number(value.toFixed(4))}mm`;
  const fit: NonNullable<JobDocument['testFits']>[number] = {
    on: 'part',
    against: 'drawing',
    revision: file.job.revision,
    readingError: mm(error),
    offsets: places.map(({ hole, nominal, measured }) => ({ hole, dx: mm(nominal[0] - measured[0]), dy: mm(nominal[1] - measured[1]) })),
  };
  return readDocument({ ...file.document, testFits: [...(file.document.testFits ?? []), fit] });
}
