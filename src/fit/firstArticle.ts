/**
 * What is measured on the first part off the machine: every size with its number, nominal and limits, in datum order.
 * mm; part frame, plan as seen from outside. Limits of sizes without a tolerance of their own are those of ISO 2768-1 in
 * the class the job states; a hole's place has the circle the job states (bolting.positionTolerance).
 */
import type { Job } from '../job/schema.ts';
import { mmPerInch, type Units } from '../job/quantity.ts';
import type { Vec2 } from '../maths/vec.ts';
import { heightsOf } from '../solid/heights.ts';
import type { SolidPlan } from '../solid/plan.ts';
import { generalLinear } from '../standards/tolerances.ts';
import { patternOf } from './correct.ts';

export interface Characteristic {
  /** The number in its balloon; X and Y of one hole share it. */
  readonly number: number;
  /** What it is of: `T1`, `body`. */
  readonly feature: string;
  readonly what: string;
  readonly kind: 'size' | 'place x' | 'place y' | 'thread';
  /** mm; 0 for a thread, which a gauge passes or not. */
  readonly nominal: number;
  /** mm from nominal. For a place these are half the circle: X and Y are judged together. */
  readonly lower: number;
  readonly upper: number;
  readonly instrument: string;
  /** Where its balloon points in plan; null where the plan does not show it. */
  readonly at: Vec2 | null;
}

/** mm, plus or minus. */
function generalHalf(job: Job, size: number): number {
  // Sizes under the table (a seat at 0) are judged as its smallest; class v has none there, so the next finer one counts.
  const least = Math.max(Math.abs(size), 1);
  return generalLinear(least, job.paper.generalTolerance) ?? generalLinear(least, 'c') ?? generalLinear(least, 'm')!;
}

export function characteristicsOf(job: Job, plan: SolidPlan): Characteristic[] {
  const { body } = plan;
  const list: Omit<Characteristic, 'number'>[] = [];
  const size = (feature: string, what: string, nominal: number, instrument: string, at: Vec2 | null = null): void => {
    const half = generalHalf(job, nominal);
    list.push({ feature, what, kind: 'size', nominal, lower: -half, upper: half, instrument, at });
  };
  size('body', 'length, datum B to the back wall', body.length, 'caliper', [body.length, body.width / 3]);
  size('body', 'width, datum C to the right end', body.width, 'caliper', [body.length / 3, body.width]);
  const middle = body.length / 2;
  size('body', `height of the top above datum A at X ${said(middle, job.units)}`, heightsOf(body.top).at(middle), 'height gauge', [middle, body.width / 2]);
  if (Math.abs(body.frontFoot - body.backFoot) > 0.01) size('body', 'step between the feet', Math.abs(body.frontFoot - body.backFoot), 'height gauge');
  size('body', 'front wall', body.wall, 'outside jaws at the foot');
  size('body', `skin at X ${said(middle, job.units)}`, body.skin, 'ball micrometer');
  for (const tab of plan.tabs) {
    size(tab.name, 'seat above datum A', tab.seat, 'height gauge');
    size(tab.name, 'thickness', tab.thickness, 'caliper');
  }
  for (const hole of patternOf(plan)) {
    const half = job.bolting.positionTolerance / 2;
    const place = { feature: hole.name, lower: -half, upper: half, instrument: 'pin and height gauge, or probe', at: hole.at };
    list.push({ ...place, what: 'place X', kind: 'place x', nominal: hole.at[0] }, { ...place, what: 'place Y', kind: 'place y', nominal: hole.at[1] });
    const boss = plan.bosses.find((one) => one.at === hole.path);
    if (boss?.hole == null) {
      size(hole.name, 'diameter', hole.diameter, 'pins');
      continue;
    }
    if (boss.hole.thread === '') size(hole.name, 'diameter', hole.diameter, 'pins');
    else list.push({ feature: hole.name, what: `thread ${boss.hole.thread.replace('#', 'No. ')}, ${said(boss.hole.threadDepth, job.units)} deep`, kind: 'thread', nominal: 0, lower: 0, upper: 0, instrument: 'thread gauge, go and no go', at: hole.at });
    size(hole.name, 'depth of the drill', boss.hole.depth, 'depth gauge');
    size(hole.name, 'end above datum A', boss.endHeight, 'height gauge');
  }
  return numbered(list);
}

/** One balloon for the place of a hole, one for each other size. */
function numbered(list: readonly Omit<Characteristic, 'number'>[]): Characteristic[] {
  let number = 0;
  return list.map((one) => ({ ...one, number: one.kind === 'place y' ? number : ++number }));
}

const said = (mm: number, units: Units): string => (units === 'inch' ? (mm / mmPerInch).toFixed(3) : String(Number(mm.toFixed(2))));

/** The sheet to fill in, one row a reading: read back by `readInspection`. Written with semicolons, so that decimal commas may be typed. */
export function inspectionSheet(job: Job, plan: SolidPlan): string {
  const rows = characteristicsOf(job, plan).map((one) => {
    const limits = one.kind === 'thread' ? ['', '', ''] : [one.nominal, one.nominal + one.lower, one.nominal + one.upper].map((mm) => figure(mm, job.units));
    return [one.number, one.feature, one.what, ...limits, one.instrument, ''].join('; ');
  });
  return [
    `# First article of ${job.partNumber} ${job.revision}. Type what was measured in the last cell of each row; a length may carry its unit,`,
    '# a thread is ok or no. Leave a cell empty where nothing was measured. X and Y run from datums B and C, seen from outside.',
    `first article: ${job.partNumber}`,
    `revision: ${job.revision}`,
    `units: ${job.units}`,
    'error: 0.02mm',
    'number; feature; what; nominal; least; most; instrument; measured',
    ...rows,
    '',
  ].join('\n');
}

const figure = (mm: number, units: Units): string => (units === 'inch' ? (mm / mmPerInch).toFixed(4) : String(Number(mm.toFixed(3))));
