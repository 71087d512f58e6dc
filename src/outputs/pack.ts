/** Files -> one zip with a folder of its own and a manifest of hashes. The same files and date give the same bytes. */
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';
import { strToU8, Zip, ZipDeflate, ZipPassThrough, type DeflateOptions, type ZipInputFile } from 'fflate';
import type { OutputFile } from './file.ts';

/** How reports and manifests list a file. */
export interface Listed {
  readonly name: string;
  readonly bytes: number;
  /** Hexadecimal. */
  readonly sha256: string;
  readonly purpose: string;
}

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

const listed = ({ name, bytes, purpose }: OutputFile): Listed => ({ name, bytes: bytes.length, sha256: bytesToHex(sha256(bytes)), purpose });

/** What is packed already is not packed again. */
const stored = new Set(['model/3mf', 'application/pdf', 'application/zip']);

/** An entry as it will stand in the zip, and its data. */
interface Entry {
  readonly head: ZipInputFile;
  readonly data: readonly Uint8Array<ArrayBuffer>[];
}

/** A pack that takes each file as soon as it is there: hashing and squeezing some megabytes takes a while. */
export class Packing {
  readonly #folder: string;
  readonly #entries = new Map<string, Entry>();

  /** `folder` in the zip. */
  constructor(folder: string) {
    this.#folder = folder;
  }

  /** Takes a file in; one of the same name before it is put out. */
  add(file: OutputFile): Listed {
    this.#entries.set(file.name, this.#entry(file.name, file.bytes, stored.has(file.mimetype) ? 0 : 1));
    return listed(file);
  }

  /** The zip of the files listed, in their order. Each was added before. */
  close(list: readonly Listed[], info: PackInfo): Uint8Array {
    const manifest = this.#entry('manifest.json', strToU8(`${JSON.stringify(manifestOf(list, info), null, 2)}\n`), 6);
    // Zip keeps local time in steps of two seconds from 1980; the date as written is taken for local so that it reads as typed.
    const [year, month, day] = info.date.slice(0, 10).split('-').map(Number) as [number, number, number];
    const mtime = new Date(Math.max(1980, year), month - 1, day, 12);
    const chunks: Uint8Array[] = [];
    const zip = new Zip((error, chunk) => {
      if (error) throw error;
      chunks.push(chunk);
    });
    for (const { head, data } of [...list.map(({ name }) => this.#entries.get(name)!), manifest]) {
      const entry: ZipInputFile = { ...head, mtime };
      zip.add(entry);
      for (const [i, chunk] of data.entries()) entry.ondata!(null, chunk, i === data.length - 1);
    }
    zip.end();
    return joined(chunks);
  }

  #entry(name: string, bytes: Uint8Array, level: NonNullable<DeflateOptions['level']>): Entry {
    const data: Uint8Array<ArrayBuffer>[] = [];
    const stream = level === 0 ? new ZipPassThrough(`${this.#folder}/${name}`) : new ZipDeflate(`${this.#folder}/${name}`, { level });
    stream.ondata = (error, chunk) => {
      if (error) throw error;
      data.push(chunk as Uint8Array<ArrayBuffer>);
    };
    stream.push(bytes, true);
    const { filename, size, crc, compression } = stream;
    return { head: { filename, size, crc, compression, ...(stream instanceof ZipDeflate ? { flag: stream.flag } : {}) }, data };
  }
}

function joined(chunks: readonly Uint8Array[]): Uint8Array {
  const all = new Uint8Array(chunks.reduce((sum, chunk) => sum + chunk.length, 0));
  let at = 0;
  for (const chunk of chunks) {
    all.set(chunk, at);
    at += chunk.length;
  }
  return all;
}
