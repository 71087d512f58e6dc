/** A checked part -> every file of it, one writer each, one list. */
import { inOrder, type Finding } from '../checks/finding.ts';
import type { FairedContour } from '../contour/contour.ts';
import type { Holding } from '../holding/holding.ts';
import type { HeldUp } from '../holding/holdUp.ts';
import type { JobFile } from '../job/read.ts';
import type { Section } from '../section/section.ts';
import type { Built, Kernel, Measured } from '../solid/door.ts';
import type { WeldedMesh } from '../solid/mesh.ts';
import type { SolidPlan } from '../solid/plan.ts';
import { contentHash } from '../job/revisions.ts';
import type { SheetSet } from './paper/paper.ts';
import type { Begun, Desk } from './desk.ts';
import { stemOf, textFile, type OutputFile } from './file.ts';
import { holdingFiles } from './holdingFiles.ts';
import { fullTitle } from './meshFiles.ts';
import { massOf, reportOf, type Report } from './report.ts';
import { reportHtml } from './reportHtml.ts';
import { sayLength, sayLengthUnit, sayMass } from './say.ts';

/** A part as it stands after the checks. */
export interface CheckedPart {
  readonly file: JobFile;
  readonly contour: FairedContour;
  readonly section: Section;
  readonly plan: SolidPlan;
  readonly built: Built;
  readonly measured: Measured;
  readonly mesh: WeldedMesh;
  readonly findings: readonly Finding[];
  readonly holding: Holding;
  /** Fixture and the rest in the kernel, with what they prove; null where they were not made. */
  readonly held: HeldUp | null;
  readonly stages: Readonly<Record<string, number>>;
}

export interface FilesOptions {
  /** ISO 8601. */
  readonly date: string;
  readonly now?: () => number;
}

export interface Written {
  /** All of them, on the part and on how it is held. */
  readonly findings: readonly Finding[];
  readonly files: readonly OutputFile[];
  readonly report: Report;
  /** The sheets of paper among the files, as pages; empty where the desk keeps them. */
  readonly sheets: readonly SheetSet[];
}

/** `input` with the findings on how it is held; `desk` is open for this part, what it has `begun` maybe still on its way. */
export async function filesOf(input: CheckedPart, kernel: Kernel, options: FilesOptions, desk: Desk, begun: Begun): Promise<Written> {
  const start = options.now?.() ?? 0;
  const { job } = input.file;
  const stem = stemOf(job);
  const [step, ...holding] = Array.from(kernelFiles(input, kernel, options.date, stem), (file) => ({ file, listed: desk.file(file) }));
  const drawn = await begun.planFiles;
  const { files: meshes, list: meshList, pictures } = await begun.meshFiles;
  const [shown, planned] = [await begun.solidSheets, await begun.planSheets];
  const products = [step!.file, ...meshes, ...drawn.files, ...holding.map(({ file }) => file)];
  const productList = [await step!.listed, ...meshList, ...drawn.list, ...(await Promise.all(holding.map(({ listed }) => listed)))];
  const findings = inOrder([...(await begun.findings), ...input.findings]);
  const printedList = [...(shown?.list ?? []), ...(planned?.list ?? [])];
  const cover = await desk.cover(findings, [...productList, ...printedList], coverFigures(input));
  const list = [...productList, ...(cover?.list ?? []), ...printedList];

  const stages = { ...input.stages, files: Math.round((options.now?.() ?? 0) - start) };
  const report = reportOf({ ...input, findings, job, files: list, run: { date: options.date, stages_ms: stages } });
  const html = textFile('report.html', 'text/html', 'The report to read.', reportHtml(report, input.plan, [{ caption: 'From outside.', svg: pictures.outside, wide: false }, { caption: 'From the mating side.', svg: pictures.matingSide, wide: false }, ...drawn.pictures]));
  const json = (of: Report): OutputFile => textFile('report.json', 'application/json', 'The report for programs.', `${JSON.stringify(of, null, 2)}\n`);
  // How long each stage took differs from run to run; without that the pack of the same job is the same.
  const reports = await Promise.all([html, json({ ...report, run: { ...report.run, stages_ms: {} } })].map((file) => desk.file(file)));
  const pack: OutputFile = {
    name: `${stem}-release.zip`,
    mimetype: 'application/zip',
    purpose: 'All of it in one file, with a manifest of hashes.',
    bytes: await desk.pack([...list, ...reports], { partNumber: job.partNumber, revision: job.revision, title: job.title, date: options.date }),
  };
  return {
    findings,
    files: [...products, ...(cover?.files ?? []), ...(shown?.files ?? []), ...(planned?.files ?? []), html, json(report), pack],
    report,
    sheets: [...(cover?.sheets ?? []), ...(shown?.sheets ?? []), ...(planned?.sheets ?? [])],
  };
}

/** What is made with the kernel, the STEP of the part first. One after the other, so that a desk may take each as it comes. */
function* kernelFiles(input: CheckedPart, kernel: Kernel, date: string, stem: string): Generator<OutputFile> {
  const { job } = input.file;
  const units = job.files.units ?? job.units;
  yield {
    name: `${stem}.step`,
    mimetype: 'model/step',
    purpose: `The solid for CAM and other modellers, ${job.files.stepSchema}, ${units}.`,
    bytes: kernel.step([{ solid: input.built.solid, name: `${job.partNumber}-${job.revision}`, colour: job.files.colour }], { schema: job.files.stepSchema, units, fileName: `${stem}.step`, description: fullTitle(job), author: '', date }),
  };
  if (input.held !== null) yield* holdingFiles({ job, plan: input.plan, part: input.built.solid, holding: input.holding, held: input.held }, kernel, stem, date);
}

function coverFigures({ file, measured, built, contour }: CheckedPart): (readonly [string, string])[] {
  const { job } = file;
  const size = measured.box.most.map((most, i) => sayLength(most - measured.box.least[i]!, job.units));
  return [
    ['Size X x Y x Z', `${size.join(' x ')} ${job.units === 'inch' ? 'in' : 'mm'}`],
    ['Volume and mass', `${(measured.volume / 1000).toFixed(2)} cm3, ${sayMass(massOf(job, measured.volume))} in ${job.material}`],
    ['Solid', `one, closed, valid; ${measured.faces} faces, ${built.route}`],
    ['Contour', `${contour.report.used} of ${contour.report.given} readings, misses ${sayLengthUnit(contour.report.rms, job.units)} rms`],
    ['Content of the job', contentHash(file.document)],
  ];
}
