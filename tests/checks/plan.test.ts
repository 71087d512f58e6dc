/** Checks that look at job, contour, section and plan: each is shown passing and failing, with its figures worked by hand. */
import { describe, expect, test } from 'vitest';
import { bossWalls } from '../../src/checks/bossWalls.ts';
import { bends, oddReadings, straightTop } from '../../src/checks/contourFit.ts';
import { insideRadii, narrowGaps, pocketReach, roofHollow } from '../../src/checks/cutters.ts';
import { inOrder, sayInch } from '../../src/checks/finding.ts';
import { holeEdges } from '../../src/checks/holeEdges.ts';
import { skinAboveHoles } from '../../src/checks/skinAboveHoles.ts';
import { skinAbove } from '../../src/solid/skinAbove.ts';
import { slenderWalls } from '../../src/checks/slenderWalls.ts';
import { tabOverlaps } from '../../src/checks/tabOverlaps.ts';
import { threadEngagement } from '../../src/checks/threadEngagement.ts';
import type { JobDocument } from '../../src/job/schema.ts';
import { plain, planned } from './part.ts';

const flat: JobDocument = { ...plain, trace: { points: [[0, 30], [40, 30], [80, 30], [120, 30], [160, 30]] } };
const boss = (values: object): JobDocument => ({ ...flat, bosses: [{ x: 60, y: 40, diameter: 12, endHeight: 10, thread: 'M5', holeDepth: 12, ...values }] });

describe('skin above blind holes', () => {
  test('flat top: the height left above the drill point, by hand', () => {
    // Drill 4.2 (ISO 2306), point 118 deg: 2.1 / tan 59 = 1.2618 high; 30 - (10 + 12 + 1.2618) = 6.738.
    const input = planned(boss({}));
    expect(skinAbove(input.plan.bosses[0]!, input.section.top)?.skin).toBeCloseTo(30 - 22 - 2.1 / Math.tan((59 * Math.PI) / 180), 6);
    expect(skinAboveHoles(input)).toEqual([]);
  });

  test('above 31 deg of slope the shoulder of a 118 deg drill governs (computed: 90 - 59)', () => {
    const slope = (degrees: number): number => {
      const rise = Math.tan((degrees * Math.PI) / 180);
      const document: JobDocument = { ...flat, trace: { points: [0, 40, 80, 120].map((x) => [x, 20 + x * rise]) }, body: { width: 80, outsideRadius: 0, insideRoofRadius: 0 }, bosses: [{ x: 80, y: 40, endHeight: 0, thread: 'M5', holeDepth: 20 }] };
      const input = planned(document);
      const { skin } = skinAbove(input.plan.bosses[0]!, input.section.top)!;
      // Distance of tip and of the low shoulder from the sloping line, by hand.
      const cosine = Math.cos((degrees * Math.PI) / 180);
      const tip = (20 + 80 * rise - (20 + 2.1 / Math.tan((59 * Math.PI) / 180))) * cosine;
      const shoulder = (20 + (80 - 2.1) * rise - 20) * cosine;
      expect(skin).toBeCloseTo(Math.min(tip, shoulder), 3);
      return tip - shoulder;
    };
    expect(slope(25)).toBeLessThan(0);
    expect(slope(37)).toBeGreaterThan(0);
  });

  test('too deep is a stop that names the boss and the depth; through is said plainly', () => {
    expect(skinAboveHoles(planned(boss({ holeDepth: 17.5 })))[0]).toMatchObject({ level: 'stop', code: 'skin-above-hole', at: 'bosses[0].holeDepth', limit: 1.5 });
  });
});

test('boss walls: half the screw diameter', () => {
  expect(bossWalls(planned(boss({ diameter: 10 })))).toEqual([]);
  expect(bossWalls(planned(boss({ diameter: 9 })))[0]).toMatchObject({ level: 'warn', value: 2, limit: 2.5 });
  expect(bossWalls(planned(boss({ diameter: 7 })))[0]?.level).toBe('stop');
});

test('thread engagement: depth of thread against the need in the metal', () => {
  // 6061-T6: by the formula 7.321 mm for M5 (computed), by practice 1.5 d = 7.5; 12 - 3 x 0.8 = 9.6 of thread is there.
  expect(threadEngagement(planned(boss({})))).toEqual([]);
  expect(threadEngagement(planned(boss({ holeDepth: 8 })))[0]).toMatchObject({ code: 'thread-short', limit: 7.5 });
  expect(threadEngagement(planned(boss({ threadDepth: 11.5 })))[0]).toMatchObject({ code: 'tap-bottoms', value: 0.5 });
});

test('hole edges: 1.5 screw diameters, and room for the head beside the wall', () => {
  const tab = (values: object): JobDocument => ({ ...flat, tabs: [{ wall: 'left', at: 80, ...values }] });
  expect(holeEdges(planned(tab({})))).toEqual([]);
  expect(holeEdges(planned(tab({ length: 13 })))[0]).toMatchObject({ code: 'hole-near-edge', value: 6.5, limit: 7.5, at: 'tabs[0].length' });
  // Head of an M5 cap screw: 8.72 across with knurling (ISO 4762).
  expect(holeEdges(planned(tab({ holeOut: 4 })))).toContainEqual(expect.objectContaining({ code: 'head-meets-wall', value: expect.closeTo(4 - 4.36, 9) }));
});

