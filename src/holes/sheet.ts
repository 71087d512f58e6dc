/**
 * A sheet as typed at the bench -> its settings and rows, with line numbers. Text only; what the words mean is for others.
 * A line `name: value` is a setting, `#` starts a remark, every other line is a row of cells parted by tabs, semicolons or
 * commas (the first of these that the line holds). A decimal comma therefore needs tabs or semicolons between cells.
 */
import { cleanText } from '../readings/text.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';

export interface SheetLine<T> {
  readonly line: number;
  readonly value: T;
}

export interface Sheet {
  /** Names in small letters; a name may come several times. */
  readonly settings: readonly (SheetLine<string> & { readonly name: string })[];
  readonly rows: readonly SheetLine<readonly string[]>[];
}

/** Characters: a sheet is typed by hand. */
const longest = 1_000_000;

export function readSheet(text: string): Result<Sheet> {
  const clean = cleanText(text, 'table', longest);
  if (!clean.ok) return clean;
  const settings: (SheetLine<string> & { readonly name: string })[] = [];
  const rows: SheetLine<readonly string[]>[] = [];
  clean.value.split('\n').forEach((raw, i) => {
    const text = raw.replace(/#.*$/, '').trim();
    if (text === '') return;
    const setting = /^([a-z][a-z ]*?)\s*:\s*(.*)$/i.exec(text);
    if (setting !== null) settings.push({ line: i + 1, name: setting[1]!.toLowerCase().replace(/\s+/g, ' '), value: setting[2]!.trim() });
    else rows.push({ line: i + 1, value: cellsOf(text) });
  });
  return ok({ settings, rows });
}

function cellsOf(text: string): readonly string[] {
  const mark = ['\t', ';', ','].find((one) => text.includes(one));
  return mark === undefined ? text.split(/\s{2,}/) : text.split(mark).map((cell) => cell.trim());
}

export const sayLine = (line: number): string => `line ${line}`;

/** `yes`, `no` and the like; null when it is neither. */
export function yesNo(text: string): boolean | null {
  return /^(?:yes|y|true|1)$/i.test(text) ? true : /^(?:no|n|false|0)$/i.test(text) ? false : null;
}

/** Settings nobody knows, each with what is known. */
export function unknownSettings(sheet: Sheet, known: readonly string[]): Issue[] {
  return sheet.settings
    .filter(({ name }) => !known.includes(name))
    .map(({ name, line }) => ({ code: 'unknown-setting', at: sayLine(line), message: `"${name.slice(0, 40)}" is not a setting of this sheet.`, hint: `Known: ${known.join(', ')}.` }));
}

/** Issues of a document made from a sheet, told by line instead of by path. */
export function byLine(issues: readonly Issue[], lineOf: (path: string) => number | null): ReturnType<typeof refuse> {
  return refuse(
    ...issues.map((issue) => {
      const line = lineOf(issue.at);
      return line === null ? issue : { ...issue, at: sayLine(line) };
    }),
  );
}
