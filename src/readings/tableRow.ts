/**
 * One row of a table -> one reading in document form. Numbers go through the grammar of typed lengths; the text kept is the
 * text typed, with the unit of its column behind it where the job is in another.
 */
import { readLength, type Quantity, type Units } from '../job/quantity.ts';
import { ok, refuse, sayIssue, type Issue, type Result } from '../result.ts';
import { looksNumeric, type DecimalMark } from './cells.ts';
import type { Column, TypedUnit } from './columns.ts';
import type { Row } from './layout.ts';
import type { TraceReading } from './reading.ts';

/** Bad rows that are written out; the rest are counted. */
const rowsNamed = 20;

export interface ReadRow {
  readonly point: TraceReading;
  readonly x: Quantity;
  readonly z: Quantity;
}

/** Reads the cells of one row; every fault of the row at once. */
export function readRow(row: Row, cells: readonly string[], decimal: DecimalMark, columns: readonly Column[], units: Units): Result<ReadRow> {
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
      const read = readCell(cell, column, decimal, units);
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
  return ok({ quantity: read.value, text: text === withUnit || readsAlone(withUnit, read.value.mm, units) ? withUnit : text });
}

const sameUnit = (unit: TypedUnit, units: Units): boolean => unit === (units === 'mm' ? 'mm' : 'in');

function readsAlone(text: string, mm: number, units: Units): boolean {
  const read = readLength(text, units);
  return read.ok && read.value.mm === mm;
}

/** The first bad rows and the count of the rest; or, when no row reads, that this is no table of readings. */
export function nameBadRows(bad: readonly Issue[], given: number): readonly Issue[] {
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
