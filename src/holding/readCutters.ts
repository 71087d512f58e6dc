/** Text of a cutter drawer (`*.cutters.json`) -> the cutters in mm. Everything wrong with it is reported at once. */
import { findHostile, parseJson, sayZodIssue, type DocumentKind } from '../job/documents.ts';
import { show, type Units } from '../job/quantity.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import { cutterSchema, type CutterDrawer } from './cutterFile.ts';

const cutterKind: DocumentKind = { code: 'cutter-file', name: 'cutter file', fileName: 'cutter file', longest: 1_000_000, deepest: 10, start: 'It starts with "coverwrightCutters": 1.' };

export function readCutters(text: string): Result<CutterDrawer> {
  const parsed = parseJson(text, cutterKind);
  return parsed.ok ? readCutterDocument(parsed.value) : parsed;
}

export function readCutterDocument(input: unknown): Result<CutterDrawer> {
  const hostile = findHostile(input, cutterKind);
  if (hostile !== null) return refuse(hostile);
  if (typeof input !== 'object' || input === null || Array.isArray(input)) {
    return refuse({ code: 'not-a-cutter-file', at: '', message: `Expected a cutter file: one JSON object, got ${Array.isArray(input) ? 'a list' : show(input)}.`, hint: 'It starts with "coverwrightCutters": 1.' });
  }
  const units: Units = (input as { readonly units?: unknown }).units === 'inch' ? 'inch' : 'mm';
  const schema = cutterSchema(units);
  const read = schema.safeParse(input);
  if (!read.success) return refuse(...read.error.issues.flatMap((found) => sayZodIssue(found, schema, input)));
  const issues = read.data.cutters.flatMap(cutterIssues);
  return issues.length > 0 ? refuse(...issues) : ok(read.data);
}

/** What the figures of one cutter cannot mean. */
function cutterIssues({ name, kind, diameter, cornerRadius, thread }: CutterDrawer['cutters'][number], i: number): Issue[] {
  const issues: Issue[] = [];
  if (cornerRadius > diameter / 2) issues.push({ code: 'corner-too-large', at: `cutters[${i}].cornerRadius`, message: `${name}: a corner of R${cornerRadius} is more than half of ${diameter} mm.`, hint: 'A ball is kind "ball"; otherwise correct the radius.' });
  if (kind === 'tap' && thread === undefined) issues.push({ code: 'tap-without-thread', at: `cutters[${i}].thread`, message: `${name}: a tap without a thread.`, hint: 'Add "thread": "M5" or what it cuts.' });
  if (kind === 'bull-nose' && cornerRadius === 0) issues.push({ code: 'bull-nose-sharp', at: `cutters[${i}].cornerRadius`, message: `${name}: a bull-nose cutter without a corner radius.`, hint: 'Add its corner radius, or call it an end mill.' });
  return issues;
}
