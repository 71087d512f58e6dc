/** A worker of the command: opens a kernel once, then makes what it is asked, one task at a time. */
import { parentPort } from 'node:worker_threads';
import { buildPart, holdPart, make, releasePart, type MakeOptions } from '../make.ts';
import { makeProof } from '../makeProof.ts';
import { reportOf } from '../outputs/report.ts';
import { deskElsewhere, startDesk } from './deskElsewhere.ts';
import { proofReport } from '../outputs/proofReport.ts';
import { printLaw } from '../proof/law.ts';
import { planProof } from '../proof/planProof.ts';
import type { JobFile } from '../job/read.ts';
import { ok, type Result } from '../result.ts';
import { planOf } from './plans.ts';
import { openNodeKernel } from '../solid/kernel/node.ts';
import type { FromWorker, Task, ToWorker } from './protocol.ts';
import { readWithSets } from './sets.ts';

const port = parentPort;
if (port === null) throw new Error('this file runs as a worker');
const say = (message: FromWorker, transfer: readonly ArrayBuffer[] = []): void => port.postMessage(message, [...transfer]);

// Reading the job needs no kernel; a bad one is refused before the kernel is even opened.
let kernel: ReturnType<typeof openNodeKernel> | undefined;
let compiled: (module: WebAssembly.Module) => void;
const binary = new Promise<WebAssembly.Module>((resolve) => (compiled = resolve));

/** What is wrong with a test print is mostly known before anything is built. */
function proofForeseen(file: JobFile, proof: Task['proof']): Result<unknown> {
  const plan = proof === null ? null : planOf(file);
  return plan === null || !plan.ok ? ok(null) : planProof(file.job, plan.value, printLaw(proof!.profile));
}

port.on('message', (message: ToWorker) => (message.kind === 'kernel' ? compiled(message.module) : void work(message.task)));
say({ kind: 'ready' });

async function work(task: Task): Promise<void> {
  const { number } = task;
  const file = readWithSets(task.text, task.sets);
  if (!file.ok) return say({ kind: 'refused', number, issues: file.issues });
  const options: MakeOptions = {
    date: task.date,
    drawer: task.drawer,
    now: () => performance.now(),
    progress: (stage, done) => say({ kind: 'progress', number, stage, done }),
  };
  const foreseen = proofForeseen(file.value, task.proof);
  if (!foreseen.ok) return say({ kind: 'refused', number, issues: foreseen.issues });
  if (task.files) startDesk();
  kernel ??= binary.then(openNodeKernel);
  const opened = await kernel;
  if (task.files) {
    const made = await make(file.value, opened, { ...options, openDesk: deskElsewhere });
    if (!made.ok) return say({ kind: 'refused', number, issues: made.issues });
    const proof = task.proof === null ? null : makeProof(made.value.part, opened, { ...options, ...task.proof });
    if (proof !== null && !proof.ok) return say({ kind: 'refused', number, issues: proof.issues });
    const files = [...made.value.files, ...(proof?.value.files ?? [])].map((f) => ({ ...f, bytes: f.bytes.slice() }));
    return say({ kind: 'made', number, files, report: made.value.report, ...(proof === null ? {} : { proof: proofReport(proof.value.proof) }) }, files.map((f) => f.bytes.buffer));
  }
  const built = buildPart(file.value, opened, options);
  if (!built.ok) return say({ kind: 'refused', number, issues: built.issues });
  const part = holdPart(built.value, opened, options);
  const report = reportOf({ ...part, job: file.value.job, files: [], run: { date: task.date, stages_ms: { ...part.stages } } });
  releasePart(part, opened);
  return say({ kind: 'made', number, files: [], report });
}
