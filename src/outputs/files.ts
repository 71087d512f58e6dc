/** A checked part -> every file of it, one writer each, one list. */
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';
import { strToU8 } from 'fflate';
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
import { contourDrawing } from './contourDrawing.ts';
import { dxfText } from './dxf.ts';
import { safeName, type OutputFile } from './file.ts';
import { holdingFiles } from './holdingFiles.ts';
import { planDrawing } from './planDrawing.ts';
import { reportOf, type Report } from './report.ts';
import { reportHtml } from './reportHtml.ts';
import { sayLengthUnit } from './say.ts';
import { sectionDrawing } from './sectionDrawing.ts';
import { stlBytes } from './stl.ts';
import { svgText } from './svg.ts';
import { threeMfBytes } from './threemf.ts';
import { viewDrawing, viewPoints } from './view.ts';

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

export const textFile = (name: string, mimetype: string, purpose: string, text: string): OutputFile => ({ name, mimetype, purpose, bytes: strToU8(text) });

export const hashOf = (bytes: Uint8Array): string => bytesToHex(sha256(bytes));

/** `OB-210-A`: part number and revision, safe as a file name. */
export const stemOf = ({ partNumber, revision }: { readonly partNumber: string; readonly revision: string }): string => safeName(`${partNumber}-${revision}`);

export async function filesOf(input: CheckedPart, kernel: Kernel, options: { readonly date: string; readonly now?: () => number }): Promise<{ readonly files: readonly OutputFile[]; readonly report: Report }> {
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
  ];

  const pictures = [
    { caption: 'From outside.', svg: picture(input, 'outside', `${title}, from outside`), wide: false },
    { caption: 'From the mating side.', svg: picture(input, 'inside', `${title}, from the mating side`), wide: false },
    { caption: `The contour and its readings. Misses and 95 % band are drawn ${contour.missFactor} times too large; the comb shows curvature.`, svg: svgText(contour, { title: 'Contour and readings', fluid: true }), wide: true },
    { caption: `Section at mid width; skin ${sayLengthUnit(input.section.skin, units)} square to the top.`, svg: svgText(sectionDrawing(input.section, units, false), { title: 'Section', fluid: true }), wide: true },
    { caption: 'Plan from outside; what is dashed lies under the skin.', svg: svgText(planDrawing(input.plan, units, false), { title: 'Plan', fluid: true }), wide: true },
  ];
  const listed = products.map((f) => ({ name: f.name, bytes: f.bytes.length, sha256: hashOf(f.bytes), purpose: f.purpose }));
  const stages = { ...input.stages, files: Math.round((options.now?.() ?? 0) - start) };
  const report = reportOf({ ...input, job, files: listed, run: { date: options.date, stages_ms: stages } });
  return {
    files: [
      ...products,
      textFile('report.html', 'text/html', 'The report to read.', reportHtml(report, input.plan, pictures)),
      textFile('report.json', 'application/json', 'The report for programs.', `${JSON.stringify(report, null, 2)}\n`),
    ],
    report,
  };
}

const picture = (input: CheckedPart, view: keyof typeof viewPoints, title: string): string =>
  svgText(viewDrawing(input.mesh, input.tree, viewPoints[view], { hidden: false }), { title, fluid: true });
