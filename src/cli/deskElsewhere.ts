/** A desk in a thread of its own, while the kernel goes on in this one. Each worker of the command has one part on it at a time. */
import { Worker } from 'node:worker_threads';
import type { Desk, OpenDesk } from '../outputs/desk.ts';
import type { FromDesk, ToDesk } from './desk.ts';

interface Waiting {
  readonly resolve: (answer: never) => void;
  readonly reject: (error: unknown) => void;
}

const waiting = new Map<number, Waiting>();
let thread: Worker | undefined;
let nextId = 1;

/** Starts the thread, so that it is ready when it is needed. Idle, it keeps nobody from ending. */
export function startDesk(): Worker {
  if (thread !== undefined) return thread;
  thread = new Worker(new URL('./desk.js', import.meta.url));
  thread.unref();
  thread.on('message', ({ id, answer }: FromDesk) => {
    waiting.get(id)?.resolve(answer as never);
    waiting.delete(id);
    if (waiting.size === 0) thread?.unref();
  });
  thread.on('error', (error) => {
    for (const { reject } of waiting.values()) reject(error);
    waiting.clear();
  });
  return thread;
}

function ask<K extends keyof Desk>(call: K, args: Parameters<Desk[K]>): ReturnType<Desk[K]> {
  const id = nextId;
  nextId += 1;
  const answer = new Promise<never>((resolve, reject) => waiting.set(id, { resolve, reject }));
  startDesk().ref();
  startDesk().postMessage({ id, call, args } as ToDesk);
  return answer as ReturnType<Desk[K]>;
}

export const deskElsewhere: OpenDesk = (data, font) => {
  startDesk().postMessage({ call: 'open', data, font } satisfies ToDesk);
  return {
    planFiles: () => ask('planFiles', []),
    planSheets: () => ask('planSheets', []),
    solid: (...args) => ask('solid', args),
    findings: () => ask('findings', []),
    meshFiles: () => ask('meshFiles', []),
    solidSheets: () => ask('solidSheets', []),
    file: (...args) => ask('file', args),
    cover: (...args) => ask('cover', args),
    pack: (...args) => ask('pack', args),
  };
};
