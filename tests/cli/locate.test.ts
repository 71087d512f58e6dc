/** The verb locate as a person runs it. */
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, test } from 'vitest';
import { planOf } from '../../src/cli/plans.ts';
import { patternOf } from '../../src/fit/correct.ts';
import { readJob } from '../../src/job/read.ts';
import type { Vec2 } from '../../src/maths/vec.ts';
import { unwrap } from '../../src/result.ts';
import { folder, run } from './run.ts';

/** Four tab holes of the clamp cover's kind, true to a tenth of a millimetre, seen from outside. */
const sheet = `error: 0.05
seen from: outside
datum: A to B
side: C left of A B
centre, A, B, 100
centre, B, C, 60
centre, C, D, 100.03
centre, D, A, 59.98
centre, A, C, 116.62
centre, B, D, 116.6
pin, A, 5.5
`;

describe('locate', () => {
  test('prints places with errors and what to measure next, and writes drawing, table and figures', async () => {
    const at = folder();
    writeFileSync(join(at, 'bracket.csv'), sheet);
    const { code, out } = await run(['locate', 'bracket.csv', '--out', 'o'], { cwd: at });
    expect(code).toBe(0);
    expect(out).toMatch(/^C\s+100\.\d{3}\s+(?:60\.0|59\.9)\d{2}/m);
    expect(out).toContain('Measure next:');
    expect(readdirSync(join(at, 'o')).sort()).toEqual(['bracket-holes.csv', 'bracket-holes.json', 'bracket-holes.svg']);
    const json = JSON.parse(readFileSync(join(at, 'o', 'bracket-holes.json'), 'utf8')) as { holes: { name: string; at: number[] }[] };
    const csv = readFileSync(join(at, 'o', 'bracket-holes.csv'), 'utf8').split('\r\n').slice(1, -1).map((row) => row.split(','));
    expect(csv.map((row) => [row[0], Number(row[1]), Number(row[2])])).toEqual(json.holes.map((hole) => [hole.name, expect.closeTo(hole.at[0]!, 3), expect.closeTo(hole.at[1]!, 3)]));
    expect(readFileSync(join(at, 'o', 'bracket-holes.svg'), 'utf8')).toContain('95 times in 100');
  });

  test('a slip is named and kept in use', async () => {
    const { code, out } = await run(['locate', '-'], { input: sheet.replace('116.62', '117.4') });
    expect(code).toBe(0);
    expect(out).toContain('slip');
  });

  test('readings kept in a job give the same', async () => {
    const readings = sheet.split('\n').flatMap((row) => (row.includes(':') || row === '' ? [] : [row.split(', ')])).map((cells) => (cells.length === 4 ? { kind: cells[0], a: cells[1], b: cells[2], value: cells[3] } : { kind: cells[0], a: cells[1], value: cells[2] }));
    const job = { coverwright: 1, body: { width: 80 }, pattern: { readings, readingError: 0.05, seenFrom: 'outside', origin: 'A', towards: 'B', sides: [{ hole: 'C', from: 'A', to: 'B', side: 'left' }] } };
    const [kept, typed] = [await run(['locate', '-', '--json'], { input: JSON.stringify(job) }), await run(['locate', '-', '--json'], { input: sheet })];
    expect(JSON.parse(kept.out)).toEqual(JSON.parse(typed.out));
  });

  test('from standard input, as JSON', async () => {
    const { code, out } = await run(['locate', '-', '--json'], { input: sheet });
    expect(code).toBe(0);
    const told = JSON.parse(out) as { ok: boolean; pattern: { readings: unknown[]; mirror: null } };
    expect(told.ok).toBe(true);
    expect(told.pattern.readings).toHaveLength(7);
    expect(told.pattern.mirror).toBeNull();
  });

  test.each([
    ['centre, A, B, 100\ncentre, B, C, 60\n', /Measure A to C/],
    ['centre, A, B, x\n', /line 1/],
    ['', /got nothing/],
  ])('%j is refused with the cure', async (input, words) => {
    const { code, err } = await run(['locate', '-'], { input });
    expect(code).toBe(2);
    expect(err).toMatch(words);
  });

  test('into a job: the holes of the same names move, the job itself stays', async () => {
    const at = folder();
    const preset = resolve('presets/worm-drive-cover.job.json');
    const before = readFileSync(preset, 'utf8');
    const pattern = patternOf(unwrap(planOf(unwrap(readJob(before)))));
    const [t1, t2, t4] = ['T1', 'T2', 'T4'].map((name) => pattern.find((hole) => hole.name === name)!.at) as [Vec2, Vec2, Vec2];
    const [dx, dy] = [t4[0] - t1[0], t4[1] - t1[1]];
    const far = Math.hypot(dx, dy);
    // T4 is found 0.5 mm further from T1 than it is drawn; T1 and T2 where they are.
    const found: Vec2 = [t1[0] + (dx * (far + 0.5)) / far, t1[1] + (dy * (far + 0.5)) / far];
    const gap = (a: Vec2, b: Vec2): string => Math.hypot(a[0] - b[0], a[1] - b[1]).toFixed(4);
    const angle = (Math.atan2(t2[1] - t1[1], t2[0] - t1[0]) * 180) / Math.PI;
    const side = (t2[0] - t1[0]) * dy - (t2[1] - t1[1]) * dx > 0 ? 'left' : 'right';
    writeFileSync(join(at, 'h.csv'), `seen from: outside\ndatum: T1 to T2\nplace: ${t1[0]}; ${t1[1]}\nangle: ${angle}\nside: T4 ${side} of T1 T2\ncentre, T1, T2, ${gap(t1, t2)}\ncentre, T1, T4, ${gap(t1, found)}\ncentre, T2, T4, ${gap(t2, found)}\n`);
    const { code, err } = await run(['locate', 'h.csv', '--into', preset, '--write', 'next.job.json'], { cwd: at });
    expect([code, err]).toEqual([0, '']);
    expect(readFileSync(preset, 'utf8')).toBe(before);
    const compared = await run(['compare', preset, 'next.job.json', '--no-volumes', '--json'], { cwd: at });
    const { holes } = JSON.parse(compared.out) as { holes: { name: string; move: Vec2 }[] };
    expect(holes.map((hole) => hole.name)).toEqual(['T4']);
    expect(Math.hypot(...holes[0]!.move)).toBeCloseTo(0.5, 2);
    // Half a millimetre at one of three holes eats most of M5's clearance; the odds say how much is left.
    const odds = await run(['locate', 'h.csv', '--into', preset, '--json'], { cwd: at });
    const { bolting } = JSON.parse(odds.out) as { bolting: { seated: { margin: number; gap: number }; odds: { probability: number; interval: [number, number] } } };
    expect(bolting.seated.margin).toBeGreaterThan(-0.01);
    expect(bolting.seated.margin).toBeLessThan(0.25);
    expect(bolting.odds.interval[0]).toBeLessThanOrEqual(bolting.odds.probability);
    const far2 = await run(['locate', '-', '--into', preset, '--write', 'x.json'], { cwd: at, input: 'seen from: outside\nside: T4 left of T1 T2\ncentre, T1, T2, 900\ncentre, T1, T4, 900\ncentre, T2, T4, 900\n' });
    expect([far2.code, far2.err]).toEqual([2, expect.stringContaining('expected')]);
    const open = await run(['locate', '-', '--into', preset, '--write', 'x.json'], { cwd: at, input: 'centre, T1, T2, 100\ncentre, T1, T4, 300\ncentre, T2, T4, 310\n' });
    expect(open.code).toBe(2);
    expect(open.err).toContain('mirror image');
  });
});
