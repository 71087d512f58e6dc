/**
 * The stage Readings: a table that is typed into like a spreadsheet. What was typed stands beside what it means; each
 * reading's miss beside it; slips and odd readings marked with the reason. Blocks are pasted, files dropped.
 */
import type { Vec2 } from '../../maths/vec.ts';
import { contourDrawing } from '../../outputs/contourDrawing.ts';
import { label, polyline, type Mark } from '../../outputs/drawing.ts';
import { readReadings } from '../../readings/read.ts';
import type { Units } from '../../job/quantity.ts';
import { sayIssue } from '../../result.ts';
import { missFigure } from '../../outputs/say.ts';
import type { Handle } from '../board/content.ts';
import { h } from '../dom.ts';
import { chooseFile, readLimited } from '../files.ts';
import { takesFiles } from './fileDrop.ts';
import { stepped } from '../panel/panel.ts';
import { keepAsTyped } from '../state/typing.ts';
import { millimetres, readingDocuments, setReading, setReadings, type TypedReading } from './readingsEdit.ts';
import { remarksByRow } from './readingsRemarks.ts';
import { nothing, type Bench, type Stage } from './stage.ts';
import { looksLikePicture, type Underlay } from './underlay.ts';

/** Rows shown; more readings than this come from a scan, and nobody types into those. */
const mostRows = 500;

type Column = 'x' | 'z';

