/**
 * A table that is typed into like a spreadsheet: one row per item of a list in the job, one empty row to begin the next.
 * Enter and arrows go from row to row, Ctrl+Delete takes a row out, a pasted block goes to whoever wants it. What is typed
 * is kept as typed; beside it stand cells that are only read.
 */
import type { Issue } from '../../result.ts';
import { fill, h } from '../dom.ts';
import { keepAsTyped } from '../state/typing.ts';

type Item = Readonly<Record<string, unknown>>;

export interface SheetColumn {
  readonly key: string;
  readonly title: string;
  /** A choice instead of free typing. */
  readonly choices?: readonly string[];
  /** Numbers stand to the right. */
  readonly number?: boolean;
  /** Text stays text, also when it looks like a number: names of holes. */
  readonly text?: boolean;
}

export interface SheetWords {
  /** `Readings between holes`. */
  readonly name: string;
  /** `reading`. */
  readonly one: string;
  readonly columns: readonly SheetColumn[];
  /** Heads of the cells that are only read. */
  readonly read: readonly string[];
}

export interface SheetSource {
  readonly items: () => readonly Item[];
  readonly write: (items: readonly Item[], label: string, place: string) => void;
  /** A new row, before what was typed goes into it. */
  readonly fresh: () => Item;
  /** What the read-only cells of a row say, and whether that is bad. */
  readonly beside: (index: number) => readonly { readonly text: string; readonly bad?: boolean }[];
  /** Path of an item in the job, for its issues. */
  readonly path: (index: number) => string;
  readonly issues: () => readonly Issue[];
  /** Takes a pasted block; false lets it go into the one cell. */
  readonly paste: (text: string) => boolean;
}

export interface SheetTable {
  readonly element: HTMLTableElement;
  refresh(): void;
}

export function makeSheetTable(words: SheetWords, source: SheetSource): SheetTable {
  const body = h('tbody');
  const heads = [h('th', { class: 'n' }, '#'), ...words.columns.map((c) => h('th', { class: c.number ? 'n' : '' }, c.title)), ...words.read.map((name) => h('th', {}, name)), h('th', {})];
  const element = h('table', { class: 'grid sheet', 'aria-label': words.name }, h('thead', {}, h('tr', {}, ...heads)), body);

  type Field = HTMLInputElement | HTMLSelectElement;
  const fieldAt = (row: number, column: number): Field | null => body.querySelector<Field>(`[data-row="${row}"][data-column="${column}"]`);
  const where = (field: EventTarget | null): readonly [row: number, column: number] | null => {
    const data = (field as HTMLElement | null)?.dataset;
    return data?.['row'] === undefined ? null : [Number(data['row']), Number(data['column'])];
  };

  function type(row: number, column: SheetColumn, text: string): void {
    const items = source.items();
    const value = text.trim() === '' ? undefined : column.choices || column.text ? text : keepAsTyped(text);
    const label = `${words.one} ${row + 1}`;
    if (row >= items.length) {
      if (value === undefined) return;
      return source.write([...items, { ...source.fresh(), [column.key]: value }], label, `${source.path(row)}.${column.key}`);
    }
    const changed = Object.fromEntries(Object.entries({ ...items[row], [column.key]: value }).filter(([, v]) => v !== undefined));
    source.write(items.map((item, i) => (i === row ? changed : item)), label, `${source.path(row)}.${column.key}`);
  }

  function removeRow(row: number): void {
    if (row < source.items().length) source.write(source.items().filter((_, i) => i !== row), `${words.one} ${row + 1} deleted`, '');
  }

  body.addEventListener('input', (event) => {
    const at = where(event.target);
    if (at) type(at[0], words.columns[at[1]]!, (event.target as Field).value);
  });
  body.addEventListener('keydown', (event) => {
    const at = where(event.target);
    if (at === null) return;
    const [row, column] = at;
    const go = (to: number): void => {
      const next = fieldAt(to, column);
      if (next === null) return;
      event.preventDefault();
      next.focus();
      if (next instanceof HTMLInputElement) next.select();
    };
    const choice = event.target instanceof HTMLSelectElement;
    if (event.key === 'Enter') go(row + (event.shiftKey ? -1 : 1));
    else if (event.key === 'ArrowDown' && !choice) go(row + 1);
    else if (event.key === 'ArrowUp' && !choice) go(row - 1);
    else if ((event.key === 'Delete' || event.key === 'Backspace') && event.ctrlKey) {
      event.preventDefault();
      removeRow(row);
      fieldAt(Math.min(row, source.items().length), column)?.focus();
    }
  });
  body.addEventListener('paste', (event) => {
    const text = event.clipboardData?.getData('text/plain') ?? '';
    if (/[\t\n]/.test(text.trim()) && source.paste(text)) event.preventDefault();
  });

  function newRow(i: number): HTMLTableRowElement {
    const field = (c: SheetColumn, k: number): Field => {
      const props = { 'data-row': i, 'data-column': k, 'aria-label': `${c.title} of ${words.one} ${i + 1}` };
      if (c.choices) return h('select', props, ...(i >= source.items().length ? [h('option', { value: '' }, '')] : []), ...c.choices.map((one) => h('option', { value: one }, one)));
      return h('input', { ...props, class: c.number ? '' : 'left', autocomplete: 'off', spellcheck: 'false' });
    };
    const remove = h('button', { type: 'button', class: 'link', 'aria-label': `Delete ${words.one} ${i + 1}`, tabindex: -1, onclick: () => removeRow(i) }, '×');
    return h('tr', {}, h('td', { class: 'n' }, i + 1), ...words.columns.map((c, k) => h('td', {}, field(c, k))), ...words.read.map(() => h('td', { class: 'rest' })), h('td', {}, remove));
  }

  let shown = -1;

  function refresh(): void {
    const items = source.items();
    if (shown !== items.length) {
      const held = where(document.activeElement);
      fill(body, ...Array.from({ length: items.length + 1 }, (_, i) => newRow(i)));
      shown = items.length;
      if (held && element.isConnected) fieldAt(held[0], held[1])?.focus();
    }
    const issues = source.issues();
    for (const [i, tr] of [...body.rows].entries()) {
      const item = items[i];
      words.columns.forEach((c, k) => {
        const field = fieldAt(i, k)!;
        const text = item?.[c.key] === undefined ? '' : String(item[c.key]);
        if (field.value !== text) field.value = text;
        const wrong = issues.find((issue) => issue.at.startsWith(`${source.path(i)}.${c.key}`));
        field.setAttribute('aria-invalid', wrong ? 'true' : 'false');
        field.title = wrong ? `${wrong.message} ${wrong.hint}` : '';
      });
      const beside = item === undefined ? [] : source.beside(i);
      words.read.forEach((_, k) => {
        const cell = tr.cells[1 + words.columns.length + k]!;
        cell.textContent = beside[k]?.text ?? '';
        cell.classList.toggle('bad', beside[k]?.bad ?? false);
      });
      (tr.cells[tr.cells.length - 1]!.firstElementChild as HTMLElement).hidden = item === undefined;
    }
  }

  return { element, refresh };
}
