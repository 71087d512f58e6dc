/** Fixtures made by the kernel and held against the part: no shared metal, gaps kept, read back by another program. mm. */
import initManifold from 'manifold-3d';
import { beforeAll, describe, expect, test } from 'vitest';
import { findingsOnHolding } from '../../src/checks/findings.ts';
import { holdingOf } from '../../src/holding/holdingOf.ts';
import { holdUp, letGo, type HeldUp } from '../../src/holding/holdUp.ts';
import type { Holding } from '../../src/holding/holding.ts';
import type { Job } from '../../src/job/schema.ts';
import type { BSplineCurve } from '../../src/maths/bspline.ts';
import { holdingFiles } from '../../src/outputs/holdingFiles.ts';
import { unwrap } from '../../src/result.ts';
import type { Kernel, SolidRef } from '../../src/solid/door.ts';
import { weld } from '../../src/solid/mesh.ts';
import type { SolidPlan } from '../../src/solid/plan.ts';
import { readStep, volumeOf, type ReadMesh } from '../stepReader.ts';
import { crowned, editing, flatTop, jobOf, planOf, sharedKernel, sharp, type Doc } from '../solid/part.ts';

let kernel: Kernel;
beforeAll(async () => {
  kernel = await sharedKernel();
});

const tapped = (x: number, y: number, endHeight = 8) => ({ x, y, thread: 'M4' as const, endHeight, holeDepth: 14, diameter: 10 });
const body = { width: 80, wall: 3, skin: 2.5 } as const;
const everyWall: Doc['tabs'] = [{ wall: 'front', at: 25 }, { wall: 'back', at: 60 }, { wall: 'left', at: 120 }, { wall: 'right', at: 70, seat: 3 }];
const cases: readonly (readonly [string, Doc, readonly BSplineCurve[]])[] = [
  ['tabs on every wall, bosses at three heights', { body, tabs: everyWall, bosses: [tapped(40, 20), tapped(100, 60, 14), tapped(160, 30, 20)] }, crowned],
  ['both ends open', { body: { ...body, leftEnd: { closed: false }, rightEnd: { closed: false } }, tabs: [{ wall: 'front', at: 20 }, { wall: 'back', at: 60 }], bosses: [tapped(100, 40)] }, crowned],
  ['stepped feet, a tab above its foot, a boss that hangs low', { body: { ...body, backFoot: 6 }, tabs: [{ wall: 'front', at: 40, seat: 4 }, { wall: 'back', at: 20 }, { wall: 'left', at: 60 }], bosses: [tapped(150, 40, 2), tapped(40, 40)] }, crowned],
  ['no tabs and no bosses', { body: sharp }, flatTop],
  ['thin walls, round corners, broken feet, notches', { body: { width: 60, wall: 1.5, skin: 2, outsideRadius: 6 }, edgeBreaks: { feet: 0.5 }, notches: [{ wall: 'back', at: 30 }, { wall: 'left', at: 50 }], tabs: [{ wall: 'right', at: 50 }, { wall: 'left', at: 80 }] }, flatTop],
  ['table slots, a thick plate, holes through the skin', { body: sharp, bosses: [tapped(30, 30)], holes: [{ in: 'skin', x: 70, y: 30, diameter: 8 }], holding: { table: 'slots', plate: 40 } }, flatTop],
];

interface Made extends HeldUp {
  readonly job: Job;
  readonly plan: SolidPlan;
  readonly holding: Holding;
  readonly part: SolidRef;
}

/** Builds and holds a part, changed by hand if asked, and lets everything go again. */
async function made<T>(doc: Doc, top: readonly BSplineCurve[], look: (made: Made) => T | Promise<T>, change: (holding: Holding) => Holding = (h) => h): Promise<T> {
  const [job, plan] = [jobOf(doc), unwrap(planOf(doc, top))];
  const { solid } = unwrap(kernel.build(plan));
  const holding = change(holdingOf(job, plan));
  const held = unwrap(holdUp(kernel, job, plan, holding, { solid, mesh: weld(kernel.mesh(solid, editing)) }));
  try {
    return await look({ ...held, job, plan, holding, part: solid });
  } finally {
    letGo(kernel, held.solids);
    kernel.release(solid);
  }
}

const codes = ({ job, plan, holding, evidence }: Made): string[] => findingsOnHolding({ job, plan, holding, evidence, refused: [] }).map((finding) => finding.code);

