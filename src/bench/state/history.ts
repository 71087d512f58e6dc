/**
 * What was typed, and every state before it: undo and redo over everything. Documents are kept whole; neighbours share
 * their unchanged parts. Edits of the same place in quick succession are one step, so that a drag or a word typed is
 * undone at once.
 */
import type { JobDocument } from '../../job/schema.ts';

export interface Entry {
  readonly document: JobDocument;
  /** What was done to get here, for people: `Wall`, `Moved T2`. */
  readonly label: string;
  /** Place that was edited; equal places in quick succession are one step. */
  readonly place: string;
  /** ms since 1970. */
  readonly at: number;
}

export interface History {
  readonly past: readonly Entry[];
  readonly present: Entry;
  /** Undone, nearest last. */
  readonly future: readonly Entry[];
}

/** ms within which edits of one place belong together. */
const together = 1200;
/** Steps kept. A job is some kilobytes; more steps than this nobody walks back. */
const mostSteps = 200;
/** Readings times steps kept, so that a scan of 100 000 points does not fill the disk with its past. */
const mostReadings = 2_000_000;

export const begin = (document: JobDocument, label: string, at: number): History => ({ past: [], present: { document, label, place: '', at }, future: [] });

export function edited(history: History, document: JobDocument, label: string, place: string, at: number): History {
  if (document === history.present.document) return history;
  const { present } = history;
  const joins = place !== '' && place === present.place && at - present.at < together && history.future.length === 0;
  const past = joins ? history.past : [...history.past, present];
  const size = Math.max(1, document.trace?.points?.length ?? 0);
  const most = Math.max(5, Math.min(mostSteps, Math.floor(mostReadings / size)));
  return { past: past.slice(-most), present: { document, label, place, at }, future: [] };
}

export function undone(history: History): History {
  const before = history.past.at(-1);
  // An undone step must not swallow the next edit of the same place.
  return before === undefined ? history : { past: history.past.slice(0, -1), present: { ...before, place: '' }, future: [...history.future, history.present] };
}

export function redone(history: History): History {
  const after = history.future.at(-1);
  return after === undefined ? history : { past: [...history.past, history.present], present: { ...after, place: '' }, future: history.future.slice(0, -1) };
}
