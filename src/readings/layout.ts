/**
 * The rows of a table -> which mark parts its columns and which is the decimal mark. Decided once for the whole table and
 * from the table alone; where two ways of reading it are equally good it is refused with both written out.
 */
import { ok, refuse, type Issue, type Result } from '../result.ts';
import { looksNumeric, sayDelimiter, splitRow, type DecimalMark, type Delimiter } from './cells.ts';

/** One row that is neither blank nor a comment. */
export interface Row {
  /** Line in the source, from 1. */
  readonly line: number;
  readonly text: string;
  /** What stood behind # or // on the same line. */
  readonly aside: string;
}

export interface Layout {
  readonly delimiter: Delimiter;
  readonly decimal: DecimalMark;
  /** Cells of each row, trimmed. */
  readonly cells: readonly (readonly string[])[];
}

/** Rows of a cleaned text. Lines that start with # or // are comments; so are lines of words behind a semicolon. */
export function rowsOf(text: string): { readonly rows: readonly Row[]; readonly comments: readonly string[] } {
  const rows: Row[] = [];
  const comments: string[] = [];
  text.split('\n').forEach((raw, index) => {
    const line = raw.trim();
    if (line === '') return;
    // Behind leading semicolons a number is a row with an empty first cell; words are a comment. Heads are not guessed out of comments.
    if (line.startsWith('#') || line.startsWith('//') || /^;[;\s]*(?:[^;\s\d.,+\-\u2212]|$)/.test(line)) {
      comments.push(line.replace(/^(?:#|\/\/|;)+\s*/, ''));
      return;
    }
    const aside = /\s(?:#|\/\/)(.*)$/.exec(raw);
    const body = aside === null ? raw : raw.slice(0, aside.index);
    rows.push({ line: index + 1, text: withoutOuterBlanks(body), aside: aside?.[1]?.trim() ?? '' });
  });
  return { rows, comments };
}

/** Leading and trailing tabs are empty cells; other outer blanks are not. A loop: a pattern would crawl over long runs of blanks. */
function withoutOuterBlanks(text: string): string {
  let from = 0;
  let to = text.length;
  while (from < to && text[from] === ' ') from++;
  while (to > from && text[to - 1] === ' ') to--;
  return text.slice(from, to);
}

interface Candidate extends Layout {
  /** Rows with at least two numbers. */
  readonly good: number;
  /** Cells that are not numbers in those rows. */
  readonly stray: number;
}

function tryLayout(rows: readonly Row[], delimiter: Delimiter, decimal: DecimalMark): Candidate {
  const cells = rows.map((row) => splitRow(row.text, delimiter) ?? [row.text]);
  let good = 0;
  let stray = 0;
  for (const row of cells) {
    const numbers = row.reduce((count, cell) => count + (looksNumeric(cell, decimal) ? 1 : 0), 0);
    if (numbers < 2) continue;
    good++;
    stray += row.reduce((count, cell) => count + (cell === '' || looksNumeric(cell, decimal) ? 0 : 1), 0);
  }
  return { delimiter, decimal, cells, good, stray };
}

const better = (a: Candidate, b: Candidate): boolean => a.good > b.good || (a.good === b.good && a.stray < b.stray);
const level = (a: Candidate, b: Candidate): boolean => a.good === b.good && a.stray === b.stray;

export interface LayoutOptions {
  readonly delimiter?: Delimiter;
  readonly decimal?: DecimalMark;
}

/** Decides how a table is laid out. `options` answer what an earlier refusal asked. */
export function decideLayout(rows: readonly Row[], options: LayoutOptions = {}): Result<Layout> {
  const best = bestCandidates(rows, options);
  const first = best[0];
  if (first === undefined || first.good === 0) return ok(first ?? tryLayout(rows, options.delimiter ?? 'comma', options.decimal ?? 'point'));
  const rival = best.find((candidate) => !sameValues(first, candidate));
  if (rival !== undefined) return refuse(rival.delimiter === first.delimiter ? twoMarks(rows, first) : twoWays(rows, first, rival));
  const pairs = decimalPairs(rows, first, options);
  if (pairs !== null) return refuse(pairs);
  const split = splitFractions(first, rows);
  if (split !== null && options.delimiter === undefined) return refuse(split);
  return ok(first);
}

/** All candidates that no other beats. Marks that do not occur are not tried. */
function bestCandidates(rows: readonly Row[], options: LayoutOptions): readonly Candidate[] {
  const all = rows.map((row) => row.text).join('\n');
  const present: readonly Delimiter[] = options.delimiter !== undefined ? [options.delimiter] : [
    ...(all.includes('\t') ? ['tab' as const] : []),
    ...(all.includes(';') ? ['semicolon' as const] : []),
    ...(all.includes(',') ? ['comma' as const] : []),
    ...(/ {2}/.test(all) ? ['wide gap' as const] : []),
    'space',
  ];
  const decimals: readonly DecimalMark[] = options.decimal !== undefined ? [options.decimal] : all.includes(',') ? ['point', 'comma'] : ['point'];
  let best: Candidate[] = [];
  for (const delimiter of present) {
    for (const decimal of decimals) {
      // Unquoted, one mark cannot be both.
      if (delimiter === 'comma' && decimal === 'comma' && !all.includes('"')) continue;
      const candidate = tryLayout(rows, delimiter, decimal);
      if (best[0] === undefined || better(candidate, best[0])) best = [candidate];
      else if (level(candidate, best[0])) best.push(candidate);
    }
  }
  return best;
}

/**
 * Layouts that give the very same cells say the same thing, unless numbers in them are written with both marks. A gap the
 * eye sees outweighs single blanks: `1 3/32   .765` is two columns.
 */
function sameValues(a: Candidate, b: Candidate): boolean {
  if (a.delimiter === 'wide gap' && b.delimiter === 'space') return true;
  if (a.cells.some((row, i) => row.length !== b.cells[i]?.length || row.some((cell, j) => cell !== b.cells[i]?.[j]))) return false;
  return a.decimal === b.decimal || !a.cells.some((row) => row.some((cell) => cell.includes(',') && looksNumeric(cell, 'comma')));
}

function twoMarks(rows: readonly Row[], layout: Layout): Issue {
  const rowWith = (mark: DecimalMark): string => {
    const index = layout.cells.findIndex((cells) => cells.some((cell) => looksNumeric(cell, mark) && cell.includes(mark === 'comma' ? ',' : '.')));
    return `row ${rows[index]?.line ?? '?'} ${sayCells(layout.cells[index])}`;
  };
  return {
    code: 'decimal-marks-mixed',
    at: '',
    message: `Expected one decimal mark in the whole table; ${rowWith('point')} has the point and ${rowWith('comma')} the comma.`,
    hint: 'Write all of them with the same mark.',
  };
}

const sayCells = (cells: readonly string[] | undefined): string => (cells ?? []).slice(0, 6).map((cell) => `[${cell.slice(0, 20)}]`).join(' ');

function twoWays(rows: readonly Row[], a: Candidate, b: Candidate): Issue {
  const at = a.cells.findIndex((row, i) => row.join('|') !== b.cells[i]?.join('|') && row.some((cell) => looksNumeric(cell, a.decimal)));
  const index = Math.max(at, 0);
  return {
    code: 'table-read-two-ways',
    at: `row ${rows[index]?.line ?? 1}`,
    message: `The table can be read two ways: parted by ${sayDelimiter[a.delimiter]} as ${sayCells(a.cells[index])}, or by ${sayDelimiter[b.delimiter]} as ${sayCells(b.cells[index])}.`,
    hint: 'Part the columns with semicolons or tabs, or state the separator.',
  };
}

/** `0,5,20,1`: four columns of whole numbers, or two with decimal commas. Nothing in the table tells, unless heads do. */
function decimalPairs(rows: readonly Row[], layout: Layout, options: LayoutOptions): Issue | null {
  if (layout.delimiter !== 'comma' || layout.decimal === 'comma' || options.delimiter === 'comma' || options.decimal === 'point') return null;
  const isData = (row: readonly string[]): boolean => row.some((cell) => looksNumeric(cell, 'point'));
  const data = layout.cells.filter(isData);
  if (data.length < layout.cells.length && layout.cells[0]?.length === data[0]?.length) return null;
  if (!data.every((row) => row.every((cell) => /^-?\d+$/.test(cell)))) return null;
  if (!data.every((row) => row.length >= 3) && !looksLikeOneColumn(data)) return null;
  const index = layout.cells.findIndex(isData);
  const cells = layout.cells[index] ?? [];
  const joined = cells.length % 2 === 0 ? cells.filter((_, i) => i % 2 === 0).map((cell, i) => `${cell},${cells[2 * i + 1]}`) : [`${cells[0]},${cells[1]}`, ...cells.slice(2)];
  return {
    code: 'table-read-two-ways',
    at: `row ${rows[index]?.line ?? 1}`,
    message: `The table can be read two ways: the comma parts the columns, as ${sayCells(cells)}, or it is the decimal mark, as ${sayCells(joined)}.`,
    hint: 'Part the columns with semicolons or tabs, write decimals with a point, or give the columns heads.',
  };
}

/** `27,5` over `28,1`: pairs of whole numbers that end in one digit each, or in 05: as good as one column of decimals. */
function looksLikeOneColumn(data: readonly (readonly string[])[]): boolean {
  const second = data.map((row) => row[1] ?? '');
  const digits = second[0]?.length ?? 0;
  return data.every((row) => row.length === 2) && second.every((cell) => /^\d+$/.test(cell) && cell.length === digits) && (digits === 1 || second.some((cell) => cell.startsWith('0')));
}

/** `1 3/32 .765`, parted by blanks: is the 1 a column of its own? */
function splitFractions(layout: Layout, rows: readonly Row[]): Issue | null {
  if (layout.delimiter !== 'space') return null;
  const index = layout.cells.findIndex((cells) => cells.some((cell, i) => /^\d+\s*[/⁄]\s*\d+/.test(cell) && i > 0 && /^[+-]?\d+$/.test(cells[i - 1] ?? '')));
  if (index < 0) return null;
  const cells = layout.cells[index] ?? [];
  const at = cells.findIndex((cell, i) => i > 0 && /^\d+\s*[/⁄]/.test(cell) && /^[+-]?\d+$/.test(cells[i - 1] ?? ''));
  const joined = [...cells.slice(0, at - 1), `${cells[at - 1]} ${cells[at]}`, ...cells.slice(at + 1)];
  return {
    code: 'table-read-two-ways',
    at: `row ${rows[index]?.line ?? 1}`,
    message: `The row can be read two ways: ${sayCells(cells)} or ${sayCells(joined)}.`,
    hint: 'Part the columns with tabs, commas or semicolons, or write the fraction as 1-3/32.',
  };
}
