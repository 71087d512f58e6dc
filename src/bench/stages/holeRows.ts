/**
 * The hole table, typed into in place. Where a column is a value of the job itself, what is typed is kept as typed; the
 * place of a tab's hole is kept as its distance from the tab, so there the number is worked out.
 */
import { threadNames } from '../../standards/threads.ts';
import { readLength, type Units } from '../../job/quantity.ts';
import { holeTable, type HoleRow } from '../../outputs/holeTable.ts';
import { sayLength } from '../../outputs/say.ts';
import type { SolidPlan } from '../../solid/plan.ts';
import { fill, h } from '../dom.ts';
import type { Store } from '../state/store.ts';
import { keepAsTyped } from '../state/typing.ts';
import { change, chosenOf, listOf, typedLength, unitsOf, type Chosen, type Typed } from './mountsEdit.ts';
import { outOf } from './mountsMove.ts';

/** One cell: what it shows, and what typing into it writes; null where the value follows from others. */
interface Cell {
  readonly shown: string;
  /** Path in the job whose issues belong to it. */
  readonly path: string;
  readonly write: ((text: string) => Typed | null) | null;
}

const columns = ['X', 'Y', 'Z', 'Size', 'Depth'] as const;

const blank = (text: string): unknown => (text.trim() === '' ? undefined : keepAsTyped(text));

