/** Test fits made from known causes are told apart; noise is left alone; bad sheets are refused with the cure. */
import { describe, expect, test } from 'vitest';
import { diagnose, type Diagnosis } from '../../src/fit/diagnosis.ts';
import type { FitContext, OffsetReading, PatternHole } from '../../src/fit/offsets.ts';
import type { Vec2 } from '../../src/maths/vec.ts';
import { unwrap } from '../../src/result.ts';
import { normals } from '../maths/noise.ts';

const names = ['T1', 'T2', 'T3', 'T4', 'T5', 'T6'];
const six: readonly Vec2[] = [[0, 0], [110, 0], [220, 0], [220, 90], [110, 90], [0, 90]];
const pattern: PatternHole[] = names.map((name, i) => ({ name, path: `tabs[${i}]`, at: six[i]!, diameter: 5.5 }));
const print: FitContext = { on: 'print', against: 'mating part', seenFrom: 'outside', lay: 'located', madeFrom: 'A', current: 'A', readingError: 0.05 };
const profile = { profile: 'PLA grey', printer: 'left one', printedOn: 'left one', scale: [1, 1] as Vec2, compensated: true };
const middle: Vec2 = [110, 45];

const sheet = (move: (p: Vec2, i: number) => Vec2, noise: readonly number[] = []): OffsetReading[] =>
  six.map((p, i) => {
    const [dx, dy] = move([p[0] - middle[0], p[1] - middle[1]], i);
    return { hole: names[i]!, dx: dx + 0.05 * (noise[2 * i] ?? 0), dy: dy + 0.05 * (noise[2 * i + 1] ?? 0) };
  });
const noise = (seed: number): number[] => normals(seed, 12);
const told = (d: Diagnosis): string[] => d.findings.filter((f) => f.real).map((f) => (f.hole === '' ? f.kind : `${f.kind} ${f.hole}`));
const run = (readings: readonly OffsetReading[], context: Partial<FitContext> = {}): Diagnosis => unwrap(diagnose(readings, pattern, { ...print, ...context }));

