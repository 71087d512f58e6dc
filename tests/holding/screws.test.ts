/** Legal screws for a boss: hand figures, common practice, and properties against plain subtraction. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { leastBossHeight, pointHeight, practiceBossHeight } from '../../src/holding/bossHeight.ts';
import { screwReach, screwWindow, type ScrewSeat, type SkinLeft } from '../../src/holding/screws.ts';
import { unwrap, type Result } from '../../src/result.ts';
import type { BossPlan } from '../../src/solid/plan.ts';
import { engagementNeeded } from '../../src/standards/engagement.ts';
import { headRoom, screwLengths } from '../../src/standards/screws.ts';
import { tapDrill, threadNames, threadPitch, type ThreadName } from '../../src/standards/threads.ts';

const bossOf = (thread: string, depth: number, threadDepth: number, pointAngle = 118): BossPlan => ({
  name: 'B1', at: 'bosses[0]', x: 0, y: 0, diameter: 14, endHeight: 0, rootRadius: 0,
  hole: { diameter: thread === '' ? 5 : tapDrill(thread as ThreadName), depth, pointAngle, mouthBreak: 0, thread, threadDepth },
});
const skin: SkinLeft = { left: 2, least: 1.5 };
const seatOf = (thread: ThreadName, thickness: number): ScrewSeat => ({ thickness, counterbore: headRoom(thread).counterbore });
const codes = (result: Result<unknown>): string[] => (result.ok ? [] : result.issues.map((issue) => issue.code));
const hint = (result: Result<unknown>): string => (result.ok ? '' : result.issues.map((issue) => issue.hint).join(' '));

describe('hand figures', () => {
  test('M5 in 6061 through 15 mm with a counterbore of 5.4: grip 9.6, window 17.1 to 21.1, so 20 and nothing else', () => {
    // 9.6 + 1.5 x 5 = 17.1; 9.6 + 12.3 - 0.8 = 21.1. Sold: 16, 20, 25 (preferred lengths, from memory).
    const window = unwrap(screwWindow(bossOf('M5', 15, 12.3), seatOf('M5', 15), '6061-T6', skin));
    expect(window.grip).toBeCloseTo(9.6, 9);
    expect(window.shortest).toBeCloseTo(17.1, 9);
    expect(window.longest).toBeCloseTo(21.1, 9);
    expect(window.screws.map((s) => s.said)).toEqual(['M5 x 20']);
    expect(window.screws[0]!.engagement).toBeCloseTo(10.4, 9);
    expect(window.screws[0]!.threadLeft).toBeCloseTo(1.9, 9);
    expect(window.screws[0]!.drillLeft).toBeCloseTo(4.6, 9);
  });

  test('without a counterbore the whole plate is grip', () => {
    const window = unwrap(screwWindow(bossOf('M5', 15, 12), { thickness: 12, counterbore: null }, '6061-T6', skin));
    expect([window.grip, window.shortest, window.longest]).toEqual([12, 19.5, 12 + 12 - 0.8]);
    expect(window.screws.map((s) => s.length)).toEqual([20]);
  });

  test('both ends of the window are legal: M6, 10 mm of plate, 11 of thread and 1 of pitch', () => {
    // 10 + 9 = 19 and 10 + 11 - 1 = 20: 20 exactly on the end; with a hair less thread it is gone.
    expect(unwrap(screwWindow(bossOf('M6', 15, 11), { thickness: 10, counterbore: null }, '6061-T6', skin)).screws.map((s) => s.length)).toEqual([20]);
    expect(codes(screwWindow(bossOf('M6', 15, 10.99), { thickness: 10, counterbore: null }, '6061-T6', skin))).toEqual(['screw-no-length']);
  });

  test('inch: 1/4-20 through 1/2 in with 3/4 in of thread takes 1 in', () => {
    // Engagement 1.5 x .25 = .375 in or a little more by strength; window from about .875 in to .5 + .75 - .05 = 1.2 in.
    const window = unwrap(screwWindow(bossOf('1/4-20', 22, 19.05), { thickness: 12.7, counterbore: null }, '6061-T6', skin));
    expect(window.screws.map((s) => s.said)).toContain('1/4-20 x 1 in');
    expect(window.longest).toBeCloseTo(1.2 * 25.4, 9);
  });
});

describe('height of boss and skin', () => {
  test.each([['M4', 12.5], ['M5', 15.3], ['M6', 17.4]] as const)('%s wants %f with 1.5 of skin (common practice, no source; computed)', (thread, height) => {
    expect(practiceBossHeight(thread, 1.5)).toBeCloseTo(height, 1);
  });

  test('the point of a 118 degree drill is 0.300 of its diameter (tan 31 deg / 2), a flat one has none', () => {
    expect(pointHeight(4.2, 118)).toBeCloseTo(4.2 * 0.30043, 4);
    expect(pointHeight(4.2, 180)).toBe(0);
  });

  test('the least by house rules: M5 in 6061, 7.5 + 0.8 + 3 x 0.8 + 1.262 + 1.5', () => {
    expect(leastBossHeight('M5', '6061-T6', 1.5)).toBeCloseTo(13.462, 3);
  });

  test('a flat bottom saves the point; every thread has a least', () => {
    for (const thread of threadNames) {
      expect(leastBossHeight(thread, '6061-T6', 1.5) - leastBossHeight(thread, '6061-T6', 1.5, 180)).toBeCloseTo(pointHeight(tapDrill(thread), 118), 9);
      expect(leastBossHeight(thread, 'mild steel', 1.5)).toBeGreaterThan(threadPitch(thread) + 1.5);
    }
  });
});

describe('refusals name the cure', () => {
  test('a boss without thread', () => {
    expect(codes(screwWindow(bossOf('', 10, 0), seatOf('M5', 15), '6061-T6', skin))).toEqual(['boss-not-tapped']);
    expect(codes(screwWindow({ ...bossOf('M5', 10, 8), hole: null }, seatOf('M5', 15), '6061-T6', skin))).toEqual(['boss-not-tapped']);
  });

  test('thin skin and a bad counterbore, all at once', () => {
    const seat: ScrewSeat = { thickness: 5, counterbore: { diameter: 8, depth: 4 } };
    const refused = screwWindow(bossOf('M5', 10, 12), seat, '6061-T6', { left: 0.7, least: 1.5 });
    expect(codes(refused)).toEqual(['head-stands-out', 'head-does-not-enter', 'head-seat-thin', 'thread-past-drill', 'screw-skin-thin']);
    expect(hint(refused)).toContain('15.3 mm of boss and skin');
  });

  test('thread too short for any screw: the boss must be taller, flat-bottomed or smaller, and by how much', () => {
    // 6 of thread against 7.5 + 0.8; the next length over 10 + 7.5 is 20: 20 - 10 + 0.8 = 10.8, so 4.8 more.
    const refused = screwWindow(bossOf('M5', 8.4, 6), { thickness: 10, counterbore: null }, '6061-T6', { left: 1.6, least: 1.5 });
    expect(codes(refused)).toEqual(['screw-thread-short']);
    expect(hint(refused)).toContain('lower the end of the boss by 4.8 mm');
    expect(hint(refused)).toContain('use M4');
    expect(hint(refused)).toContain('13.5 mm of boss and skin together at least, 15.3 mm by common practice');
    expect(hint(refused)).not.toContain('flat-bottomed');
  });

  test('a plate of no thickness', () => {
    for (const thickness of [0, -3, Number.NaN]) expect(codes(screwWindow(bossOf('M5', 15, 12), { thickness, counterbore: null }, '6061-T6', skin))).toEqual(['plate-unusable']);
  });
});

const hundredths = (least: number, most: number) => fc.integer({ min: least * 100, max: most * 100 }).map((n) => n / 100);
const anyCase = fc.record({
  thread: fc.constantFrom(...threadNames),
  grip: hundredths(6, 60),
  bored: fc.boolean(),
  threadDepth: hundredths(0, 40),
  lead: hundredths(0, 6),
  left: hundredths(1.5, 12),
  material: fc.constantFrom('6061-T6', 'mild steel', 'acetal'),
});
type Case = typeof anyCase extends fc.Arbitrary<infer T> ? T : never;
const set = ({ thread, grip, bored, threadDepth, lead, left }: Case) => {
  const room = headRoom(thread).counterbore;
  const seat: ScrewSeat = bored ? { thickness: grip + room.depth, counterbore: room } : { thickness: grip, counterbore: null };
  return { boss: bossOf(thread, threadDepth + lead, threadDepth), seat, skin: { left, least: 1.5 } };
};

describe('properties', () => {
  test('a screw is listed if and only if it engages enough and stops a pitch short, by plain subtraction', () => {
    fc.assert(
      fc.property(anyCase, (c) => {
        const { boss, seat, skin: left } = set(c);
        const found = screwWindow(boss, seat, c.material, left);
        const need = engagementNeeded(c.thread, c.material).least;
        // Compared in whole tenths of a micrometre, so that an end of the window met exactly is met.
        const ticks = (mm: number): number => Math.round(mm * 1e4);
        const legal = screwLengths(c.thread).filter((length) => ticks(length) - ticks(c.grip) >= ticks(need) && ticks(c.threadDepth) - ticks(length) + ticks(c.grip) >= ticks(threadPitch(c.thread)));
        expect(found.ok ? found.value.screws.map((s) => s.length) : []).toEqual(legal);
        if (found.ok) for (const s of found.value.screws) expect(screwReach(boss, seat, s.length).drillLeft).toBeGreaterThanOrEqual(threadPitch(c.thread) - 1e-6);
      }),
      { seed: 20261, numRuns: 2000 },
    );
  });

  test('every refusal of length has a cure, and doing what it says lets a screw in', () => {
    const tried = { plate: 0, bore: 0, deeper: 0, lower: 0, both: 0 };
    fc.assert(
      fc.property(anyCase, (c) => {
        const { boss, seat, skin: left } = set(c);
        const found = screwWindow(boss, seat, c.material, left);
        if (found.ok) return;
        const said = hint(found);
        const figure = (pattern: RegExp): number | null => (pattern.exec(said) === null ? null : Number(pattern.exec(said)![1]));
        const thicker = figure(/plate ([\d.]+) mm thicker/);
        const bore = figure(/counterbore in the fixture ([\d.]+) mm deep/);
        const deeper = figure(/drill and tap ([\d.]+) mm deeper/);
        const lower = figure(/lower the end of the boss by ([\d.]+) mm/);
        const more = deeper ?? lower;
        expect(said.length).toBeGreaterThan(10);
        const again = (b: BossPlan, s: ScrewSeat, l: SkinLeft) => expect(codes(screwWindow(b, s, c.material, l))).toEqual([]);
        if (thicker !== null) again(boss, { ...seat, thickness: seat.thickness + thicker }, left);
        if (bore !== null) again(boss, { thickness: seat.thickness, counterbore: { diameter: headRoom(c.thread).counterbore.diameter, depth: bore } }, left);
        if (more !== null) again({ ...boss, hole: { ...boss.hole!, depth: boss.hole!.depth + more, threadDepth: boss.hole!.threadDepth + more } }, seat, deeper === null ? left : { ...left, left: left.left - deeper });
        const both = /leave ([\d.]+) mm of plate between head and boss and give the boss ([\d.]+) mm of full thread/.exec(said);
        if (both !== null) {
          again({ ...boss, hole: { ...boss.hole!, depth: Number(both[2]) + 5, threadDepth: Number(both[2]) } }, { thickness: Number(both[1]), counterbore: null }, left);
          tried.both++;
        }
        if (thicker !== null) tried.plate++;
        if (bore !== null) tried.bore++;
        if (deeper !== null) tried.deeper++;
        if (lower !== null) tried.lower++;
      }),
      { seed: 20262, numRuns: 2000 },
    );
    // Each kind of cure was really met, so none of the lines above stood idle.
    for (const count of Object.values(tried)) expect(count).toBeGreaterThan(20);
  });
});
