/** The verbs make and check: jobs in, files and findings out. */
import { folderIssues, readText, sweepUp, writeFiles } from './disk.ts';
import { runTasks, type Outcome } from './pool.ts';
import type { Task } from './protocol.ts';
import { basename, join } from 'node:path';
import type { CutterDrawer } from '../holding/cutterFile.ts';
import type { Finding } from '../checks/finding.ts';
import { stemOf } from '../outputs/file.ts';
import type { ProofReport } from '../outputs/proofReport.ts';
import type { Report } from '../outputs/report.ts';
import { sayMass } from '../outputs/say.ts';
import { ok, type Issue, type Result } from '../result.ts';
import { paint, progressLine, sayFinding, sayIssues, table, sayWritten, type WrittenFile } from './words.ts';

export interface MakeFlags {
  readonly out: string;
  readonly set: readonly string[];
  readonly atOnce: number;
  readonly date?: string;
  readonly proof?: boolean;
  /** Printer file the test print is drawn for. */
  readonly printer?: string;
  /** File of the shop's cutters. */
  readonly cutters?: string;
  readonly json?: boolean;
}

interface Told {
  readonly job: string;
  readonly ok: boolean;
  readonly issues?: readonly Issue[];
  readonly folder?: string;
  readonly report?: Report;
  readonly proof?: ProofReport;
  /** What was written, and how large, bytes. */
  readonly written?: readonly WrittenFile[];
}

export const runMake = (jobs: readonly string[], flags: MakeFlags): Promise<number> => run(jobs, flags, flags.out);
export const runCheck = (jobs: readonly string[], flags: Omit<MakeFlags, 'out'>): Promise<number> => run(jobs, flags, null);

/** SOURCE_DATE_EPOCH (seconds) is the open convention for reproducible files. */
export function dateFor(flag: string | undefined): string {
  const epoch = Number(process.env['SOURCE_DATE_EPOCH']);
  const date = flag ?? (process.env['SOURCE_DATE_EPOCH'] && Number.isFinite(epoch) ? new Date(epoch * 1000).toISOString() : new Date().toISOString());
  return date.replace(/\.\d+Z$/, 'Z');
}

/** What the test print is drawn for; null without one. */
async function printerFor({ proof, printer }: Pick<MakeFlags, 'proof' | 'printer'>): Promise<Result<Task['proof']>> {
  if (printer === undefined) return ok(proof ? { profile: null, printerFile: '' } : null);
  const text = readText(printer);
  if (!text.ok) return text;
  const { readPrinterProfile } = await import('../proof/readPrinter.ts');
  const read = readPrinterProfile(text.value);
  return read.ok ? ok({ profile: read.value.profile, printerFile: basename(printer) }) : read;
}

/** The shop's cutters; null when none are told. */
async function drawerFor({ cutters }: Pick<MakeFlags, 'cutters'>): Promise<Result<CutterDrawer | null>> {
  if (cutters === undefined) return ok(null);
  const text = readText(cutters);
  // The readers know the whole schema; most runs need neither.
  return text.ok ? (await import('../holding/readCutters.ts')).readCutters(text.value) : text;
}

/** Something all jobs of the run need cannot be had. */
function refuseRun({ json }: Pick<MakeFlags, 'json'>, issues: readonly Issue[], source: string): number {
  if (json) process.stdout.write(`${JSON.stringify({ ok: false, issues }, null, 2)}\n`);
  else process.stderr.write(`${sayIssues(issues, source)}\n`);
  return 2;
}

async function run(jobs: readonly string[], flags: Omit<MakeFlags, 'out'>, out: string | null): Promise<number> {
  const date = dateFor(flags.date);
  const told = new Map<number, Told>();
  const inTheWay = out === null ? [] : folderIssues(out);
  if (inTheWay.length > 0) return refuseRun(flags, inTheWay, '');
  const printer = await printerFor(flags);
  if (!printer.ok) return refuseRun(flags, printer.issues, flags.printer ?? '');
  const drawer = await drawerFor(flags);
  if (!drawer.ok) return refuseRun(flags, drawer.issues, flags.cutters ?? '');
  const tasks: Task[] = [];
  for (const [number, job] of jobs.entries()) {
    const text = readText(job);
    if (text.ok) tasks.push({ number, text: text.value, sets: flags.set, files: out !== null, proof: printer.value, drawer: drawer.value, date });
    else told.set(number, { job, ok: false, issues: text.issues });
  }
  const line = progressLine();
  const stages = new Map<number, string>();
  const folders = new Set<string>();
  const show = (): void => {
    const now = [...stages].map(([number, stage]) => `${basename(jobs[number] as string).replace(/(\.job)?\.json$/, '')} ${stage}`).join(' · ');
    line.show(jobs.length > 1 ? `${told.size}/${jobs.length} done · ${now}` : now);
  };
  await runTasks(tasks, flags.atOnce, {
    progress: (task, stage, done) => {
      stages.set(task.number, `${stage} ${Math.round(done * 100)}%`);
      show();
    },
    outcome: (task, outcome) => {
      stages.delete(task.number);
      told.set(task.number, settle(jobs[task.number] as string, outcome, out, jobs.length > 1, folders));
      show();
    },
  });
  line.clear();
  sweepUp();
  const all = jobs.map((_, number) => told.get(number) as Told);
  if (flags.json) process.stdout.write(`${JSON.stringify(jobs.length === 1 ? all[0] : all, null, 2)}\n`);
  else for (const one of all) sayOne(one);
  if (all.some((one) => !one.ok)) return 2;
  return all.some((one) => one.report?.findings.some((f) => f.level === 'stop' && f.taken_on_by === '')) ? 1 : 0;
}

