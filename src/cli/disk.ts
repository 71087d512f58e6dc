/**
 * Reading and writing for the terminal. A batch of files is written whole or not at all: everything goes to temporary
 * names beside its target first, and only when all of it is on disk are the names changed.
 */
import { randomBytes } from 'node:crypto';
import { mkdirSync, openSync, readFileSync, renameSync, rmSync, statSync, writeSync, fsyncSync, closeSync, accessSync, constants, existsSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import type { OutputFile } from '../outputs/file.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';

/** Bytes. No job or table of readings is this large; a bigger file is the wrong file. */
export const largestInput = 64 * 1024 * 1024;

const reasons: Readonly<Record<string, readonly [string, string]>> = {
  ENOENT: ['does not exist', 'Check the name.'],
  EACCES: ['may not be read or written', 'Check its permissions, or choose another folder.'],
  EPERM: ['may not be read or written', 'Check its permissions, or choose another folder.'],
  EROFS: ['is on a disk that cannot be written', 'Choose another folder.'],
  EISDIR: ['is a folder', 'Name a file.'],
  ENOFOLDER: ['cannot be made: nothing new can stand there', 'Choose another folder.'],
  ENOTDIR: ['is not a folder', 'Choose another folder.'],
  EEXIST: ['is a file, not a folder', 'Choose another folder.'],
  ENOSPC: ['does not fit: the disk is full', 'Free some space.'],
  ENAMETOOLONG: ['has too long a name', 'Shorten the part number.'],
};

function diskIssue(error: unknown, path: string): ReturnType<typeof refuse> {
  const code = (error as { code?: string }).code ?? '';
  const known = reasons[code];
  // Anything else is not the person's doing.
  if (known === undefined) throw error;
  return refuse({ code: `disk-${code.toLowerCase()}`, at: path, message: `This ${known[0]}.`, hint: known[1] });
}

/** The bytes of a file, refused when it is missing, a folder or far too large. `-` is standard input. */
export function readBytes(path: string): Result<Uint8Array> {
  try {
    if (path === '-') return ok(readFileSync(0));
    const { size } = statSync(path);
    if (size > largestInput) {
      return refuse({ code: 'file-too-large', at: path, message: `Expected at most ${largestInput / 2 ** 20} MB, got ${(size / 2 ** 20).toFixed(0)} MB.`, hint: 'Is this the right file?' });
    }
    return ok(readFileSync(path));
  } catch (error) {
    return diskIssue(error, path);
  }
}

/** The text of a file in UTF-8 or UTF-16 with a byte order mark. Bytes that are neither are refused. */
export function readText(path: string): Result<string> {
  const bytes = readBytes(path);
  if (!bytes.ok) return bytes;
  const [a, b] = bytes.value;
  const encoding = a === 0xff && b === 0xfe ? 'utf-16le' : a === 0xfe && b === 0xff ? 'utf-16be' : 'utf-8';
  try {
    return ok(new TextDecoder(encoding, { fatal: true }).decode(bytes.value));
  } catch {
    // Old spreadsheet exports; every byte means something, so nothing is lost.
    const text = new TextDecoder('windows-1252').decode(bytes.value);
    return text.includes('\u0000') ? refuse({ code: 'not-text', at: path, message: 'Expected a text file, got binary data.', hint: 'Save it as text first.' }) : ok(text);
  }
}

/** Temporary names in use, so that an interrupted run can sweep up after itself. */
const unfinished = new Set<string>();

/** Removes what an interrupted write left. */
export function sweepUp(): void {
  for (const path of unfinished) rmSync(path, { force: true });
  unfinished.clear();
}

/** Makes a folder and those above it. (Node's own recursive mkdir never returns where a folder exists but takes no new ones, as under /proc.) */
function makeFolder(path: string): void {
  if (existsSync(path)) {
    if (!statSync(path).isDirectory()) throw Object.assign(new Error(path), { code: 'EEXIST' });
    return;
  }
  makeFolder(dirname(path));
  try {
    mkdirSync(path);
  } catch (error) {
    // The folder above was there a moment ago: it is one that only shows what the machine keeps in it.
    throw (error as { code?: string }).code === 'ENOENT' ? Object.assign(new Error(path), { code: 'ENOFOLDER' }) : error;
  }
}

/** What stands in the way of writing into `folder`, found without making anything: better known before the work than after. */
export function folderIssues(folder: string): readonly Issue[] {
  let here = resolve(folder);
  while (!existsSync(here)) here = dirname(here);
  try {
    if (!statSync(here).isDirectory()) throw Object.assign(new Error(here), { code: 'EEXIST' });
    accessSync(here, constants.W_OK);
    return [];
  } catch (error) {
    return diskIssue(error, here).issues;
  }
}

/** Writes all files into `folder`, making it if needed. All or nothing; files already there stay whole until the end. */
export function writeFiles(folder: string, files: readonly OutputFile[]): Result<readonly string[]> {
  const target = resolve(folder);
  const mark = randomBytes(4).toString('hex');
  const moves: (readonly [string, string])[] = [];
  try {
    makeFolder(target);
    accessSync(target, constants.W_OK);
    for (const file of files) {
      if (basename(file.name) !== file.name || file.name === '..') throw new Error(`not a plain file name: ${file.name}`);
      const temporary = join(target, `.${file.name}.${mark}.part`);
      unfinished.add(temporary);
      const handle = openSync(temporary, 'wx');
      try {
        // One write call may take less than it was given.
        for (let done = 0; done < file.bytes.length; ) done += writeSync(handle, file.bytes, done);
        fsyncSync(handle);
      } finally {
        closeSync(handle);
      }
      moves.push([temporary, join(target, file.name)]);
    }
    for (const [from, to] of moves) {
      renameSync(from, to);
      unfinished.delete(from);
    }
    return ok(moves.map(([, to]) => to));
  } catch (error) {
    sweepUp();
    return diskIssue(error, target);
  }
}
