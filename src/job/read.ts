/**
 * Text of a job file -> JobFile: the document as typed, kept untouched, and the job in mm and degrees.
 * Everything wrong with a document is reported at once, each with its path and the nearest known name.
 */
import { ok, refuse, type Issue, type Result } from '../result.ts';
import { show, type Units } from './quantity.ts';
import { jobSchema, type Job, type JobDocument } from './schema.ts';
import { findHostile, parseJson, sayZodIssue, unknownName, type DocumentKind } from './documents.ts';
import { readPath, sayPath, schemaAt, bare, type Path } from './shape.ts';
import { upgradeDocument } from './upgrade.ts';

export interface JobFile {
  /** What the person typed, as it stands in the file. Saved again exactly so. */
  readonly document: JobDocument;
  /** What it means. */
  readonly job: Job;
}

/** 200 000 readings with notes fit in a tenth of this length; a job nests about six deep. */
const jobKind: DocumentKind = { code: 'job', name: 'job', fileName: 'job file', longest: 50_000_000, deepest: 40, start: 'Start one with the verb "new".' };

const issue = (code: string, at: string, message: string, hint: string): Issue => ({ code, at, message, hint });

/** Reads a job file. Refuses with every problem found. */
export function readJob(text: string): Result<JobFile> {
  const parsed = parseJson(text, jobKind);
  return parsed.ok ? readDocument(parsed.value) : parsed;
}

/** Reads a job already parsed from JSON, or built in code. */
export function readDocument(input: unknown): Result<JobFile> {
  const hostile = findHostile(input, jobKind);
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