describe('causes are told apart', () => {
  test.each([
    ['nothing', (): Vec2 => [0, 0], []],
    ['shift', (): Vec2 => [0.4, -0.3], ['shift']],
    ['turn', ([x, y]: Vec2): Vec2 => [-0.003 * y, 0.003 * x], ['turn']],
    ['scale', ([x, y]: Vec2): Vec2 => [0.003 * x, 0.003 * y], ['scale']],
    ['scale X', ([x]: Vec2): Vec2 => [0.004 * x, 0], ['scale X']],
    ['skew', ([, y]: Vec2): Vec2 => [0.009 * y, 0], ['skew']],
    ['one hole', (_: Vec2, i: number): Vec2 => (i === 3 ? [0.35, 0.3] : [0, 0]), ['single hole T4']],
    ['shift, turn and one hole', ([x, y]: Vec2, i: number): Vec2 => [0.3 - 0.003 * y + (i === 1 ? 0.5 : 0), 0.2 + 0.003 * x], ['shift', 'turn', 'single hole T2']],
  ] as const)('%s', (_, move, expected) => {
    let right = 0;
    for (let seed = 1; seed <= 40; seed++) if (told(run(sheet(move, noise(seed)))).join() === expected.join()) right++;
    expect(right).toBeGreaterThanOrEqual(37);
  });

  test('noise alone is corrected less than once in twenty sheets, over 500', () => {
    let moved = 0;
    for (let seed = 1; seed <= 500; seed++) if (run(sheet(() => [0, 0], noise(seed + 1000))).holes.some((hole) => Math.hypot(...hole.move) > 0)) moved++;
    expect(moved).toBeLessThan(25);
  });

  // 0.3 % over 220 mm is 0.66 mm; six holes read to 0.05 fix scale to 0.02 %, so it stands out 15 to 1 (computed; common practice).
  test('print scale goes to the profile, never into the part', () => {
    expect(0.003 * 220).toBeCloseTo(0.66, 9);
    const d = run(sheet(([x, y]) => [0.003 * x, 0.003 * y], noise(5)), { print: profile });
    const [scale] = d.findings;
    expect(scale!.kind).toBe('scale');
    expect(scale!.band[0]! / 1.96).toBeCloseTo(0.0002, 4);
    expect(scale!.amount[0]! / (scale!.band[0]! / 1.96)).toBeGreaterThan(12);
    expect(d.holes.every((hole) => hole.move[0] === 0 && hole.move[1] === 0)).toBe(true);
    expect(d.profileScale!.map((f) => f)).toEqual([expect.closeTo(0.997, 3), expect.closeTo(0.997, 3)]);
  });

  test('an uncompensated print has its own scale taken out first', () => {
    // Printed 0.3 % small; the design is right but for one hole.
    const d = run(sheet(([x, y], i) => [0.003 * x + (i === 2 ? 0.5 : 0), 0.003 * y], noise(6)), { print: { ...profile, scale: [0.997, 0.997], compensated: false } });
    expect(told(d)).toEqual(['single hole T3']);
    expect(d.holes[2]!.move[0]).toBeCloseTo(0.5, 0);
    expect(d.profileScale).toBeNull();
  });

  test('the same offsets on a machined part go to the machine', () => {
    const shifted = run(sheet(() => [0.3, 0], noise(7)), { on: 'part' });
    expect(shifted.findings.map((f) => [f.kind, f.remedy])).toEqual([['shift', 'machine']]);
    expect(shifted.findings[0]!.todo).toContain('zero');
    expect(shifted.holes.every((hole) => Math.hypot(...hole.move) === 0)).toBe(true);
    const one = sheet((_, i) => (i === 0 ? [0.4, 0] : [0, 0]), noise(8));
    expect(run(one, { on: 'part' }).findings[0]!.remedy).toBe('measure again');
    expect(run(one, { on: 'part', against: 'drawing' }).findings[0]!.remedy).toBe('machine');
  });

  test('a part laid on loosely has no shift or turn to correct', () => {
    const d = run(sheet(([x, y], i) => [0.6 - 0.004 * y + (i === 4 ? 0.5 : 0), 0.004 * x], noise(9)), { lay: 'free' });
    expect(told(d)).toEqual(['single hole T5']);
    expect(d.findings.filter((f) => f.kind !== 'single hole').every((f) => f.remedy === 'nothing')).toBe(true);
  });

  test('the dead band: what is real but under twice the reading error stays', () => {
    const fine = six.map((_, i) => ({ hole: names[i]!, dx: 0.08, dy: 0, error: 0.01 }));
    const [shift] = run(fine).findings;
    expect(shift).toMatchObject({ kind: 'shift', real: false, remedy: 'nothing' });
  });

  test('every reading is used once: explained and left add up to what was read', () => {
    const d = run(sheet(([x, y], i) => [0.3 - 0.003 * y + (i === 1 ? 0.5 : 0), 0.2 + 0.003 * x], noise(3)));
    for (const hole of d.holes) for (const axis of [0, 1]) expect(hole.explained[axis]! + hole.left![axis]!).toBeCloseTo(hole.offset![axis]!, 9);
    expect(d.holes[1]!.left).toEqual([expect.closeTo(0, 9), expect.closeTo(0, 9)]);
  });
});

