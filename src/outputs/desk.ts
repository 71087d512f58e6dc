/**
 * What is made of a part without the kernel: its findings, the files of its mesh, its sheets of paper, hashes and the
 * pack. Plain data in, so that another thread may do it while the kernel goes on. Whatever a desk makes or is
 * handed goes into its pack. Answers come in the order of the questions.
 */
import type { Finding } from '../checks/finding.ts';
import type { FairedContour } from '../contour/contour.ts';
import type { CutterDrawer } from '../holding/cutterFile.ts';
import type { Holding } from '../holding/holding.ts';
import type { Job, JobDocument } from '../job/schema.ts';
import type { Section } from '../section/section.ts';
import type { Measured } from '../solid/door.ts';
import type { WeldedMesh } from '../solid/mesh.ts';
import type { SolidPlan } from '../solid/plan.ts';
import type { OutputFile } from './file.ts';
import type { Listed, PackInfo } from './pack.ts';
import type { SheetSet } from './paper/paper.ts';
import type { ReportPicture } from './reportHtml.ts';

/** What is known before there is a solid. */
export interface PlannedData {
  readonly job: Job;
  /** The job as it was typed. */
  readonly typed: JobDocument;
  readonly contour: FairedContour;
  readonly section: Section;
  readonly plan: SolidPlan;
  readonly drawer: CutterDrawer | null;
  /** Start of the file names. */
  readonly stem: string;
  /** ISO 8601. */
  readonly date: string;
}

export interface SolidData {
  readonly measured: Measured;
  readonly mesh: WeldedMesh;
  readonly holding: Holding;
}

/** Files with their entries in lists, in the same order. */
export interface Filed {
  readonly files: readonly OutputFile[];
  readonly list: readonly Listed[];
}

/** SVG texts. */
export interface MeshPictures {
  readonly outside: string;
  readonly matingSide: string;
}

export interface Printed extends Filed {
  /** Empty where whoever printed them keeps the pages to himself. */
  readonly sheets: readonly SheetSet[];
}

export interface Desk {
  /** Drawings and lists that need no solid. */
  planFiles(): Promise<Filed & { readonly pictures: readonly ReportPicture[] }>;
  /** The sheets that need no solid; null without a font. */
  planSheets(): Promise<Printed | null>;
  /** Everything from here on is about this solid. */
  solid(data: SolidData): Promise<void>;
  /** All but those on how it is held. */
  findings(): Promise<readonly Finding[]>;
  /** STL and 3MF. */
  meshFiles(): Promise<Filed & { readonly pictures: MeshPictures }>;
  /** The sheets that show the solid; null without a font. */
  solidSheets(): Promise<Printed | null>;
  file(file: OutputFile): Promise<Listed>;
  /** The release cover, which lists everything else; null without a font. */
  cover(findings: readonly Finding[], list: readonly Listed[], figures: readonly (readonly [string, string])[]): Promise<Printed | null>;
  /** One zip of everything by these names, in their order. */
  pack(list: readonly Listed[], info: PackInfo): Promise<Uint8Array>;
}

/** What can be done as soon as the solid stands, and what was done before. */
export interface Begun {
  readonly planFiles: ReturnType<Desk['planFiles']>;
  readonly planSheets: ReturnType<Desk['planSheets']>;
  readonly findings: ReturnType<Desk['findings']>;
  readonly meshFiles: ReturnType<Desk['meshFiles']>;
  readonly solidSheets: ReturnType<Desk['solidSheets']>;
}

/** Opens a desk for one part. Without a font nothing is printed. */
export type OpenDesk = (data: PlannedData, font: Uint8Array | null) => Desk;
