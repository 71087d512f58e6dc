/**
 * Boss, post and plate -> the screw from below: skin over the drill, counterbore, window of lengths, the length to take. The
 * counterbore is as shallow as the head allows, or as much deeper as it takes to let in a length that is sold. mm.
 */
import type { Job } from '../job/schema.ts';
import type { BossPlan, SolidPlan } from '../solid/plan.ts';
import { skinAbove } from '../solid/skinAbove.ts';
import { headRoom } from '../standards/screws.ts';
import { majorDiameter, threadNames, type ThreadName } from '../standards/threads.ts';
import type { BossScrew, Column } from './holding.ts';
import { screwWindow, type ScrewSeat, type SkinLeft } from './screws.ts';

/** mm by which deeper counterbores are tried. */
const deeper = 0.5;

export const threadOf = ({ hole }: Pick<BossPlan, 'hole'>): ThreadName | null => threadNames.find((name) => name === hole?.thread) ?? null;

export function bossScrew(job: Job, plan: SolidPlan, boss: BossPlan, post: Column | null, plate: { readonly bottom: number; readonly top: number }): BossScrew {
  const thread = threadOf(boss);
  const skin = skinLeft(job, plan, boss);
  const bare: ScrewSeat = { thickness: boss.endHeight - plate.bottom, counterbore: thread === null ? null : headRoom(thread).counterbore };
  const said = { name: boss.name, at: boss.at, place: [boss.x, boss.y], endHeight: boss.endHeight, skin } as const;
  if (thread === null || skin === null) return { ...said, seat: bare, window: null, chosen: null, refused: [] };
  if (post === null) {
    return { ...said, seat: bare, window: null, chosen: null, refused: [{ code: 'boss-no-post', at: `${boss.at}.x`, message: `There is no room for a post under ${boss.name}: walls or lower bosses stand in the way.`, hint: 'Move it away from the wall, or let it end at the foot of the wall.' }] };
  }
  for (const depth of depths(thread, plate)) {
    const seat: ScrewSeat = { ...bare, counterbore: { ...headRoom(thread).counterbore, depth } };
    const found = screwWindow(boss, seat, job.material, skin);
    // The longest has the most thread in hand; a pitch is left below it in any case.
    if (found.ok) return { ...said, seat, window: found.value, chosen: found.value.screws.at(-1)!, refused: [] };
  }
  const refused = screwWindow(boss, bare, job.material, skin);
  return { ...said, seat: bare, window: null, chosen: null, refused: refused.ok ? [] : refused.issues };
}

/** Depths a counterbore may have: from the head's room on, as long as half a diameter of plate carries the head. */
function depths(thread: ThreadName, { bottom, top }: { readonly bottom: number; readonly top: number }): readonly number[] {
  const from = headRoom(thread).counterbore.depth;
  const most = top - bottom - majorDiameter(thread) / 2;
  return Array.from({ length: Math.max(1, Math.floor((most - from) / deeper) + 1) }, (_, i) => from + i * deeper);
}

export function skinLeft(job: Job, plan: SolidPlan, boss: BossPlan): SkinLeft | null {
  const found = skinAbove(boss, plan.body.top);
  return found === null ? null : { left: found.skin, least: job.machining.leastSkin };
}