export function readingsStage(bench: Bench, underlay: Underlay): Stage {
  const { store } = bench;
  let chosen = -1;
  const units = (): Units => (store.document.units === 'inch' ? 'inch' : 'mm');
  const rows = h('tbody');
  const unitHead = h('th', { class: 'n' });
  const table = h(
    'table',
    { class: 'grid readings', 'aria-label': 'Readings' },
    h('thead', {}, h('tr', {}, h('th', { class: 'n' }, '#'), h('th', { class: 'n' }, 'Station'), h('th', { class: 'n' }, 'Height'), unitHead, h('th', { class: 'n' }, 'Miss'), h('th', {}, 'Remark'), h('th', {}, ''))),
    rows,
  );
  const more = h('p', { class: 'hint' });
  const desk = h('div', {}, underlay.bar, table, more);

  const cell = (row: number, column: Column): HTMLInputElement | null => rows.querySelector<HTMLInputElement>(`input[data-row="${row}"][data-column="${column}"]`);

  function focusCell(row: number, column: Column): void {
    const input = cell(Math.max(0, row), column);
    input?.focus();
    input?.select();
  }

  /** Writes one cell; a row that did not exist is begun by it. */
  function type(row: number, column: Column, text: string): void {
    const readings = readingDocuments(store.document);
    const value = keepAsTyped(text);
    if (row >= readings.length) {
      if (text.trim() === '') return;
      setReadings(store, [...readings, { x: column === 'x' ? value : '', z: column === 'z' ? value : '' }], `Reading ${row + 1}`, `trace.points[${row}].${column}`);
    } else setReading(store, row, column, value, `Reading ${row + 1}`);
  }

  function removeRows(from: number, count: number): void {
    const readings = readingDocuments(store.document);
    setReadings(store, readings.filter((_, i) => i < from || i >= from + count), count === 1 ? `Reading ${from + 1} deleted` : `${count} readings deleted`);
  }

  rows.addEventListener('input', (event) => {
    const input = event.target as HTMLInputElement;
    if (input.dataset['row'] !== undefined) type(Number(input.dataset['row']), input.dataset['column'] as Column, input.value);
  });
  rows.addEventListener('focusin', (event) => {
    const row = (event.target as HTMLElement).dataset['row'];
    if (row !== undefined && Number(row) !== chosen) {
      chosen = Number(row);
      for (const tr of rows.children) tr.setAttribute('aria-selected', (tr as HTMLElement).dataset['row'] === row ? 'true' : 'false');
    }
  });
  rows.addEventListener('keydown', (event) => {
    const input = event.target as HTMLInputElement;
    if (input.dataset['row'] === undefined) return;
    const row = Number(input.dataset['row']);
    const column = input.dataset['column'] as Column;
    const go = (toRow: number, toColumn: Column): void => {
      event.preventDefault();
      focusCell(toRow, toColumn);
    };
    const atStart = input.selectionStart === 0 && input.selectionEnd === input.selectionStart;
    const atEnd = input.selectionStart === input.value.length && input.selectionEnd === input.selectionStart;
    const whole = input.selectionStart === 0 && input.selectionEnd === input.value.length;
    if (event.key === 'Enter') go(row + (event.shiftKey ? -1 : 1), column);
    else if (event.key === 'ArrowDown' && !event.altKey) go(row + 1, column);
    else if (event.key === 'ArrowUp' && !event.altKey) go(row - 1, column);
    else if (event.key === 'ArrowRight' && column === 'x' && (atEnd || whole)) go(row, 'z');
    else if (event.key === 'ArrowLeft' && column === 'z' && (atStart || whole)) go(row, 'x');
    else if ((event.key === 'Delete' || event.key === 'Backspace') && event.ctrlKey) {
      event.preventDefault();
      removeRows(row, 1);
      focusCell(Math.min(row, readingDocuments(store.document).length - 1), column);
    } else if (event.key === 'Insert') {
      event.preventDefault();
      const readings = readingDocuments(store.document);
      setReadings(store, [...readings.slice(0, row), { x: '', z: '' }, ...readings.slice(row)], 'Row inserted');
      focusCell(row, 'x');
    }
  });
  rows.addEventListener('paste', (event) => {
    const text = event.clipboardData?.getData('text/plain') ?? '';
    // One value goes into its cell the ordinary way.
    if (!/[\t\n;]|\d\s{2,}\S|\S,\s+\S/.test(text.trim())) return;
    event.preventDefault();
    const at = Number((event.target as HTMLElement).dataset['row'] ?? 0);
    take(text, '', at);
  });

  /** Reads a block or file and puts it in: over the whole table when it is empty or a file came, else from row `at` on. */
  function take(text: string, file: string, at: number | null): void {
    const read = readReadings(text, { units: units(), ...(file ? { file } : {}) });
    if (!read.ok) return bench.tell(read.issues.slice(0, 4).map(sayIssue).join(' '), true);
    const { points, remarks, provenance } = read.value;
    const now = readingDocuments(store.document);
    const fresh = points as readonly TypedReading[];
    const next = at === null || now.length === 0 ? fresh : [...now.slice(0, at), ...fresh, ...now.slice(at + fresh.length)];
    setReadings(store, next, file ? `Readings from ${file}` : `${fresh.length} readings pasted`);
    if (at === null) store.set('trace.source', provenance.words.slice(0, 2000), 'Readings taken in');
    bench.tell([`${fresh.length} readings taken in.`, ...remarks.slice(0, 3).map(sayIssue)].join(' '), remarks.length > 0);
  }

  async function takeFile(file: File): Promise<void> {
    if (looksLikePicture(file)) return underlay.take(file);
    try {
      take(await readLimited(file), file.name, null);
    } catch (error) {
      bench.tell((error as Error).message, true);
    }
  }

  takesFiles(desk, (file) => void takeFile(file));

  const fromFile = h('button', { type: 'button', class: 'key', onclick: () => void chooseFile('.csv,.tsv,.txt,.dxf,.svg').then((file) => file && takeFile(file)) }, 'From a file');
  const clear = h('button', { type: 'button', class: 'key', onclick: () => setReadings(store, [], 'Readings cleared') }, 'Clear');

  function refresh(): void {
    const readings = readingDocuments(store.document);
    unitHead.textContent = units() === 'inch' ? 'means, in' : 'means, mm';
    const contour = store.derived.contour;
    const miss = new Map(contour?.report.residuals.map((r) => [r.index, r]));
    const said = remarksByRow(store.derived);
    const all = readings.length < mostRows;
    const count = all ? readings.length + 1 : mostRows;
    while (rows.children.length > count) rows.lastElementChild?.remove();
    while (rows.children.length < count) rows.append(emptyRow(rows.children.length));
    for (let i = 0; i < count; i += 1) refreshRow(rows.children[i] as HTMLTableRowElement, i, readings[i], miss.get(i), said.get(i));
    more.textContent = all ? '' : `The first ${mostRows} of ${readings.length} readings are listed. All of them are used; the rest is changed in the file they came from.`;
  }

  function emptyRow(i: number): HTMLTableRowElement {
    const input = (column: Column, name: string) => h('input', { 'data-row': i, 'data-column': column, 'aria-label': `${name} of reading ${i + 1}`, autocomplete: 'off', spellcheck: 'false', inputmode: 'text' });
    const remove = h('button', { type: 'button', class: 'link', 'aria-label': `Delete reading ${i + 1}`, tabindex: -1, onclick: () => removeRows(i, 1) }, '×');
    return h('tr', { 'data-row': i }, h('td', { class: 'n' }, i + 1), h('td', {}, input('x', 'Station')), h('td', {}, input('z', 'Height')), h('td', { class: 'n means' }), h('td', { class: 'n' }), h('td', { class: 'wrap' }), h('td', {}, remove));
  }

  function refreshRow(tr: HTMLTableRowElement, i: number, reading: TypedReading | undefined, residual: { readonly distance: number; readonly used: boolean } | undefined, said: string | undefined): void {
    const [, station, height, means, miss, remark, act] = [...tr.cells] as HTMLTableCellElement[];
    for (const [column, place] of [['x', station], ['z', height]] as const) {
      const input = place!.firstElementChild as HTMLInputElement;
      const text = reading === undefined ? '' : String(reading[column]);
      if (input.value !== text) input.value = text;
    }
    const mm = reading && [reading.x, reading.z].map((typed) => millimetres(typed, units()));
    const say = (v: number | null | undefined): string => (v == null ? '–' : missFigure(v, units()));
    const write = (place: Element | undefined, text: string): void => void (place!.textContent === text || (place!.textContent = text));
    write(means, mm ? `${say(mm[0])}, ${say(mm[1])}` : '');
    write(miss, residual ? say(residual.distance) : '');
    const text = said ?? (reading?.leaveOut ? 'Left out.' : reading?.corner ? 'Corner.' : reading?.error === undefined ? '' : `±${reading.error}`);
    write(remark, text);
    remark!.classList.toggle('bad', said !== undefined);
    tr.setAttribute('aria-selected', i === chosen ? 'true' : 'false');
    (act!.firstElementChild as HTMLElement).hidden = reading === undefined;
  }

  /** Moves a reading's height by a drag or by keys; its station stays. */
  function setHeight(index: number, z: number, what: string): void {
    const reading = readingDocuments(store.document)[index];
    if (reading === undefined) return;
    setReading(store, index, 'z', stepped(z, 0, units()), `${what} reading ${index + 1}`);
  }

  return {
    name: 'Readings',
    deskTitle: 'Readings',
    desk,
    tools: [...underlay.keys, fromFile, clear],
    content: () => {
      if (underlay.isOpen()) return underlay.content();
      const { contour } = store.derived;
      const drawn = contour ?? store.good?.contour ?? null;
      if (drawn === null) {
        const bare: Mark[] = (store.derived.job?.trace.points ?? []).map((p): Mark => ({ kind: 'circle', pen: 'reading', centre: [p.x, p.z], radius: 0.6, fill: true }));
        return { drawing: { marks: bare.length > 0 ? bare : [polyline('construction', [[0, 0], [100, 0]]), label([50, 4], 'Type or paste readings, or drop a file on the table.', 4)] }, handles: [], picture: underlay.under(), note: 'The curve appears with the third reading.', subject: `bare ${bare.length > 0}` };
      }
      const drawing = contourDrawing(drawn, false);
      const many = drawn.report.residuals.length > 400;
      const handles: Handle[] = many ? [] : drawn.report.residuals.map((r) => ({ id: String(r.index), at: r.at, name: `Reading ${r.index + 1}`, chosen: r.index === chosen, free: 'y' }));
      return { drawing, handles, picture: underlay.under(), note: `Misses ×${drawing.missFactor}. Drag a reading up or down, or type in the table.`, subject: 'contour' };
    },
    groups: () => [{ path: 'trace', title: 'Readings' }],
    noGroups: '',
    refresh() {
      underlay.refresh();
      refresh();
    },
    ...nothing,
    aim: underlay.aim,
    put: underlay.put,
    choose(id) {
      if (underlay.isOpen()) return underlay.choose(id);
      chosen = Number(id);
      rows.children[chosen]?.scrollIntoView({ block: 'nearest' });
      bench.redraw();
    },
    drag(id, to: Vec2, phase) {
      if (underlay.isOpen()) return underlay.drag(id, to, phase);
      setHeight(Number(id), to[1], 'Moved');
      return { guides: [] };
    },
    nudge(id, by) {
      if (underlay.isOpen()) return underlay.nudge(id, by);
      const now = store.derived.job?.trace.points[Number(id)];
      if (now) setHeight(Number(id), now.z + by[1], 'Nudged');
    },
    remove: (id) => (underlay.isOpen() ? underlay.remove(id) : removeRows(Number(id), 1)),
    reveal(path) {
      const row = /^trace\.points\[(\d+)\]/.exec(path)?.[1];
      if (row !== undefined) chosen = Number(row);
      return path.startsWith('trace');
    },
  };
}
