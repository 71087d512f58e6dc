/**
 * Text of a job file -> JobFile: the document as typed, kept untouched, and the job in mm and degrees.
 * Everything wrong with a document is reported at once, each with its path and the nearest known name.
 */
import { distance } from 'fastest-levenshtein';
import type { z } from 'zod';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import { show, type Units } from './quantity.ts';
import { jobSchema, type Job, type JobDocument } from './schema.ts';
import { readPath, sayPath, schemaAt, bare, itemOf, type Path } from './shape.ts';
import { upgradeDocument } from './upgrade.ts';

export interface JobFile {
  /** What the person typed, as it stands in the file. Saved again exactly so. */
  readonly document: JobDocument;
  /** What it means. */
  readonly job: Job;
}

/** Characters. 200 000 readings with notes fit in a tenth of this; anything longer is not a job. */
export const longestJobText = 50_000_000;
/** A job nests about six deep. */
const deepest = 40;
const forbiddenKeys = new Set(['__proto__', 'constructor', 'prototype']);

const issue = (code: string, at: string, message: string, hint: string): Issue => ({ code, at, message, hint });

/** Reads a job file. Refuses with every problem found. */
export function readJob(text: string): Result<JobFile> {
  const parsed = parseJson(text);
  return parsed.ok ? readDocument(parsed.value) : parsed;
}

/** Reads a job already parsed from JSON, or built in code. */
export function readDocument(input: unknown): Result<JobFile> {
  const hostile = findHostile(input);
  if (hostile) return refuse(hostile);
  if (typeof input !== 'object' || input === null || Array.isArray(input)) {
    return refuse(issue('not-a-job', '', `Expected a job: one JSON object, got ${show(input)}.`, 'Start one with the verb "new".'));
  }
  const upgraded = upgradeDocument(input as Record<string, unknown>);
  if (!upgraded.ok) return upgraded;
  const document = upgraded.value;
  const units: Units = document['units'] === 'inch' ? 'inch' : 'mm';
  const schema = jobSchema(units);
  const read = schema.safeParse(document);
  if (!read.success) return refuse(...read.error.issues.flatMap((found) => sayZodIssue(found, schema, document)));
  return ok({ document: document as JobDocument, job: read.data });
}

/**
 * A copy of `document` with `typed` standing at `path` (`body.wall`, `tabs[2].reach`). An index one past the end of a list
 * appends. The value is checked when the document is next read, not here; an unknown path is refused here.
 */
export function setInDocument(document: JobDocument, path: string, typed: unknown): Result<JobDocument> {
  const steps = readPath(path);
  if (steps === null) return refuse(issue('not-a-path', path, `${show(path)} is not a path into a job.`, 'Write it like body.wall or tabs[2].reach.'));
  const schema = jobSchema(document.units === 'inch' ? 'inch' : 'mm');
  const at = schemaAt(schema, steps);
  if (at.found === null) return refuse(unknownName(steps, at.depth, at.known));
  return place(document, steps, typed, []) as Result<JobDocument>;
}

/** What text on a command line means for the field at `path`: a number or flag where the field is one, else the text itself. */
export function typedFor(document: JobDocument, path: string, text: string): unknown {
  const steps = readPath(path);
  const at = steps && schemaAt(jobSchema(document.units === 'inch' ? 'inch' : 'mm'), steps);
  if (!at || at.found === null) return text;
  const kind = bare(at.found).meta?.kind;
  if (kind === 'text' || kind === 'choice') return text;
  try {
    return JSON.parse(text) as unknown;
  } catch {
    return text;
  }
}

function place(value: unknown, steps: Path, typed: unknown, done: Path): Result<unknown> {
  const [step, ...rest] = steps;
  if (step === undefined) return ok(typed);
  const here = sayPath([...done, step]);
  if (typeof step === 'number') {
    const list = Array.isArray(value) ? (value as readonly unknown[]) : [];
    if (step > list.length) {
      return refuse(issue('no-such-item', here, `There are ${list.length}; ${here} is not the next one.`, `Use ${sayPath([...done, list.length])} to add one.`));
    }
    const inner = place(list[step] ?? {}, rest, typed, [...done, step]);
    return inner.ok ? ok([...list.slice(0, step), inner.value, ...list.slice(step + 1)]) : inner;
  }
  const record = typeof value === 'object' && value !== null && !Array.isArray(value) ? (value as Readonly<Record<string, unknown>>) : {};
  const inner = place(record[step], rest, typed, [...done, step]);
  return inner.ok ? ok({ ...record, [step]: inner.value }) : inner;
}

function parseJson(text: string): Result<unknown> {
  if (text.length > longestJobText) {
    return refuse(issue('job-too-large', '', `Expected a job of at most ${longestJobText / 1e6} MB, got ${(text.length / 1e6).toFixed(0)} MB.`, 'Is this the right file?'));
  }
  const clean = text.charCodeAt(0) === 0xfeff ? text.slice(1) : text;
  if (clean.trim() === '') return refuse(issue('job-empty', '', 'The job file is empty.', 'Start one with the verb "new".'));
  try {
    return ok(JSON.parse(clean) as unknown);
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error);
    return refuse(issue('job-not-json', sayPlace(clean, message), `This is not JSON: ${sayJsonError(message)}.`, 'Is the file cut short, or a comma or quote missing near there?'));
  }
}

