/** The test print from the terminal, and the whole loop: print, offsets, diagnosis, next revision. */
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, test } from 'vitest';
import { folder, run } from './run.ts';

const encoder = resolve('presets/encoder-cover.job.json');
const clamp = resolve('presets/clamp-cover.job.json');
const printer = resolve('presets/left.printer.json');

describe('make --proof', () => {
  test('writes pieces, beds, sheet, readings and an offsets sheet under flat names, and says nothing is corrected', async () => {
    const at = folder();
    const { code, out } = await run(['make', encoder, '--proof', '--out', 'out', '--set', 'proof.square=true'], { cwd: at });
    expect(code).toBe(0);
    expect(out).toContain('Nothing is corrected: no printer profile was given.');
    expect(out).toContain('Test fit, not a guard.');
    const files = readdirSync(join(at, 'out'));
    for (const name of ['OB-118-A.step', 'OB-118-A-proof-1.stl', 'OB-118-A-proof-1.3mf', 'OB-118-A-proof-5.3mf', 'OB-118-A-proof-beds.svg', 'OB-118-A-proof.html', 'OB-118-A-proof-readings.csv', 'OB-118-A-proof-offsets.txt']) expect(files).toContain(name);
    expect(readFileSync(join(at, 'out', 'OB-118-A-proof-offsets.txt'), 'utf8')).toContain('compensated: no');
  });

  test.each<[string, string[], RegExp]>([
    ['a bed too small, splitting off', ['--proof', '--set', 'proof.bedX=80mm', '--set', 'proof.bedY=80mm', '--set', 'proof.split=false'], /proof\.split: .*does not fit.*splitting is off\. Turn proof\.split on/],
    ['a bed below its range', ['--proof', '--set', 'proof.bedX=1'], /Bed X is/],
    ['a job for a printer file', ['--printer', encoder], /is not a name used here|missing/],
    ['no printer file', ['--printer', 'nowhere.json'], /does not exist/],
  ])('%s is refused and nothing is written', async (_, flags, words) => {
    const at = folder();
    const { code, err } = await run(['make', encoder, '--out', 'out', ...flags], { cwd: at });
    expect(code).toBe(2);
    expect(err).toMatch(words);
    expect(existsSync(join(at, 'out'))).toBe(false);
  });
});