describe('ways to give an offset', () => {
  test('clock and dx, dy say the same', () => {
    const straight = run(sheet(() => [0.3, 0]));
    const clock = run(names.map((hole) => ({ hole, clock: 3, amount: 0.3 })));
    expect(clock.findings[0]!.amount).toEqual(straight.findings[0]!.amount.map((v) => expect.closeTo(v, 9)));
    const twelve = run(names.map((hole) => ({ hole, clock: 12, amount: 0.3 })));
    expect(twelve.findings[0]!.amount).toEqual([expect.closeTo(0, 9), expect.closeTo(0.3, 9)]);
  });

  test('seen from the mating face X is turned round', () => {
    const d = run(names.map((hole) => ({ hole, clock: 3, amount: 0.3 })), { seenFrom: 'mating' });
    expect(d.findings[0]!.amount[0]).toBeCloseTo(-0.3, 9);
  });

  test('the largest pin through both holes tells how far; several tell which way', () => {
    // (5.5 + 5) / 2 - pin.
    const shift: Vec2 = [0.35, 0.2];
    const pins = six.map((p, i): OffsetReading => {
      const turn = 0.004;
      const e = Math.hypot(shift[0] - turn * (p[1] - 45), shift[1] + turn * (p[0] - 110));
      return i < 2 ? { hole: names[i]!, dx: shift[0] - turn * (p[1] - 45), dy: shift[1] + turn * (p[0] - 110) } : { hole: names[i]!, pin: (5.5 + 5) / 2 - Math.max(0.25, e) };
    });
    const d = run(pins, { matingDiameter: 5, readingError: 0.02 });
    expect(told(d)).toEqual(['shift', 'turn']);
    expect(d.findings[0]!.amount).toEqual([expect.closeTo(0.35, 1), expect.closeTo(0.2, 1)]);
  });
});

describe('sheets that cannot be used', () => {
  const refused = (readings: readonly OffsetReading[], context: Partial<FitContext> = {}) => {
    const result = diagnose(readings, pattern, { ...print, ...context });
    if (result.ok) throw new Error('expected a refusal');
    return result.issues;
  };
  const good = sheet(() => [0.1, 0]);

  test('all problems at once', () => {
    const issues = refused([...good, { hole: 'T1', dx: 0.1, dy: 0 }, { hole: 'T9', dx: 0 }, { hole: 'T2' }]);
    expect(issues.map((issue) => [issue.code, issue.at])).toEqual([['typed-twice', 'row 7'], ['unknown-hole', 'row 8'], ['typed-twice', 'row 9']]);
  });

  test.each([
    [{ hole: 'T1', dx: 6, dy: 0 }, 'offset-larger-than-hole'],
    [{ hole: 'T1', clock: 13, amount: 0.1 }, 'bad-clock'],
    [{ hole: 'T1', clock: 3 }, 'no-amount'],
    [{ hole: 'T1', amount: 0.3 }, 'no-clock'],
    [{ hole: 'T1', dx: 1, clock: 3, amount: 1 }, 'two-ways'],
    [{ hole: 'T1' }, 'no-offset'],
    [{ hole: 'T1', pin: 5 }, 'mating-diameter'],
    [{ hole: 'T1', dx: Number.NaN, dy: 0 }, 'bad-value'],
  ] as const)('%o: %s', (reading, code) => {
    const [issue] = refused([reading, ...good.slice(1)]);
    expect(issue!.code).toBe(code);
    expect(issue!.hint.length).toBeGreaterThan(5);
  });

  test('another revision, another printer, a profile on a machined part', () => {
    expect(refused(good, { madeFrom: 'A', current: 'B' })[0]!.code).toBe('other-revision');
    expect(refused(good, { print: { ...profile, printedOn: 'right one' } })[0]!.code).toBe('other-printer');
    expect(refused(good, { on: 'part', print: profile })[0]!.code).toBe('two-loops');
    expect(refused(good.slice(0, 1))[0]!.code).toBe('too-few-offsets');
  });

  test('read from the wrong side: doubted', () => {
    const turned = sheet(([x, y]) => [0.004 * y, 0.004 * x], noise(11));
    { const d = run(turned); console.log(JSON.stringify([d.findings.map((f) => [f.kind, f.amount]), d.squares, d.rivals])); const m = run(turned.map((o) => ({ ...o, dx: -o.dx! }))); console.log(JSON.stringify([m.findings.map((f) => [f.kind, f.amount]), m.squares])); }
    expect(run(turned).doubts.map((d) => d.code)).toContain('wrong-side');
    expect(run(sheet(([x, y]) => [-0.004 * y, 0.004 * x], noise(11))).doubts.map((d) => d.code)).not.toContain('wrong-side');
  });
});
