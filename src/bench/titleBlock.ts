/** The title block along the foot of the page: what the part is, its units and material, and the figures that follow. */
import { sayLength, sayMass } from '../outputs/say.ts';
import type { Measured } from '../solid/door.ts';
import { density, materialNames } from '../standards/materials.ts';
import { fill, h } from './dom.ts';
import type { Store } from './state/store.ts';
import type { View } from './view/look.ts';

export interface TitleBlock {
  /** `box`: what is shown until the part has been measured. */
  refresh(measured: Measured | null, box: ReturnType<View['box']>): void;
}

const defaults: Readonly<Record<string, string>> = { title: 'Untitled cover', partNumber: 'COVER', revision: 'A', units: 'mm', material: '6061-T6' };

export function makeTitleBlock(root: HTMLElement, store: Store, tell: (text: string, bad?: boolean) => void): TitleBlock {
  const inputs = new Map<string, HTMLInputElement | HTMLSelectElement>();

  const input = (name: string, caption: string, wide: boolean, size: number) => {
    const field = h('input', { 'aria-label': caption, size, autocomplete: 'off' });
    field.addEventListener('input', () => store.set(name, field.value, caption));
    inputs.set(name, field);
    return h('div', { class: wide ? 'wide' : '' }, h('span', { class: 'cap', 'aria-hidden': 'true' }, caption), field);
  };
  const select = (name: string, caption: string, choices: readonly string[]) => {
    const field = h('select', { 'aria-label': caption }, ...choices.map((c) => h('option', { value: c }, c)));
    field.addEventListener('change', () => {
      // A change of unit changes what every bare number means; that is never done behind anyone's back.
      if (name === 'units') tell(`Numbers typed without a unit now mean ${field.value === 'inch' ? 'inches' : 'millimetres'}. Undo takes it back.`, true);
      store.set(name, field.value, caption);
    });
    inputs.set(name, field);
    return h('div', {}, h('span', { class: 'cap', 'aria-hidden': 'true' }, caption), field);
  };
  const value = (caption: string, node: HTMLElement) => h('div', {}, h('span', { class: 'cap' }, caption), node);
  const [size, mass] = [h('span', { class: 'value' }, '–'), h('span', { class: 'value' }, '–')];
  fill(root, input('title', 'Title', true, 30), input('partNumber', 'Part number', false, 12), input('revision', 'Revision', false, 3), select('units', 'Typed in', ['mm', 'inch']), select('material', 'Material', materialNames), value('Size X × Y × Z', size), value('Mass', mass));

  return {
    refresh(measured, shown) {
      const doc = store.document as Record<string, unknown>;
      const units = doc['units'] === 'inch' ? 'inch' : 'mm';
      const box = measured?.box ?? shown;
      const job = store.good?.job;
      size.textContent = `${box ? [0, 1, 2].map((k) => sayLength(box.most[k]! - box.least[k]!, units)).join(' × ') : '–'} ${units === 'inch' ? 'in' : 'mm'}`;
      mass.textContent = measured && job ? sayMass((measured.volume / 1000) * density(job.material)) : '–';
      for (const [name, field] of inputs) {
        const typed = String(doc[name] ?? defaults[name] ?? '');
        if (field !== document.activeElement && field.value !== typed) field.value = typed;
      }
      document.title = `${doc['partNumber'] ?? ''} ${doc['revision'] ?? 'A'} · coverwright bench`.trim();
    },
  };
}