test('tabs that run into each other or past their wall', () => {
  const tabs = (...at: number[]): JobDocument => ({ ...flat, tabs: at.map((x) => ({ wall: 'left' as const, at: x, length: 24 })) });
  expect(tabOverlaps(planned(tabs(40, 70)))).toEqual([]);
  expect(tabOverlaps(planned(tabs(40, 60)))[0]).toMatchObject({ code: 'tabs-overlap', value: 4, at: 'tabs[1].at' });
});

describe('cutters', () => {
  test('inside corners against the cutter', () => {
    const at = (radius: number): JobDocument => ({ ...flat, body: { width: 80, insideCornerRadius: radius, insideRoofRadius: 3 } });
    expect(insideRadii(planned(at(5)))).toEqual([]);
    expect(insideRadii(planned(at(4)))[0]?.level).toBe('warn');
    expect(insideRadii(planned(at(3)))[0]?.level).toBe('stop');
  });

  test('reach: depth over diameter, and the length stated', () => {
    expect(pocketReach(planned({ ...flat, machining: { cutterDiameter: 10 } }))).toEqual([]);
    expect(pocketReach(planned({ ...flat, machining: { cutterDiameter: 6 } }))[0]).toMatchObject({ code: 'pocket-deep', level: 'note', value: expect.closeTo(4.5, 6) });
    expect(pocketReach(planned({ ...flat, machining: { cutterDiameter: 5, cutterReach: 20 } })).map((f) => [f.code, f.level])).toEqual([['cutter-too-short', 'stop'], ['pocket-deep', 'warn']]);
  });

  test('gaps no cutter enters; metal that touches leaves none', () => {
    const two = (apart: number): JobDocument => ({ ...flat, bosses: [60, 60 + apart].map((x) => ({ x, y: 40, diameter: 12, endHeight: 10 })) });
    expect(narrowGaps(planned(two(30)))).toEqual([]);
    expect(narrowGaps(planned(two(17)))[0]).toMatchObject({ code: 'gap-narrow', value: 5 });
    expect(narrowGaps(planned(two(12)))).toEqual([]);
  });

  test('a crown tighter inside than the cutter', () => {
    const arc = (radius: number): JobDocument => ({
      ...flat,
      trace: { readingError: 0.01, points: Array.from({ length: 25 }, (_, i) => { const a = ((i - 12) / 12) * 0.9; return [60 + radius * Math.sin(a), 30 + radius * Math.cos(a)]; }) },
      body: { width: 80, outsideRadius: 0, insideRoofRadius: 0 },
    });
    expect(roofHollow(planned(arc(40)))).toEqual([]);
    expect(roofHollow(planned({ ...arc(40), machining: { cutterDiameter: 80 } }))[0]?.code).toBe('roof-hollow-tight');
  });
});

test('slender walls: height over 32', () => {
  expect(slenderWalls(planned(flat))).toEqual([]);
  expect(slenderWalls(planned({ ...flat, body: { width: 80, wall: 0.9, skin: 2, insideCornerRadius: 5 } })).map((f) => f.code)).toContain('wall-slender');
});

describe('the contour', () => {
  test('a slip of 1 mm is named, by number, and stays in use', () => {
    const points = (plain.trace!.points as [number, number][]).map(([x, z], i) => [x, i === 4 ? z + 1 : z] as [number, number]);
    const found = oddReadings(planned({ ...plain, trace: { readingError: 0.05, points } }));
    expect(found.map((f) => f.at)).toEqual(['trace.points[4]']);
    expect(oddReadings(planned(plain))).toEqual([]);
  });

  test('bends are counted', () => {
    expect(bends(planned(plain))).toEqual([]);
    const dip: JobDocument = { ...plain, trace: { readingError: 0.02, points: Array.from({ length: 25 }, (_, i) => [i * 6, 34 + 4 * Math.sin(i / 3)]) } };
    expect(bends(planned(dip))[0]?.value).toBeGreaterThan(0);
  });
});

test('stops come first', () => {
  const f = (level: 'stop' | 'warn' | 'note', code: string) => ({ code, level, message: '', value: null, limit: null, unit: '', at: '', place: null, cure: '', restsOn: '' }) as const;
  expect(inOrder([f('note', 'a'), f('stop', 'b'), f('warn', 'c'), f('stop', 'd')]).map((x) => x.code)).toEqual(['b', 'd', 'c', 'a']);
});

test('a straight contour is noted, flat or sloped; a bowed one is not', () => {
  const top = (height: (x: number) => number): JobDocument => ({ ...plain, trace: { readingError: 0.05, points: [0, 40, 80, 120, 160].map((x) => [x, height(x)]) } });
  expect(straightTop(planned(top(() => 30)))).toMatchObject([{ code: 'contour-straight', level: 'note', value: expect.closeTo(0, 6) }]);
  expect(straightTop(planned(top((x) => 25 + 0.1 * x)))).toHaveLength(1);
  expect(straightTop(planned(top((x) => 30 + 2 * Math.sin((Math.PI * x) / 160))))).toEqual([]);
});

test('a job typed in inches is told in inches', () => {
  const input = planned({ ...boss({ holeDepth: 18 }), units: 'mm' });
  const [inMm, inInches] = [skinAboveHoles(input), skinAboveHoles(input, sayInch)];
  expect(inMm[0]?.message).toMatch(/^B1 leaves [\d.]+ mm of skin above its hole; [\d.]+ mm wanted\.$/);
  expect(inInches[0]?.message).toMatch(/^B1 leaves 0\.\d+ in of skin above its hole; 0\.\d+ in wanted\.$/);
  expect(inInches[0]?.value).toBe(inMm[0]?.value);
});
