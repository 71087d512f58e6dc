/** Stages are redone only where an edit reaches, and memory stays flat. No timing is tested here. */
import { expect, test } from 'vitest';
import { unwrap } from '../../src/result.ts';
import type { StageName } from '../../src/solid/door.ts';
import { crowned, planOf, sharedKernel, type Doc } from './part.ts';

const doc: Doc = {
  body: { width: 90 },
  tabs: [{ wall: 'front', at: 30 }, { wall: 'back', at: 60 }],
  bosses: [{ x: 60, y: 30, endHeight: 8, thread: 'M5', holeDepth: 14 }, { x: 120, y: 50, thread: 'M5', holeDepth: 10, endHeight: 4 }],
};

/** Stages that were not taken from the cache; the mesher is asked every time, and knows itself what is new. */
async function redone(changed: Doc): Promise<StageName[]> {
  const door = await sharedKernel();
  const built = unwrap(door.build(unwrap(planOf(changed, crowned)), { prove: 'guards' }));
  door.release(built.solid);
  return built.stages.filter((stage) => !stage.cached && stage.stage !== 'mesh').map((stage) => stage.stage);
}

const withTab = (change: object): Doc => ({ ...doc, tabs: [{ ...doc.tabs![0]!, ...change }, doc.tabs![1]!] });
const withBoss = (change: object): Doc => ({ ...doc, bosses: [{ ...doc.bosses![0]!, ...change }, doc.bosses![1]!] });

test('each edit redoes only its own stages', async () => {
  expect(await redone(doc)).toEqual(['outer', 'positive', 'tab holes', 'cavity', 'negative', 'boss holes', 'final', 'check']);
  expect(await redone(withTab({ holeAlong: 2 }))).toEqual(['tab holes', 'final', 'check']);
  expect(await redone(withBoss({ holeDepth: 12 }))).toEqual(['boss holes', 'final', 'check']);
  expect(await redone(withTab({ reach: 18 }))).toEqual(['positive', 'tab holes', 'final', 'check']);
  expect(await redone(withBoss({ diameter: 11 }))).toEqual(['negative', 'boss holes', 'final', 'check']);
  expect(await redone({ ...doc, notches: [{ wall: 'front', at: 60 }] })).toEqual(['openings', 'check']);
  expect(await redone({ ...doc, body: { width: 90, outsideRadius: 4 } })).toEqual(['outer', 'positive', 'tab holes', 'final', 'check']);
  expect(await redone({ ...doc, title: 'Renamed', machining: { cutterDiameter: 6 } })).toEqual([]);
});

test('what was undone is still there', async () => {
  await redone(doc);
  await redone(withTab({ holeAlong: 3 }));
  expect(await redone(doc)).toEqual([]);
});

test('progress runs to the end and never back', async () => {
  const door = await sharedKernel();
  const seen: number[] = [];
  const built = unwrap(door.build(unwrap(planOf(doc, crowned)), { progress: (_, done) => seen.push(done) }));
  door.release(built.solid);
  expect(seen.length).toBeGreaterThan(5);
  seen.forEach((done, i) => expect(done).toBeGreaterThanOrEqual(i === 0 ? 0 : seen[i - 1]!));
  expect(seen.at(-1)).toBeLessThanOrEqual(1);
});

test('60 edits, meshed each time, leave the kernel no larger', async () => {
  const door = await sharedKernel();
  const edit = (i: number): void => {
    const changed = i % 2 === 0 ? withTab({ holeAlong: (i % 17) * 0.2 }) : withBoss({ holeDepth: 8 + (i % 13) * 0.4 });
    const built = unwrap(door.build(unwrap(planOf(changed, crowned)), { prove: 'guards' }));
    door.mesh(built.solid, { deviation: 0.1, angle: 0.3 });
    door.release(built.solid);
  };
  for (let i = 0; i < 10; i++) edit(i);
  const before = door.heap();
  for (let i = 10; i < 70; i++) edit(i);
  expect(door.heap()).toBe(before);
});

test('a solid that was released is not handed out again', async () => {
  const door = await sharedKernel();
  const built = unwrap(door.build(unwrap(planOf(doc, crowned))));
  door.release(built.solid);
  expect(() => door.measure(built.solid)).toThrow(/released/);
});
