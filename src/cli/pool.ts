/**
 * Runs tasks in worker threads, as many at once as asked, in whatever order they finish. A worker that dies takes only its
 * own task with it: that task is told as failed and a fresh worker goes on with the rest.
 */
import { Worker } from 'node:worker_threads';
import type { FromWorker, Task } from './protocol.ts';

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
      worker ??= new Worker(new URL('./worker.js', import.meta.url));
      const alive = await runOne(worker, task, hooks);
      if (!alive) worker = null;
    }
    await worker?.terminate();
  });
  await Promise.all(lanes);
}

function runOne(worker: Worker, task: Task, hooks: PoolHooks): Promise<boolean> {
  return new Promise((resolve, reject) => {
    const finish = (alive: boolean): void => {
      worker.removeAllListeners();
      resolve(alive);
    };
    worker.on('message', (message: FromWorker) => {
      if (message.kind === 'ready') return;
      if (message.kind === 'progress') return hooks.progress(task, message.stage, message.done);
      try {
        hooks.outcome(task, message);
        finish(true);
      } catch (error) {
        reject(error);
      }
    });
    // A thrown error is a bug and must be seen as one, with its stack.
    worker.on('error', reject);
    worker.on('exit', () => {
      hooks.outcome(task, {
        kind: 'refused',
        number: task.number,
        issues: [{ code: 'kernel-died', at: '', message: 'The solid modeller ran out of memory on this job.', hint: 'Make a coarser mesh (files.deviation), or fewer letters and grooves at once.' }],
      });
      finish(false);
    });
    worker.postMessage(task);
  });
}