describe('the fixture and the part after the first operation', () => {
  test.each(cases)('%s: no shared metal, the nest gap kept, pins clear', (_, doc, top) =>
    made(doc, top, (one) => {
      const { evidence, solids, holding } = one;
      expect(evidence.overlap).toBe(0);
      // Facets of posts stand inside their circles, never outside.
      expect(evidence.gap).toBeGreaterThanOrEqual(Math.min(holding.fixture.nestClearance, evidence.looked) - 1e-3);
      for (const { solid } of solids.pins) expect([kernel.overlap({ solid }, { solid: solids.afterFirst! }), kernel.overlap({ solid }, { solid: solids.fixture })]).toEqual([0, 0]);
      // The part is what is left of the billet once the second side is cut: all of its metal is still there.
      const { volume } = kernel.measure(one.part);
      expect(kernel.overlap({ solid: one.part }, { solid: solids.afterFirst! }) / volume).toBeCloseTo(1, 5);
      expect(codes(one).filter((code) => code.startsWith('fixture') || code.startsWith('cutter'))).toEqual([]);
    }),
  );
  test('raised by a tenth it stands in the metal by the area it carries', () =>
    made(cases[0]![1], crowned, ({ solids, holding }) => {
      const up = { rotation: [[1, 0, 0], [0, 1, 0], [0, 0, 1]], shift: [0, 0, 0.1] } as const;
      const area = kernel.overlap({ solid: solids.afterFirst! }, { solid: solids.fixture, placed: up }) / 0.1;
      // Lips of 1.5 mm round 200 x 80, four pads of about 22 x 14, three posts: some 2000 mm2.
      expect(holding.fixture.contacts).toHaveLength(1 + 4 + 3);
      expect(area).toBeGreaterThan(1500);
      expect(area).toBeLessThan(2600);
    }));
  test('a post a millimetre too tall is a stop; a nest post moved to touch is told', async () => {
    const taller = (h: Holding): Holding => ({ ...h, fixture: { ...h.fixture, columns: h.fixture.columns.map((c) => (c.what === 'boss post' ? { ...c, top: c.top + 1 } : c)), contacts: h.fixture.contacts.map((c) => (c.what === 'boss' ? { ...c, height: c.height + 1 } : c)) } });
    expect(await made({ body: sharp, bosses: [tapped(30, 30)] }, flatTop, codes, taller)).toContain('fixture-overlap');
    const nearer = (h: Holding): Holding => ({ ...h, fixture: { ...h.fixture, columns: h.fixture.columns.map((c) => (c.what === 'nest post' && c.at[0] < 50 ? { ...c, at: [c.at[0] - 0.08, c.at[1]] } : c)) } });
    expect(await made({ body: sharp }, flatTop, codes, nearer)).toContain('fixture-gap');
  });
});

describe('read back by another program', () => {
  test('the second operation as an assembly: named, coloured, nothing shared, the least gap as stated', () =>
    made(cases[0]![1], crowned, async (one) => {
      const files = [...holdingFiles({ ...one, held: one }, kernel, 'X-A', '2026-01-01')];
      const step = files.find((file) => file.name === 'X-A-op2.step')!;
      const meshes = await readStep(step.bytes);
      expect(meshes.map((mesh) => mesh.name)).toEqual(['COVER-A', 'COVER-A fixture', 'COVER-A round pin', 'COVER-A relieved pin']);
      expect(new Set(meshes.map((mesh) => String(mesh.color))).size).toBe(3);
      const [part, fixture] = meshes as readonly [ReadMesh, ReadMesh];
      expect(Math.abs(volumeOf(fixture) / kernel.measure(one.solids.fixture).volume - 1)).toBeLessThan(2e-3);
      const { Manifold, Mesh } = await manifolds();
      const solid = ({ attributes, index }: ReadMesh, lift = 0) => {
        const mesh = new Mesh({ numProp: 3, vertProperties: Float32Array.from(attributes.position.array, (v, i) => (i % 3 === 2 ? v + lift : v)), triVerts: Uint32Array.from(index.array) });
        mesh.merge();
        return new Manifold(mesh);
      };
      expect(Math.abs(solid(part).intersect(solid(fixture)).volume())).toBeLessThan(1e-3);
      // Lifted off its contacts by 0.3, nothing is nearer than the nest posts: 0.1.
      expect(solid(part, 0.3).minGap(solid(fixture), 1)).toBeCloseTo(0.1, 2);
    }));
  test('the first operation lies top down with its zero on the raw face of the billet', () =>
    made(cases[0]![1], crowned, async (one) => {
      const step = [...holdingFiles({ ...one, held: one }, kernel, 'X-A', '2026-01-01')].find((file) => file.name === 'X-A-op1.step')!;
      const [part, billet] = (await readStep(step.bytes)).map(({ attributes }) => [Math.min(...heights(attributes.position.array)), Math.max(...heights(attributes.position.array))]);
      expect(billet![1]).toBeCloseTo(0, 3);
      expect(part![1]).toBeCloseTo(-2, 3);
      expect(part![0]! - billet![0]!).toBeCloseTo(one.holding.stock.allowance.over, 1);
    }));
});

const heights = (positions: readonly number[]): number[] => positions.filter((_, i) => i % 3 === 2);

async function manifolds() {
  const module = await initManifold();
  module.setup();
  return module;
}

