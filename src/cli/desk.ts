/** A thread with a desk in it, see outputs/desk.ts. It opens no kernel. */
import { parentPort } from 'node:worker_threads';
import { openDesk } from '../desk.ts';
import type { Desk, Filed, PlannedData } from '../outputs/desk.ts';

/** Every question a desk answers, as a message: what is asked, and with what. */
export type DeskCall = { [K in keyof Desk]: { readonly call: K; readonly args: Parameters<Desk[K]> } }[keyof Desk];
export type ToDesk = { readonly call: 'open'; readonly data: PlannedData; readonly font: Uint8Array | null } | ({ readonly id: number } & DeskCall);
export interface FromDesk {
  readonly id: number;
  readonly answer: unknown;
}

const port = parentPort;
if (port === null) throw new Error('this file runs as a worker');

let desk: Desk | undefined;
let queue: Promise<void> = Promise.resolve();

const isFiled = (made: unknown): made is Filed => typeof made === 'object' && made !== null && 'files' in made;

async function answer(question: ToDesk): Promise<void> {
  if (question.call === 'open') return void (desk = openDesk(question.data, question.font));
  if (desk === undefined) throw new Error('asked before it was opened');
  const made = await (desk[question.call] as (...args: readonly unknown[]) => Promise<unknown>)(...question.args);
  if (!isFiled(made)) return port!.postMessage({ id: question.id, answer: made } satisfies FromDesk);
  // A file may be a view into a larger buffer of its writer: what is handed over is its own. Pages stay here: nobody in a terminal looks at them.
  const files = made.files.map((file) => ({ ...file, bytes: file.bytes.slice() }));
  port!.postMessage({ id: question.id, answer: { ...made, files, ...('sheets' in made ? { sheets: [] } : {}) } } satisfies FromDesk, files.map((file) => file.bytes.buffer));
}

port.on('message', (question: ToDesk) => {
  // A failure leaves the thread as an error, for whoever waits.
  queue = queue.then(() => answer(question));
});
