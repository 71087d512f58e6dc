/** A thread that checks parts and prints their sheets: plain data in, findings and PDFs out. It opens no kernel. */
import { parentPort } from 'node:worker_threads';
import { workHere, type BesideData } from '../beside.ts';
import type { Finding } from '../checks/finding.ts';
import type { OutputFile } from '../outputs/file.ts';

export type FromBeside = { readonly kind: 'findings'; readonly findings: readonly Finding[] } | { readonly kind: 'paper'; readonly files: readonly OutputFile[] | null };

const port = parentPort;
if (port === null) throw new Error('this file runs as a worker');
const say = (message: FromBeside, transfer: readonly ArrayBuffer[] = []): void => port.postMessage(message, [...transfer]);

port.on('message', async ({ data, font }: { readonly data: BesideData; readonly font: Uint8Array | null }) => {
  const { findings, paper } = workHere(data, font);
  say({ kind: 'findings', findings: await findings });
  if (paper === null) return say({ kind: 'paper', files: null });
  // A PDF may be a view into a larger buffer of the writer: what is handed over is its own.
  const own = (await paper).files.map((file) => ({ ...file, bytes: file.bytes.slice() }));
  say({ kind: 'paper', files: own }, own.map((file) => file.bytes.buffer as ArrayBuffer));
});
