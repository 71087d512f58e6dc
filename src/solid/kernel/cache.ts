/**
 * Results of build stages, kept by exactly what each stage reads. A key is the stage's own input as text plus the serial
 * numbers of the results it builds on, so equal keys mean equal solids and nothing can be mistaken for something else.
 */
import type { TopoDS_Shape } from 'replicad-opencascadejs';

export interface Made {
  /** Unlike that of any other result of this cache. */
  readonly serial: number;
  readonly shape: TopoDS_Shape;
}

interface Entry extends Made {
  readonly key: string;
}

/** Results kept per stage; the least recently used goes first. Enough to undo a few steps without rebuilding. */
const keptPerStage = 6;

export class StageCache {
  readonly #stages = new Map<string, Entry[]>();
  #nextSerial = 1;

  find(stage: string, key: string): Made | undefined {
    const entries = this.#stages.get(stage);
    const at = entries?.findIndex((entry) => entry.key === key) ?? -1;
    if (entries === undefined || at < 0) return undefined;
    const [entry] = entries.splice(at, 1);
    entries.unshift(entry!);
    return entry;
  }

  /** Takes over `shape`. */
  store(stage: string, key: string, shape: TopoDS_Shape): Made {
    const entry = { key, shape, serial: this.#nextSerial++ };
    const entries = this.#stages.get(stage) ?? [];
    entries.unshift(entry);
    for (const old of entries.splice(keptPerStage)) old.shape.delete();
    this.#stages.set(stage, entries);
    return entry;
  }

  close(): void {
    for (const entries of this.#stages.values()) for (const entry of entries) entry.shape.delete();
    this.#stages.clear();
  }
}
