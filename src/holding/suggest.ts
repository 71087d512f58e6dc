/**
 * Job + plan -> where tapped bosses could stand: in pairs along the part, evenly, so that no span of skin is longer than
 * the job allows; clear of the walls by the cutter that goes round them; balanced about the middle; one of them out of
 * step, so that the part cannot be set down end for end. The largest usual screw for which boss and skin are tall enough
 * is taken. Part frame, mm. What is suggested is a start: it knows nothing of what the cover has to go over.
 */
import type { Job } from '../job/schema.ts';
import { distance2, type Vec2 } from '../maths/vec.ts';
import { heightsOf } from '../solid/heights.ts';
import type { SolidPlan } from '../solid/plan.ts';
import { footAt } from '../solid/walls.ts';
import { headRoom, screwLengths } from '../standards/screws.ts';
import { majorDiameter, tapRunOut, type ThreadName } from '../standards/threads.ts';
import { engagementNeeded } from '../standards/engagement.ts';
import { pointHeight, practiceBossHeight } from './bossHeight.ts';
import { spanLimit } from './columns.ts';
import { plateTopUnder } from './fixture.ts';
import { partBox } from './footprint.ts';
import { hollowOf } from './hollow.ts';

export interface SuggestedBoss {
  readonly x: number;
  readonly y: number;
  readonly diameter: number;
  readonly endHeight: number;
  readonly thread: ThreadName;
  readonly holeDepth: number;
}

export interface Suggestion {
  readonly bosses: readonly SuggestedBoss[];
  /** Why there are none; empty when there are. */
  readonly why: string;
}

const sizes: Readonly<Record<Job['units'], readonly ThreadName[]>> = { mm: ['M5', 'M4', 'M3'], inch: ['#10-24', '#8-32', '#6-32'] };
/** mm by which the odd one stands out of step: a screw notices a quarter of it. */
const outOfStep = 4;
/** Most that are suggested. */
const mostBosses = 12;
/** mm a boss is moved along to clear a hole through the skin, at most, and by how much at a time. */
const clearing = { most: 12, step: 2 };

const down = (value: number, step = 0.5): number => Math.floor(value / step + 1e-9) * step;
const up = (value: number, step = 0.5): number => Math.ceil(value / step - 1e-9) * step;

export function suggestBosses(job: Job, plan: SolidPlan): Suggestion {
  const reasons: string[] = [];
  for (const thread of sizes[job.units]) {
    const found = withThread(job, plan, thread);
    if (typeof found !== 'string') return { bosses: found, why: '' };
    reasons.push(found);
  }
  return { bosses: [], why: reasons.at(-1)! };
}

function withThread(job: Job, plan: SolidPlan, thread: ThreadName): readonly SuggestedBoss[] | string {
  const { body } = plan;
  const hollow = hollowOf(body);
  const top = heightsOf(body.top);
  const diameter = up(2 * majorDiameter(thread) + 2);
  const keep = diameter / 2 + job.machining.cutterDiameter + 1;
  const [x0, x1] = [hollow.least[0] + keep, hollow.most[0] - keep];
  const [y0, y1] = [hollow.least[1] + keep, hollow.most[1] - keep];
  if (x1 < x0 || y1 < y0) return `a ${thread} boss with room for the ${job.machining.cutterDiameter} mm cutter all round does not fit between the walls`;
  const limit = spanLimit(job);
  const reached = highestReached(job, plan, thread);
  const columns = Math.min(mostBosses / 2, Math.max(2, Math.ceil((x1 - x0) / limit) + 1));
  const quarter = (hollow.most[1] - hollow.least[1]) / 4;
  const low = Math.min(Math.max(y0, hollow.least[1] + quarter), (y0 + y1) / 2);
  const rows: readonly (readonly number[])[] = Array.from({ length: columns }, (_, i) => {
    const other = y0 + y1 - low;
    // Too narrow for two abreast: one side, then the other.
    return other - low >= diameter + job.machining.cutterDiameter ? [low, other] : [i % 2 === 0 ? y0 : y1];
  });
  const bosses: SuggestedBoss[] = [];
  for (const [i, row] of rows.entries()) {
    for (const y of row) {
      const odd = i === columns - 1 && y === row.at(-1);
      const at = clearOf(plan, diameter, [x0 + ((x1 - x0) * i) / (columns - 1), odd ? inStep(y, y0, y1) : y], [x0, x1]);
      if (at === null) continue;
      const height = endHeight(job, top, at, diameter, thread, reached);
      if (height < footAt(body, at[0])) return `the cover is too low for ${thread}: boss and skin together want ${up(practiceBossHeight(thread, job.machining.leastSkin), 0.1)} mm`;
      bosses.push({ x: Number(at[0].toFixed(2)), y: Number(at[1].toFixed(2)), diameter, endHeight: height, thread, holeDepth: drillDepth(job, thread) });
    }
  }
  return bosses.length === 0 ? 'holes through the skin stand in the way everywhere' : bosses;
}

/** Moved towards the middle; from the middle, to either side. */
const inStep = (y: number, y0: number, y1: number): number => (y - outOfStep >= y0 ? y - outOfStep : Math.min(y1, y + outOfStep));

/** Deep enough for the engagement needed, a pitch to spare in it and the run-out of the tap. */
const drillDepth = (job: Job, thread: ThreadName): number => up(Math.max(2 * majorDiameter(thread), engagementNeeded(thread, job.material).least) + tapRunOut(thread) + 1);

/** Highest end the longest screw sold still reaches from under the plate with the engagement needed. */
function highestReached(job: Job, plan: SolidPlan, thread: ThreadName): number {
  const bottom = plateTopUnder(job, partBox({ ...plan, bosses: [] })) - job.holding.plate;
  return bottom + headRoom(thread).counterbore.depth + screwLengths(thread).at(-1)! - engagementNeeded(thread, job.material).least;
}

/** As high as drill, point and skin allow under the lowest of the top over it, taken square to the slope there. */
function endHeight(job: Job, top: ReturnType<typeof heightsOf>, [x]: Vec2, diameter: number, thread: ThreadName, reached: number): number {
  const half = diameter / 2;
  const slope = (top.at(x + half) - top.at(x - half)) / diameter;
  const lowest = top.range(x - half, x + half, 0.5).least;
  const skin = job.machining.leastSkin * Math.hypot(1, slope);
  return down(Math.min(lowest - skin - pointHeight(majorDiameter(thread), 118) - drillDepth(job, thread), reached));
}

/** Along X to where no hole through the skin is in the way; null where there is no such place near. */
function clearOf({ holes }: SolidPlan, diameter: number, [x, y]: Vec2, [least, most]: readonly [number, number]): Vec2 | null {
  const free = (at: Vec2): boolean => holes.every((hole) => Math.abs(hole.axis[2]) < 0.5 || distance2(at, [hole.entry[0], hole.entry[1]]) > (diameter + hole.diameter) / 2 + 1);
  for (let by = 0; by <= clearing.most; by += clearing.step) for (const side of [1, -1]) {
    const at: Vec2 = [Math.min(most, Math.max(least, x + side * by)), y];
    if (free(at)) return at;
  }
  return null;
}
