/** Located holes taken over into a job: moved by name, or made what was chosen for them. */
import { describe, expect, test } from 'vitest';
import { planOf } from '../../src/cli/plans.ts';
import { patternOf } from '../../src/fit/correct.ts';
import { likelyTaken, takeOver, type Located, type TakenAs } from '../../src/fit/takeOver.ts';
import { readDocument } from '../../src/job/read.ts';
import type { JobDocument } from '../../src/job/schema.ts';
import { unwrap } from '../../src/result.ts';

const document: JobDocument = {
  coverwright: 1,
  trace: { points: [[0, 30], [40, 33], [80, 34], [120, 33], [160, 30]] },
  body: { width: 80 },
  tabs: [{ wall: 'front', at: 40 }, { wall: 'left', at: 80 }],
  bosses: [{ x: 60, y: 40, endHeight: 8, thread: 'M5', holeDepth: 12 }],
};
const file = unwrap(readDocument(document));
const plan = unwrap(planOf(file));
const located: readonly Located[] = [
  { name: 'T1', at: [-8.2, 40.3], diameter: null },
  { name: 'B1', at: [60.1, 39.9], diameter: null },
  { name: 'N1', at: [120, -9], diameter: 5.5 },
  { name: 'N2', at: [100, 50], diameter: null },
  { name: 'N3', at: [130, 30], diameter: 4 },
];
const places = (doc: JobDocument) => new Map(patternOf(unwrap(planOf(unwrap(readDocument(doc))))).map((hole) => [hole.name, hole.at]));

describe('what a located hole most likely is', () => {
  test.each([['T1', 'move'], ['B1', 'move'], ['N1', 'tab'], ['N2', 'hole']] as const)('%s: %s', (name, as) => {
    expect(likelyTaken(plan, located.find((hole) => hole.name === name)!)).toBe(as);
  });
});

describe('taken over', () => {
  const as = new Map<string, TakenAs>([['T1', 'move'], ['B1', 'move'], ['N1', 'tab'], ['N2', 'boss'], ['N3', 'hole']]);

  test('every hole stands where it was located, the others where they stood', () => {
    const after = places(unwrap(takeOver(file, plan, located, as)));
    for (const { name, at } of located) {
      expect(after.get(name)![0], name).toBeCloseTo(at[0], 3);
      expect(after.get(name)![1], name).toBeCloseTo(at[1], 3);
    }
    expect(after.get('T2')).toEqual(places(document).get('T2'));
    expect(after.size).toBe(6);
  });

  test('the size that was read is the size of the hole', () => {
    const { tabs, holes } = unwrap(takeOver(file, plan, located, as));
    expect(tabs!.at(-1)).toMatchObject({ name: 'N1', wall: 'left', at: 120, holeOut: 9, hole: { diameter: 5.5 } });
    expect(holes!.at(-1)).toMatchObject({ name: 'N3', diameter: 4 });
  });

  test('what is left out stays out', () => {
    const after = unwrap(takeOver(file, plan, located, new Map([['N1', 'leave']])));
    expect(after).toEqual({ ...document, holes: [] });
  });

  test('no tab reaches into the body', () => {
    const taken = takeOver(file, plan, located, new Map([['N2', 'tab']]));
    expect(taken).toMatchObject({ ok: false, issues: [{ code: 'inside-the-body', at: 'N2' }] });
  });

  test('a job in inches is written in inches', () => {
    const inches = unwrap(readDocument({ ...document, units: 'inch', trace: { points: [[0, '30mm'], ['40mm', '33mm'], ['80mm', '34mm'], ['120mm', '33mm'], ['160mm', '30mm']] }, body: { width: '80mm' }, tabs: [{ wall: 'front', at: '40mm' }], bosses: [] }));
    const { bosses } = unwrap(takeOver(inches, unwrap(planOf(inches)), located, new Map([['N2', 'boss']])));
    expect(bosses!.at(-1)).toMatchObject({ x: 3.93701, y: 1.9685, thread: '#10-24' });
  });
});
