/**
 * A table of readings as text (CSV, TSV, semicolons, blanks, pasted) -> readings in document form.
 *
 * Method: the layout (separator, decimal mark) is decided for the table as a whole; heads say which column is which and in
 * which unit; each cell is then read by the grammar of typed lengths, so that inches, millimetres and fractions may stand
 * in one table. Every bad row is named at once. Nothing is repaired, sorted or dropped.
 */
import type { Units } from '../job/quantity.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import { looksNumeric, sayDelimiter, splitRow, type DecimalMark } from './cells.ts';
import { columnsWithoutHeads, readHeads, unitOf, type Column } from './columns.ts';
import { decideLayout, rowsOf, type Layout, type LayoutOptions, type Row } from './layout.ts';
import { mostReadings, sayList, type Provenance, type Readings, type Remark, type TraceReading } from './reading.ts';
import { screenTrace } from './screen.ts';
import { nameBadRows, readRow } from './tableRow.ts';
import { cleanText } from './text.ts';

export interface TableOptions extends LayoutOptions {
  /** What a bare number means: the units of the job. */
  readonly units: Units;
  /** File name for the provenance; leave out when pasted. */
  readonly file?: string;
}

export interface ReadTable extends Readings {
  /** Line in the source of each reading, from 1. */
  readonly rows: readonly number[];
  readonly columns: readonly Column[];
  /** mm. The coarsest half of a last digit or fraction among stations and heights. */
  readonly impliedError: number;
  readonly decimal: DecimalMark;
  /** Comments, and titles above the heads, as they stood. */
  readonly asides: readonly string[];
}

/** Reads a table. Refuses with every bad row named, or with what the table leaves open. */
export function readTable(text: string, options: TableOptions): Result<ReadTable> {
  const clean = cleanText(text, 'table');
  if (!clean.ok) return clean;
  const { rows, comments } = rowsOf(clean.value);
  if (rows.length === 0) return refuse({ code: 'empty', at: '', message: 'Expected rows of readings, got only comments.', hint: 'Take the # or // off the rows that hold readings.' });
  if (rows.length > mostReadings) {
    return refuse({ code: 'too-many-readings', at: '', message: `Expected at most ${mostReadings} readings, got ${rows.length} rows.`, hint: 'Leave out rows: a contour needs 20 to 40 readings by hand, a few thousand from a scan.' });
  }
  const layout = decideLayout(rows, options);
  if (!layout.ok) return layout;
  const open = openQuotes(rows, layout.value);
  if (open.length > 0) return refuse(...nameBadRows(open, rows.length));
  const head = readHead(rows, layout.value);
  if (!head.ok) return head;
  const marks = thousandsOnly(rows, layout.value, head.value, options);
  if (marks !== null) return refuse(marks);
  return readBody(rows, layout.value, head.value, comments, options);
}

/** A quote that opens a cell and is not closed on its row would swallow what follows. */
const openQuotes = (rows: readonly Row[], layout: Layout): readonly Issue[] =>
  rows
    .filter((row) => row.text.includes('"') && splitRow(row.text, layout.delimiter) === null)
    .map((row) => ({ code: 'bad-row', at: `row ${row.line}`, message: `A quote is opened and not closed: ${row.text.slice(0, 40)}.`, hint: 'Close the quote, or take it away.' }));

// Far more than any log has; a table typed sideways or a broken file has more.
const mostColumns = 200;

interface Head {
  readonly columns: readonly Column[];
  /** Index of the first row of readings. */
  readonly from: number;
  readonly hasHeads: boolean;
  /** Rows of words above the heads. */
  readonly titles: number;
}

