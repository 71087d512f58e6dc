/**
 * The part and how it is held -> every sheet of paper, as pages; and the pages as PDF files. Pages are plain marks, so the
 * bench shows the very sheets that are printed.
 */
import type { CutterDrawer } from '../../holding/cutterFile.ts';
import { cuttingOf } from '../../holding/cutting.ts';
import type { Holding } from '../../holding/holding.ts';
import type { Job } from '../../job/schema.ts';
import type { WeldedMesh } from '../../solid/mesh.ts';
import type { OutputFile } from '../file.ts';
import { drawingSheets, toleranceName, type DrawingInput } from './drawingSheets.ts';
import { firstArticleSheets } from './firstArticleSheets.ts';
import type { Page, SheetHead } from './page.ts';
import { pdfBytes } from './pdf.ts';
import { setupSheets } from './setupSheets.ts';
import type { Viewer } from '../view.ts';
import { templateSheets } from './templates.ts';

export interface PaperInput extends DrawingInput {
  readonly holding: Holding;
  readonly drawer: CutterDrawer | null;
}

export interface SheetSet {
  /** End of its file name: `drawing`. */
  readonly name: string;
  readonly purpose: string;
  readonly pages: readonly Page[];
}

export const headOf = (job: Job, date: string): SheetHead => ({
  kind: '',
  title: job.title,
  partNumber: job.partNumber,
  revision: job.revision,
  material: job.material,
  date,
  units: job.units,
  scale: '',
  tolerance: toleranceName(job),
});

/** All sheet sets but the release cover, which lists the rest. */
export function paperOf(input: PaperInput, date: string, pulse: () => void = () => {}): SheetSet[] {
  const { job, plan } = input;
  const head = headOf(job, date);
  const { size: paper } = job.paper;
  const upright = { paper, landscape: false };
  const across = { paper, landscape: true };
  const { needs, steps } = cuttingOf(job, plan, input.drawer);
  const set = (name: string, purpose: string, pages: readonly Page[]): SheetSet => {
    pulse();
    return { name, purpose, pages };
  };
  return [
    set('drawing', 'The drawing: views, section, hole table from its datums, notes.', drawingSheets(input, across, { ...head, kind: 'Drawing' })),
    set('setup', 'Setup of both operations: billet, zeros, screws, holes, cutters, checks before the cut.', setupSheets({ ...input, needs, steps, drawer: input.drawer !== null }, upright, head)),
    set('first-article', 'What to measure on the first part, with balloons.', firstArticleSheets(input, across, head)),
    set('templates', 'Contour and plan 1:1, in tiles with check bars.', templateSheets(input, upright, head)),
  ];
}

/** What the sheets are made from, as plain data: it may be handed to another thread. */
export interface PaperData extends Omit<PaperInput, 'look'> {
  readonly mesh: WeldedMesh;
  /** Start of the file names. */
  readonly stem: string;
  /** ISO 8601. */
  readonly date: string;
}

/** Prints every sheet set but the cover. `pulse` is called between them. */
export async function printPaper(data: PaperData, look: Viewer, font: Uint8Array, pulse: () => void = () => {}): Promise<{ readonly sheets: readonly SheetSet[]; readonly files: readonly OutputFile[] }> {
  const sheets = paperOf({ ...data, look }, data.date, pulse);
  const head = headOf(data.job, data.date);
  const files: OutputFile[] = [];
  for (const set of sheets) {
    pulse();
    files.push(await pdfFile(data.stem, set, head, font));
  }
  return { sheets, files };
}

export async function pdfFile(stem: string, set: SheetSet, head: SheetHead, font: Uint8Array): Promise<OutputFile> {
  const bytes = await pdfBytes(set.pages, { title: `${head.partNumber} ${head.revision}: ${set.name}`, subject: head.title, date: head.date }, font);
  return { name: `${stem}-${set.name}.pdf`, mimetype: 'application/pdf', purpose: set.purpose, bytes };
}