describe('the loop', () => {
  test('print, offsets, diagnosis, next revision', async () => {
    const at = folder();
    const only = ['--set', 'proof.ribs=false', '--set', 'proof.holeBar=false', '--set', 'proof.whole=false'];
    const printed = await run(['make', clamp, '--printer', printer, '--out', 'a', '--json', ...only], { cwd: at });
    expect(printed.code).toBe(0);
    const told = JSON.parse(printed.out) as { proof: { printer: string; pieces: { readings: { design_mm: number; drawn_mm: number; printed_mm: number; kind: string }[] }[] } };
    expect(told.proof.printer).toBe('left one');
    const hole = told.proof.pieces[0]!.readings.find((one) => one.kind === 'hole')!;
    expect(hole.drawn_mm).toBeGreaterThan(hole.design_mm + 0.1);
    expect(hole.printed_mm).toBeCloseTo(hole.design_mm, 9);
    expect(readFileSync(join(at, 'a', 'OB-164-B-proof.html'), 'utf8')).toContain('Drawn for left one');
    const sheet = readFileSync(join(at, 'a', 'OB-164-B-proof-offsets.txt'), 'utf8');
    expect(sheet).toContain('printer: left one');
    // Every hole sits 0.4 too far along X, one more besides.
    const read: Record<string, string> = { T1: '0.4, 0', T2: '0.41, 0.01', T3: '0.39, -0.01', T4: '0.4, 0.02', T5: '1.1, 0.6' };
    const filled = sheet.replace('error: 0.1', 'error: 0.05').replace(/^(\w+), , $/gm, (_, name: string) => (read[name] === undefined ? '' : `${name}, ${read[name]}`));
    writeFileSync(join(at, 'offsets.txt'), filled);
    const { code, out } = await run(['fit', clamp, 'offsets.txt', '--printer', printer, '--write', 'c.job.json'], { cwd: at });
    expect(code).toBe(0);
    expect(out).toContain('shift, hole T5 alone');
    const next = JSON.parse(readFileSync(join(at, 'c.job.json'), 'utf8')) as { revision: string; testFits: { printer: string; scaleX: number; compensated: boolean }[] };
    expect([next.revision, next.testFits[0]!.printer, next.testFits[0]!.compensated]).toEqual(['C', 'left one', true]);
    expect(next.testFits[0]!.scaleX).toBeLessThan(0.999);
    // The old sheet is of no use to the new revision.
    expect((await run(['fit', 'c.job.json', 'offsets.txt', '--printer', printer], { cwd: at })).err).toContain('revision B; the job is at C');
  });

  test.each([
    [0, 'no'],
    [90, 'yes'],
  ] as const)('an uncorrected print turned by %s degrees has its scale and skew taken out, once', async (turn, answer) => {
    // Where the left printer puts what is drawn, and a design that is right but for a shift of 0.5.
    const at = folder();
    const { readPrinterProfile } = await import('../../src/proof/readPrinter.ts');
    const profile = readPrinterProfile(readFileSync(printer, 'utf8'));
    if (!profile.ok) throw new Error('printer file');
    const { x, y } = profile.value.profile.axes;
    const skew = (profile.value.profile.skew!.degrees * Math.PI) / 180;
    const holes: Record<string, readonly [number, number]> = { T1: [-7.5, 24], T2: [-7.5, 60], T3: [227.5, 42], T4: [70, -7.5], T5: [70, 91.5] };
    const lines = Object.entries(holes).map(([name, [px, py]]) => {
      const [u, v] = turn === 90 ? [-py, px] : [px, py];
      const [pu, pv] = [x.factor * u + y.factor * Math.sin(skew) * v, y.factor * Math.cos(skew) * v];
      const [qx, qy] = turn === 90 ? [pv, -pu] : [pu, pv];
      return `${name}, ${(0.5 + px - qx).toFixed(3)}, ${(py - qy).toFixed(3)}`;
    });
    writeFileSync(join(at, 'offsets.txt'), ['on: print', 'error: 0.03', 'compensated: no', `quarter turn: ${answer}`, 'hole, dx, dy', ...lines].join('\n'));
    const { code, out } = await run(['fit', clamp, 'offsets.txt', '--printer', printer, '--json'], { cwd: at });
    expect(code).toBe(0);
    const { diagnosis } = JSON.parse(out) as { diagnosis: { findings: { kind: string }[] } };
    expect(diagnosis.findings.map((finding) => finding.kind)).toEqual(['shift']);
    // Without the printer file the same readings show its scale.
    const bare = await run(['fit', clamp, 'offsets.txt', '--json'], { cwd: at });
    expect((JSON.parse(bare.out) as { diagnosis: { findings: { kind: string }[] } }).diagnosis.findings.length).toBeGreaterThan(1);
  });

  test.each([
    ['printer: right one', /measured on left one; the piece was printed on, or drawn for, right one\. Hand in the printer file of right one/],
    ['printed on: right one', /Hand in the printer file of right one/],
    ['profile: PLA\nprinter: left one\nscale: 0.997; 0.997', /taken out once\. Take the scale out of the sheet/],
    ['on: part', /nothing to do with a machined part/],
  ])('%j with the printer file of another, or twice, is refused', async (setting, words) => {
    const { code, err } = await run(['fit', clamp, '-', '--printer', printer], { input: `${setting}\nhole, dx, dy\nT1, 0.3, 0\nT2, 0.3, 0\nT3, 0.3, 0\n` });
    expect(code).toBe(2);
    expect(err).toMatch(words);
  });
});
