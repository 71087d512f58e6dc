/** A checked part -> every file of it, one writer each, one list. */
import type { Finding } from '../checks/finding.ts';
import type { FairedContour } from '../contour/contour.ts';
import type { Holding } from '../holding/holding.ts';
import type { HeldUp } from '../holding/holdUp.ts';
import type { JobFile } from '../job/read.ts';
import type { TriangleTree } from '../maths/bvh.ts';
import type { Section } from '../section/section.ts';
import type { Built, Kernel, Measured } from '../solid/door.ts';
import type { WeldedMesh } from '../solid/mesh.ts';
import type { SolidPlan } from '../solid/plan.ts';
import { inspectionSheet } from '../fit/firstArticle.ts';
import { contentHash } from '../job/revisions.ts';
import { listed, type Listed } from './hash.ts';
import { packBytes } from './pack.ts';
import { coverSheets } from './paper/coverSheets.ts';
import { headOf, pdfFile, type Printed, type SheetSet } from './paper/paper.ts';
import { contourDrawing } from './contourDrawing.ts';
import { dxfText } from './dxf.ts';
import { stemOf, textFile, type OutputFile } from './file.ts';
import { holdingFiles } from './holdingFiles.ts';
import { planDrawing } from './planDrawing.ts';
import { massOf, reportOf, type Report } from './report.ts';
import { reportHtml } from './reportHtml.ts';
import { sayLength, sayLengthUnit, sayMass } from './say.ts';
import { sectionDrawing } from './sectionDrawing.ts';
import { stlBytes } from './stl.ts';
import { svgText } from './svg.ts';
import { threeMfBytes } from './threemf.ts';
import { viewerOf, viewPoints, type Viewer } from './view.ts';

/** A part as it stands after the checks. */
export interface CheckedPart {
  readonly file: JobFile;
  readonly contour: FairedContour;
  readonly section: Section;
  readonly plan: SolidPlan;
  readonly built: Built;
  readonly measured: Measured;
  readonly mesh: WeldedMesh;
  readonly tree: TriangleTree;
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
  /** The sheets of paper as pages, for looking at; empty without a font. */
  readonly sheets: readonly SheetSet[];
}

