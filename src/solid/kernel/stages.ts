/** One run down the chain of stages: takes what is cached, makes what is not, times it, and reports progress. */
import type { BuildOptions, StageName, StageTime } from '../door.ts';
import type { TopoDS_Shape } from 'replicad-opencascadejs';
import type { Made, StageCache } from './cache.ts';

/** Stages in order with the share of a cold build each takes, for progress. */
const shares: Readonly<Record<StageName, number>> = {
  outer: 0.12,
  cavity: 0.12,
  engraving: 0,
  positive: 0.12,
  negative: 0.35,
  'tab holes': 0.08,
  'boss holes': 0.1,
  proof: 0.05,
  final: 0.02,
  openings: 0,
  check: 0.04,
  mesh: 0,
};

export class Run {
  readonly times: StageTime[] = [];
  readonly #cache: StageCache;
  readonly #options: BuildOptions;
  #done = 0;

  constructor(cache: StageCache, options: BuildOptions) {
    this.#cache = cache;
    this.#options = options;
  }

  /** `reads`: plain data the stage depends on; `on`: earlier results it depends on. */
  shape(stage: StageName, reads: unknown, on: readonly Made[], make: () => TopoDS_Shape): Made {
    const key = `${on.map((one) => one.serial).join(',')}|${JSON.stringify(reads)}`;
    const found = this.#cache.find(stage, key);
    if (found !== undefined) {
      this.note(stage, 0, true);
      return found;
    }
    return this.timed(stage, () => this.#cache.store(stage, key, make()));
  }

  timed<R>(stage: StageName, work: () => R): R {
    const now = this.#options.now ?? (() => 0);
    const start = now();
    const result = work();
    this.note(stage, now() - start, false);
    return result;
  }

  note(stage: StageName, ms: number, cached: boolean): void {
    this.times.push({ stage, ms, cached });
    this.#done = Math.min(1, this.#done + shares[stage]);
    this.#options.progress?.(stage, this.#done);
  }
}
