/**
 * 200 random jobs that make a part, each held: from figures alone, every block keeps inside the outline, every column off
 * walls, roof and lower bosses, every screw is legal or refused with a cure. Every tenth is also made by the kernel: no
 * metal shared with the part, or a refusal or stop that is named. SEED=n tries others, EACH=1 makes every one of them.
 */
import fc from 'fast-check';
import { beforeAll, expect, test } from 'vitest';
import { findingsOnHolding } from '../../src/checks/findings.ts';
import { fixtureOutside } from '../../src/checks/fixtureFit.ts';
import { cutterRoom } from '../../src/checks/cutterRoom.ts';
import { sayMm } from '../../src/checks/finding.ts';
import { holdingOf } from '../../src/holding/holdingOf.ts';
import { holdUp, letGo } from '../../src/holding/holdUp.ts';
import type { Holding } from '../../src/holding/holding.ts';
import { fixtureRecipe } from '../../src/holding/recipes.ts';
import { hollowOf } from '../../src/holding/hollow.ts';
import type { Job } from '../../src/job/schema.ts';
import { distance2 } from '../../src/maths/vec.ts';
import { tolerance } from '../../src/maths/tolerance.ts';
import type { Kernel, SolidRef } from '../../src/solid/door.ts';
import { rod, type Recipe, type RecipeStep } from '../../src/solid/recipe.ts';
import { weld } from '../../src/solid/mesh.ts';
import type { SolidPlan } from '../../src/solid/plan.ts';
import { footAt } from '../../src/solid/walls.ts';
import { jobOf, planOf, sharedKernel } from '../solid/part.ts';
import { randomJob } from '../solid/randomJobs.ts';

const seed = Number(process.env['SEED'] ?? 20240715);
const wanted = 200;
const each = Number(process.env['EACH'] ?? 10);

let kernel: Kernel;
beforeAll(async () => {
  kernel = await sharedKernel();
});

/** What must hold whatever the part, by plain distances. */
function proven(job: Job, plan: SolidPlan, holding: Holding): void {
  const input = { job, plan, holding, evidence: null, refused: [] };
  expect(fixtureOutside(input, sayMm)).toEqual([]);
  expect(cutterRoom(input, sayMm)).toEqual([]);
  const hollow = hollowOf(plan.body);
  for (const column of holding.fixture.columns) {
    const foot = Math.min(footAt(plan.body, column.at[0] - column.radius), footAt(plan.body, column.at[0] + column.radius));
    if (column.top > foot + tolerance.point) expect(hollow.toWalls(column.at), column.name).toBeGreaterThanOrEqual(column.radius + holding.fixture.nestClearance - 1e-9);
    if (column.what !== 'boss post') expect(column.top, column.name).toBeLessThanOrEqual(hollow.roofOver(column.at, column.radius));
    for (const boss of plan.bosses) if (boss.endHeight < column.top - tolerance.point) expect(distance2(column.at, [boss.x, boss.y]), `${column.name} and ${boss.name}`).toBeGreaterThan(column.radius + boss.diameter / 2);
  }
  for (const screw of holding.screws) {
    if (screw.chosen !== null) expect(screw.chosen.engagement).toBeGreaterThanOrEqual(screw.window!.need.least - tolerance.point);
    else if (plan.bosses.find((boss) => boss.name === screw.name)!.hole?.thread) expect(screw.refused.every((issue) => issue.hint !== '' && issue.at.startsWith('bosses')), screw.name).toBe(true);
  }
}

/** The same fixture with every post and bore put in by booleans. */
function byBooleans(recipe: Recipe): Recipe {
  const up = [0, 0, 1] as const;
  const steps = recipe.steps.map((step): RecipeStep => {
    if (step.do === 'stand') return { do: 'fuse', with: step.posts.map(({ at, radius, from, top }) => rod([...at, from - 1], up, radius, top - from + 1)) };
    if (step.do !== 'drill') return step;
    const cuts = step.bores.flatMap(({ at, from, steps: parts, open }) =>
      parts.map(({ radius, to }, i) => {
        const low = i > 0 ? parts[i - 1]!.to : open.below ? from - 1 : from;
        return rod([...at, low], up, radius, (i === parts.length - 1 && open.above ? to + 1 : to) - low);
      }),
    );
    return { do: 'cut', with: cuts };
  });
  return { ...recipe, steps };
}

/** Posts and bores put in by hand make the fixture that booleans make. */
function sameEitherWay(holding: Holding, fixture: SolidRef): void {
  const other = kernel.form(byBooleans(fixtureRecipe(holding.fixture)));
  if (!other.ok) return;
  expect(kernel.measure(fixture).volume / kernel.measure(other.value).volume).toBeCloseTo(1, 7);
  kernel.release(other.value);
}

type Outcome = 'held' | 'stopped by name';

/** Made by the kernel; coarse, and without lettering, which stands on the plate beside the part. */
function made(job: Job, plan: SolidPlan, holding: Holding): Outcome | 'no part' {
  const built = kernel.build(plan, { engraving: false });
  if (!built.ok) return 'no part';
  const plain = { ...holding, fixture: { ...holding.fixture, text: [] } };
  const held = holdUp(kernel, job, plan, plain, { solid: built.value.solid, mesh: weld(kernel.mesh(built.value.solid, { deviation: tolerance.meshDeviationEditing, angle: tolerance.meshAngleEditing })) });
  try {
    const findings = findingsOnHolding({ job, plan, holding: plain, evidence: held.ok ? held.value.evidence : null, refused: held.ok ? [] : held.issues });
    const stops = findings.filter((finding) => finding.level === 'stop');
    if (held.ok) sameEitherWay(plain, held.value.solids.fixture);
    if (held.ok && held.value.evidence.overlap <= tolerance.breakOut) {
      expect(stops.filter((finding) => finding.code === 'fixture-overlap')).toEqual([]);
      return 'held';
    }
    expect(stops.length).toBeGreaterThan(0);
    for (const stop of stops) expect([stop.message, stop.cure, stop.at].every((words) => words !== '')).toBe(true);
    return 'stopped by name';
  } finally {
    if (held.ok) letGo(kernel, held.value.solids);
    kernel.release(built.value.solid);
  }
}

test(`${wanted} random jobs held, seed ${seed}`, { timeout: 600_000 }, () => {
  let found = 0;
  const outcomes = new Map<Outcome, number>();
  for (const { doc, top } of fc.sample(randomJob, { seed, numRuns: wanted * 3 })) {
    const lettered = planOf(doc, top);
    if (!lettered.ok || found === wanted) continue;
    const [job, plan] = [jobOf(doc), { ...lettered.value, engravings: [] }];
    const holding = holdingOf(job, plan);
    try {
      proven(job, plan, holding);
      found += 1;
      if (found % each !== 0) continue;
      const outcome = made(job, plan, holding);
      if (outcome !== 'no part') outcomes.set(outcome, (outcomes.get(outcome) ?? 0) + 1);
    } catch (error) {
      throw new Error(`seed ${seed}, job ${JSON.stringify(doc)}`, { cause: error });
    }
  }
  console.info(`seed ${seed}: ${[...outcomes].map(([outcome, count]) => `${count} ${outcome}`).join(', ')}`);
  expect(found).toBe(wanted);
  // A test in which nothing is held would prove nothing.
  expect(outcomes.get('held') ?? 0).toBeGreaterThan(wanted / each / 2);
});
