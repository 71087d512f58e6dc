/** What passes between the command and its workers: the kernel's binary, then one task at a time to each, progress on the way, one outcome back. */
import type { CutterDrawer } from '../holding/cutterFile.ts';
import type { OutputFile } from '../outputs/file.ts';
import type { ProofReport } from '../outputs/proofReport.ts';
import type { Report } from '../outputs/report.ts';
import type { PrintProfile } from '../proof/profile.ts';
import type { Issue } from '../result.ts';

/** The kernel's binary, compiled, comes once; tasks may come before it. */
export type ToWorker = { readonly kind: 'kernel'; readonly module: WebAssembly.Module } | { readonly kind: 'task'; readonly task: Task };

export interface Task {
  readonly number: number;
  /** The job file's text, as read. */
  readonly text: string;
  /** `path=value` changes to make before reading. */
  readonly sets: readonly string[];
  /** With files, or only the checks. */
  readonly files: boolean;
  /** The test print too, drawn for a printer or for none; null leaves it out. */
  readonly proof: { readonly profile: PrintProfile | null; readonly printerFile: string } | null;
  /** The shop's cutters; null when not told. */
  readonly drawer: CutterDrawer | null;
  /** ISO 8601; goes into the files. */
  readonly date: string;
}

export type FromWorker =
  | { readonly kind: 'ready' }
  | { readonly kind: 'progress'; readonly number: number; readonly stage: string; readonly done: number }
  | { readonly kind: 'made'; readonly number: number; readonly files: readonly OutputFile[]; readonly report: Report; readonly proof?: ProofReport }
  | { readonly kind: 'refused'; readonly number: number; readonly issues: readonly Issue[] };
