/**
 * The calibration readings of a printer as a form: what was drawn stands there, what was measured is typed beside it, and the
 * fitted line answers with its miss. Built anew only when other readings are shown, so that typing keeps its place.
 */
import { profileRows } from '../../outputs/proofSheet.ts';
import type { PrintLine } from '../../proof/profile.ts';
import type { PrinterFile } from '../../proof/readPrinter.ts';
import type { Issue } from '../../result.ts';
import { fill, h } from '../dom.ts';

/** A printer file as typed, blanks and all. */
export type PrinterDraft = Readonly<Record<string, unknown>>;

type Path = readonly (string | number)[];

interface Line {
  readonly name: string;
  readonly drawn: string;
  readonly path: Path;
}

const lists = ['bars', 'holes', 'shafts', 'rectangles', 'flares'] as const;
const itemsOf = (draft: PrinterDraft, name: string): readonly Readonly<Record<string, unknown>>[] => (Array.isArray(draft[name]) ? (draft[name] as Readonly<Record<string, unknown>>[]) : []);
const isBlank = (value: unknown): boolean => value === undefined || value === null || (typeof value === 'string' && value.trim() === '');

/** The draft without readings that were not taken: one blank leaves the whole of it out. */
export const filledIn = (draft: PrinterDraft): PrinterDraft => ({ ...draft, ...Object.fromEntries(lists.map((name) => [name, itemsOf(draft, name).filter((item) => !Object.values(item).some(isBlank))])) });

function linesOf(draft: PrinterDraft): Line[] {
  const say = (value: unknown): string => (isBlank(value) ? '?' : String(value));
  const plain = (name: 'bars' | 'holes' | 'shafts', what: (item: Readonly<Record<string, unknown>>) => string): Line[] => itemsOf(draft, name).map((item, i) => ({ name: what(item), drawn: say(item['drawn']), path: [name, i, 'measured'] }));
  return [
    ...plain('bars', (bar) => `Bar along ${say(bar['axis']).toUpperCase()}`),
    ...plain('holes', () => 'Hole, by pin'),
    ...plain('shafts', () => 'Plug'),
    ...itemsOf(draft, 'rectangles').flatMap((item, i): Line[] => (['rising', 'falling'] as const).map((way) => ({ name: way === 'rising' ? 'Diagonal from least X and Y' : 'The other diagonal', drawn: `${say(item['x'])} × ${say(item['y'])}`, path: ['rectangles', i, way] }))),
    ...itemsOf(draft, 'flares').flatMap((_, i): Line[] => [{ name: 'Post, at the bed', drawn: '', path: ['flares', i, 'atBed'] }, { name: 'Post, above', drawn: '', path: ['flares', i, 'above'] }]),
  ];
}

const valueAt = (draft: PrinterDraft, path: Path): unknown => path.reduce<unknown>((value, step) => (value as Record<string | number, unknown> | undefined)?.[step], draft);

/** A copy with `typed` at `path`. */
function withValue(value: unknown, [step, ...rest]: Path, typed: unknown): unknown {
  if (step === undefined) return typed;
  const copy: Record<string | number, unknown> = Array.isArray(value) ? ([...(value as unknown[])] as unknown as Record<number, unknown>) : { ...(value as Record<string, unknown>) };
  copy[step] = withValue(copy[step], rest, typed);
  return copy;
}

export interface PrinterForm {
  readonly element: HTMLElement;
  /** `file` is what the draft means, null while it does not read. */
  show(draft: PrinterDraft | null, file: PrinterFile | null, issues: readonly Issue[]): void;
  open(): void;
}

