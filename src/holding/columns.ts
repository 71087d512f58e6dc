/**
 * Round columns of the fixture inside the hollow: a post under every boss, nest posts in the corners, supports under long
 * spans of skin. Columns keep off walls, roof and lower bosses by stated gaps. Part frame, mm.
 */
import type { Job } from '../job/schema.ts';
import { tolerance } from '../maths/tolerance.ts';
import { distance2, type Vec2 } from '../maths/vec.ts';
import type { BossPlan, SolidPlan } from '../solid/plan.ts';
import { footAt } from '../solid/walls.ts';
import { clearanceHole, threadNames } from '../standards/threads.ts';
import type { Column, Holding } from './holding.ts';
import type { Hollow } from './hollow.ts';

/** mm between a column and anything beside it that it is not meant to touch, where no other gap is stated. */
const apart = 0.5;
/** mm. A post thinner than this carries nothing. */
const thinnestPost = 2;
/** mm of the boss's own end that stays clear at its edge, for the burr, at most; a share of its radius when small. */
const edge = 0.5;

/** mm. A ring of post round a hole thinner than this carries nothing. */
const thinnestRing = 1;

/** Diameter of what is drilled through the post: room for the screw, or for a pin. */
function boreOf({ hole }: BossPlan): number {
  if (hole === null) return 0;
  const thread = threadNames.find((name) => name === hole.thread);
  return thread === undefined ? hole.diameter : clearanceHole(thread, 'medium');
}

/** Along Y to the nearer end of the hollow, open or not. */
const toEnds = ({ least, most }: Hollow, [, y]: Vec2): number => Math.min(y - least[1], most[1] - y);

/** The post under a boss, or null where walls or lower bosses leave no room for one. */
export function bossPost(plan: SolidPlan, hollow: Hollow, boss: BossPlan): Column | null {
  const at: Vec2 = [boss.x, boss.y];
  const half = boss.diameter / 2;
  const feet = [boss.x - half, boss.x + half].map((x) => footAt(plan.body, x));
  const walled = boss.endHeight > Math.min(...feet) + tolerance.point;
  const lower = plan.bosses.filter((other) => other !== boss && other.endHeight < boss.endHeight - tolerance.point).map((other) => distance2(at, [other.x, other.y]) - other.diameter / 2 - apart);
  const radius = Math.min(half - Math.min(edge, half / 8), walled ? Math.min(hollow.toWalls(at), toEnds(hollow, at)) - apart : Infinity, ...lower);
  return radius < Math.max(thinnestPost, boreOf(boss) / 2 + thinnestRing) ? null : { what: 'boss post', name: boss.name, at, radius, top: boss.endHeight };
}

/** Up to one post per corner, touching both walls but for the nest gap; where a corner is taken, one along each wall. */
export function nestPosts(job: Job, plan: SolidPlan, hollow: Hollow): readonly Column[] {
  const { nestGap, nestCutter } = job.holding;
  const { body } = plan;
  const [lx, ly] = [hollow.most[0] - hollow.least[0], hollow.most[1] - hollow.least[1]];
  const radius = Math.max(body.insideCornerRadius + nestGap, nestCutter / 2, thinnestPost);
  if (radius * 2 + nestGap > Math.min(lx, ly) / 2) return [];
  const off = radius + nestGap;
  return [0, 1, 2, 3].flatMap((i): Column[] => {
    const [front, left] = [i < 2, i % 2 === 0];
    const closed = left ? body.left.closed : body.right.closed;
    const x = (by: number): number => (front ? hollow.least[0] + by : hollow.most[0] - by);
    const y = (by: number): number => (left ? hollow.least[1] + by : hollow.most[1] - by);
    const column = (at: Vec2): Column | null => standing(job, plan, hollow, { what: 'nest post', name: `${front ? 'front' : 'back'} ${left ? 'left' : 'right'}`, at, radius, top: 0 });
    const both = column([x(off), y(off)]);
    if (both !== null) return [both];
    const along = (size: number): readonly number[] => Array.from({ length: 8 }, (_, k) => off + ((size / 2 - off) * (k + 1)) / 9);
    const first = (places: readonly Vec2[]): Column[] => places.map(column).filter((found) => found !== null).slice(0, 1);
    return [...first(along(ly).map((by): Vec2 => [x(off), y(by)])), ...(closed ? first(along(lx).map((by): Vec2 => [x(by), y(off)])) : [])];
  });
}