function readHead(rows: readonly Row[], layout: Layout): Result<Head> {
  const isData = (cells: readonly string[]): boolean => cells.some((cell) => /\d/.test(cell) && (looksNumeric(cell, layout.decimal) || looksNumeric(cell, 'point') || looksNumeric(cell, 'comma')));
  const firstData = layout.cells.findIndex(isData);
  if (firstData < 0) {
    return refuse({ code: 'not-a-table', at: '', message: `Expected rows of station and height, got no numbers: row ${rows[0]?.line} is "${rows[0]?.text.slice(0, 60)}".`, hint: 'Each row needs a station and a height, such as 12.5, 31.2.' });
  }
  const width = layout.cells.slice(firstData).reduce((most, cells) => Math.max(most, usedWidth(cells)), 0);
  if (width < 2) {
    return refuse({ code: 'one-column', at: '', message: 'Expected two columns, station and height; got one.', hint: 'Put both numbers of a reading in one row, parted by a comma, semicolon or tab.' });
  }
  if (width > mostColumns) {
    return refuse({ code: 'too-many-columns', at: '', message: `Expected at most ${mostColumns} columns, got ${width}.`, hint: 'One reading goes in one row: turn the table by a quarter, or keep only the columns needed.' });
  }
  if (firstData === 0) return ok({ columns: columnsWithoutHeads(width), from: 0, hasHeads: false, titles: 0 });
  return withHeads(rows, layout, firstData, width);
}

const usedWidth = (cells: readonly string[]): number => cells.findLastIndex((cell) => cell !== '') + 1;

/** Rows above the first number: titles, heads, and perhaps a row of units. */
function withHeads(rows: readonly Row[], layout: Layout, firstData: number, width: number): Result<Head> {
  const above = layout.cells.slice(0, firstData);
  const last = above.at(-1) ?? [];
  const unitRow = above.length > 1 && last.some((cell) => cell !== '') && last.every((cell) => cell === '' || unitOf(cell) !== null);
  const headIndex = above.length - (unitRow ? 2 : 1);
  const heads = above[headIndex] ?? [];
  if (layout.delimiter === 'space' && heads.length !== width) {
    return refuse({ code: 'heads-not-understood', at: `row ${rows[headIndex]?.line ?? 1}`, message: `Expected ${width} heads for ${width} columns parted by blanks, got ${heads.length}: ${sayList(heads.map((cell) => `"${cell.slice(0, 20)}"`), 8)}.`, hint: 'Part heads and columns with tabs, commas or semicolons.' });
  }
  const columns = readHeads(heads).map((column, index) => ({ ...column, unit: (unitRow ? unitOf(last[index] ?? '') : null) ?? column.unit }));
  const missing = (['x', 'z'] as const).filter((role) => !columns.some((column) => column.role === role));
  if (missing.length > 0) {
    const wanted = missing.map((role) => (role === 'x' ? 'station' : 'height')).join(' or ');
    return refuse({
      code: 'heads-not-understood',
      at: `row ${rows[headIndex]?.line ?? 1}`,
      message: `Expected a column for ${wanted}; the heads are ${sayList(heads.map((cell) => `"${cell.slice(0, 20)}"`), 8)}.`,
      hint: 'Head the columns "station" and "height" (or "x" and "z"), or take the row of heads away so that the first two columns count.',
    });
  }
  return ok({ columns, from: firstData, hasHeads: true, titles: headIndex });
}

/** `1,234` in every row: a decimal comma or a thousands mark; the table does not tell. */
function thousandsOnly(rows: readonly Row[], layout: Layout, head: Head, options: TableOptions): Issue | null {
  if (layout.decimal !== 'comma' || options.decimal === 'comma') return null;
  let first: { readonly line: number; readonly cell: string } | null = null;
  for (let i = head.from; i < layout.cells.length; i++) {
    for (const [index, column] of head.columns.entries()) {
      const cell = layout.cells[i]?.[index] ?? '';
      if (!isLengthRole(column) || !cell.includes(',') || !looksNumeric(cell, 'comma')) continue;
      if (!/^[+\-\u2212]?[1-9]\d{0,2},\d{3}(?!\d)/.test(cell)) return null;
      first ??= { line: rows[i]?.line ?? 0, cell };
    }
  }
  if (first === null) return null;
  const [a = '', b = ''] = first.cell.split(',');
  return { code: 'decimal-mark-unclear', at: `row ${first.line}`, message: `"${first.cell}" could mean ${a}.${b} or ${a}${b}, and so could every number with a comma in this table.`, hint: 'Write decimals with a point, or state that the comma is the decimal mark.' };
}

