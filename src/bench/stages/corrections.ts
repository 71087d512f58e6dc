/**
 * What a diagnosis would move in the design, hole by hole: a table to accept or refuse each, and the key that begins the
 * next revision with what is accepted.
 */
import { applyCorrection } from '../../fit/correct.ts';
import type { Diagnosis, HoleArrow } from '../../fit/diagnosis.ts';
import type { OffsetReading } from '../../fit/offsets.ts';
import type { Units } from '../../job/quantity.ts';
import { readDocument } from '../../job/read.ts';
import { tolerance } from '../../maths/tolerance.ts';
import { sayIssue } from '../../result.ts';
import { sayMiss } from '../../outputs/say.ts';
import { h } from '../dom.ts';
import { sayPair } from './fitWords.ts';
import type { Bench } from './stage.ts';

/** A diagnosis with the readings it was made from. */
export interface Diagnosed {
  readonly found: Diagnosis;
  readonly readings: readonly OffsetReading[];
}

export interface Corrections {
  /** The table and its key as they stand; nothing where nothing is to be moved. */
  readonly rows: () => readonly HTMLElement[];
  /** Whether the correction of a hole is not wanted. */
  readonly refused: (hole: string) => boolean;
}

const moving = (found: Diagnosis): readonly HoleArrow[] => found.holes.filter((hole) => Math.hypot(...hole.move) >= tolerance.writtenPlace);

/** `now`: the diagnosis that is up, null while there is none. */
export function makeCorrections(bench: Bench, now: () => Diagnosed | null): Corrections {
  const { store } = bench;
  /** Holes whose correction is not wanted, by name. */
  let refused = new Set<string>();
  const units = (): Units => (store.document.units === 'inch' ? 'inch' : 'mm');

  function row(hole: HoleArrow): HTMLElement {
    const tick = h('input', { type: 'checkbox', 'aria-label': `Accept the correction of ${hole.name}` });
    tick.checked = !refused.has(hole.name);
    tick.addEventListener('change', () => {
      refused = new Set(refused);
      if (tick.checked) refused.delete(hole.name);
      else refused.add(hole.name);
      bench.redraw();
    });
    return h('tr', {}, h('td', {}, h('label', { class: 'tick' }, tick, hole.name)), h('td', { class: 'n' }, sayPair(hole.move, units())), h('td', { class: 'n' }, sayMiss(Math.hypot(...hole.move), units())));
  }

  function correct(): void {
    const [on, file] = [now(), readDocument(store.document)];
    if (on === null || !file.ok) return;
    const before = file.value.job.revision;
    const next = applyCorrection(file.value, on.found, on.readings, moving(on.found).filter((hole) => !refused.has(hole.name)));
    if (!next.ok) return bench.tell(next.issues.map(sayIssue).join(' '), true);
    refused = new Set();
    store.replace(next.value, `Revision ${next.value.revision} begun`);
    bench.tell(`Revision ${next.value.revision} begun; revision ${before} is frozen in the job, with what changed and why.`);
  }

  return {
    rows() {
      const on = now();
      const holes = on === null ? [] : moving(on.found);
      if (holes.length === 0) return [];
      const go = h('button', { type: 'button', class: 'key main', onclick: correct }, 'Begin the next revision with these');
      go.disabled = holes.every((hole) => refused.has(hole.name));
      return [
        h('table', { class: 'grid', 'aria-label': 'Corrections' }, h('thead', {}, h('tr', {}, h('th', {}, 'Accept'), h('th', { class: 'n' }, 'The design moves by X, Y'), h('th', { class: 'n' }, 'in all'))), h('tbody', {}, ...holes.map(row))),
        h('div', { class: 'head' }, go),
      ];
    },
    refused: (hole) => refused.has(hole),
  };
}
