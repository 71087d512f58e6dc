/**
 * The product of the checks: findings. A finding is the result of one rule at one place. Rules of the trade are findings,
 * not refusals: only what cannot be built is refused, and that never gets this far.
 */
import { mmPerInch } from '../job/quantity.ts';
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

/** How a check writes lengths and places: in the units the job is typed in, finely enough for any of the rules here. */
export interface Say {
  (mm: number): string;
  readonly place: (at: Vec3) => string;
}

const sayIn = (say: (mm: number) => string, plain: (mm: number) => string): Say =>
  Object.assign((mm: number) => say(mm), { place: (at: Vec3) => ['X', 'Y', 'Z'].map((axis, i) => `${axis} ${plain(at[i]!)}`).join(', ') });

export const sayMm: Say = sayIn((mm) => `${Number(mm.toFixed(Math.abs(mm) < 0.1 ? 3 : 2))} mm`, (mm) => mm.toFixed(1));
export const sayInch: Say = sayIn((mm) => `${(mm / mmPerInch).toFixed(Math.abs(mm) < 2 ? 4 : 3)} in`, (mm) => (mm / mmPerInch).toFixed(2));
