/**
 * Random jobs: each is refused with a parameter named, or is one valid closed solid that keeps inside what was asked.
 * 500 in every run, in four files so that two workers share them, each with a seed of its own. SEED=n tries others;
 * RUNS=n another number.
 */
import fc from 'fast-check';
import { beforeAll, expect, test } from 'vitest';
import type { Kernel } from '../../src/solid/door.ts';
import { lastPoint } from '../../src/solid/heights.ts';
import { meshGap, meshVolume, weld } from '../../src/solid/mesh.ts';
import type { SolidPlan } from '../../src/solid/plan.ts';
import { wallFrame } from '../../src/solid/walls.ts';
import { tolerance } from '../../src/maths/tolerance.ts';
import { planOf, sharedKernel } from './part.ts';
import { randomJob, type RandomJob } from './randomJobs.ts';

const firstSeed = Number(process.env['SEED'] ?? 20240611);
const runs = Math.ceil(Number(process.env['RUNS'] ?? 500) / 4);

let kernel: Kernel;
beforeAll(async () => {
  kernel = await sharedKernel();
});

/** Where metal may be at most: body, tabs, bosses that stand out below. */
function room({ body, tabs, bosses }: SolidPlan): readonly [least: readonly number[], most: readonly number[]] {
  const highest = Math.max(...body.top.flatMap((curve) => curve.poles.map((pole) => pole[1])), ...tabs.map((tab) => tab.seat + tab.thickness));
  const lowest = Math.min(0, ...tabs.map((tab) => tab.seat), ...bosses.map((boss) => boss.endHeight));
  const corners = tabs.flatMap((tab) => {
    const frame = wallFrame(body, tab.wall);
    return [frame.plan(tab.middle - tab.length / 2, tab.reach), frame.plan(tab.middle + tab.length / 2, tab.reach)];
  });
  const [xs, ys] = [corners.map((p) => p[0]), corners.map((p) => p[1])];
  return [
    [Math.min(0, ...xs), Math.min(0, ...ys), lowest],
    [Math.max(lastPoint(body.top)[0], ...xs), Math.max(body.width, ...ys), highest],
  ];
}

/** Coarse, so that 500 take no longer than they must. */
const quality = { deviation: tolerance.meshDeviationProof, angle: tolerance.meshAngleProof };

type Outcome = 'refused by the plan' | 'refused by the kernel' | 'assembled' | 'cut';

function tryJob({ doc, top }: RandomJob): Outcome {
  const plan = planOf(doc, top);
  const named = (at: string): void => expect(at).toMatch(/^(body|tabs|bosses|holes|notches|grooves|engraving|edgeBreaks)/);
  if (!plan.ok) {
    plan.issues.forEach((issue) => named(issue.at));
    return 'refused by the plan';
  }
  const built = kernel.build(plan.value, { proofQuality: quality, tries: 8 });
  if (!built.ok) {
    built.issues.forEach((issue) => named(issue.at));
    return 'refused by the kernel';
  }
  const { solid, route } = built.value;
  try {
    const mesh = weld(kernel.mesh(solid, quality));
    expect(meshGap(mesh)).toEqual({ open: 0, crowded: 0, turned: 0 });
    expect(meshVolume(mesh)).toBeGreaterThan(0);
    const [least, most] = room(plan.value);
    mesh.positions.forEach((value, i) => {
      if (value < least[i % 3]! - 1e-3 || value > most[i % 3]! + 1e-3) throw new Error(`metal at ${value} on axis ${i % 3}, outside ${least[i % 3]} to ${most[i % 3]}`);
    });
    return route;
  } finally {
    kernel.release(solid);
  }
}

/** One quarter of the run. */
export function randomRun(quarter: 1 | 2 | 3 | 4): void {
  const seed = firstSeed + quarter - 1;
  test(`${runs} random jobs, seed ${seed}`, { timeout: 600_000 }, () => run(seed));
}

function run(seed: number): void {
  const outcomes = new Map<Outcome, number>();
  fc.assert(
    fc.property(randomJob, (job) => {
      const outcome = tryJob(job);
      outcomes.set(outcome, (outcomes.get(outcome) ?? 0) + 1);
    }),
    { seed, numRuns: runs, endOnFailure: true },
  );
  console.info(`seed ${seed}: ${[...outcomes].map(([outcome, count]) => `${count} ${outcome}`).join(', ')}`);
  // A test that builds next to nothing would prove next to nothing.
  expect((outcomes.get('assembled') ?? 0) + (outcomes.get('cut') ?? 0)).toBeGreaterThan(runs / 3);
}
