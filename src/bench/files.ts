/** Files in and out of the page: a download, or a file of the machine itself where the browser allows it. */
import type { OutputFile } from '../outputs/file.ts';

export function downloadFile(file: OutputFile): void {
  const url = URL.createObjectURL(new Blob([file.bytes as Uint8Array<ArrayBuffer>], { type: file.mimetype }));
  const link = document.createElement('a');
  link.href = url;
  link.download = file.name;
  link.click();
  // The browser reads it after this call returns.
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}

interface FileHandle {
  readonly name: string;
  getFile(): Promise<File>;
  createWritable(): Promise<{ write(text: string): Promise<void>; close(): Promise<void> }>;
}
interface FilePickers {
  showOpenFilePicker?(options: object): Promise<FileHandle[]>;
  showSaveFilePicker?(options: object): Promise<FileHandle>;
}
const pickers = window as unknown as FilePickers;
const jobType = [{ description: 'Job', accept: { 'application/json': ['.json'] } }];

/** Bytes beyond which a chosen file is refused unread. */
export const largestFile = 64 * 2 ** 20;

/** Asks for one file; null when the person thinks better of it. */
export async function chooseFile(accept: string): Promise<File | null> {
  return new Promise((resolve) => {
    const input = document.createElement('input');
    input.type = 'file';
    input.accept = accept;
    input.addEventListener('change', () => resolve(input.files?.[0] ?? null));
    input.addEventListener('cancel', () => resolve(null));
    input.click();
  });
}

/** A job file of the machine: kept so that saving goes back to the same file. */
export interface OpenedJob {
  readonly text: string;
  readonly name: string;
  readonly handle: FileHandle | null;
}

export async function openJobFile(): Promise<OpenedJob | null> {
  if (pickers.showOpenFilePicker === undefined) {
    const file = await chooseFile('.json,application/json');
    return file && { text: await readLimited(file), name: file.name, handle: null };
  }
  try {
    const [handle] = await pickers.showOpenFilePicker({ types: jobType });
    if (handle === undefined) return null;
    const file = await handle.getFile();
    return { text: await readLimited(file), name: file.name, handle };
  } catch (error) {
    if ((error as Error).name === 'AbortError') return null;
    throw error;
  }
}

export async function readLimited(file: File): Promise<string> {
  if (file.size > largestFile) throw new Error(`${file.name} is ${(file.size / 2 ** 20).toFixed(0)} MB; at most ${largestFile / 2 ** 20} MB is read. Is it the right file?`);
  return file.text();
}

/** Saves to the file it came from, or to one asked for, or as a download. Answers the handle to save to next time. */
export async function saveJobFile(text: string, name: string, handle: FileHandle | null): Promise<FileHandle | null> {
  if (handle === null && pickers.showSaveFilePicker === undefined) {
    downloadFile({ name, mimetype: 'application/json', purpose: '', bytes: new TextEncoder().encode(text) });
    return null;
  }
  try {
    const target = handle ?? (await pickers.showSaveFilePicker!({ suggestedName: name, types: jobType }));
    const stream = await target.createWritable();
    await stream.write(text);
    await stream.close();
    return target;
  } catch (error) {
    if ((error as Error).name === 'AbortError') return handle;
    throw error;
  }
}

export type { FileHandle };
