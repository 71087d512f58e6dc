/** Proof -> its figures for programs: pieces, and what instruments should show. Lengths mm, masses g. */
import type { ExpectedReading } from '../proof/expected.ts';
import type { Proof } from '../proof/formProof.ts';
import { proofSummary } from './proofSheet.ts';

interface ReadingReport {
  readonly name: string;
  readonly kind: string;
  readonly design_mm: number;
  readonly drawn_mm: number;
  readonly printed_mm: number | null;
  readonly one_sigma_mm: number | null;
}

export interface ProofReport {
  /** Empty when nothing was corrected. */
  readonly printer: string;
  readonly summary: string;
  readonly beds: number;
  readonly notes: readonly string[];
  readonly pieces: readonly {
    readonly number: number;
    readonly title: string;
    readonly size_mm: readonly number[];
    readonly volume_mm3: number;
    readonly mass_g: number;
    readonly bed: number;
    readonly corrected: boolean;
    readonly readings: readonly ReadingReport[];
  }[];
  readonly joined: readonly { readonly title: string; readonly readings: readonly ReadingReport[] }[];
}

const readingReport = ({ name, what, design, drawn, printed, error }: ExpectedReading): ReadingReport => ({ name, kind: what, design_mm: design, drawn_mm: drawn, printed_mm: printed, one_sigma_mm: error });

export const proofReport = (proof: Proof): ProofReport => ({
  printer: proof.profile?.printer ?? '',
  summary: proofSummary(proof),
  beds: proof.beds,
  notes: proof.plan.notes,
  pieces: proof.pieces.map(({ number, plan, size, volume, mass, bed, expected }) => ({ number, title: plan.title, size_mm: size, volume_mm3: volume, mass_g: mass, bed: bed + 1, corrected: proof.profile !== null && plan.corrected, readings: expected.map(readingReport) })),
  joined: proof.joined.map(({ title, expected }) => ({ title, readings: expected.map(readingReport) })),
});