/** `paper` are the sheets of paper, which may still be on their way; null without any. */
export async function filesOf(input: CheckedPart, kernel: Kernel, options: FilesOptions, paper: Promise<Printed> | null): Promise<Written> {
  const { job } = input.file;
  const units = job.files.units ?? job.units;
  const stem = stemOf(job);
  const title = `${job.partNumber} ${job.revision}: ${job.title}`;
  const start = options.now?.() ?? 0;

  const step = kernel.step([{ solid: input.built.solid, name: `${job.partNumber}-${job.revision}`, colour: job.files.colour }], {
    schema: job.files.stepSchema,
    units,
    fileName: `${stem}.step`,
    description: title,
    author: '',
    date: options.date,
  });
  const section = sectionDrawing(input.section, units);
  const plan = planDrawing(input.plan, units);
  const contour = contourDrawing(input.contour, false);
  const deviation = `${job.files.deviation} mm`;
  const products: OutputFile[] = [
    { name: `${stem}.step`, mimetype: 'model/step', purpose: `The solid for CAM and other modellers, ${job.files.stepSchema}, ${units}.`, bytes: step },
    { name: `${stem}.stl`, mimetype: 'model/stl', purpose: `Mesh within ${deviation} of the solid, in mm; a test print is never a guard.`, bytes: stlBytes(input.mesh, title) },
    {
      name: `${stem}.3mf`,
      mimetype: 'model/3mf',
      purpose: `The same mesh with its unit (${units}) and name.`,
      bytes: threeMfBytes([{ mesh: input.mesh, name: job.title, partNumber: `${job.partNumber}-${job.revision}`, colour: job.files.colour }], {
        units,
        title,
        description: `Mesh within ${deviation} of the solid. A test print is never a guard.`,
        date: options.date,
      }),
    },
    textFile(`${stem}-section.svg`, 'image/svg+xml', 'Section at mid width, 1:1.', svgText(section, { title: `Section of ${title}` })),
    textFile(`${stem}-section.dxf`, 'image/vnd.dxf', `Section at mid width, ${units}.`, dxfText(section, units)),
    textFile(`${stem}-plan.svg`, 'image/svg+xml', 'Plan from outside with the hole table, 1:1.', svgText(plan, { title: `Plan of ${title}` })),
    textFile(`${stem}-plan.dxf`, 'image/vnd.dxf', `Plan from outside with the hole table, ${units}.`, dxfText(plan, units)),
    ...(input.held === null ? [] : holdingFiles({ job, plan: input.plan, part: input.built.solid, holding: input.holding, held: input.held }, kernel, stem, options.date)),
    textFile(`${stem}-first-article.csv`, 'text/csv', 'What to measure on the first part, to fill in and give to the verb "fit".', inspectionSheet(job, input.plan)),
    textFile(`${stem}.job.json`, 'application/json', 'The job this was made from.', `${JSON.stringify(input.file.document, null, 2)}\n`),
  ];

  const look = viewerOf(input.mesh, input.tree);
  const pictures = [
    { caption: 'From outside.', svg: picture(look, 'outside', `${title}, from outside`), wide: false },
    { caption: 'From the mating side.', svg: picture(look, 'inside', `${title}, from the mating side`), wide: false },
    { caption: `The contour and its readings. Misses and 95 % band are drawn ${contour.missFactor} times too large; the comb shows curvature.`, svg: svgText(contour, { title: 'Contour and readings', fluid: true }), wide: true },
    { caption: `Section at mid width; skin ${sayLengthUnit(input.section.skin, units)} square to the top.`, svg: svgText(sectionDrawing(input.section, units, false), { title: 'Section', fluid: true }), wide: true },
    { caption: 'Plan from outside; what is dashed lies under the skin.', svg: svgText(planDrawing(input.plan, units, false), { title: 'Plan', fluid: true }), wide: true },
  ];
  const { sheets, printed, list } = await withCover(input, kernel.font, options.date, stem, paper, products.map(listed));
  const stages = { ...input.stages, files: Math.round((options.now?.() ?? 0) - start) };
  const report = reportOf({ ...input, job, files: [...list], run: { date: options.date, stages_ms: stages } });
  const files = [
    ...products,
    ...printed,
    textFile('report.html', 'text/html', 'The report to read.', reportHtml(report, input.plan, pictures)),
    textFile('report.json', 'application/json', 'The report for programs.', `${JSON.stringify(report, null, 2)}\n`),
  ];
  // How long each stage took differs from run to run; without that the pack of the same job is the same.
  const untimed = textFile('report.json', 'application/json', 'The report for programs.', `${JSON.stringify({ ...report, run: { ...report.run, stages_ms: {} } }, null, 2)}\n`);
  const packed = files.map((file) => (file.name === untimed.name ? untimed : file));
  const pack: OutputFile = { name: `${stem}-release.zip`, mimetype: 'application/zip', purpose: 'All of it in one file, with a manifest of hashes.', bytes: packBytes(stem, packed, [...list, ...packed.slice(list.length).map(listed)], { partNumber: job.partNumber, revision: job.revision, title: job.title, date: options.date }) };
  return { files: [...files, pack], report, sheets };
}

interface Covered {
  readonly sheets: readonly SheetSet[];
  readonly printed: readonly OutputFile[];
  /** Products and what is printed, in the order they are handed out. */
  readonly list: readonly Listed[];
}

/** The sheets with the release cover in front, which lists everything else. */
async function withCover(input: CheckedPart, font: Uint8Array | null, date: string, stem: string, paper: Promise<Printed> | null, products: readonly Listed[]): Promise<Covered> {
  if (font === null || paper === null) return { sheets: [], printed: [], list: products };
  const { job } = input.file;
  const head = headOf(job, date);
  const { sheets: sets, files: printed } = await paper;
  const others = [...products, ...printed.map(listed)];
  const figures = coverFigures(input);
  const cover: SheetSet = {
    name: 'release',
    purpose: 'Cover of the release: what is in it, what the checks found, who took what on.',
    pages: coverSheets({ findings: input.findings, files: others, figures }, { paper: job.paper.size, landscape: false }, head),
  };
  const front = await pdfFile(stem, cover, head, font);
  return { sheets: [cover, ...sets], printed: [front, ...printed], list: [...products, listed(front), ...others.slice(products.length)] };
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

const picture = (look: Viewer, view: keyof typeof viewPoints, title: string): string => svgText(look(viewPoints[view], { hidden: false }), { title, fluid: true });
