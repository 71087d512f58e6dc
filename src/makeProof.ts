/** A built part and a printer (or none) -> its test print and the files of that. The part itself is only looked at. */
import { patternOf } from './fit/correct.ts';
import type { CheckedPart } from './outputs/files.ts';
import type { OutputFile } from './outputs/file.ts';
import { proofFiles, type ProofFileOptions } from './outputs/proofFiles.ts';
import { formProof, type Proof } from './proof/formProof.ts';
import type { PrintProfile } from './proof/profile.ts';
import { ok, type Result } from './result.ts';
import type { Kernel } from './solid/door.ts';

export interface ProofMade {
  readonly proof: Proof;
  readonly files: readonly OutputFile[];
}

export interface ProofOptions extends ProofFileOptions {
  readonly profile: PrintProfile | null;
  readonly progress?: (stage: string, done: number) => void;
}

export function makeProof(part: Pick<CheckedPart, 'file' | 'plan' | 'mesh'>, kernel: Kernel, options: ProofOptions): Result<ProofMade> {
  const { job } = part.file;
  const proof = formProof({ job, plan: part.plan, mesh: part.mesh }, kernel, options.profile, (done) => options.progress?.('proof', 0.6 * done));
  if (!proof.ok) return proof;
  options.progress?.('proof files', 0.6);
  return ok({ proof: proof.value, files: proofFiles(proof.value, job, patternOf(part.plan), options) });
}
