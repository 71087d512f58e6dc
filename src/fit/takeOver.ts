/**
 * Located holes -> the job: those whose names it knows are moved to their places, the others become what was chosen for
 * them. mm, part frame. Tabs are set on the wall a hole stands outside of.
 */
import { mmPerInch } from '../job/quantity.ts';
import type { JobFile } from '../job/read.ts';
import type { JobDocument, WallName } from '../job/schema.ts';
import type { Vec2 } from '../maths/vec.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import type { SolidPlan } from '../solid/plan.ts';
import { moveHoles, patternOf, placeHoles } from './correct.ts';

export type TakenAs = 'move' | 'tab' | 'boss' | 'hole' | 'leave';

export interface Located {
  readonly name: string;
  readonly at: Vec2;
  /** mm; null when nothing read says it. */
  readonly diameter: number | null;
}

/** mm of tab left round the middle of a hole it is made for. */
const tabBeyond = 8;

/** What a hole most likely is: one of the job's own, else outside the walls a tab, else a hole in the skin. */
export function likelyTaken(plan: SolidPlan, { name, at }: Located): TakenAs {
  if (patternOf(plan).some((hole) => hole.name === name)) return 'move';
  return wallBeside(plan, at) === null ? 'hole' : 'tab';
}

export function takeOver(file: JobFile, plan: SolidPlan, located: readonly Located[], as: ReadonlyMap<string, TakenAs>): Result<JobDocument> {
  const own = (kind: TakenAs): readonly Located[] => located.filter((hole) => as.get(hole.name) === kind);
  const placed = placeHoles(patternOf(plan), own('move'));
  if (!placed.ok) return placed;
  const moved = moveHoles(file, placed.value, () => 'Located.');
  if (!moved.ok) return moved;
  const typed = (mm: number): number => (file.job.units === 'inch' ? Number((mm / mmPerInch).toFixed(5)) : Number(mm.toFixed(3)));
  const now = moved.value.document;
  const issues: Issue[] = [];
  const tabs = own('tab').flatMap(({ name, at, diameter }) => {
    const beside = wallBeside(plan, at);
    if (beside === null) {
      issues.push({ code: 'inside-the-body', at: name, message: `${name} stands inside the body, where no tab reaches.`, hint: 'Take it as a boss or a hole in the skin, or correct the place of the datum.' });
      return [];
    }
    return [{ name, wall: beside.wall, at: typed(beside.along), holeOut: typed(beside.out), reach: typed(beside.out + tabBeyond), ...(diameter === null ? {} : { hole: { diameter: typed(diameter) } }) }];
  });
  if (issues.length > 0) return refuse(...issues);
  const screw = file.job.units === 'inch' ? '#10-24' : 'M5';
  const bosses = own('boss').map(({ name, at }) => ({ name, x: typed(at[0]), y: typed(at[1]), thread: screw as 'M5', holeDepth: typed(12), endHeight: typed(10) }));
  const holes = own('hole').map(({ name, at, diameter }) => ({ name, x: typed(at[0]), y: typed(at[1]), ...(diameter === null ? { screw: screw as 'M5' } : { diameter: typed(diameter) }) }));
  return ok({ ...now, tabs: [...(now.tabs ?? []), ...tabs], bosses: [...(now.bosses ?? []), ...bosses], holes: [...(now.holes ?? []), ...holes] });
}

/** The wall a place stands farthest outside of, null inside the body. */
function wallBeside({ body }: SolidPlan, [x, y]: Vec2): { readonly wall: WallName; readonly along: number; readonly out: number } | null {
  const sides = [
    { wall: 'front', along: y, out: -x },
    { wall: 'back', along: y, out: x - body.length },
    { wall: 'left', along: x, out: -y },
    { wall: 'right', along: x, out: y - body.width },
  ] as const;
  const best = sides.reduce((a, b) => (b.out > a.out ? b : a));
  return best.out > 0 ? best : null;
}