const isLengthRole = (column: Column): boolean => column.role === 'x' || column.role === 'z' || column.role === 'error';

function readBody(rows: readonly Row[], layout: Layout, head: Head, comments: readonly string[], options: TableOptions): Result<ReadTable> {
  const points: TraceReading[] = [];
  const mm: { x: number; z: number }[] = [];
  const lines: number[] = [];
  const bad: Issue[] = [];
  let impliedError = 0;
  for (let i = head.from; i < rows.length; i++) {
    const row = rows[i] as Row;
    const read = readRow(row, layout.cells[i] ?? [], layout.decimal, head.columns, options.units);
    if (!read.ok) {
      bad.push(...read.issues);
      continue;
    }
    points.push(read.value.point);
    mm.push({ x: read.value.x.mm, z: read.value.z.mm });
    lines.push(row.line);
    impliedError = Math.max(impliedError, read.value.x.impliedError, read.value.z.impliedError);
  }
  if (bad.length > 0) return refuse(...nameBadRows(bad, rows.length - head.from));
  const asides = [...comments, ...rows.slice(0, head.titles).map((row) => row.text.trim())];
  const remarks = [...tableRemarks(rows, layout, head), ...screenTrace(mm, { rows: lines, units: options.units })];
  return ok({ points, mm, rows: lines, columns: head.columns, impliedError, decimal: layout.decimal, asides, remarks, provenance: provenance(points.length, layout, head, asides, options) });
}

function tableRemarks(rows: readonly Row[], layout: Layout, head: Head): readonly Remark[] {
  const remarks: Remark[] = [];
  const extra = head.columns.filter((column) => column.role === null && layout.cells.slice(head.from).some((cells) => (cells[head.columns.indexOf(column)] ?? '') !== ''));
  if (extra.length > 0) {
    remarks.push({ code: 'columns-not-used', at: '', points: [], message: `Not used: ${sayList(extra.map((column) => (head.hasHeads ? `"${column.name}"` : column.name)))}.`, hint: 'Head a column "error" or "note" to have it used.' });
  }
  const wide = layout.cells.findIndex((cells, index) => index >= head.from && usedWidth(cells) > head.columns.length);
  if (wide >= 0) {
    remarks.push({ code: 'cells-not-used', at: `row ${rows[wide]?.line}`, points: [wide - head.from], message: `Has more cells than there are columns: ${usedWidth(layout.cells[wide] ?? [])} for ${head.columns.length}.`, hint: 'Check that no separator stands in the wrong place.' });
  }
  if (layout.delimiter === 'comma' && !head.hasHeads && layout.cells.every((cells) => cells.every((cell) => /^-?\d*$/.test(cell)))) {
    const [x, z] = layout.cells[0] ?? [];
    remarks.push({ code: 'commas-part-columns', at: '', points: [], message: `Every number is whole and commas part the columns: row ${rows[0]?.line} is station ${x}, height ${z}.`, hint: 'If the comma is a decimal mark, part the columns with semicolons or tabs.' });
  }
  return remarks;
}

function provenance(count: number, layout: Layout, head: Head, asides: readonly string[], options: TableOptions): Provenance {
  const headed = head.columns.filter((column) => isLengthRole(column) && column.unit !== null).map((column) => `"${column.name}" in ${column.unit}`);
  const units = headed.length > 0 ? `${headed.join(', ')} by the heads, other bare numbers in ${options.units}` : `bare numbers in ${options.units}, as the job`;
  const named = (role: 'x' | 'z'): string => head.columns.find((column) => column.role === role)?.name ?? '';
  const parts = [
    options.file ?? 'Pasted',
    `table of ${count} readings`,
    `parted by ${sayDelimiter[layout.delimiter]}`,
    `decimal ${layout.decimal}`,
    head.hasHeads ? `station from "${named('x')}", height from "${named('z')}"` : 'first two columns are station and height',
    units,
    ...(asides.length > 0 ? [`said there: ${sayList(asides.map((aside) => `"${aside.slice(0, 120)}"`), 4)}`] : []),
  ];
  return { file: options.file ?? '', kind: 'table', count, units, words: `${parts.join('; ')}.` };
}
