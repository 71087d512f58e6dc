/**
 * Two jobs -> what differs: parameters by path, holes moved, added, removed, with their vectors. mm, part frame. Volumes
 * need the solids and are added by the face. A parameter is compared as typed; one typed another way with the same meaning
 * (`"1in"`, `25.4`) is named as such.
 */
import type { JobFile } from '../job/read.ts';
import { contentHash } from '../job/revisions.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2 } from '../maths/vec.ts';
import type { PatternHole } from './offsets.ts';

export interface Difference {
  readonly path: string;
  /** As typed; undefined where nothing stands. */
  readonly from: unknown;
  readonly to: unknown;
  /** False when only the typing differs. */
  readonly matters: boolean;
}

export interface HoleChange {
  readonly name: string;
  readonly kind: 'moved' | 'resized' | 'added' | 'removed';
  readonly at: Vec2;
  /** mm, in X and Y; 0 where it stands still. */
  readonly move: Vec2;
  readonly diameter: { readonly from: number | null; readonly to: number | null };
}

export interface Comparison {
  readonly revisions: readonly [string, string];
  /** SHA-256 of each. */
  readonly hashes: readonly [string, string];
  readonly same: boolean;
  readonly differences: readonly Difference[];
  readonly holes: readonly HoleChange[];
}

/** `a` is the older one. Holes as `patternOf` gives them; empty lists leave them out. */
export function compareJobs(a: JobFile, b: JobFile, holesA: readonly PatternHole[] = [], holesB: readonly PatternHole[] = []): Comparison {
  const hashes = [contentHash(a.document), contentHash(b.document)] as const;
  const typed = new Map<string, [unknown, unknown]>();
  walk(a.document, b.document, '', typed);
  const meant = new Map<string, [unknown, unknown]>();
  walk(a.job, b.job, '', meant);
  const differences = [...typed].filter(([path]) => !isApart(path)).map(([path, [from, to]]): Difference => ({ path, from, to, matters: meant.has(path) || !leafIn(path, a, b) }));
  return { revisions: [a.job.revision, b.job.revision], hashes, same: hashes[0] === hashes[1], differences, holes: holeChanges(holesA, holesB) };
}

/** Bookkeeping is not a difference of the part. */
const isApart = (path: string): boolean => /^(?:revisions|testFits|\$schema)(?:$|[.[])/.test(path);

/** Leaves that differ, by path. A list of readings in short and long form is walked as it stands. */
function walk(a: unknown, b: unknown, path: string, out: Map<string, [unknown, unknown]>): void {
  if (Object.is(a, b)) return;
  if (isBranch(a) && isBranch(b) && Array.isArray(a) === Array.isArray(b)) {
    for (const key of new Set([...Object.keys(a), ...Object.keys(b)])) {
      const here = Array.isArray(a) ? `${path}[${key}]` : path === '' ? key : `${path}.${key}`;
      if (!isApart(here)) walk((a as Record<string, unknown>)[key], (b as Record<string, unknown>)[key], here, out);
    }
    return;
  }
  out.set(path, [a, b]);
}

const isBranch = (value: unknown): value is object => typeof value === 'object' && value !== null;

/** True when a typed leaf has a place of the same path in what was understood, so that its meaning could be compared. */
function leafIn(path: string, a: JobFile, b: JobFile): boolean {
  const at = (value: unknown): unknown => path.split(/[.[\]]+/).filter(Boolean).reduce<unknown>((inner, step) => (isBranch(inner) ? (inner as Record<string, unknown>)[step] : undefined), value);
  return at(a.job) !== undefined || at(b.job) !== undefined;
}

function holeChanges(a: readonly PatternHole[], b: readonly PatternHole[]): HoleChange[] {
  const before = new Map(a.map((hole) => [hole.name, hole]));
  const after = new Map(b.map((hole) => [hole.name, hole]));
  return [...new Set([...before.keys(), ...after.keys()])].flatMap((name): HoleChange[] => {
    const [from, to] = [before.get(name), after.get(name)];
    if (from === undefined) return [{ name, kind: 'added', at: to!.at, move: [0, 0], diameter: { from: null, to: to!.diameter } }];
    if (to === undefined) return [{ name, kind: 'removed', at: from.at, move: [0, 0], diameter: { from: from.diameter, to: null } }];
    const move: Vec2 = [to.at[0] - from.at[0], to.at[1] - from.at[1]];
    const moved = Math.hypot(...move) > tolerance.point;
    const resized = Math.abs(to.diameter - from.diameter) > tolerance.point;
    return moved || resized ? [{ name, kind: moved ? 'moved' : 'resized', at: from.at, move, diameter: { from: from.diameter, to: to.diameter } }] : [];
  });
}
