/**
 * Random jobs on random beds: each part that builds gives closed pieces that fit the bed, or a refusal that names a parameter
 * of the proof. SEED=n tries others, PROOFS=n another number.
 */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { JobDocument } from '../../src/job/schema.ts';
import { tolerance } from '../../src/maths/tolerance.ts';
import { bedOf } from '../../src/proof/bed.ts';
import { formProof } from '../../src/proof/formProof.ts';
import { uprightHoles } from '../../src/proof/proofPlan.ts';
import { meshBox, meshGap, weld } from '../../src/solid/mesh.ts';
import { jobOf, planOf } from '../solid/part.ts';
import { randomJob } from '../solid/randomJobs.ts';
import { kernel, leftPrinter, manifoldOf, manifolds, putBack } from './print.ts';

const seed = Number(process.env['SEED'] ?? 20260131);
const runs = Number(process.env['PROOFS'] ?? 40);
const quality = { deviation: tolerance.meshDeviationProof, angle: tolerance.meshAngleProof };

const size = (least: number, most: number, step: number) => fc.integer({ min: Math.round(least / step), max: Math.round(most / step) }).map((n) => n * step);
const proofs: fc.Arbitrary<NonNullable<JobDocument['proof']>> = fc.noBias(
  fc.record({
    bedX: size(100, 300, 10),
    bedY: size(100, 300, 10),
    bedZ: size(60, 250, 10),
    lap: size(12, 30, 2),
    lapThickness: size(1.5, 5, 0.5),
    pin: size(2, 6, 0.5),
    ribThickness: size(3, 10, 0.5),
    ribSpacing: size(15, 80, 5),
    ringHeight: size(5, 20, 1),
    split: fc.integer({ min: 0, max: 9 }).map((n) => n > 0),
    square: fc.boolean(),
  }),
);

test(`${runs} random jobs, seed ${seed}`, { timeout: 900_000 }, () => {
  const seen = { pieces: 0, refused: 0, split: 0, 'not built': 0 };
  const codes = new Map<string, number>();
  fc.assert(
    fc.property(randomJob, proofs, fc.boolean(), ({ doc, top }, proof, drawnForPrinter) => {
      const plan = planOf(doc, top);
      const built = plan.ok ? kernel.build(plan.value, { proofQuality: quality }) : plan;
      if (!plan.ok || !built.ok) {
        seen['not built'] += 1;
        return;
      }
      const mesh = weld(kernel.mesh(built.value.solid, quality));
      kernel.release(built.value.solid);
      const job = jobOf({ ...doc, proof, files: { deviation: tolerance.meshDeviationProof } });
      const made = formProof({ job, plan: plan.value, mesh }, kernel, drawnForPrinter ? leftPrinter : null);
      if (!made.ok) {
        seen.refused += 1;
        for (const issue of made.issues) {
          expect(issue.at, issue.message).toMatch(/^(proof\b|tabs|bosses|holes)/);
          expect(issue.hint).not.toBe('');
          codes.set(issue.code, (codes.get(issue.code) ?? 0) + 1);
        }
        return;
      }
      const bed = bedOf(job.proof);
      // Nothing that was let go of the ring is a tab: plastic stands round every tab hole.
      if (!drawnForPrinter) {
        const ring = manifolds.Manifold.union(made.value.pieces.filter((piece) => piece.plan.kind === 'ring').map((piece) => manifoldOf(putBack(piece))));
        for (const hole of uprightHoles(plan.value)) {
          if (hole.in !== 'tab' || !job.proof.ring) continue;
          // Room for a head may go nearly through its tab: plastic is looked for round that.
          const head = plan.value.tabs.find((tab) => tab.name === hole.name)?.hole?.head;
          const reach = Math.max(hole.diameter, head === undefined || head.kind === 'none' ? 0 : head.diameter) / 2 + 1;
          const round = manifolds.Manifold.cylinder(1, reach, reach, 24).translate([hole.at[0], hole.at[1], hole.at[2] - 1.5]);
          expect(ring.intersect(round).volume(), hole.name).toBeGreaterThan(0);
        }
        ring.delete();
      }
      for (const piece of made.value.pieces) {
        seen.pieces += 1;
        if (piece.plan.title.includes(' of ')) seen.split += 1;
        expect(meshGap(piece.drawn.mesh), piece.plan.title).toEqual({ open: 0, crowded: 0, turned: 0 });
        const solid = manifoldOf(piece.drawn.mesh);
        expect(solid.volume()).toBeGreaterThan(0);
        expect(solid.decompose()).toHaveLength(1);
        solid.delete();
        const { least, most } = meshBox(piece.drawn.mesh);
        expect(Math.min(...least)).toBeCloseTo(0, 6);
        expect(most[0] <= bed.x && most[1] <= bed.y && most[2] <= bed.z, piece.plan.title).toBe(true);
        for (const one of piece.expected) expect(Number.isFinite(one.drawn) && one.drawn > 0).toBe(true);
      }
    }),
    { seed, numRuns: runs, endOnFailure: true },
  );
  console.info(`seed ${seed}: ${JSON.stringify(seen)} ${JSON.stringify([...codes])}`);
  // A test that makes next to nothing would prove next to nothing.
  expect(seen.pieces).toBeGreaterThan(runs);
  expect(seen.split).toBeGreaterThan(10);
});