/** V8 gives a character position; people have lines. */
function sayPlace(text: string, message: string): string {
  const position = /position (\d+)/.exec(message)?.[1];
  const before = /end of JSON/i.test(message) ? text : position === undefined ? null : text.slice(0, Number(position));
  if (before === null) return '';
  const lines = before.split('\n');
  return `line ${lines.length}, column ${(lines.at(-1)?.length ?? 0) + 1}`;
}

const sayJsonError = (message: string): string =>
  message
    .replace(/,? ?"?\.{3}[\s\S]*$/, '')
    .replace(/ (in JSON )?at position[\s\S]*$/, '')
    .replace(/Unexpected end of JSON input/, 'the text ends before the job does')
    .replace(/^(Une|E)xpected/, (word) => word.toLowerCase())
    .replace(/,? ?"[\s\S]*is not valid JSON$/, '');

/** Keys that would reach into the language, or nesting no job has. Iterative, so that depth itself cannot hurt. */
function findHostile(input: unknown): Issue | null {
  const stack: { readonly value: unknown; readonly path: Path }[] = [{ value: input, path: [] }];
  for (let top = stack.pop(); top !== undefined; top = stack.pop()) {
    const { value, path } = top;
    if (typeof value !== 'object' || value === null) continue;
    if (path.length > deepest) {
      return issue('job-too-deep', sayPath(path.slice(0, 4)), `The job nests more than ${deepest} deep there.`, 'A job nests about six deep; remove what does not belong.');
    }
    const entries: Iterable<readonly [Path[number], unknown]> = Array.isArray(value) ? value.entries() : Object.entries(value);
    for (const [key, inner] of entries) {
      if (typeof key === 'string' && forbiddenKeys.has(key)) {
        return issue('forbidden-name', sayPath([...path, key]), `The name "${key}" may not stand in a job.`, 'Remove it.');
      }
      if (typeof inner === 'object' && inner !== null) stack.push({ value: inner, path: [...path, key] });
    }
  }
  return null;
}

function unknownName(path: readonly PropertyKey[], depth: number, known: readonly string[]): Issue {
  const name = String(path[depth]);
  const near = nearest(name, known);
  return issue(
    'unknown-name',
    sayPath(path.slice(0, depth + 1)),
    `"${name.slice(0, 60)}" is not a name used here.`,
    near ? `Did you mean ${near}?` : known.length > 0 ? `Known here: ${known.filter((k) => k !== '$schema').join(', ')}.` : 'Remove it.',
  );
}

/** The known name closest to what was typed, or null when none is close. */
export function nearest(name: string, known: readonly string[]): string | null {
  const wanted = name.toLowerCase();
  let best: { readonly name: string; readonly far: number } | null = null;
  for (const candidate of known) {
    const far = distance(wanted, candidate.toLowerCase());
    if (best === null || far < best.far) best = { name: candidate, far };
  }
  return best !== null && best.far <= Math.max(2, Math.floor(wanted.length / 3)) ? best.name : null;
}

function sayZodIssue(found: z.core.$ZodIssue, schema: z.core.$ZodType, document: unknown): Issue[] {
  const at = sayPath(found.path);
  if (found.code === 'unrecognized_keys') {
    const inside = schemaAt(schema, found.path as Path);
    return found.keys.map((key) => {
      const path = [...found.path, key];
      if (inside.found === null) return unknownName(path, path.length - 1, []);
      const names = schemaAt(inside.found, [' ']);
      return unknownName(path, path.length - 1, names.found === null ? names.known : []);
    });
  }
  const typed = valueAt(document, found.path);
  if ((found.code === 'invalid_type' || found.code === 'invalid_union') && typed === undefined) {
    const label = labelAt(schema, found.path);
    return [issue('missing', at, `${label ? `${label} is` : 'This is'} missing.`, 'Add it.')];
  }
  const hint = found.code === 'custom' && typeof found.params?.['hint'] === 'string' ? found.params['hint'] : '';
  const got = found.code === 'custom' || typed === undefined ? '' : ` Got ${show(typed)}.`;
  const near = found.code === 'invalid_value' && typeof typed === 'string' ? nearest(typed, found.values.map(String)) : null;
  return [issue(found.code === 'custom' ? 'bad-value' : found.code.replaceAll('_', '-'), at, `${found.message}${got}`, near ? `Did you mean ${near}?` : hint || 'Correct it.')];
}

function labelAt(schema: z.core.$ZodType, path: readonly PropertyKey[]): string | undefined {
  const at = schemaAt(schema, path as Path);
  if (at.found === null) return undefined;
  return bare(at.found).meta?.label ?? (itemOf(at.found) ? 'The list' : undefined);
}

function valueAt(value: unknown, path: readonly PropertyKey[]): unknown {
  return path.reduce<unknown>((inner, step) => (typeof inner === 'object' && inner !== null ? (inner as Record<PropertyKey, unknown>)[step] : undefined), value);
}
