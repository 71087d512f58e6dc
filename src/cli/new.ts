/** The verb new: a job file from a preset, never over an existing file. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { nearest } from '../job/documents.ts';
import { readJob } from '../job/read.ts';
import type { JobDocument } from '../job/schema.ts';
import { unwrap } from '../result.ts';
import { textFile } from '../outputs/file.ts';
import { writeFiles } from './disk.ts';
import { sayIssues, table } from './words.ts';

export interface NewFlags {
  readonly from: string;
  readonly list?: boolean;
  readonly title?: string;
  readonly number?: string;
}

/** The package's own folder: this file runs from dist/. */
export const packageFolder = fileURLToPath(new URL('..', import.meta.url));
const presetFolder = join(packageFolder, 'presets');
const ending = '.job.json';

export const presetNames = (): string[] =>
  readdirSync(presetFolder)
    .filter((name) => name.endsWith(ending))
    .map((name) => name.slice(0, -ending.length));

const presetText = (name: string): string => readFileSync(join(presetFolder, name + ending), 'utf8');

export async function runNew(file: string | undefined, flags: NewFlags): Promise<number> {
  const names = presetNames();
  if (flags.list || file === undefined) {
    process.stdout.write(`${table(names.map((name) => [name, unwrap(readJob(presetText(name))).job.title]))}\n`);
    if (!flags.list) process.stderr.write('Name the file to write: coverwright new part.job.json --from PRESET\n');
    return flags.list ? 0 : 2;
  }
  const refuse = (message: string): number => {
    process.stderr.write(`${message}\n`);
    return 2;
  };
  if (!names.includes(flags.from)) {
    const near = nearest(flags.from, names);
    return refuse(`There is no preset "${flags.from.slice(0, 60)}". ${near ? `Did you mean ${near}?` : `There are: ${names.join(', ')}.`}`);
  }
  if (existsSync(file)) return refuse(`${file}: This exists already. Choose another name; nothing was changed.`);
  let text = presetText(flags.from);
  // Edited as text where nothing else changes, so that the preset's layout stays readable.
  const edits: [keyof JobDocument & string, string | undefined][] = [['title', flags.title], ['partNumber', flags.number]];
  for (const [field, value] of edits) {
    if (value !== undefined) text = text.replace(new RegExp(`("${field}": )"(?:[^"\\\\]|\\\\.)*"`), (_, key: string) => `${key}${JSON.stringify(value)}`);
  }
  // The schema stands beside the package, not beside the new file.
  text = text.replace(/^\s*"\$schema":.*\n/m, '');
  const read = readJob(text);
  if (!read.ok) return refuse(sayIssues(read.issues, ''));
  const written = writeFiles(dirname(file), [textFile(basename(file), 'application/json', 'The job.', text)]);
  if (!written.ok) return refuse(sayIssues(written.issues, ''));
  process.stdout.write(`Wrote ${file}: ${read.value.job.title}. Next: coverwright make ${file}\n`);
  return 0;
}
