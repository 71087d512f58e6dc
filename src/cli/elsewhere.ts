/** Checks and sheets in a thread of their own, while the kernel goes on with the fixture. */
import { Worker } from 'node:worker_threads';
import type { Beside } from '../beside.ts';
import type { FromBeside } from './beside.ts';

let thread: Worker | undefined;

/** Pages stay in that thread; findings and PDFs come back. Each worker of the command asks for one part at a time. */
export const workElsewhere: Beside = (data, font) => {
  const worker = (thread ??= new Worker(new URL('./beside.js', import.meta.url)));
  worker.ref();
  const answer = <K extends FromBeside['kind']>(kind: K): Promise<Extract<FromBeside, { kind: K }>> =>
    new Promise((resolve, reject) => {
      const hear = (message: FromBeside): void => {
        if (message.kind !== kind) return;
        worker.off('message', hear).off('error', reject);
        resolve(message as Extract<FromBeside, { kind: K }>);
      };
      worker.on('message', hear).once('error', reject);
    });
  const findings = answer('findings').then((found) => found.findings);
  // Idle, it keeps nobody from ending.
  const paper = answer('paper').then(({ files }) => (worker.unref(), files === null ? null : { sheets: [], files }));
  worker.postMessage({ data, font });
  return { findings, paper: font === null ? null : paper.then((printed) => printed!) };
};
