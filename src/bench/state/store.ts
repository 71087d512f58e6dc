/** The one place where the document lives and changes. Everything shown is told when it did. */
import type { JobFile } from '../../job/read.ts';
import { setInDocument } from '../../job/read.ts';
import type { JobDocument } from '../../job/schema.ts';
import { derive, type Derived } from './derive.ts';
import { begin, edited, redone, undone, type History } from './history.ts';

export interface Store {
  readonly document: JobDocument;
  readonly derived: Derived;
  /** The last state whose chain went all the way; what the part shows while something does not read. */
  readonly good: Derived | null;
  readonly history: History;
  /** False while another tab holds the job: nothing can be changed here. */
  editable: boolean;
  /** A whole new document as one step. */
  replace(document: JobDocument, label: string, place?: string): void;
  /** One value at a path, as typed. An unknown path is a bug of the page and throws. */
  set(path: string, typed: unknown, label: string): void;
  undo(): void;
  redo(): void;
  /** Another job altogether, with its own history. */
  open(history: History): void;
  subscribe(listener: (store: Store) => void): () => void;
}

export function makeStore(first: History, saved: (history: History) => void): Store {
  let history = first;
  let derived = derive(first.present.document, null);
  let good = derived.plan === null ? null : derived;
  const listeners = new Set<(store: Store) => void>();

  function move(next: History, save = true): void {
    if (next === history) return;
    history = next;
    derived = derive(history.present.document, derived);
    if (derived.plan !== null) good = derived;
    if (save) saved(history);
    for (const listener of listeners) listener(store);
  }

  const store: Store = {
    editable: true,
    get document() {
      return history.present.document;
    },
    get derived() {
      return derived;
    },
    get good() {
      return good;
    },
    get history() {
      return history;
    },
    replace(document, label, place = '') {
      if (store.editable) move(edited(history, document, label, place, Date.now()));
    },
    set(path, typed, label) {
      const changed = setInDocument(history.present.document, path, typed);
      if (!changed.ok) throw new Error(changed.issues.map((issue) => `${issue.at}: ${issue.message}`).join('\n'));
      store.replace(changed.value, label, path);
    },
    undo: () => store.editable && move(undone(history)),
    redo: () => store.editable && move(redone(history)),
    open(next) {
      good = null;
      move(next);
    },
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
  return store;
}

export const historyOf = (file: JobFile, label: string): History => begin(file.document, label, Date.now());
