/** The assembled route against the cut, and what keeps a wrong assembly from ever getting out. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { guard } from '../../src/solid/guards.ts';
import { unwrap } from '../../src/result.ts';
import { crowned, dipped, flatTop, planOf, sharedKernel, tryPart, type Doc } from './part.ts';
import { randomJob, type RandomJob } from './randomJobs.ts';

const tabs: Doc['tabs'] = [{ wall: 'front', at: 30 }, { wall: 'back', at: 60 }, { wall: 'left', at: 100, seat: 3 }];
const bosses: Doc['bosses'] = [
  { x: 60, y: 30, endHeight: 8, thread: 'M5', holeDepth: 14 },
  { x: 140, y: 60, endHeight: 0, diameter: 10, thread: 'M4', holeDepth: 8 },
  { x: 196, y: 45, endHeight: 10, diameter: 14 },
];

describe('assembled and cut make the same solid', () => {
  const cases: readonly (readonly [string, Doc, typeof crowned])[] = [
    ['closed', { body: { width: 90 }, tabs, bosses }, crowned],
    ['dipped, unequal radii', { body: { width: 90, insideCornerRadius: 3, insideRoofRadius: 6 }, tabs, bosses }, dipped],
    ['open at one end, stepped feet', { body: { width: 90, rightEnd: { closed: false }, backFoot: 6, stepAt: 100 }, tabs, bosses: bosses?.slice(0, 1) ?? [] }, crowned],
    ['notched and holed', { body: { width: 90, leftEnd: { closed: false } }, tabs: tabs?.slice(0, 2) ?? [], notches: [{ wall: 'front', at: 60, radius: 2 }], holes: [{ in: 'skin', x: 100, y: 45, screw: 'M5', head: 'countersink' }] }, crowned],
  ];
  test.each(cases)('%s', async (_, doc, top) => {
    const assembled = await tryPart(doc, top);
    const cut = await tryPart(doc, top, { route: 'cut' });
    expect(assembled.built).toMatchObject({ route: 'assembled', routeReason: '', proof: 'meshes' });
    expect(cut.built).toMatchObject({ route: 'cut', routeReason: 'asked for' });
    expect(Math.abs(assembled.measured.volume / cut.measured.volume - 1)).toBeLessThan(2e-5);
    expect(Math.abs(assembled.measured.area / cut.measured.area - 1)).toBeLessThan(2e-5);
    expect(assembled.measured).toMatchObject({ valid: true, solids: 1, closed: true, topFaces: 1 });
  });
});

describe('a hollow that breaks out is caught', () => {
  const throughSkin: Doc = { body: { width: 90 }, bosses: [{ x: 60, y: 30, endHeight: 5, thread: 'M5', holeDepth: 60 }] };

  test('by the guards', () => {
    const misses = guard(unwrap(planOf(throughSkin, crowned)));
    expect(misses.map((miss) => [miss.guard, miss.at])).toEqual([['skin-above-hole', 'bosses[0].holeDepth']]);
    expect(guard(unwrap(planOf({ body: { width: 90 }, tabs, bosses: bosses?.slice(0, 1) ?? [] }, crowned)))).toEqual([]);
  });

  test.each(['now', 'guards'] as const)('and cut instead, proving %s', async (prove) => {
    const { built, measured } = await tryPart(throughSkin, crowned, { prove });
    expect(built.route).toBe('cut');
    expect(built.routeReason).toMatch(/mm3 of the hollow breaks out of the body: the hole of B1/);
    expect(measured).toMatchObject({ valid: true, solids: 1, closed: true });
  });

  test('also where only the point of the drill comes through', async () => {
    // Roof and skin are flat here: the end of the cone stands 0.1 mm above the top.
    const cone = 2.1 / Math.tan((59 * Math.PI) / 180);
    const doc: Doc = { body: { width: 60 }, bosses: [{ x: 50, y: 30, endHeight: 5, thread: 'M5', holeDepth: 25.1 - cone }] };
    expect((await tryPart(doc, flatTop)).built.route).toBe('cut');
    const kept = { ...doc, bosses: [{ ...doc.bosses![0]!, holeDepth: 24.9 - cone }] };
    expect((await tryPart(kept, flatTop)).built).toMatchObject({ route: 'assembled', proof: 'meshes' });
  });

  test('round outer corners that reach the hollow where three faces meet', async () => {
    // Between two faces 0.9 mm is left; in the corner the spheres are sqrt(3) x 5 apart against 8 of radius.
    const doc: Doc = { body: { width: 60, outsideRadius: 8, insideCornerRadius: 0, insideRoofRadius: 0 } };
    const plan = unwrap(planOf(doc, flatTop));
    expect(guard(plan).map((miss) => [miss.guard, miss.at])).toContainEqual(['corner-thickness', 'body.outsideRadius']);
    const door = await sharedKernel();
    const built = door.build(plan);
    if (built.ok) {
      expect(built.value.route).toBe('cut');
      door.release(built.value.solid);
    } else expect(built.issues[0]!.at).toBe('body.outsideRadius');
  });
});

test('the figures alone are enough while editing, where the guards hold', async () => {
  const { built } = await tryPart({ body: { width: 90 }, tabs, bosses: bosses?.slice(0, 1) ?? [] }, crowned, { prove: 'guards' });
  expect(built).toMatchObject({ route: 'assembled', proof: 'guards' });
});

test('a boss across the step of the feet that also stands in a wall is answered: a cut along its end once never ended', async () => {
  const [{ doc, top }] = fc.sample(randomJob, { seed: 20240614, numRuns: 4 }).slice(3) as [RandomJob];
  const kernel = await sharedKernel();
  const built = kernel.build(unwrap(planOf(doc, top)));
  if (built.ok) kernel.release(built.value.solid);
  else expect(built.issues.map((issue) => issue.at)).toEqual(['body.insideRoofRadius']);
});
