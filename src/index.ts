/**
 * coverwright as a library. `readJob` and `fair` are plain functions; `make` opens the solid modeller once and keeps it.
 * In Node nothing more is needed; in a browser worker hand in a kernel from `openKernel`.
 */
import { readDocument, readJob, type JobFile } from './job/read.ts';
import type { JobDocument } from './job/schema.ts';
import { make as makeWith, type Made } from './make.ts';
import type { Result } from './result.ts';
import type { Kernel } from './solid/door.ts';

export { locateHoles } from './holes/locate.ts';
export { diagnose } from './fit/diagnosis.ts';
export { fair, type Faired, type FairOptions } from './fair.ts';
export { readJob, readDocument, setInDocument, type JobFile } from './job/read.ts';
export type { Job, JobDocument } from './job/schema.ts';
export type { FairedContour, ContourReport } from './contour/contour.ts';
export type { Section } from './section/section.ts';
export type { SolidPlan } from './solid/plan.ts';
export type { Kernel, Mesh, Measured } from './solid/door.ts';
export type { Finding } from './checks/finding.ts';
export type { OutputFile } from './outputs/file.ts';
export type { Report } from './outputs/report.ts';
export type { Made, Part } from './make.ts';
export { makeProof, type ProofMade, type ProofOptions } from './makeProof.ts';
export { readPrinterProfile } from './proof/readPrinter.ts';
export { sayIssue, type Issue, type Result } from './result.ts';
export { openKernel } from './solid/kernel/kernel.ts';

export interface LibraryMakeOptions {
  /** Written into the files; now when left out. */
  readonly date?: Date;
  /** 0 to 1 with the name of the stage. */
  readonly progress?: (stage: string, done: number) => void;
  /** An opened kernel. In Node one is opened on first use and kept. */
  readonly kernel?: Kernel;
}

let shared: Promise<Kernel> | undefined;

async function sharedKernel(): Promise<Kernel> {
  shared ??= import('./solid/kernel/node.ts').then(({ openNodeKernel }) => openNodeKernel());
  return shared;
}

/**
 * A job -> its part, findings and files. `job` is the text of a job file, its document, or what `readJob` gave.
 * Refuses with every problem at once; findings of any level do not refuse.
 */
export async function make(job: string | JobDocument | JobFile, options: LibraryMakeOptions = {}): Promise<Result<Made>> {
  const file = typeof job === 'string' ? readJob(job) : 'job' in job ? ({ ok: true, value: job } as const) : readDocument(job);
  if (!file.ok) return file;
  const kernel = options.kernel ?? (await sharedKernel());
  return makeWith(file.value, kernel, {
    date: (options.date ?? new Date()).toISOString(),
    now: () => performance.now(),
    ...(options.progress ? { progress: options.progress } : {}),
  });
}
