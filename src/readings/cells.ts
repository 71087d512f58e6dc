/**
 * One row of a table -> its cells, and whether a cell is a number. Quoted cells follow RFC 4180, within one row.
 */
import { unitOf } from './columns.ts';

export type Delimiter = 'tab' | 'semicolon' | 'comma' | 'wide gap' | 'space';
export type DecimalMark = 'point' | 'comma';

const separators: Readonly<Record<Delimiter, string | RegExp>> = { tab: '\t', semicolon: ';', comma: ',', 'wide gap': /\s{2,}/, space: /\s+/ };

export const sayDelimiter: Readonly<Record<Delimiter, string>> = { tab: 'tabs', semicolon: 'semicolons', comma: 'commas', 'wide gap': 'gaps of two or more blanks', space: 'blanks' };

/** Cells of one row; a cell in quotes may hold the separator. Null when a quote is opened and not closed. */
export function splitRow(text: string, delimiter: Delimiter): readonly string[] | null {
  const separator = separators[delimiter];
  if (typeof separator !== 'string') return joinUnits(text.trim().split(separator));
  // Quotes only matter where one opens a cell: in 2" it is the inch mark.
  if (!text.includes('"') || !new RegExp(`(?:^|${separator})[^\\S${separator}]*"`).test(text)) return text.split(separator).map((cell) => cell.trim());
  return splitQuoted(text, separator);
}

/** RFC 4180 cells of one row: a quoted cell may hold the separator, and a doubled quote for a quote. */
function splitQuoted(text: string, separator: string): readonly string[] | null {
  const quoted = new RegExp(`[^\\S${separator}]*"((?:[^"]|"")*)"[^\\S${separator}]*(?:${separator}|$)`, 'y');
  const opens = new RegExp(`[^\\S${separator}]*"`, 'y');
  const cells: string[] = [];
  let at = 0;
  for (;;) {
    opens.lastIndex = quoted.lastIndex = at;
    let end: number;
    if (opens.test(text)) {
      const cell = quoted.exec(text);
      if (cell === null) return null;
      cells.push((cell[1] ?? '').replaceAll('""', '"').trim());
      end = quoted.lastIndex - (cell[0].endsWith(separator) ? 1 : 0);
    } else {
      const next = text.indexOf(separator, at);
      end = next < 0 ? text.length : next;
      cells.push(text.slice(at, end).trim());
    }
    if (end >= text.length) return cells;
    at = end + 1;
  }
}

const unitPattern = String.raw`(?:mm|cm|m|um|[\u00b5\u03bc]m|in|inch|inches|thou|["″”])`;
const loneUnit = new RegExp(`^${unitPattern}$`, 'i');

const bracketed = /^[([].+[)\]]$/;

/** In a table parted by blanks a unit stands apart from its number or its head: `27.5 mm 1 in`, `x (mm) z (mm)`. */
function joinUnits(tokens: readonly string[]): readonly string[] {
  const cells: string[] = [];
  for (const token of tokens) {
    const last = cells.at(-1);
    const belongs = last !== undefined && ((loneUnit.test(token) && /\d$/.test(last)) || (bracketed.test(token) && unitOf(token) !== null && !/[)\]\d]$/.test(last)));
    if (belongs) cells[cells.length - 1] = `${last} ${token}`;
    else cells.push(token);
  }
  return cells;
}

const numberPattern = (mark: string): RegExp =>
  new RegExp(String.raw`^[+\-\u2212]?(?:(?:\d+(?:${mark}\d+)?${mark === ',' ? '' : String.raw`|\d+\.`}|${mark}\d+)(?:e[+-]?\d{1,3})?|(?:\d+(?:\s+|-))?\d+\s*[/⁄]\s*\d+)\s*${unitPattern}?$`, 'i');
const numberWith: Readonly<Record<DecimalMark, RegExp>> = { point: numberPattern(String.raw`\.`), comma: numberPattern(',') };

/** True for a cell that is a length with this decimal mark. */
export const looksNumeric = (cell: string, decimal: DecimalMark): boolean => numberWith[decimal].test(cell);
