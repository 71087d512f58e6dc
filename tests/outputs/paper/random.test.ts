/** Sheets of random parts, named at length: nothing leaves the frame, no text covers another. Without solids, so without their lines. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { FairedContour } from '../../../src/contour/contour.ts';
import { partBox } from '../../../src/holding/footprint.ts';
import { holdingOf } from '../../../src/holding/holdingOf.ts';
import type { Job } from '../../../src/job/schema.ts';
import { paperOf } from '../../../src/outputs/paper/paper.ts';
import { sectionOf } from '../../../src/section/sectionOf.ts';
import { planSolid } from '../../../src/solid/plan.ts';
import { lastPoint } from '../../../src/solid/heights.ts';
import { jobOf } from '../../solid/part.ts';
import { randomJob, type RandomJob } from '../../solid/randomJobs.ts';
import { overlaps, outside } from './looks.ts';
import { date } from './part.ts';

const seed = Number(process.env['SEED'] ?? 20260104);
const runs = Number(process.env['RUNS'] ?? 150);

/** As many bosses and tabs as a crowded part has, with names as long as the job allows. */
function crowded({ doc, top }: RandomJob, many: number, longNames: boolean, units: 'mm' | 'inch', paper: Job['paper']['size']): { job: Job; top: RandomJob['top'] } {
  const [length] = lastPoint(top);
  const bosses = Array.from({ length: many }, (_, i) => ({ x: length * (0.15 + 0.7 * ((i * 0.37) % 1)), y: doc.body!.width as number * (0.2 + 0.6 * ((i * 0.61) % 1)), thread: 'M4' as const, holeDepth: 5, diameter: 9 }));
  const tabs = [...(doc.tabs ?? []), { wall: 'front' as const, at: (doc.body!.width as number) / 2 }];
  const name = (i: number): string => (longNames ? `Support beside ${i + 1} of it`.slice(0, 24) : '');
  const named = <T extends object>(list: readonly T[]): T[] => list.map((one, i) => ({ ...one, ...(longNames ? { name: name(i) } : {}) }));
  const job = jobOf({ ...doc, title: longNames ? 'A title that somebody typed without thinking of the narrow cell that it has to stand in on every sheet of paper' : 'Cover', bosses: named([...(doc.bosses ?? []), ...bosses]), tabs: named(tabs), holes: named(doc.holes ?? []), paper: { size: paper, projection: many % 2 === 0 ? 'first angle' : 'third angle' } });
  return { job: { ...job, units }, top };
}

test(`${runs} random parts, seed ${seed}`, { timeout: 300_000 }, () => {
  let drawn = 0;
  fc.assert(
    fc.property(randomJob, fc.integer({ min: 0, max: 12 }), fc.boolean(), fc.constantFrom('mm' as const, 'inch' as const), fc.constantFrom('A4' as const, 'Letter' as const), (random, many, longNames, units, paper) => {
      const { job, top } = crowded(random, many, longNames, units, paper);
      const section = sectionOf({ spans: top } as FairedContour, job.body);
      if (!section.ok) return;
      const plan = planSolid(job, section.value);
      if (!plan.ok) return;
      drawn += 1;
      const measured = { volume: 1e5, area: 1e4, box: partBox(plan.value), faces: 10, topFaces: 1, valid: true, solids: 1, closed: true };
      const sets = paperOf({ job, section: section.value, plan: plan.value, measured, look: () => ({ marks: [] }), holding: holdingOf(job, plan.value, { part: 1e5 }), drawer: null }, date);
      for (const set of sets) {
        for (const page of set.pages) {
          expect(outside(page), `${set.name}, ${page.name}`).toBe(0);
          expect(overlaps(page), `${set.name}, ${page.name}`).toEqual([]);
        }
      }
    }),
    { seed, numRuns: runs },
  );
  expect(drawn).toBeGreaterThan(runs / 2);
});
