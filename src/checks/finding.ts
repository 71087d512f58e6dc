/**
 * The product of the checks: findings. A finding is the result of one rule at one place. Rules of the trade are findings,
 * not refusals: only what cannot be built is refused, and that never gets this far.
 */
import type { Vec3 } from '../maths/vec.ts';

/** stop: do not make it like this; warn: look at it; note: worth knowing. */
export type Level = 'stop' | 'warn' | 'note';

export interface Finding {
  /** Stable, kebab-case: `skin-above-hole`. */
  readonly code: string;
  readonly level: Level;
  /** One sentence with the value, the limit and the unit. */
  readonly message: string;
  readonly value: number | null;
  readonly limit: number | null;
  readonly unit: 'mm' | 'mm2' | 'deg' | 'ratio' | 'count' | '';
  /** Path into the job of the parameter to change; empty when there is no single one. */
  readonly at: string;
  /** Where on the part, part frame, mm. */
  readonly place: Vec3 | null;
  readonly cure: string;
  /** What the rule rests on: a standard, a formula, or "common practice, no source". */
  readonly restsOn: string;
  /** Who answers for it, when a stop was taken on by name. */
  readonly takenOnBy?: string;
}

const rank: Readonly<Record<Level, number>> = { stop: 0, warn: 1, note: 2 };

/** Stops first, then warnings, then notes; otherwise in the order of the checks. */
export const inOrder = (findings: readonly Finding[]): readonly Finding[] => [...findings].sort((a, b) => rank[a.level] - rank[b.level]);

/** Stops that nobody has taken on: these hold a release back. */
export const openStops = <F extends Pick<Finding, 'level' | 'takenOnBy'>>(findings: readonly F[]): readonly F[] => findings.filter((f) => f.level === 'stop' && !f.takenOnBy);

/** Two decimals in mm, without trailing zeros: fine enough for any of the rules here. */
export const mm = (value: number): string => `${Number(value.toFixed(2))} mm`;