/** The column at its height, or null where something is in its way. */
function standing(job: Job, plan: SolidPlan, hollow: Hollow, column: Column): Column | null {
  const { at, radius } = column;
  const foot = Math.max(footAt(plan.body, at[0] - radius), footAt(plan.body, at[0] + radius));
  const top = Math.min(foot + job.holding.nestHeight, hollow.roofOver(at, radius) - apart);
  if (top < foot + apart || hollow.toWalls(at) < radius + job.holding.nestGap - tolerance.point) return null;
  const blocked = plan.bosses.some((boss) => boss.endHeight < top + apart && distance2(at, [boss.x, boss.y]) < boss.diameter / 2 + radius + apart);
  return blocked ? null : { ...column, top };
}

/** Usual radius of a support, mm, and how many are put in at most. */
const supportRadius = 6;
const supportsMost = 24;
/** Longest span the skin is let go without support, times its thickness (common practice, no source). */
const spanShare = 30;

export const spanLimit = (job: Job): number => job.holding.longestSpan ?? spanShare * job.body.skin;

export interface Rest {
  readonly at: Vec2;
  readonly radius: number;
}

/** Supports under the widest open rounds of skin, one after the other, until none spans farther than the job allows. */
export function supports(job: Job, plan: SolidPlan, hollow: Hollow, plateTop: number): { readonly columns: readonly Column[]; readonly longSpans: Holding['longSpans'] } {
  const limit = spanLimit(job);
  const rests: Rest[] = plan.bosses.map((boss) => ({ at: [boss.x, boss.y], radius: boss.diameter / 2 + boss.rootRadius }));
  const columns: Column[] = [];
  for (let count = 0; count <= supportsMost; count++) {
    const widest = widestSpan(hollow, rests);
    if (widest === null || widest.span <= limit) return { columns, longSpans: [] };
    const radius = Math.min(supportRadius, widest.span / 4);
    const at = insideEnds(hollow, widest.at, radius + apart);
    const top = hollow.roofOver(at, radius) - job.holding.supportGap;
    if (count === supportsMost || radius < thinnestPost || top < plateTop + apart) return { columns, longSpans: [{ ...widest, limit }] };
    columns.push({ what: 'support', name: `S${columns.length + 1}`, at, radius, top });
    rests.push({ at, radius });
  }
  throw new Error('supports: not reached');
}

/** Drawn in from an open end, beyond which the billet still stands while the part is set down. */
const insideEnds = ({ least, most }: Hollow, [x, y]: Vec2, room: number): Vec2 => [x, Math.max(least[1] + room, Math.min(most[1] - room, y))];

/** The largest round of roof in plan with no wall, boss or support in it, its middle on a grid; null where there is none. */
export function widestSpan(hollow: Hollow, rests: readonly Rest[]): { readonly at: Vec2; readonly span: number } | null {
  const { least, most } = hollow;
  const step = Math.max(1, Math.min(most[0] - least[0], most[1] - least[1]) / 40);
  let best: { at: Vec2; span: number } | null = null;
  for (let x = least[0] + step; x < most[0]; x += step) {
    for (let y = least[1] + step; y < most[1]; y += step) {
      const at: Vec2 = [x, y];
      let free = hollow.toWalls(at);
      for (const rest of rests) free = Math.min(free, distance2(at, rest.at) - rest.radius);
      if (free > 0 && (best === null || 2 * free > best.span + tolerance.point)) best = { at, span: 2 * free };
    }
  }
  return best;
}