/** Several jobs get a folder each; two that would land in the same one are told apart before anything is overwritten. */
function settle(job: string, outcome: Outcome, out: string | null, several: boolean, folders: Set<string>): Told {
  if (outcome.kind === 'refused') return { job, ok: false, issues: outcome.issues };
  const { report, proof } = outcome;
  if (out === null) return { job, ok: true, report };
  const folder = several ? join(out, stemOf({ partNumber: report.part_number, revision: report.revision })) : out;
  if (folders.has(folder)) {
    return { job, ok: false, issues: [{ code: 'same-part', at: 'partNumber', message: `Another job of this run is also ${report.part_number} ${report.revision}.`, hint: 'Give it its own part number or revision.' }] };
  }
  folders.add(folder);
  const written = writeFiles(folder, outcome.files);
  if (!written.ok) return { job, ok: false, issues: written.issues };
  const sizes = outcome.files.map(({ name, bytes, purpose }) => ({ name, bytes: bytes.length, purpose }));
  return { job, ok: true, folder, report, written: sizes, ...(proof === undefined ? {} : { proof }) };
}

function sayOne({ job, ok, issues, folder, report, proof, written = [] }: Told): void {
  if (!ok || report === undefined) {
    process.stderr.write(`${sayIssues(issues ?? [], job)}\n`);
    return;
  }
  const { solid, contour } = report;
  const [x, y, z] = solid.box_mm.size.map((v) => Number(v.toFixed(1)));
  const lines = [
    paint('bold', `${report.part_number} ${report.revision}  ${report.title}`),
    table([
      ['size', `${x} x ${y} x ${z} mm`],
      ['volume', `${(solid.volume_mm3 / 1000).toFixed(2)} cm3, ${sayMass(solid.mass_g)} in ${report.material}`],
      ['solid', `${solid.solids === 1 && solid.valid && solid.closed ? 'one, closed, valid' : 'not sound'}, ${solid.faces} faces, ${solid.route}${solid.route_reason ? ` (${solid.route_reason})` : ''}`],
      ['contour', `${contour.readings_used} readings, misses ${contour.rms_mm.toFixed(3)} mm rms, ${contour.largest_residual.distance_mm.toFixed(3)} mm at reading ${contour.largest_residual.reading}; ${contour.inflections_mm.length} bend changes`],
    ]),
    findingsText(report),
    ...(proof === undefined ? [] : proofText(proof)),
  ];
  if (folder !== undefined) {
    lines.push(sayWritten(folder, written));
  }
  process.stdout.write(`${lines.join('\n')}\n`);
}

function proofText({ summary, pieces, beds, notes }: ProofReport): string[] {
  const size = (mm: readonly number[]): string => mm.map((v) => v.toFixed(1)).join(' x ');
  return [
    paint('bold', `Proof, ${pieces.length} piece${pieces.length === 1 ? '' : 's'} on ${beds} bed${beds === 1 ? '' : 's'}. Test fit, not a guard.`),
    `  ${summary}`,
    ...notes.filter((note) => !summary.includes('Nothing is corrected') || !note.startsWith('No printer profile')).map((note) => `  ${paint('yellow', 'look')}  ${note}`),
    table(pieces.map((p): [string, string] => [`${p.number} ${p.title}`, `${size(p.size_mm)} mm, ${(p.volume_mm3 / 1000).toFixed(1)} cm3, ${sayMass(p.mass_g)}, bed ${p.bed}`])),
  ];
}

function findingsText(report: Report): string {
  if (report.findings.length === 0) return 'No findings.';
  const count = (level: Finding['level']): number => report.findings.filter((f) => f.level === level).length;
  const summary = (['stop', 'warn', 'note'] as const).flatMap((level) => (count(level) > 0 ? [`${count(level)} ${level}`] : [])).join(', ');
  return [`Findings: ${summary}`, ...report.findings.map((f) => sayFinding({ ...f, unit: f.unit as Finding['unit'], place: f.place_mm, restsOn: f.rests_on, takenOnBy: f.taken_on_by }))].join('\n');
}
