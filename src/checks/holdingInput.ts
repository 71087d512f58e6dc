/** What the checks of the holding are given. They look at plain data, so that each can be shown a holding that is wrong. */
import type { Holding } from '../holding/holding.ts';
import type { HoldingEvidence } from '../holding/holdUp.ts';
import type { Job } from '../job/schema.ts';
import type { Issue } from '../result.ts';
import type { SolidPlan } from '../solid/plan.ts';
import type { Finding, Say } from './finding.ts';

export interface HoldingInput {
  readonly job: Job;
  readonly plan: SolidPlan;
  readonly holding: Holding;
  /** What the kernel proved; null while it was not asked, and why where the fixture could not be made. */
  readonly evidence: HoldingEvidence | null;
  readonly refused: readonly Issue[];
}

export type HoldingCheck = (input: HoldingInput, say: Say) => readonly Finding[];

/** The fields most of these findings share. */
export const finding = (code: string, level: Finding['level'], at: string, message: string, cure: string, restsOn: string, more: Partial<Finding> = {}): Finding => ({ code, level, at, message, cure, restsOn, value: null, limit: null, unit: '', place: null, ...more });
