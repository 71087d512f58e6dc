/** Checks on the finished solid, with the real kernel. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { sharpEdges } from '../../src/checks/sharpEdges.ts';
import { undercuts } from '../../src/checks/undercuts.ts';
import { wallTruth } from '../../src/checks/wallTruth.ts';
import type { Kernel } from '../../src/solid/door.ts';
import { openNodeKernel } from '../../src/solid/kernel/node.ts';
import { built, plain } from './part.ts';

let kernel: Kernel;
beforeAll(async () => {
  kernel = await openNodeKernel();
});
afterAll(() => kernel.close());

test('wall truth: the stated thickness is found within the mesh deviation, and a thinner end is found too', () => {
  const [note] = wallTruth(built(plain, kernel));
  expect(note).toMatchObject({ code: 'thinnest', level: 'note' });
  expect(note!.value!).toBeGreaterThan(2.85);
  expect(note!.value!).toBeLessThan(3.001);
  const thin = wallTruth(built({ ...plain, body: { width: 80, leftEnd: { thickness: 2 } } }, kernel))[0]!;
  expect(thin.value!).toBeGreaterThan(1.9);
  expect(thin.value!).toBeLessThan(2.001);
});

test('wall truth: a corner rounded far more outside than inside is a stop', () => {
  const found = wallTruth(built({ ...plain, body: { width: 80, outsideRadius: 12, insideCornerRadius: 2, insideRoofRadius: 2 } }, kernel));
  // Outside R12 over inside R2: the corner of three 3 mm walls is cut away to far less than 3.
  expect(found[0]).toMatchObject({ code: 'wall-thin-measured', level: 'stop' });
});

test('undercuts: a hole through a wall wants a third set-up; a plain cover does not', () => {
  expect(undercuts(built(plain, kernel))).toEqual([]);
  const side = undercuts(built({ ...plain, holes: [{ in: 'front', y: 40, z: 15, diameter: 8 }] }, kernel));
  expect(side).toEqual([expect.objectContaining({ code: 'third-set-up', at: 'holes[0]' })]);
  const under = undercuts(built({ ...plain, tabs: [{ wall: 'left', at: 80, seat: 0 }, { wall: 'left', at: 80, seat: 14 }] }, kernel));
  expect(under).toContainEqual(expect.objectContaining({ code: 'undercut', level: 'warn' }));
});

test('sharp edges: feet are sharp, rounded edges are not; a break asked for by hand makes a note', () => {
  const sharp = sharpEdges(built({ ...plain, edgeBreaks: {} }, kernel));
  expect(sharp.map((f) => [f.code, f.at])).toEqual([['edges-sharp', 'edgeBreaks.feet']]);
  // Outer rim 2 (160 + 80) - 8 R3 + 2 pi R3, inner rim 2 (154 + 74) - 8 R5 + 2 pi R5.
  const rim = 480 - 24 + 6 * Math.PI + 456 - 40 + 10 * Math.PI;
  expect(Math.abs(sharp[0]!.value! - rim)).toBeLessThan(0.5);
  expect(sharpEdges(built(plain, kernel))[0]).toMatchObject({ code: 'edges-by-hand', level: 'note' });
  const bare = sharpEdges(built({ ...plain, body: { width: 80, outsideRadius: 0 }, edgeBreaks: {} }, kernel));
  expect(bare.map((f) => f.at)).toContain('body.outsideRadius');
});
