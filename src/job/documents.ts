/**
 * JSON documents that a person may have typed: text -> data, and what a schema finds wrong with it -> sentences with path,
 * cure and the nearest known name. Shared by every file kind of the house.
 */
import { distance } from 'fastest-levenshtein';
import type { z } from 'zod';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import { show } from './quantity.ts';
import { bare, itemOf, sayPath, schemaAt, type Path } from './shape.ts';

/** One kind of document, as messages call it and as deep and long as it may be. */
export interface DocumentKind {
  /** Start of the codes: `job`. */
  readonly code: string;
  readonly name: string;
  readonly fileName: string;
  /** Characters. */
  readonly longest: number;
  readonly deepest: number;
  /** How to start one, for an empty file. */
  readonly start: string;
}

const forbiddenKeys = new Set(['__proto__', 'constructor', 'prototype']);

const issue = (code: string, at: string, message: string, hint: string): Issue => ({ code, at, message, hint });

/** Text -> what it holds as JSON. */
export function parseJson(text: string, kind: DocumentKind): Result<unknown> {
  if (text.length > kind.longest) {
    return refuse(issue(`${kind.code}-too-large`, '', `Expected a ${kind.name} of at most ${kind.longest / 1e6} MB, got ${(text.length / 1e6).toFixed(0)} MB.`, 'Is this the right file?'));
  }
  const clean = text.charCodeAt(0) === 0xfeff ? text.slice(1) : text;
  if (clean.trim() === '') return refuse(issue(`${kind.code}-empty`, '', `The ${kind.fileName} is empty.`, kind.start));
  try {
    return ok(JSON.parse(clean) as unknown);
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error);
    return refuse(issue(`${kind.code}-not-json`, sayPlace(clean, message), `This is not JSON: ${sayJsonError(message)}.`, 'Is the file cut short, or a comma or quote missing near there?'));
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
    .replace(/Unexpected end of JSON input/, 'the text ends too early')
    .replace(/^(Une|E)xpected/, (word) => word.toLowerCase())
    .replace(/,? ?"[\s\S]*is not valid JSON$/, '');

/** Keys that would reach into the language, or nesting no job has. Iterative, so that depth itself cannot hurt. */
export function findHostile(input: unknown, kind: DocumentKind): Issue | null {
  const stack: { readonly value: unknown; readonly path: Path }[] = [{ value: input, path: [] }];
  for (let top = stack.pop(); top !== undefined; top = stack.pop()) {
    const { value, path } = top;
    if (typeof value !== 'object' || value === null) continue;
    if (path.length > kind.deepest) {
      return issue(`${kind.code}-too-deep`, sayPath(path.slice(0, 4)), `The ${kind.fileName} nests more than ${kind.deepest} deep there.`, 'Remove what does not belong.');
    }
    const entries: Iterable<readonly [Path[number], unknown]> = Array.isArray(value) ? value.entries() : Object.entries(value);
    for (const [key, inner] of entries) {
      if (typeof key === 'string' && forbiddenKeys.has(key)) {
        return issue('forbidden-name', sayPath([...path, key]), `The name "${key}" may not stand in a ${kind.name}.`, 'Remove it.');
      }
      if (typeof inner === 'object' && inner !== null) stack.push({ value: inner, path: [...path, key] });
    }
  }
  return null;
}

export function unknownName(path: readonly PropertyKey[], depth: number, known: readonly string[]): Issue {
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

/** What the schema found wrong, in sentences, with the nearest known name. */
export function sayZodIssue(found: z.core.$ZodIssue, schema: z.core.$ZodType, document: unknown): Issue[] {
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
  if (found.code !== 'custom' && typed === undefined) {
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
