/**
 * The whole way on one page: job -> contour -> section -> plan -> solid -> findings -> files. A kernel is handed in, and so
 * are the date and the clock: the same job gives the same files.
 */
import { inOrder } from './checks/finding.ts';
import { findingsOn, findingsOnHolding } from './checks/findings.ts';
import type { CutterDrawer } from './holding/cutterFile.ts';
import { fairContour } from './contour/fair.ts';
import { holdingOf } from './holding/holdingOf.ts';
import { holdUp, letGo } from './holding/holdUp.ts';
import type { JobFile } from './job/read.ts';
import { triangleTree } from './maths/bvh.ts';
import { tolerance } from './maths/tolerance.ts';
import type { Begun, Desk, OpenDesk, PlannedData } from './outputs/desk.ts';
import { filesOf, type CheckedPart } from './outputs/files.ts';
import { stemOf, type OutputFile } from './outputs/file.ts';
import type { SheetSet } from './outputs/paper/paper.ts';
import type { Report } from './outputs/report.ts';
import { ok, type Result } from './result.ts';
import { sectionOf } from './section/sectionOf.ts';
import type { Kernel } from './solid/door.ts';
import { weld } from './solid/mesh.ts';
import { planSolid } from './solid/plan.ts';

export interface MakeOptions {
  /** ISO 8601; goes into the files. */
  readonly date: string;
  readonly progress?: (stage: string, done: number) => void;
  /** Milliseconds; only for the timings in the report. */
  readonly now?: () => number;
  /** The shop's cutters, for the checks and the setup sheet. */
  readonly drawer?: CutterDrawer | null;
  /** Checks the part, prints its sheets and packs, maybe in another thread. Here and now when left out. */
  readonly openDesk?: OpenDesk;
  /** Called between all larger pieces of work outside the kernel, for one who waits and wonders. */
  readonly pulse?: () => void;
}

/** Everything known about a part once it is built and checked. */
export type Part = CheckedPart;

export interface Made {
  readonly part: Part;
  readonly files: readonly OutputFile[];
  readonly report: Report;
  /** The sheets of paper among the files, as pages. */
  readonly sheets: readonly SheetSet[];
}

/** The part built and checked, without files. The caller releases `built.solid`. */
export function buildPart(file: JobFile, kernel: Kernel, options: MakeOptions): Result<Part> {
  const planned = planPart(file, options);
  if (!planned.ok) return planned;
  const shaped = shapePart(planned.value, kernel, options);
  if (!shaped.ok) return shaped;
  const part = shaped.value;
  const stages = { ...part.stages };
  const findings = timed('checks', 0.65, stages, options, () =>
    findingsOn({ ...part, job: file.job, drawer: options.drawer ?? null, tree: triangleTree(part.mesh.positions, part.mesh.triangles) }, options.pulse),
  );
  return ok({ ...part, findings, stages });
}

/** Does the work of a stage and notes in `stages` how long it took, in ms to a tenth. `done`: share of the whole way when it begins. */
function timed<T>(stage: string, done: number, stages: Record<string, number>, { now, progress }: MakeOptions, work: () => T): T {
  progress?.(stage, done);
  const start = now?.() ?? 0;
  const result = work();
  stages[stage] = Math.round(((now?.() ?? 0) - start) * 10) / 10;
  return result;
}

/** As far as the way goes without a kernel. */
type Planned = Pick<Part, 'file' | 'contour' | 'section' | 'plan' | 'stages'>;

function planPart(file: JobFile, options: MakeOptions): Result<Planned> {
  const { job } = file;
  const stages: Record<string, number> = {};
  const contour = timed('contour', 0, stages, options, () => fairContour(job.trace, job.contour));
  if (!contour.ok) return contour;
  const section = timed('section', 0.05, stages, options, () => sectionOf(contour.value, job.body));
  if (!section.ok) return section;
  const plan = planSolid(job, section.value);
  return plan.ok ? ok({ file, contour: contour.value, section: section.value, plan: plan.value, stages }) : plan;
}

/** The part built, measured and meshed, not yet checked. */
function shapePart(planned: Planned, kernel: Kernel, options: MakeOptions): Result<Part> {
  const { file: { job }, plan } = planned;
  const stages = { ...planned.stages };
  const built = timed('solid', 0.1, stages, options, () =>
    kernel.build(plan, { ...(options.now ? { now: options.now } : {}), progress: (_, done) => options.progress?.('solid', 0.1 + 0.4 * done) }),
  );
  if (!built.ok) return built;
  const { solid } = built.value;
  const measured = timed('measure', 0.5, stages, options, () => kernel.measure(solid));
  const mesh = timed('mesh', 0.55, stages, options, () => weld(kernel.mesh(solid, { deviation: job.files.deviation, angle: tolerance.meshAngle })));
  return ok({ ...planned, measured, mesh, built: built.value, findings: [], holding: holdingOf(job, plan, { part: measured.volume }), held: null, stages });
}

/** The same part with its fixture made and proven, and the findings on how it is held among the rest. */
export function holdPart(part: Part, kernel: Kernel, options: MakeOptions): Part {
  const { file: { job }, plan, mesh, measured } = part;
  const stages = { ...part.stages };
  const held = timed('fixture', 0.7, stages, options, () => holdUp(kernel, job, plan, part.holding, { solid: part.built.solid, mesh }));
  const evidence = held.ok ? held.value.evidence : null;
  const holding = holdingOf(job, plan, { part: measured.volume, ...(evidence === null ? {} : { fixture: evidence.fixtureVolume }) });
  const findings = inOrder([...part.findings, ...findingsOnHolding({ job, plan, holding, evidence, refused: held.ok ? [] : held.issues })]);
  return { ...part, holding, held: held.ok ? held.value : null, findings, stages };
}

/** Lets every solid of a part go. */
export function releasePart({ built, held }: Part, kernel: Kernel): void {
  kernel.release(built.solid);
  if (held !== null) letGo(kernel, held.solids);
}

/** A desk for a part. What prints is loaded when something is to be printed. */
async function deskFor({ file, plan, contour, section }: Planned, { font }: Kernel, { date, drawer = null, openDesk, pulse }: MakeOptions): Promise<Desk> {
  const { job } = file;
  const data: PlannedData = { job, typed: file.document, plan, contour, section, drawer, stem: stemOf(job), date };
  return openDesk !== undefined ? openDesk(data, font) : (await import('./desk.ts')).openDesk(data, font, pulse);
}

/** The part and every file of it. A desk in another thread works while the kernel does here. */
export async function make(file: JobFile, kernel: Kernel, options: MakeOptions): Promise<Result<Made>> {
  const planned = planPart(file, options);
  if (!planned.ok) return planned;
  const desk = await deskFor(planned.value, kernel, options);
  const early = { planFiles: desk.planFiles(), planSheets: desk.planSheets() };
  const shaped = shapePart(planned.value, kernel, options);
  if (!shaped.ok) return shaped;
  options.progress?.('checks', 0.65);
  const { measured, mesh, holding } = shaped.value;
  void desk.solid({ measured, mesh, holding });
  const begun: Begun = { ...early, findings: desk.findings(), meshFiles: desk.meshFiles(), solidSheets: desk.solidSheets() };
  const part = holdPart(shaped.value, kernel, options);
  try {
    options.progress?.('files', 0.8);
    const { findings, ...written } = await filesOf(part, kernel, options, desk, begun);
    options.progress?.('files', 1);
    return ok({ part: { ...part, findings }, ...written });
  } finally {
    releasePart(part, kernel);
  }
}
