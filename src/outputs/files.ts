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
import { inspectionSheet } from '../fit/firstArticle.ts';
import { contentHash } from '../job/revisions.ts';
import type { SheetSet } from './paper/paper.ts';
import { contourDrawing } from './contourDrawing.ts';
import type { Begun, Desk } from './desk.ts';
import { dxfText } from './dxf.ts';
import { stemOf, textFile, type OutputFile } from './file.ts';
import { holdingFiles } from './holdingFiles.ts';
import { fullTitle } from './meshFiles.ts';
import { planDrawing } from './planDrawing.ts';
import { massOf, reportOf, type Report } from './report.ts';
import { reportHtml, type ReportPicture } from './reportHtml.ts';
import { sayLength, sayLengthUnit, sayMass } from './say.ts';
import { sectionDrawing } from './sectionDrawing.ts';
import { svgText } from './svg.ts';

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
  const [step, ...others] = Array.from(productsOf(input, kernel, options.date, stem), (file) => ({ file, listed: desk.file(file) }));
  const drawn = drawings(input);
  const { files: meshes, list: meshList, pictures } = await begun.meshFiles;
  const [shown, planned] = [await begun.solidSheets, await begun.planSheets];
  const products = [step!.file, ...meshes, ...others.map(({ file }) => file)];
  const productList = [await step!.listed, ...meshList, ...(await Promise.all(others.map(({ listed }) => listed)))];
  const all = { ...input, findings: inOrder([...(await begun.findings), ...input.findings]) };
  const printedList = [...(shown?.list ?? []), ...(planned?.list ?? [])];
  const cover = await desk.cover(all.findings, [...productList, ...printedList], coverFigures(input));
  const list = [...productList, ...(cover?.list ?? []), ...printedList];

  const stages = { ...input.stages, files: Math.round((options.now?.() ?? 0) - start) };
  const report = reportOf({ ...all, job, files: list, run: { date: options.date, stages_ms: stages } });
  const html = textFile('report.html', 'text/html', 'The report to read.', reportHtml(report, input.plan, [{ caption: 'From outside.', svg: pictures.outside, wide: false }, { caption: 'From the mating side.', svg: pictures.matingSide, wide: false }, ...drawn]));
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
    files: [...products, ...(cover?.files ?? []), ...(shown?.files ?? []), ...(planned?.files ?? []), html, json(report), pack],
    report,
    sheets: [...(cover?.sheets ?? []), ...(shown?.sheets ?? []), ...(planned?.sheets ?? [])],
  };
}

/** What is made with the kernel or without a mesh, the STEP of the part first. One after the other, so that a desk may take each as it comes. */
function* productsOf(input: CheckedPart, kernel: Kernel, date: string, stem: string): Generator<OutputFile> {
  const { job } = input.file;
  const units = job.files.units ?? job.units;
  const title = fullTitle(job);
  const section = sectionDrawing(input.section, units);
  const plan = planDrawing(input.plan, units);
  yield {
    name: `${stem}.step`,
    mimetype: 'model/step',
    purpose: `The solid for CAM and other modellers, ${job.files.stepSchema}, ${units}.`,
    bytes: kernel.step([{ solid: input.built.solid, name: `${job.partNumber}-${job.revision}`, colour: job.files.colour }], { schema: job.files.stepSchema, units, fileName: `${stem}.step`, description: title, author: '', date }),
  };
  yield textFile(`${stem}-section.svg`, 'image/svg+xml', 'Section at mid width, 1:1.', svgText(section, { title: `Section of ${title}` }));
  yield textFile(`${stem}-section.dxf`, 'image/vnd.dxf', `Section at mid width, ${units}.`, dxfText(section, units));
  yield textFile(`${stem}-plan.svg`, 'image/svg+xml', 'Plan from outside with the hole table, 1:1.', svgText(plan, { title: `Plan of ${title}` }));
  yield textFile(`${stem}-plan.dxf`, 'image/vnd.dxf', `Plan from outside with the hole table, ${units}.`, dxfText(plan, units));
  if (input.held !== null) yield* holdingFiles({ job, plan: input.plan, part: input.built.solid, holding: input.holding, held: input.held }, kernel, stem, date);
  yield textFile(`${stem}-first-article.csv`, 'text/csv', 'What to measure on the first part, to fill in and give to the verb "fit".', inspectionSheet(job, input.plan));
  yield textFile(`${stem}.job.json`, 'application/json', 'The job this was made from.', `${JSON.stringify(input.file.document, null, 2)}\n`);
}

function drawings({ file: { job }, contour: faired, section, plan }: CheckedPart): ReportPicture[] {
  const units = job.files.units ?? job.units;
  const contour = contourDrawing(faired, false);
  return [
    { caption: `The contour and its readings. Misses and 95 % band are drawn ${contour.missFactor} times too large; the comb shows curvature.`, svg: svgText(contour, { title: 'Contour and readings', fluid: true }), wide: true },
    { caption: `Section at mid width; skin ${sayLengthUnit(section.skin, units)} square to the top.`, svg: svgText(sectionDrawing(section, units, false), { title: 'Section', fluid: true }), wide: true },
    { caption: 'Plan from outside; what is dashed lies under the skin.', svg: svgText(planDrawing(plan, units, false), { title: 'Plan', fluid: true }), wide: true },
  ];
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
