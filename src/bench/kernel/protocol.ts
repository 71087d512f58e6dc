/**
 * The thread boundary: every message between the page and the kernel's worker, and nothing else. Questions carry an id and
 * answers repeat it; the page asks one thing at a time and drops answers to questions that are no longer the newest.
 */
import type { Finding } from '../../checks/finding.ts';
import type { CutterDrawer } from '../../holding/cutterFile.ts';
import type { FairedContour } from '../../contour/contour.ts';
import type { HoldingEvidence } from '../../holding/holdUp.ts';
import type { Job, JobDocument } from '../../job/schema.ts';
import type { OutputFile } from '../../outputs/file.ts';
import type { Report } from '../../outputs/report.ts';
import type { ProofShown } from '../../proof/formProof.ts';
import type { PrintProfile } from '../../proof/profile.ts';
import type { Issue } from '../../result.ts';
import type { Section } from '../../section/section.ts';
import type { Built, FaceMesh, Measured } from '../../solid/door.ts';
import type { WeldedMesh } from '../../solid/mesh.ts';
import type { SolidPlan } from '../../solid/plan.ts';

/** What the checks look at besides the solid. */
export interface Context {
  readonly job: Job;
  readonly contour: FairedContour;
  readonly section: Section;
}

/** Whom a test print is drawn for. */
export interface ProofPrinter {
  readonly profile: PrintProfile | null;
  /** Name of its file; empty without one. */
  readonly printerFile: string;
}

/** A set of sheets for looking at, each page as SVG text. */
export interface ShownSheets {
  readonly name: string;
  readonly purpose: string;
  readonly pages: readonly { readonly name: string; readonly svg: string }[];
}

/** A body of the fixture for looking at, part frame. */
export interface HeldBody {
  /** left: what is left of the billet after the first operation. */
  readonly what: 'fixture' | 'pin' | 'billet' | 'left';
  readonly faces: readonly FaceMesh[];
}

export type ToKernel =
  /** First of all: the compiled kernel and the font, so that a restart loads nothing again. */
  | { readonly kind: 'open'; readonly wasm: WebAssembly.Module; readonly manifoldWasm: string; readonly font: ArrayBuffer }
  | { readonly kind: 'build'; readonly id: number; readonly plan: SolidPlan; readonly context: Context; /** Faces the page holds already. */ readonly held: readonly number[]; /** With the engraved text cut into it. */ readonly engraving: boolean }
  /** Measure and check the solid last built. */
  | { readonly kind: 'check'; readonly id: number }
  /** Thickness of the metal at every node of the faces shown. */
  | { readonly kind: 'thickness'; readonly id: number; readonly most: number }
  /** The fixture of the solid last built, made and held against it. */
  | { readonly kind: 'hold'; readonly id: number }
  /** Another part than the one at work, to lay beside it. */
  | { readonly kind: 'beside'; readonly id: number; readonly plan: SolidPlan }
  | { readonly kind: 'files'; readonly id: number; readonly document: JobDocument; readonly date: string; /** The shop's cutters, if told. */ readonly drawer: CutterDrawer | null }
  /** The test print, drawn for a printer or for none. */
  | { readonly kind: 'proof'; readonly id: number; readonly document: JobDocument; readonly date: string; readonly printer: ProofPrinter };

export type FromKernel =
  | { readonly kind: 'ready' }
  /** Still at it. */
  | { readonly kind: 'pulse'; readonly id: number }
  | { readonly kind: 'progress'; readonly id: number; readonly stage: string; readonly done: number }
  | { readonly kind: 'built'; readonly id: number; readonly faces: readonly number[]; readonly fresh: readonly FaceMesh[]; readonly built: Omit<Built, 'solid'>; readonly ms: number; readonly heap: number }
  | { readonly kind: 'checked'; readonly id: number; readonly measured: Measured; readonly findings: readonly Finding[]; /** On how it is held, from figures alone. */ readonly holding: readonly Finding[] }
  | { readonly kind: 'held'; readonly id: number; readonly bodies: readonly HeldBody[]; readonly evidence: HoldingEvidence | null; readonly findings: readonly Finding[] }
  | { readonly kind: 'thickness'; readonly id: number; readonly byFace: readonly (readonly [face: number, thickness: Float32Array])[]; readonly least: number }
  /** Volumes in mm3; null where no part is at work. */
  | { readonly kind: 'beside'; readonly id: number; readonly mesh: WeldedMesh; readonly volume: number; readonly current: number | null }
  | { readonly kind: 'files'; readonly id: number; readonly files: readonly OutputFile[]; readonly report: Report; readonly sheets: readonly ShownSheets[] }
  | { readonly kind: 'proof'; readonly id: number; readonly files: readonly OutputFile[]; readonly proof: ProofShown }
  | { readonly kind: 'refused'; readonly id: number; readonly issues: readonly Issue[] }
  /** The kernel cannot go on; the page starts a fresh one. */
  | { readonly kind: 'died'; readonly id: number; readonly message: string };
