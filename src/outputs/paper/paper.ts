/**
 * The part and how it is held -> every sheet of paper, as pages; and the pages as PDF files. Pages are plain marks, so the
 * bench shows the very sheets that are printed.
 */
import type { CutterDrawer } from '../../holding/cutterFile.ts';
import { cuttingOf } from '../../holding/cutting.ts';
import type { Holding } from '../../holding/holding.ts';
import type { Job } from '../../job/schema.ts';
import type { OutputFile } from '../file.ts';
import { drawingSheets, toleranceName, type DrawingInput } from './drawingSheets.ts';
import { firstArticleSheets } from './firstArticleSheets.ts';
import type { Page, SheetForm, SheetHead } from './page.ts';
import { pdfBytes } from './pdf.ts';
import { setupSheets } from './setupSheets.ts';
import { templateSheets, type TemplateInput } from './templates.ts';

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

const forms = ({ paper: { size: paper } }: Job): { readonly upright: SheetForm; readonly across: SheetForm } => ({ upright: { paper, landscape: false }, across: { paper, landscape: true } });

/** The sheets that show the solid. */
export function solidSheets(input: PaperInput, date: string): SheetSet[] {
  const { job, plan, drawer } = input;
  const head = headOf(job, date);
  const { upright, across } = forms(job);
  const { needs, steps } = cuttingOf(job, plan, drawer);
  return [
    { name: 'drawing', purpose: 'The drawing: views, section, hole table from its datums, notes.', pages: drawingSheets(input, across, { ...head, kind: 'Drawing' }) },
    { name: 'setup', purpose: 'Setup of both operations: billet, zeros, screws, holes, cutters, checks before the cut.', pages: setupSheets({ ...input, needs, steps, drawer: drawer !== null }, upright, head) },
  ];
}

/** The sheets that are drawn from the plan alone, before there is a solid. */
export function planSheets(input: TemplateInput, date: string): SheetSet[] {
  const head = headOf(input.job, date);
  const { upright, across } = forms(input.job);
  return [
    { name: 'first-article', purpose: 'What to measure on the first part, with balloons.', pages: firstArticleSheets(input, across, head) },
    { name: 'templates', purpose: 'Contour and plan 1:1, in tiles with check bars.', pages: templateSheets(input, upright, head) },
  ];
}

/** All sheet sets but the release cover, which lists the rest. */
export const paperOf = (input: PaperInput, date: string): SheetSet[] => [...solidSheets(input, date), ...planSheets(input, date)];

/** Sheets -> PDF files. `pulse` is called between them. */
export async function printed(sheets: readonly SheetSet[], stem: string, head: SheetHead, font: Uint8Array, pulse: () => void = () => {}): Promise<OutputFile[]> {
  const files: OutputFile[] = [];
  for (const set of sheets) {
    pulse();
    files.push(await pdfFile(stem, set, head, font));
  }
  return files;
}

export async function pdfFile(stem: string, set: SheetSet, head: SheetHead, font: Uint8Array): Promise<OutputFile> {
  const bytes = await pdfBytes(set.pages, { title: `${head.partNumber} ${head.revision}: ${set.name}`, subject: head.title, date: head.date }, font);
  return { name: `${stem}-${set.name}.pdf`, mimetype: 'application/pdf', purpose: set.purpose, bytes };
}
