/** The verb fit: a job and what its test fit showed in, the diagnosis out; the next revision on request. */
import { basename, dirname } from 'node:path';
import { applyCorrection, patternOf } from '../fit/correct.ts';
import { diagnose, type Diagnosis } from '../fit/diagnosis.ts';
import { fitOf, readFitSheet, withProfile } from '../fit/fitSheet.ts';
import { readDocument, type JobFile } from '../job/read.ts';
import type { JobDocument } from '../job/schema.ts';
import { textFile } from '../outputs/file.ts';
import { fitDrawing } from '../outputs/fitDrawing.ts';
import { svgText } from '../outputs/svg.ts';
import { readPrinterProfile } from '../proof/readPrinter.ts';
import { sayIssue, type Issue, type Result } from '../result.ts';
import { isInspection, readInspection, type Inspection } from '../fit/inspection.ts';
import { sayInspection, told } from './inspection.ts';
import { planOf } from './plans.ts';
import { readText, writeFiles } from './disk.ts';
import { readWithSets } from './sets.ts';
import { paint, sayIssues, table } from './words.ts';

export interface FitFlags {
  readonly write?: string;
  readonly svg?: string;
  /** Printer file of the print. */
  readonly printer?: string;
  readonly set: readonly string[];
  readonly json?: boolean;
}

export async function runFit(jobPath: string, offsetsPath: string | undefined, flags: FitFlags): Promise<number> {
  const refuse = (issues: readonly Issue[], source: string): number => {
    if (flags.json) process.stdout.write(`${JSON.stringify({ job: jobPath, ok: false, issues }, null, 2)}\n`);
    else process.stderr.write(`${sayIssues(issues, source)}\n`);
    return 2;
  };
  const text = readText(jobPath);
  if (!text.ok) return refuse(text.issues, jobPath);
  const job = readWithSets(text.value, flags.set);
  if (!job.ok) return refuse(job.issues, jobPath);
  const plan = planOf(job.value);
  if (!plan.ok) return refuse(plan.issues, jobPath);
  let file: JobFile = job.value;
  let inspection: Inspection | null = null;
  if (offsetsPath !== undefined) {
    const sheet = readText(offsetsPath);
    if (!sheet.ok) return refuse(sheet.issues, offsetsPath);
    if (isInspection(sheet.value)) {
      const read = readInspection(sheet.value, file, plan.value);
      if (!read.ok) return refuse(read.issues, offsetsPath);
      inspection = read.value;
      if (inspection.file === null) return sayOnlyInspection(jobPath, inspection, file, flags);
      file = inspection.file;
    } else {
      const read = readFitSheet(sheet.value, file);
      if (!read.ok) return refuse(read.issues, offsetsPath);
      file = read.value.file;
    }
  }
  if (flags.printer !== undefined) {
    const used = withPrinter(file, flags.printer);
    if (!used.ok) return refuse(used.issues, flags.printer);
    file = used.value;
  }
  const fit = file.job.testFits.at(-1);
  if (fit === undefined) return refuse([{ code: 'no-offsets', at: 'testFits', message: 'This job holds no test fit.', hint: 'Name a sheet of offsets, or a filled-in first article, after the job.' }], jobPath);
  const { readings, context } = fitOf(fit, file.job.revision);
  const diagnosed = diagnose(readings, patternOf(plan.value), context);
  if (!diagnosed.ok) return refuse(diagnosed.issues, offsetsPath ?? jobPath);
  const diagnosis = diagnosed.value;
  let next: JobDocument | null = null;
  if (flags.write !== undefined) {
    const corrected = applyCorrection(file, diagnosis, readings);
    if (!corrected.ok) {
      if (!flags.json) process.stdout.write(`${[...(inspection === null ? [] : sayInspection(inspection, file.job.units)), ...sayDiagnosis(diagnosis)].join('\n')}\n`);
      return refuse(corrected.issues, jobPath);
    }
    next = corrected.value;
    // What is written must be a job that can still be planned.
    const read = readDocument(next);
    if (!read.ok) return refuse(read.issues, flags.write);
    const planned = planOf(read.value);
    if (!planned.ok) return refuse(planned.issues, flags.write);
    const written = writeFiles(dirname(flags.write), [textFile(basename(flags.write), 'application/json', 'The next revision.', `${JSON.stringify(next, null, 2)}\n`)]);
    if (!written.ok) return refuse(written.issues, flags.write);
  }
  if (flags.svg !== undefined) {
    const written = writeFiles(dirname(flags.svg), [textFile(basename(flags.svg), 'image/svg+xml', 'The arrows.', svgText(fitDrawing(diagnosis), { title: `Test fit of ${file.job.partNumber} ${diagnosis.madeFrom}` }))]);
    if (!written.ok) return refuse(written.issues, flags.svg);
  }
  if (flags.json) process.stdout.write(`${JSON.stringify({ job: jobPath, ok: true, ...(inspection === null ? {} : { inspection: told(inspection) }), diagnosis, next_revision: next?.revision ?? null }, null, 2)}\n`);
  else process.stdout.write(`${[...(inspection === null ? [] : sayInspection(inspection, file.job.units)), ...sayDiagnosis(diagnosis), ...sayNext(next, flags.write)].join('\n')}\n`);
  return inspection !== null && inspection.counts.out > 0 ? 1 : 0;
}

