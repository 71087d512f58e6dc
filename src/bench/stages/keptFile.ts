/** A file of the shop's own (printer, cutters) that belongs to no job: opened once, kept in this browser for every job. */
import type { Issue, Result } from '../../result.ts';
import { readLimited } from '../files.ts';
import type { Bench } from './stage.ts';

export interface Loaded<T> {
  readonly name: string;
  readonly value: T;
}

export interface KeptFile<T> {
  readonly current: () => Loaded<T> | null;
  /** Why the file last opened was not taken; empty when it was. */
  readonly refused: () => readonly Issue[];
  readonly take: (file: File) => Promise<void>;
  readonly use: (name: string, text: string) => void;
  readonly forget: () => void;
}

/** `setting` is the name it is kept under. A file that cannot be read leaves the one before in its place. */
export function keptFile<T>(bench: Bench, setting: string, read: (text: string) => Result<T>): KeptFile<T> {
  const { keeper } = bench.keeping;
  let current: Loaded<T> | null = null;
  let refused: readonly Issue[] = [];
  const use = (name: string, text: string): void => {
    const found = read(text);
    refused = found.ok ? [] : found.issues;
    if (found.ok) {
      current = { name, value: found.value };
      void keeper?.keepSetting(setting, { name, text });
    }
    bench.redraw();
  };
  void keeper?.setting<{ name: string; text: string }>(setting).then((kept) => kept && use(kept.name, kept.text));
  return {
    current: () => current,
    refused: () => refused,
    use,
    async take(file) {
      try {
        use(file.name, await readLimited(file));
      } catch (error) {
        bench.tell((error as Error).message, true);
      }
    },
    forget() {
      current = null;
      refused = [];
      void keeper?.keepSetting(setting, null);
      bench.redraw();
    },
  };
}
