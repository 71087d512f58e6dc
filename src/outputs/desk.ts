/**
 * What is made of a finished solid without the kernel: its findings, the files of its mesh, its sheets of paper, hashes
 * and the pack. Plain data in, so that another thread may do it while the kernel goes on. Whatever a desk makes or is
 * handed goes into its pack. Answers come in the order of the questions.
 */
import type { Finding } from '../checks/finding.ts';
import type { FairedContour } from '../contour/contour.ts';
import type { OutputFile } from './file.ts';
import type { Listed, PackInfo } from './pack.ts';
import type { PaperData, SheetSet } from './paper/paper.ts';

export interface DeskData extends PaperData {
  readonly contour: FairedContour;
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
  /** All but those on how it is held. */
  findings(): Promise<readonly Finding[]>;
  /** STL and 3MF. */
  meshFiles(): Promise<Filed & { readonly pictures: MeshPictures }>;
  /** Every sheet but the release cover; null without a font. */
  paper(): Promise<Printed | null>;
  file(file: OutputFile): Promise<Listed>;
  /** The release cover, which lists everything else; null without a font. */
  cover(findings: readonly Finding[], list: readonly Listed[], figures: readonly (readonly [string, string])[]): Promise<Printed | null>;
  /** One zip of everything by these names, in their order. */
  pack(list: readonly Listed[], info: PackInfo): Promise<Uint8Array>;
}

/** What can be done as soon as the solid stands. */
export interface Begun {
  readonly findings: ReturnType<Desk['findings']>;
  readonly meshFiles: ReturnType<Desk['meshFiles']>;
  readonly paper: ReturnType<Desk['paper']>;
}

export const begin = (desk: Desk): Begun => ({ findings: desk.findings(), meshFiles: desk.meshFiles(), paper: desk.paper() });

/** Opens a desk for one part. Without a font nothing is printed. */
export type OpenDesk = (data: DeskData, font: Uint8Array | null) => Desk;
