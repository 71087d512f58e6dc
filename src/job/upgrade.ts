/**
 * Documents of older versions -> today's. One step per version, each from one version to the next, so that a file of any
 * age walks the whole way. A step never drops what it does not know: the schema names it afterwards.
 */
import { ok, refuse, type Result } from '../result.ts';
import { show } from './quantity.ts';
import { jobVersion } from './schema.ts';

type Document = Readonly<Record<string, unknown>>;

/** `steps[n]` turns version n into version n + 1. */
const steps: Readonly<Record<number, (document: Document) => Document>> = {
  // 0: drafts written before files carried a version: the readings stood at the top as `points`, the error as `error`.
  0: ({ points, error, ...rest }) => ({
    ...rest,
    coverwright: 1,
    ...(points === undefined && error === undefined
      ? {}
      : { trace: { ...(rest['trace'] as object | undefined), ...(points === undefined ? {} : { points }), ...(error === undefined ? {} : { readingError: error }) } }),
  }),
};

/** Brings a document up to `jobVersion`. Refuses a newer one, and one that does not say. */
export function upgradeDocument(document: Document): Result<Document> {
  const version = document['coverwright'];
  if (version === undefined) {
    return refuse({ code: 'version-missing', at: 'coverwright', message: 'This JSON does not say that it is a job.', hint: `Add "coverwright": ${jobVersion}.` });
  }
  if (typeof version !== 'number' || !Number.isInteger(version) || version < 0) {
    return refuse({ code: 'version-not-understood', at: 'coverwright', message: `Expected the job version, a whole number up to ${jobVersion}, got ${show(version)}.`, hint: `Write "coverwright": ${jobVersion}.` });
  }
  if (version > jobVersion) {
    return refuse({ code: 'version-too-new', at: 'coverwright', message: `This job is version ${version}; this program reads up to ${jobVersion}.`, hint: 'Open it with a newer coverwright.' });
  }
  let current = document;
  for (let at = version; at < jobVersion; at += 1) {
    const step = steps[at];
    if (step === undefined) throw new Error(`no upgrade step from version ${at}`);
    current = step(current);
  }
  return ok(current);
}
