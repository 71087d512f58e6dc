/**
 * A diagnosis -> the next revision of the job: holes moved by what belongs to the design, nothing else; the old revision
 * frozen with what, from, to and why. Lengths are written in the job's units, to a micron (tolerance.writtenPlace).
 *
 * A hole in a tab moves in its tab: out of the wall and along it. A boss and a hole through the skin move in X and Y.
 */
import { setInDocument, type JobFile } from '../job/read.ts';
import { mmPerInch } from '../job/quantity.ts';
import { freeze, hashOf, type Change } from '../job/revisions.ts';
import type { JobDocument, Tab, WallName } from '../job/schema.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2 } from '../maths/vec.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import type { SolidPlan } from '../solid/plan.ts';
import type { Diagnosis, HoleArrow } from './diagnosis.ts';
import type { OffsetReading, PatternHole } from './offsets.ts';

/** The holes of a part that can be fitted to something: in tabs, in bosses, and straight down through the skin. */
export function patternOf(plan: SolidPlan): PatternHole[] {
  return [
    ...plan.tabs.flatMap(({ name, at, hole }): PatternHole[] => (hole === null ? [] : [{ name, path: at, at: [hole.entry[0], hole.entry[1]], diameter: hole.diameter }])),
    ...plan.bosses.flatMap(({ name, at, x, y, hole }): PatternHole[] => (hole === null ? [] : [{ name, path: at, at: [x, y], diameter: hole.diameter }])),
    ...plan.holes.flatMap(({ name, at, entry, axis, diameter }): PatternHole[] => (Math.abs(axis[2]) > 0.5 ? [{ name, path: at, at: [entry[0], entry[1]], diameter }] : [])),
  ];
}

/** What makes a set of offsets the same set again. */
export const evidenceOf = (readings: readonly OffsetReading[]): string => hashOf(readings);

/** The next revision with the moves of `holes` (those of the diagnosis, or the ones a person accepted). Refused when nothing of it belongs to the design. */
export function applyCorrection(file: JobFile, diagnosis: Diagnosis, readings: readonly OffsetReading[], holes: readonly HoleArrow[] = diagnosis.holes): Result<JobDocument> {
  const { document, job } = file;
  const issues: Issue[] = [];
  const evidence = evidenceOf(readings);
  const used = job.revisions.find((one) => one.evidence === evidence);
  if (used !== undefined) issues.push({ code: 'offsets-used', at: 'offsets', message: `The revision after ${used.revision} already rests on these very offsets; used again they would be corrected twice.`, hint: 'Make and fit a piece of the present revision.' });
  if (diagnosis.madeFrom !== job.revision) issues.push({ code: 'other-revision', at: 'revision', message: `The diagnosis is of revision ${diagnosis.madeFrom}; the job is at ${job.revision}.`, hint: `Diagnose a piece of ${job.revision}.` });
  const moving = holes.filter(({ move }) => Math.hypot(...move) >= tolerance.writtenPlace);
  if (moving.length === 0) issues.push({ code: 'nothing-to-correct', at: '', message: `Nothing of this belongs to the design. ${diagnosis.summary}`, hint: diagnosis.findings.filter((f) => f.real).map((f) => f.todo).join(' ') || 'Leave the design as it is.' });
  if (issues.length > 0) return refuse(...issues);
  const moved = moveHoles(file, moving, (hole) => whyOf(hole, diagnosis));
  return moved.ok ? freeze(document, moved.value.document, moved.value.changes, diagnosis.summary, evidence) : moved;
}

/** The document with each hole moved as its arrow says, and every value that changed. The revision stays as it is. */
export function moveHoles<T extends Pick<HoleArrow, 'path' | 'move'>>(file: JobFile, holes: readonly T[], why: (hole: T) => string): Result<{ readonly document: JobDocument; readonly changes: readonly Change[] }> {
  let changed = file.document;
  const changes: Change[] = [];
  for (const hole of holes) {
    for (const { path, now, by } of fieldsFor(file, hole)) {
      if (Math.abs(by) < tolerance.writtenPlace / 2) continue;
      const to = written(now + by, file.job.units);
      const from = typedAt(changed, path);
      const set = setInDocument(changed, path, to);
      if (!set.ok) return set;
      changes.push({ path, from, to, why: why(hole) });
      changed = set.value;
    }
  }
  return ok({ document: changed, changes });
}

/** The holes of the job that bear the names of a pattern, each with the move that brings it to its place there. */
export function placeHoles(holes: readonly PatternHole[], located: readonly { readonly name: string; readonly at: Vec2 }[]): Result<readonly (PatternHole & { readonly move: Vec2 })[]> {
  const missing = located.filter(({ name }) => !holes.some((hole) => hole.name === name));
  if (missing.length > 0) {
    return refuse({ code: 'unknown-hole', at: '', message: `The job has no hole named ${missing.map(({ name }) => name).join(', ')}.`, hint: `Its holes: ${holes.map(({ name }) => name).join(', ') || 'none'}. Give the tabs, bosses and holes of the job the names used in the readings.` });
  }
  return ok(located.map(({ name, at }) => {
    const hole = holes.find((one) => one.name === name)!;
    return { ...hole, move: [at[0] - hole.at[0], at[1] - hole.at[1]] as const };
  }));
}

interface FieldMove {
  readonly path: string;
  /** mm, now and by how much. */
  readonly now: number;
  readonly by: number;
}

function fieldsFor({ job }: JobFile, { path, move: [dx, dy] }: Pick<HoleArrow, 'path' | 'move'>): FieldMove[] {
  const index = Number(/\[(\d+)\]/.exec(path)?.[1]);
  if (path.startsWith('tabs[')) return tabFields(job.tabs[index]!, path, [dx, dy]);
  const at = path.startsWith('bosses[') ? job.bosses[index]! : job.holes[index]!;
  return [{ path: `${path}.x`, now: at.x, by: dx }, { path: `${path}.y`, now: at.y, by: dy }];
}

/** Out of the wall and along it, as X and Y see them. */
const outAlong: Readonly<Record<WallName, (move: Vec2) => Vec2>> = {
  front: ([dx, dy]) => [-dx, dy],
  back: ([dx, dy]) => [dx, dy],
  left: ([dx, dy]) => [-dy, dx],
  right: ([dx, dy]) => [dy, dx],
};

function tabFields(tab: Tab, path: string, move: Vec2): FieldMove[] {
  const [out, along] = outAlong[tab.wall](move);
  return [{ path: `${path}.holeOut`, now: tab.holeOut ?? tab.reach / 2, by: out }, { path: `${path}.holeAlong`, now: tab.holeAlong, by: along }];
}

const written = (mm: number, units: 'mm' | 'inch'): number => (units === 'mm' ? Number(mm.toFixed(3)) : Number((mm / mmPerInch).toFixed(5)));

function typedAt(document: JobDocument, path: string): Change['from'] {
  const value = path.split(/[.[\]]+/).filter(Boolean).reduce<unknown>((inner, step) => (typeof inner === 'object' && inner !== null ? (inner as Record<string, unknown>)[step] : undefined), document);
  return typeof value === 'number' || typeof value === 'string' || typeof value === 'boolean' ? value : null;
}

const whyOf = (hole: HoleArrow, { findings, on }: Diagnosis): string =>
  `${on === 'print' ? 'Test fit' : 'Inspection'}: ${findings.filter((f) => f.remedy === 'design' && (f.hole === '' || f.hole === hole.name)).map((f) => (f.kind === 'single hole' ? `hole ${f.hole} alone` : f.kind)).join(', ')}.`;