export function makePrinterForm(changed: (draft: PrinterDraft) => void, save: () => void): PrinterForm {
  const told = h('div');
  const fields = h('div', { class: 'fields' });
  const rows = h('tbody');
  const table = h('table', { class: 'grid' }, h('thead', {}, h('tr', {}, ...['Reading', 'Drawn', 'Measured', 'Line says', 'Miss'].map((name, i) => h('th', { class: i > 0 ? 'n' : '' }, name)))), rows);
  const element = h('details', {}, h('summary', { class: 'key' }, 'What this printer does'), told, fields, table, h('div', { class: 'head' }, h('button', { type: 'button', class: 'key', onclick: save }, 'Save the printer file')));
  element.hidden = true;
  let draft: PrinterDraft | null = null;
  let shape = '';

  const input = (path: Path, label: string, kind = ''): HTMLInputElement => {
    const field = h('input', { class: kind, 'aria-label': label, autocomplete: 'off' });
    field.addEventListener('input', () => {
      if (draft === null) return;
      draft = withValue(draft, path, field.value) as PrinterDraft;
      changed(draft);
    });
    return field;
  };

  function build(shown: PrinterDraft): void {
    const name = (key: string, caption: string): HTMLElement => h('label', { class: 'field' }, h('span', {}, caption), input([key], caption, 'key'));
    fill(fields, name('printer', 'Printer'), name('material', 'Material and settings'), name('readingError', 'Reading error'));
    fill(rows, ...linesOf(shown).map((line) => h('tr', {}, h('td', {}, line.name), h('td', { class: 'n' }, line.drawn), h('td', { class: 'n write' }, input(line.path, `${line.name}${line.drawn === '' ? '' : `, drawn ${line.drawn}`}: measured`)), h('td', { class: 'n' }), h('td', { class: 'n' }))));
  }

  return {
    element,
    open: () => void (element.open = true),
    show(next, file, issues) {
      draft = next;
      element.hidden = next === null;
      if (next === null) return;
      const lines = linesOf(next);
      const wanted = lines.map((line) => `${line.name}${line.drawn}`).join();
      if (wanted !== shape) {
        shape = wanted;
        build(next);
      }
      const put = (field: HTMLInputElement | null, value: unknown): void => {
        if (field !== null && field !== document.activeElement) field.value = isBlank(value) ? '' : String(value);
      };
      [...fields.querySelectorAll('input')].forEach((field, i) => put(field, next[['printer', 'material', 'readingError'][i]!]));
      const misses = missesOf(next, file);
      lines.forEach((line, i) => {
        const cells = rows.children[i]!.children;
        put(cells[2]!.querySelector('input'), valueAt(next, line.path));
        const miss = misses.get(line.path.slice(0, 2).join()) ?? null;
        cells[3]!.textContent = miss === null ? '' : miss.says.toFixed(3);
        cells[4]!.textContent = miss === null ? '' : `${miss.by >= 0 ? '+' : ''}${miss.by.toFixed(3)}${miss.odd ? ' read again' : ''}`;
        cells[4]!.className = miss?.odd ? 'n bad' : 'n';
      });
      fill(
        told,
        ...issues.map((issue) => h('div', { class: 'notice bad' }, h('p', {}, `${issue.message} ${issue.hint}`))),
        ...(file === null
          ? []
          : [
              h('p', { class: 'hint' }, 'Each with the band that holds it 95 times in 100.'),
              h('table', { class: 'grid' }, h('tbody', {}, ...profileRows(file).map(([what, value]) => h('tr', {}, h('td', {}, what), h('td', { class: 'wrap' }, value))))),
              ...file.profile.notes.map((note) => h('p', { class: 'hint' }, note)),
            ]),
      );
    },
  };
}

interface Miss {
  readonly says: number;
  readonly by: number;
  /** Beyond two reading errors it is worth a second look. */
  readonly odd: boolean;
}

/** By list and place in the draft; readings left blank have none. */
function missesOf(draft: PrinterDraft, file: PrinterFile | null): Map<string, Miss> {
  const misses = new Map<string, Miss>();
  if (file === null) return misses;
  const { readings, profile } = file;
  for (const name of ['bars', 'holes', 'shafts'] as const) {
    const taken = itemsOf(draft, name).flatMap((item, i) => (Object.values(item).some(isBlank) ? [] : [i]));
    readings[name].forEach((reading, k) => {
      const line: PrintLine | null = name === 'bars' ? profile.axes[readings.bars[k]!.axis] : name === 'holes' ? profile.hole : profile.shaft;
      if (line === null || taken[k] === undefined) return;
      const says = line.factor * reading.drawn + line.growth;
      const by = reading.measured - says;
      misses.set(`${name},${taken[k]}`, { says, by, odd: Math.abs(by) > 2 * (reading.error ?? readings.readingError) });
    });
  }
  return misses;
}