/** `M5` is a screw, `5.5` a diameter. */
function sizeTyped(text: string, screwKey: 'screw' | 'thread', diameterKey: 'diameter' | 'holeDiameter'): Typed {
  const clean = text.trim();
  const known = threadNames.find((name) => name.toLowerCase() === clean.toLowerCase());
  if (known !== undefined) return { [screwKey]: known, [diameterKey]: undefined };
  return /[a-z#-]/i.test(clean.replace(/(mm|in|thou)$/i, '')) ? { [screwKey]: clean, [diameterKey]: undefined } : { [screwKey]: undefined, [diameterKey]: blank(clean) };
}

function cellsOf(p: SolidPlan, row: HoleRow, at: string, item: Typed, units: Units): readonly Cell[] {
  const said = (mm: number): string => sayLength(mm, units);
  const own = (key: string, mm: number): Cell => ({ shown: item[key] === undefined ? said(mm) : String(item[key]), path: `${at}.${key}`, write: (text) => ({ [key]: blank(text) }) });
  const fixed = (shown: string): Cell => ({ shown, path: '', write: null });
  const chosen = chosenOf(at) as Chosen;
  if (row.kind === 'boss hole') {
    const size: Cell = { shown: String(item['thread'] ?? item['holeDiameter'] ?? ''), path: `${at}.thread`, write: (text) => sizeTyped(text, 'thread', 'holeDiameter') };
    return [own('x', row.x), own('y', row.y), own('endHeight', row.z), size, own('holeDepth', row.depth ?? 0)];
  }
  const hole = row.kind === 'tab hole' ? ((item['hole'] ?? {}) as Typed) : item;
  const sizeShown = String(hole['screw'] ?? hole['diameter'] ?? (row.kind === 'tab hole' ? 'M5' : said(row.diameter)));
  const tab = row.kind === 'tab hole' ? p.tabs[chosen.index] : undefined;
  if (tab === undefined) {
    const size: Cell = { shown: sizeShown, path: `${at}.screw`, write: (text) => sizeTyped(text, 'screw', 'diameter') };
    if (row.kind === 'skin hole') return [own('x', row.x), own('y', row.y), fixed(said(row.z)), size, fixed('through')];
    const level = Math.abs(p.holes[chosen.index]?.axis[0] ?? 0) > 0.5;
    return [level ? fixed(said(row.x)) : own('x', row.x), level ? own('y', row.y) : fixed(said(row.y)), own('z', row.z), size, fixed('through')];
  }
  const upright = tab.wall === 'front' || tab.wall === 'back';
  const read = (text: string): number | null => {
    const found = readLength(text, units);
    return found.ok ? found.value.mm : null;
  };
  // The tab goes with its hole where the hole stands in its middle; there what was typed can stay.
  const centred = tab.hole !== null && Math.abs((upright ? tab.hole.entry[1] : tab.hole.entry[0]) - tab.middle) < 1e-9;
  const along = (mm: number): Cell =>
    centred
      ? own('at', mm)
      : { shown: said(mm), path: `${at}.holeAlong`, write: (text) => { const to = read(text); return to === null ? null : { holeAlong: typedLength(to - tab.middle, units) }; } };
  const out = (mm: number): Cell => ({ shown: said(mm), path: `${at}.holeOut`, write: (text) => { const to = read(text); return to === null ? null : { holeOut: typedLength(outOf(p, tab, [to, to]), units) }; } });
  const size: Cell = { shown: sizeShown, path: `${at}.hole`, write: (text) => ({ hole: Object.fromEntries(Object.entries({ ...hole, ...sizeTyped(text, 'screw', 'diameter') }).filter(([, value]) => value !== undefined)) }) };
  return [upright ? out(row.x) : along(row.x), upright ? along(row.y) : out(row.y), fixed(said(row.z)), size, fixed('through')];
}

const rest = (row: HoleRow, units: Units): string => [row.thread ? `drill ${sayLength(row.diameter, units)}` : '', row.slot > 0 ? `slot +${sayLength(row.slot, units)}` : '', row.head].filter(Boolean).join(', ');

export interface HoleTable {
  readonly element: HTMLElement;
  refresh(chosen: string): void;
}

export function makeHoleTable(store: Store, choose: (at: string) => void): HoleTable {
  const body = h('tbody');
  const head = h('tr', {}, ...['Hole', ...columns, ''].map((name, i) => h('th', { class: i >= 1 && i <= 3 ? 'n' : '' }, name)));
  const element = h('table', { class: 'grid holes', 'aria-label': 'Holes' }, h('thead', {}, head), body);
  let built = '';
  let cells: (readonly Cell[])[] = [];
  let paths: readonly string[] = [];

  const inputOf = (row: number, column: number): HTMLInputElement | null => body.querySelector<HTMLInputElement>(`input[data-row="${row}"][data-column="${column}"]`);

  body.addEventListener('change', (event) => {
    const input = event.target as HTMLInputElement;
    const [row, column] = [Number(input.dataset['row']), Number(input.dataset['column'])];
    const cell = cells[row]?.[column];
    const chosen = chosenOf(paths[row] ?? '');
    if (!cell?.write || chosen === null || input.value === cell.shown) return;
    const values = cell.write(input.value);
    input.setAttribute('aria-invalid', values === null ? 'true' : 'false');
    if (values === null) input.title = `Expected a length such as 27.5, 1 3/32in or 5mm; "${input.value}" is none.`;
    else change(store, chosen, values, `${columns[column]} of ${body.rows[row]?.cells[0]?.textContent ?? 'a hole'}`, `${cell.path}`);
  });
  body.addEventListener('keydown', (event) => {
    const input = event.target as HTMLInputElement;
    const way = event.key === 'ArrowDown' || (event.key === 'Enter' && !event.shiftKey) ? 1 : event.key === 'ArrowUp' || event.key === 'Enter' ? -1 : 0;
    if (input.dataset['row'] === undefined || way === 0) return;
    event.preventDefault();
    const next = inputOf(Number(input.dataset['row']) + way, Number(input.dataset['column']));
    if (next === null) input.dispatchEvent(new Event('change', { bubbles: true }));
    next?.focus();
    next?.select();
  });
  body.addEventListener('focusin', (event) => {
    const row = (event.target as HTMLElement).dataset['row'];
    if (row !== undefined) choose(paths[Number(row)] ?? '');
  });

  function build(rows: readonly HoleRow[]): void {
    fill(
      body,
      ...rows.map((row, i) =>
        h(
          'tr',
          {},
          h('td', {}, h('button', { type: 'button', class: 'link', onclick: () => choose(paths[i] ?? '') }, row.name)),
          ...cells[i]!.map((cell, k) => h('td', { class: k < 3 ? 'n' : '' }, cell.write === null ? h('span', {}) : h('input', { class: k < 3 ? '' : 'left', 'data-row': i, 'data-column': k, 'aria-label': `${columns[k]} of ${row.name}`, autocomplete: 'off', spellcheck: 'false' }))),
          h('td', { class: 'rest' }),
        ),
      ),
    );
  }

  function refresh(chosen: string): void {
    const plan = store.good?.plan ?? null;
    const table = plan === null ? [] : holeTable(plan);
    if (plan === null || table.length === 0) {
      built = '';
      return fill(body, h('tr', {}, h('td', { colspan: 7 }, plan === null ? 'No part yet: see the findings.' : 'No holes yet. Add a tab, a boss or a hole.')));
    }
    const units = unitsOf(store.document);
    paths = [...plan.tabs.filter((t) => t.hole).map((t) => t.at), ...plan.bosses.filter((b) => b.hole).map((b) => b.at), ...plan.holes.map((x) => x.at)];
    cells = table.map((row, i) => {
      const c = chosenOf(paths[i]!) as Chosen;
      return cellsOf(plan, row, paths[i]!, listOf(store.document, c.list)[c.index] ?? {}, units);
    });
    const shape = JSON.stringify([table.map((row) => [row.name, row.kind]), cells.map((row) => row.map((cell) => cell.write === null))]);
    if (shape !== built) {
      build(table);
      built = shape;
    }
    for (const [i, tr] of [...body.rows].entries()) {
      tr.setAttribute('aria-selected', paths[i] === chosen ? 'true' : 'false');
      cells[i]!.forEach((cell, k) => showCell(tr.cells[k + 1]!.firstElementChild as HTMLElement, cell));
      tr.cells[6]!.textContent = rest(table[i]!, units);
    }
  }

  function showCell(element: HTMLElement, cell: Cell): void {
    if (!(element instanceof HTMLInputElement)) {
      element.textContent = cell.shown;
      return;
    }
    const wrong = store.derived.issues.find((issue) => cell.path !== '' && issue.at.startsWith(cell.path));
    element.setAttribute('aria-invalid', wrong ? 'true' : 'false');
    element.title = wrong ? `${wrong.message} ${wrong.hint}` : '';
    // What is being typed is never rewritten under the fingers.
    if (element !== document.activeElement || element.value === '') element.value = cell.shown;
  }

  return { element, refresh };
}
