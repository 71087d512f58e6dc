/**
 * A job document -> its content hash, its next revision letter, and the same document with an earlier revision frozen in it.
 * The hash is SHA-256 over the document as typed, keys in order, without its frozen revisions and its test fits, which come
 * after the part and are not part of it: two files with one hash make the same part, whatever their layout. Frozen documents are kept whole, so that an old sheet or print can be traced to its inputs.
 */
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import { ok, refuse, type Result } from '../result.ts';
import { readDocument, type JobFile } from './read.ts';
import { revisionLetters, type JobDocument } from './schema.ts';

/** One value that changed: path, as typed before and after (null where nothing stood), and why. */
export interface Change {
  readonly path: string;
  readonly from: number | string | boolean | null;
  readonly to: number | string | boolean | null;
  readonly why: string;
}

/** JSON with the keys of every object in order. */
export function canonical(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(canonical).join(',')}]`;
  if (typeof value !== 'object' || value === null) return JSON.stringify(value) ?? 'null';
  const entries = Object.entries(value).filter(([, inner]) => inner !== undefined);
  return `{${entries.sort(([a], [b]) => (a < b ? -1 : 1)).map(([key, inner]) => `${JSON.stringify(key)}:${canonical(inner)}`).join(',')}}`;
}

export const hashOf = (value: unknown): string => bytesToHex(sha256(utf8ToBytes(canonical(value))));

const contentOf = ({ revisions: _, testFits: __, ...rest }: JobDocument): Omit<JobDocument, 'revisions' | 'testFits'> => rest;

/** SHA-256 of what the document says of the part. */
export const contentHash = (document: JobDocument): string => hashOf(contentOf(document));

/** A, B ... Y, AA, AB ...; null after the last of two letters. */
export function nextRevision(revision: string): string | null {
  const n = revisionLetters.length;
  const places = [...revision].map((letter) => revisionLetters.indexOf(letter));
  if (places.length === 0 || places.length > 2 || places.includes(-1)) return null;
  const next = (places.length === 1 ? places[0]! : n + places[0]! * n + places[1]!) + 1;
  if (next < n) return revisionLetters[next]!;
  const rest = next - n;
  return rest < n * n ? revisionLetters[Math.floor(rest / n)]! + revisionLetters[rest % n]! : null;
}

/** `changed` as the next revision of `document`, which stands frozen in it. */
export function freeze(document: JobDocument, changed: JobDocument, changes: readonly Change[], why: string, evidence?: string): Result<JobDocument> {
  const revision = document.revision ?? 'A';
  const next = nextRevision(revision);
  if (next === null) return refuse({ code: 'no-next-revision', at: 'revision', message: `There is no revision after ${revision}.`, hint: 'Start a new part number.' });
  const frozen = { revision, hash: contentHash(document), why, changes: changes.map((change) => ({ ...change })), ...(evidence === undefined ? {} : { evidence }), document: contentOf(document) };
  return ok({ ...changed, revision: next, revisions: [...(document.revisions ?? []), frozen] });
}

/** A frozen revision as a job of its own; refused when it was altered since. */
export function thaw(document: JobDocument, revision: string): Result<JobFile> {
  const frozen = document.revisions?.find((one) => one.revision === revision);
  if (frozen === undefined) {
    const known = (document.revisions ?? []).map((one) => one.revision);
    return refuse({ code: 'no-such-revision', at: 'revisions', message: `Revision ${revision} is not frozen in this job.`, hint: known.length > 0 ? `Frozen here: ${known.join(', ')}; at work: ${document.revision ?? 'A'}.` : `Only ${document.revision ?? 'A'} is here.` });
  }
  if (hashOf(frozen.document) !== frozen.hash) {
    return refuse({ code: 'revision-altered', at: 'revisions', message: `The frozen revision ${revision} no longer matches its hash: someone altered it.`, hint: 'Take it from a copy made before that.' });
  }
  return readDocument(frozen.document);
}
