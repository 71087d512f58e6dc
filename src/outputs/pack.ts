/** Files -> one zip with a folder of its own and a manifest of hashes. The same files and date give the same bytes. */
import { strToU8, zipSync, type Zippable } from 'fflate';
import type { Listed } from './hash.ts';
import type { OutputFile } from './file.ts';

export interface PackInfo {
  readonly partNumber: string;
  readonly revision: string;
  readonly title: string;
  /** ISO 8601. */
  readonly date: string;
}

export interface Manifest extends PackInfo {
  readonly coverwright_manifest: 1;
  readonly files: readonly Listed[];
}

export const manifestOf = (files: readonly Listed[], info: PackInfo): Manifest => ({ coverwright_manifest: 1, ...info, files });

/** What is packed already is not packed again. */
const packed = new Set(['model/3mf', 'application/pdf', 'application/zip']);

/** `list` names the files in their order. */
export function packBytes(stem: string, files: readonly OutputFile[], list: readonly Listed[], info: PackInfo): Uint8Array {
  // Zip keeps local time in steps of two seconds from 1980; the date as written is taken for local so that it reads as typed.
  const [year, month, day] = info.date.slice(0, 10).split('-').map(Number) as [number, number, number];
  const mtime = new Date(Math.max(1980, year), month - 1, day, 12);
  const entries: Zippable = {};
  for (const file of files) entries[`${stem}/${file.name}`] = [file.bytes, { level: packed.has(file.mimetype) ? 0 : 1, mtime }];
  entries[`${stem}/manifest.json`] = [strToU8(`${JSON.stringify(manifestOf(list, info), null, 2)}\n`), { level: 6, mtime }];
  return zipSync(entries);
}
