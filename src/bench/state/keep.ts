/**
 * Keeps work in the browser's own database: every state as it is typed, with its history, so that a killed tab or a closed
 * lid loses nothing. One tab edits a job at a time; a second one is told.
 */
import { openDB, type DBSchema, type IDBPDatabase } from 'idb';
import type { JobDocument } from '../../job/schema.ts';
import type { History } from './history.ts';

export interface KeptJob {
  readonly id: string;
  readonly history: History;
  /** ms since 1970. */
  readonly touched: number;
}

/** ms. Copying a long history takes longer than a frame has, so while something is dragged not every frame is written. */
const pause = 50;

/** A line in the list of recent jobs. */
export interface RecentJob {
  readonly id: string;
  readonly title: string;
  readonly partNumber: string;
  readonly revision: string;
  readonly touched: number;
}

/** A photo or scan that lies under a job's drawing. Kept here only: it does not go into the job file. */
export interface KeptPicture {
  readonly id: string;
  readonly name: string;
  readonly blob: Blob;
}

/** What is known of that picture; plain data the stage that made it understands. */
export interface KeptScale {
  readonly id: string;
  readonly scale: unknown;
}

interface Store extends DBSchema {
  jobs: { key: string; value: KeptJob };
  recent: { key: string; value: RecentJob };
  settings: { key: string; value: unknown };
  pictures: { key: string; value: KeptPicture };
  scales: { key: string; value: KeptScale };
}

export interface Keeper {
  load(id: string): Promise<KeptJob | null>;
  /** Written in order, the newest state always last; a state overtaken by a newer one is skipped. */
  save(id: string, history: History): void;
  /** Resolves when nothing is left to write. */
  settled(): Promise<void>;
  recent(): Promise<readonly RecentJob[]>;
  forget(id: string): Promise<void>;
  picture(id: string): Promise<KeptPicture | null>;
  keepPicture(picture: KeptPicture): Promise<void>;
  scale(id: string): Promise<unknown>;
  /** Apart from the picture, so that moving a point does not write megabytes. */
  keepScale(id: string, scale: unknown): Promise<void>;
  forgetPicture(id: string): Promise<void>;
  setting<T>(name: string): Promise<T | undefined>;
  keepSetting(name: string, value: unknown): Promise<void>;
}

const titleOf = (document: JobDocument): string => (typeof document.title === 'string' ? document.title : 'Untitled cover');

export async function openKeeper(told: (state: 'saving' | 'saved' | 'failed') => void): Promise<Keeper> {
  const database: IDBPDatabase<Store> = await openDB<Store>('coverwright', 2, {
    upgrade(db, from) {
      if (from < 1) {
        db.createObjectStore('jobs', { keyPath: 'id' });
        db.createObjectStore('recent', { keyPath: 'id' });
        db.createObjectStore('settings');
      }
      if (from < 2) {
        db.createObjectStore('pictures', { keyPath: 'id' });
        db.createObjectStore('scales', { keyPath: 'id' });
      }
    },
    // A tab with a newer bench waits for this one to let go; saving here then fails and says so.
    blocking: (_, __, event) => (event.target as IDBDatabase).close(),
  });
  // Asks the browser not to clear this when space runs short; it may say no, and then nothing is worse.
  void navigator.storage?.persist?.();
  let next: KeptJob | null = null;
  let writing: Promise<void> | null = null;

  let hurry = (): void => {};
  addEventListener('pagehide', () => hurry());
  /** A moment later, or at once when the page is about to go. */
  const paused = (): Promise<void> =>
    new Promise((resolve) => {
      hurry = resolve;
      setTimeout(resolve, pause);
    });

  async function write(): Promise<void> {
    for (let job = next; job !== null; job = next) {
      next = null;
      const { document } = job.history.present;
      try {
        const transaction = database.transaction(['jobs', 'recent'], 'readwrite');
        await Promise.all([
          transaction.objectStore('jobs').put(job),
          transaction.objectStore('recent').put({ id: job.id, title: titleOf(document), partNumber: String(document.partNumber ?? ''), revision: String(document.revision ?? 'A'), touched: job.touched }),
          transaction.done,
        ]);
        told('saved');
      } catch {
        told('failed');
      }
      if (next !== null) await paused();
    }
    writing = null;
  }

  async function forgetPicture(id: string): Promise<void> {
    await database.delete('pictures', id);
    await database.delete('scales', id);
  }

  return {
    load: async (id) => (await database.get('jobs', id)) ?? null,
    save(id, history) {
      next = { id, history, touched: Date.now() };
      told('saving');
      writing ??= paused().then(write);
    },
    settled: async () => {
      await writing;
    },
    recent: async () => (await database.getAll('recent')).sort((a, b) => b.touched - a.touched),
    forget: async (id) => {
      await database.delete('jobs', id);
      await database.delete('recent', id);
      await forgetPicture(id);
    },
    picture: async (id) => (await database.get('pictures', id)) ?? null,
    keepPicture: async (picture) => {
      await database.put('pictures', picture);
    },
    scale: async (id) => (await database.get('scales', id))?.scale,
    keepScale: async (id, scale) => {
      await database.put('scales', { id, scale });
    },
    forgetPicture,
    setting: async <T>(name: string) => (await database.get('settings', name)) as T | undefined,
    keepSetting: async (name, value) => {
      await database.put('settings', value, name);
    },
  };
}

/**
 * Takes the right to edit a job in this tab; `lost` is called when another tab takes it over. False when another tab has it.
 * Web Locks go with their tab, so a killed tab never leaves a job locked.
 */
export function holdJob(id: string, steal: boolean, lost: () => void): Promise<boolean> {
  if (navigator.locks === undefined) return Promise.resolve(true);
  return new Promise((resolve) => {
    navigator.locks
      .request(`coverwright job ${id}`, steal ? { steal: true } : { ifAvailable: true }, (lock) => {
        if (lock === null) {
          resolve(false);
          return undefined;
        }
        resolve(true);
        // Held until the tab goes or another steals it.
        return new Promise<never>(() => {});
      })
      .catch(lost);
  });
}
