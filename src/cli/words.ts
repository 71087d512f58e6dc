/** How the terminal speaks: issues, findings, tables and one progress line. Plain text; colour only on a terminal that wants it. */
import type { Finding } from '../checks/finding.ts';
import { sayBytes } from '../outputs/say.ts';
import { sayIssue, type Issue } from '../result.ts';

const colours = { red: 31, yellow: 33, blue: 34, dim: 2, bold: 1 } as const;

/** NO_COLOR is an open convention (no-color.org). */
const colourful = process.stdout.isTTY === true && process.env['NO_COLOR'] === undefined;

export const paint = (colour: keyof typeof colours, text: string): string => (colourful ? `\u001b[${colours[colour]}m${text}\u001b[0m` : text);

const levelColour = { stop: 'red', warn: 'yellow', note: 'blue' } as const;

export const sayFinding = (finding: Finding): string =>
  `  ${paint(levelColour[finding.level], finding.level.padEnd(4))}  ${finding.message} ${finding.cure}${finding.takenOnBy ? ` Taken on by ${finding.takenOnBy}.` : ''}`.trimEnd();

export const sayIssues = (issues: readonly Issue[], source: string): string =>
  issues.map((issue) => `${source && issue.at !== source ? `${source}: ` : ''}${sayIssue(issue)}`).join('\n');

/** Left column of names, right column of values. */
export function table(rows: readonly (readonly [string, string])[]): string {
  const widest = Math.max(...rows.map(([name]) => name.length));
  return rows.map(([name, value]) => `  ${name.padEnd(widest)}  ${value}`).join('\n');
}

/** One line that is rewritten in place on a terminal and silent elsewhere, so that logs stay clean. */
export function progressLine(): { show(text: string): void; clear(): void } {
  const live = process.stderr.isTTY === true;
  return {
    show: (text) => {
      if (live) process.stderr.write(`\r\u001b[2K${text.slice(0, (process.stderr.columns ?? 80) - 1)}`);
    },
    clear: () => {
      if (live) process.stderr.write('\r\u001b[2K');
    },
  };
}

export interface WrittenFile {
  readonly name: string;
  readonly bytes: number;
  readonly purpose: string;
}

/** What a verb wrote, one line a file. */
export const sayWritten = (folder: string, files: readonly WrittenFile[]): string => [`Written to ${folder}:`, table(files.map((f) => [f.name, `${sayBytes(f.bytes).padStart(7)}  ${f.purpose}`]))].join('\n');
