/**
 * Runs tasks in worker threads, as many at once as asked, in whatever order they finish. A worker that dies takes only its
 * own task with it: that task is told as failed and a fresh worker goes on with the rest.
 */
import { Worker } from 'node:worker_threads';
import { compileKernel } from '../solid/kernel/binary.ts';
import type { FromWorker, Task, ToWorker } from './protocol.ts';

export type Outcome = Exclude<FromWorker, { kind: 'ready' | 'progress' }>;

export interface PoolHooks {
  readonly progress: (task: Task, stage: string, done: number) => void;
  readonly outcome: (task: Task, outcome: Outcome) => void;
}

export async function runTasks(tasks: readonly Task[], atOnce: number, hooks: PoolHooks): Promise<void> {
  const waiting = [...tasks];
  const lanes = Array.from({ length: Math.max(1, Math.min(atOnce, tasks.length)) }, async () => {
    let worker: Worker | null = null;
    for (let task = waiting.shift(); task !== undefined; task = waiting.shift()) {
      worker ??= startWorker();
      const alive = await runOne(worker, task, hooks);
      if (!alive) worker = null;
    }
    await worker?.terminate();
  });
  await Promise.all(lanes);
}

let kernel: Promise<WebAssembly.Module> | undefined;
let ahead: Worker | undefined;

/** Starts the first worker before it is known what for: it loads while the job is read. Left without work, it keeps nobody from ending. */
export function startAhead(): void {
  ahead ??= newWorker();
  ahead.unref();
}

function startWorker(): Worker {
  const worker = ahead ?? newWorker();
  ahead = undefined;
  worker.ref();
  return worker;
}

function newWorker(): Worker {
  const worker = new Worker(new URL('./worker.js', import.meta.url));
  // Compiled while the workers start, and once for all of them.
  kernel ??= compileKernel();
  void kernel.then((module) => worker.postMessage({ kind: 'kernel', module } satisfies ToWorker));
  return worker;
}

function runOne(worker: Worker, task: Task, hooks: PoolHooks): Promise<boolean> {
  return new Promise((resolve, reject) => {
    // Only our own listeners are taken off again: the worker's wiring hangs on others.
    const leave = (): void => {
      worker.off('message', hear).off('error', fail).off('exit', mourn);
    };
    const settle = (outcome: Outcome, alive: boolean): void => {
      leave();
      try {
        hooks.outcome(task, outcome);
        resolve(alive);
      } catch (error) {
        reject(error);
      }
    };
    const hear = (message: FromWorker): void => {
      if (message.kind === 'progress') hooks.progress(task, message.stage, message.done);
      else if (message.kind !== 'ready') settle(message, true);
    };
    // A thrown error is a bug and must be seen as one, with its stack.
    const fail = (error: Error): void => {
      leave();
      reject(error);
    };
    const mourn = (): void => settle({ kind: 'refused', number: task.number, issues: [kernelDied] }, false);
    worker.on('message', hear).on('error', fail).on('exit', mourn);
    worker.postMessage({ kind: 'task', task } satisfies ToWorker);
  });
}

const kernelDied = {
  code: 'kernel-died',
  at: '',
  message: 'The solid modeller ran out of memory on this job.',
  hint: 'Make a coarser mesh (files.deviation), or fewer letters and grooves at once.',
} as const;