/** Fewer than two places measured: verdicts, but nothing to diagnose. */
function sayOnlyInspection(jobPath: string, inspection: Inspection, { job }: JobFile, flags: FitFlags): number {
  if (flags.json) process.stdout.write(`${JSON.stringify({ job: jobPath, ok: true, inspection: told(inspection), diagnosis: null, next_revision: null }, null, 2)}\n`);
  else process.stdout.write(`${[...sayInspection(inspection, job.units), 'Fewer than two places of holes were measured, so nothing is said of the machine.'].join('\n')}\n`);
  return inspection.counts.out > 0 ? 1 : 0;
}

/** The job with its last test fit told what the printer file says. */
function withPrinter(file: JobFile, path: string): Result<JobFile> {
  const text = readText(path);
  if (!text.ok) return text;
  const printer = readPrinterProfile(text.value);
  if (!printer.ok) return printer;
  const told = withProfile(file.document, printer.value.profile);
  return told.ok ? readDocument(told.value) : told;
}

const chance = (p: number): string => (p < 0.001 ? 'less than 1 in 1000' : `1 in ${Math.round(1 / p)}`);

function sayDiagnosis(diagnosis: Diagnosis): string[] {
  const lines = [paint('bold', diagnosis.summary)];
  for (const finding of diagnosis.findings) lines.push(`  ${finding.words} Noise alone would show that ${chance(finding.chance)}.`, `      ${paint(finding.remedy === 'nothing' ? 'dim' : 'blue', finding.remedy)}: ${finding.todo}`);
  if (diagnosis.profileScale !== null) lines.push(`  New printed over drawn size for the profile: X ${diagnosis.profileScale[0].toFixed(5)}, Y ${diagnosis.profileScale[1].toFixed(5)}.`);
  for (const rival of diagnosis.rivals) lines.push(`  ${paint('yellow', 'or')}     Almost as likely: ${rival}.`);
  for (const doubt of diagnosis.doubts) lines.push(`  ${paint('yellow', 'look')}   ${sayIssue(doubt)}`);
  const two = (v: readonly number[] | null): string => (v === null ? '(distance only)' : `${v[0]!.toFixed(3)}, ${v[1]!.toFixed(3)}`);
  lines.push('Offsets in mm, X and Y as seen from outside:');
  lines.push(table([['hole', `${'as read'.padEnd(18)}${'explained'.padEnd(18)}${'left'.padEnd(18)}moves in the design`], ...diagnosis.holes.map((hole): [string, string] => [hole.name, `${two(hole.offset).padEnd(18)}${two(hole.explained).padEnd(18)}${two(hole.left).padEnd(18)}${Math.hypot(...hole.move) === 0 ? '-' : two(hole.move)}`])]));
  return lines;
}

function sayNext(next: JobDocument | null, path: string | undefined): string[] {
  const frozen = next?.revisions?.at(-1);
  if (next === null || frozen === undefined || path === undefined) return [];
  return [`Revision ${next.revision} written to ${path}; revision ${frozen.revision} is frozen in it (${frozen.hash.slice(0, 12)}).`, table((frozen.changes ?? []).map((c) => [c.path, `${c.from ?? 'nothing'} -> ${c.to}   ${c.why}`]))];
}
