/** The sheets of paper printed in a thread of their own, while the kernel goes on with the fixture. */
import { Worker } from 'node:worker_threads';
import type { Printed, Printer } from '../outputs/paper/paper.ts';

let thread: Worker | undefined;

/** Pages stay in that thread; only the PDFs come back. One print at a time is asked for by each worker of the command. */
export const printElsewhere: Printer = (data, font) => {
  const worker = (thread ??= new Worker(new URL('./printer.js', import.meta.url)));
  worker.ref();
  return new Promise((resolve, reject) => {
    worker.once('message', (files: Printed['files']) => {
      worker.off('error', reject);
      // Idle, it keeps nobody from ending.
      worker.unref();
      resolve({ sheets: [], files });
    });
    worker.once('error', reject);
    worker.postMessage({ data, font });
  });
};
