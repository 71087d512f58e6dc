/**
 * A table of readings as text (CSV, TSV, semicolons, blanks, pasted) -> readings in document form.
 *
 * Method: the layout (separator, decimal mark) is decided for the table as a whole; heads say which column is which and in
 * which unit; each cell is then read by the grammar of typed lengths, so that inches, millimetres and fractions may stand
 * in one table. Every bad row is named at once. Nothing is repaired, sorted or dropped.
 */
import { readLength, type Quantity, type Units } from '../job/quantity.ts';
import { ok, refuse, sayIssue, type Issue, type Result } from '../result.ts';
import { columnsWithoutHeads, readHeads, unitOf, type Column, type TypedUnit } from './columns.ts';
import { decideLayout, looksNumeric, rowsOf, sayDelimiter, splitRow, type DecimalMark, type Layout, type LayoutOptions, type Row } from './layout.ts';
import { mostReadings, sayList, type Provenance, type Readings, type Remark, type TraceReading } from './reading.ts';
import { screenTrace } from './screen.ts';
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

/** Bad rows that are written out; the rest are counted. */
const rowsNamed = 20;

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
    const read = readRow(row, layout.cells[i] ?? [], layout, head.columns, options.units);
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

interface ReadRow {
  readonly point: TraceReading;
  readonly x: Quantity;
  readonly z: Quantity;
}

function readRow(row: Row, cells: readonly string[], layout: Layout, columns: readonly Column[], units: Units): Result<ReadRow> {
  const at = `row ${row.line}`;
  const issues: Issue[] = [];
  const values: { x?: Typed; z?: Typed; error?: Typed } = {};
  const flags: { corner?: boolean; leaveOut?: boolean } = {};
  let note = '';
  for (const [index, column] of columns.entries()) {
    const cell = cells[index] ?? '';
    if (column.role === 'note') note = cell;
    else if (column.role === 'corner' || column.role === 'leaveOut') {
      const flag = readFlag(cell);
      if (flag === null) issues.push({ code: 'bad-row', at, message: `${column.name}: expected yes or no, got "${cell.slice(0, 40)}".`, hint: 'Write yes, no, 1, 0, or leave it empty.' });
      else if (flag) flags[column.role] = true;
    } else if (column.role !== null && !(column.role === 'error' && cell === '')) {
      const read = readCell(cell, column, layout.decimal, units);
      if (read.ok) values[column.role] = read.value;
      else issues.push(...read.issues.map((issue) => ({ ...issue, code: 'bad-row', at, message: `${roleName(column)}: ${issue.message}` })));
    }
  }
  if (values.error !== undefined && values.error.quantity.mm <= 0) {
    issues.push({ code: 'bad-row', at, message: `Reading error: expected more than 0, got "${values.error.text}".`, hint: 'Give the one-sigma error of this reading, or leave it empty.' });
  }
  const { x, z, error } = values;
  if (issues.length > 0 || x === undefined || z === undefined) return issues.length > 0 ? refuse(...issues) : refuse({ code: 'bad-row', at, message: 'Expected a station and a height.', hint: 'Fill in both.' });
  const remembered = [note, row.aside].filter((part) => part !== '').join('; ');
  return ok({
    point: { x: x.text, z: z.text, ...(error === undefined ? {} : { error: error.text }), ...flags, ...(remembered === '' ? {} : { note: remembered }) },
    x: x.quantity,
    z: z.quantity,
  });
}

const roleName = (column: Column): string => (column.role === 'x' ? 'Station' : column.role === 'z' ? 'Height' : 'Reading error');

const readFlag = (cell: string): boolean | null => {
  if (/^(?:|0|no|n|false|-)$/i.test(cell)) return false;
  return /^(?:1|yes|y|true|x)$/i.test(cell) ? true : null;
};

interface Typed {
  readonly quantity: Quantity;
  /** As the job document keeps it. */
  readonly text: string;
}

/** One cell. The text kept is the text typed; only what the job's own grammar would take otherwise is made plain. */
function readCell(cell: string, column: Column, decimal: DecimalMark, units: Units): Result<Typed> {
  if (cell === '') return refuse({ code: 'bad-row', at: '', message: 'expected a length, got an empty cell.', hint: 'Fill it in, or delete the row.' });
  if (decimal === 'point' && looksNumeric(cell, 'comma') && cell.includes(',')) {
    return refuse({ code: 'bad-row', at: '', message: `"${cell}" has a comma where the rest of the table has the point.`, hint: `Write ${cell.replace(',', '.')} or ${cell.replace(',', '')}.` });
  }
  if (decimal === 'comma' && looksNumeric(cell, 'point') && cell.includes('.')) {
    return refuse({ code: 'bad-row', at: '', message: `"${cell}" has a point where the rest of the table has the comma.`, hint: `Write ${cell.replace('.', ',')} or ${cell.replace('.', '')}.` });
  }
  const withUnit = column.unit !== null && !/[a-z\u00b5\u03bc"″”]\s*$/i.test(cell) && !sameUnit(column.unit, units) ? `${cell}${column.unit}` : cell;
  // A comma known to be the decimal mark is still ambiguous outside its table: 1,234.
  const text = decimal === 'comma' ? withUnit.replace(',', '.') : withUnit;
  const read = readLength(text, units);
  if (!read.ok) return read;
  return ok({ quantity: read.value, text: readsAlone(withUnit, read.value.mm, units) ? withUnit : text });
}

const sameUnit = (unit: TypedUnit, units: Units): boolean => unit === (units === 'mm' ? 'mm' : 'in');

function readsAlone(text: string, mm: number, units: Units): boolean {
  const read = readLength(text, units);
  return read.ok && read.value.mm === mm;
}

function nameBadRows(bad: readonly Issue[], given: number): readonly Issue[] {
  const rows = new Set(bad.map((issue) => issue.at)).size;
  if (rows === given && given > 3) {
    const first = bad[0] as Issue;
    return [{ code: 'not-a-table', at: '', message: `Expected rows of station and height; none of the ${given} rows reads so. The first: ${sayIssue({ ...first, hint: '' })}`, hint: 'Each row needs a station and a height, such as 12.5, 31.2.' }];
  }
  const named = bad.slice(0, rowsNamed);
  if (bad.length <= rowsNamed) return named;
  const rest = new Set(bad.slice(rowsNamed).map((issue) => issue.at)).size;
  return [...named, { code: 'bad-rows', at: '', message: `${rest} more rows are bad, ${rows} of ${given} in all.`, hint: 'Correct the ones named; the rest are likely the same.' }];
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
