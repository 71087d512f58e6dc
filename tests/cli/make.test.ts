import { spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { Report } from '../../src/outputs/report.ts';
import { command, folder, run } from './run.ts';

const small = resolve('presets/encoder-cover.job.json');
const least = JSON.stringify({ coverwright: 1, partNumber: 'P1', body: { width: 60 }, trace: { points: [[0, 20], [20, 25], [40, 27], [60, 25], [80, 20]] }, edgeBreaks: { byHand: 0.3 } });
const reportIn = (at: string): Report => JSON.parse(readFileSync(join(at, 'report.json'), 'utf8')) as Report;

describe('make', () => {
  test('writes every file, prints what and the main numbers, and the hashes in the report are the files', async () => {
    const at = folder();
    const { code, out, err } = await run(['make', small, '--out', at]);
    expect(err).toBe('');
    expect(code).toBe(0);
    const ends = ['-after-op1.step', '-drawing.pdf', '-first-article.csv', '-first-article.pdf', '-fixture-holes.csv', '-fixture.dxf', '-fixture.step', '-fixture.stl', '-fixture.svg', '-op1-holes.csv', '-op1.step', '-op2.step', '-plan.dxf', '-plan.svg', '-release.pdf', '-release.zip', '-section.dxf', '-section.svg', '-setup.pdf', '-templates.pdf', '.3mf', '.job.json', '.step', '.stl'];
    expect(readdirSync(at).sort()).toEqual([...ends.map((end) => `OB-118-A${end}`), 'report.html', 'report.json']);
    expect(out).toMatch(/OB-118 A {2}Encoder cover/);
    expect(out).toMatch(/volume .* cm3/);
    // The colour a screen shows is the colour asked for (#8fa3b5), part number and revision stand in the STEP.
    const step = readFileSync(join(at, 'OB-118-A.step'), 'latin1');
    const colour = /COLOUR_RGB\('',([\d.]+),([\d.]+),([\d.]+)\)/.exec(step)!.slice(1).map((c) => Number(c) * 255);
    [0x8f, 0xa3, 0xb5].forEach((wanted, i) => expect(Math.abs(colour[i]! - wanted)).toBeLessThan(1));
    expect(step).toContain("PRODUCT('OB-118-A'");
    const report = reportIn(at);
    for (const { name, sha256, bytes } of report.files) {
      const file = readFileSync(join(at, name));
      expect(file.length).toBe(bytes);
      expect(createHash('sha256').update(file).digest('hex')).toBe(sha256);
    }
  });

  test('same job and date: same bytes, but for the timings in report.json', async () => {
    const [a, b] = [folder(), folder()];
    await run(['make', small, '--out', a, '--date', '2026-02-03']);
    await run(['make', small, '--out', b], { env: { SOURCE_DATE_EPOCH: String(Date.parse('2026-02-03T00:00:00Z') / 1000) } });
    for (const name of readdirSync(a)) {
      if (name === 'report.json') {
        const [first, second] = [reportIn(a), reportIn(b)];
        expect({ ...first, run: null }).toEqual({ ...second, run: null });
        expect(first.run.date).toBe('2026-02-03T00:00:00Z');
      } else expect(readFileSync(join(a, name)).equals(readFileSync(join(b, name))), name).toBe(true);
    }
  });

  test('--set changes a value; --json prints one document; a job from standard input', async () => {
    const at = folder();
    const { code, out } = await run(['make', '-', '--set', 'body.wall=4', '--set', 'title=A 5" cover', '--json', '--out', at], { input: least });
    expect(code).toBe(0);
    const told = JSON.parse(out) as { ok: boolean; report: Report };
    expect(told.ok).toBe(true);
    expect(told.report.section.wall_mm).toBe(4);
    expect(told.report.title).toBe('A 5" cover');
  });

  test('several jobs: a folder each; a bad one does not stop the others; exit 2', async () => {
    const at = folder();
    writeFileSync(join(at, 'good.job.json'), least);
    writeFileSync(join(at, 'bad.job.json'), '{"coverwright": 1}');
    writeFileSync(join(at, 'twin.job.json'), least);
    const { code, err, out } = await run(['make', 'good.job.json', 'bad.job.json', 'twin.job.json', 'missing.job.json', '--at-once', '1', '--out', 'o'], { cwd: at });
    expect(code).toBe(2);
    expect(readdirSync(join(at, 'o'))).toEqual(['P1-A']);
    expect(out).toContain('P1 A');
    expect(err).toMatch(/bad\.job\.json: body: Body is missing/);
    expect(err).toMatch(/twin\.job\.json: partNumber: Another job of this run is also P1 A/);
    expect(err).toMatch(/^missing\.job\.json: This does not exist/m);
  });

  test('a failed make leaves the files of the last one whole', async () => {
    const at = folder();
    await run(['make', '-', '--out', at], { input: least });
    const before = readdirSync(at).map((name) => [name, readFileSync(join(at, name)).toString('base64')]);
    const { code } = await run(['make', '-', '--out', at, '--set', 'body.wall=39'], { input: least });
    expect(code).toBe(2);
    expect(readdirSync(at).map((name) => [name, readFileSync(join(at, name)).toString('base64')])).toEqual(before);
  });

  test('interrupted, it leaves nothing half-written', async () => {
    const at = folder();
    const child = spawn(process.execPath, [command, 'make', small, '--out', join(at, 'o')]);
    await new Promise((done) => setTimeout(done, 900));
    child.kill('SIGINT');
    const code = await new Promise((done) => child.on('close', done));
    expect(code).toBe(130);
    expect(existsSync(join(at, 'o')) ? readdirSync(join(at, 'o')).filter((name) => name.endsWith('.part')) : []).toEqual([]);
  });

  test('stop findings: exit 1, and the report is still written', async () => {
    const at = folder();
    const { code, out } = await run(['make', '-', '--out', at, '--set', 'machining.cutterDiameter=20'], { input: least });
    expect(code).toBe(1);
    expect(out).toMatch(/stop {2}The upright inside corners are R5 mm; a 20 mm cutter leaves R10 mm/);
    expect(reportIn(at).findings[0]?.level).toBe('stop');
  });

  test('check writes nothing', async () => {
    const at = folder();
    writeFileSync(join(at, 'a.job.json'), least);
    const { code, out } = await run(['check', 'a.job.json'], { cwd: at });
    expect(code).toBe(0);
    expect(out).toContain('Findings');
    expect(readdirSync(at)).toEqual(['a.job.json']);
  });
});

describe('bad input is one clear sentence and exit 2', () => {
  const withBody = (body: object, rest: object = {}): string => JSON.stringify({ ...(JSON.parse(least) as object), body, ...rest });
  const points = (list: unknown[]): string => JSON.stringify({ ...(JSON.parse(least) as object), trace: { points: list } });
  const cases: readonly [string, string, RegExp][] = [
    ['an empty file', '', /The job file is empty/],
    ['cut short', least.slice(0, 40), /This is not JSON/],
    ['not a job', '[]', /Expected a job: one JSON object/],
    ['unknown key', withBody({ width: 60, wals: 3 }), /body\.wals: "wals" is not a name used here\. Did you mean wall\?/],
    ['wrong version', least.replace('"coverwright":1', '"coverwright":7'), /version 7/],
    ['no readings', points([]), /reading/i],
    ['two points', points([[0, 1], [5, 2]]), /reading/i],
    ['all in one place', points([[1, 1], [1, 1], [1, 1], [1, 1]]), /.+/],
    ['a vertical contour', points([[10, 0], [10, 10], [10, 20], [10, 30]]), /.+/],
    ['a self-crossing contour', points([[0, 0], [40, 30], [40, 0], [0, 30], [-20, 10]]), /cross|back|order/i],
    ['wall thicker than the part', withBody({ width: 60, wall: 45 }), /wall/i],
    ['coordinates of 1e9', points([[0, 0], [1e9, 5], [2e9, 3]]), /1000000000 mm; expected/],
    ['infinite text', points([['1e999', 3]]), /too large|Expected/],
    ['prototype', least.replace('{', '{"__proto__":{"polluted":1},'), /may not stand in a job/],
    ['deep nesting', `{"coverwright":1,"body":${'{"a":'.repeat(5000)}1${'}'.repeat(5000)}}`, /nests more than/],
  ];
  test.each(cases)('%s', async (_, input, expected) => {
    const at = folder();
    const { code, out, err } = await run(['make', '-', '--out', join(at, 'o')], { input });
    expect(err).toMatch(expected);
    expect(err).not.toMatch(/\n\s+at /);
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(existsSync(join(at, 'o'))).toBe(false);
  });

  test('a 100 MB file', async () => {
    const at = folder();
    writeFileSync(join(at, 'big.json'), Buffer.alloc(100 * 2 ** 20, 32));
    const { code, err } = await run(['make', 'big.json'], { cwd: at });
    expect(code).toBe(2);
    expect(err).toMatch(/big\.json: Expected at most 64 MB, got 100 MB/);
  });

  test('a folder that is a file', async () => {
    const at = folder();
    writeFileSync(join(at, 'o'), 'keep');
    const { code, err } = await run(['make', '-', '--out', 'o'], { input: least, cwd: at });
    expect(code).toBe(2);
    expect(err).toMatch(/is a file, not a folder/);
    expect(readFileSync(join(at, 'o'), 'utf8')).toBe('keep');
  });

  test('a folder on a disk that cannot be written', async () => {
    const { code, err } = await run(['make', '-', '--out', '/proc/coverwright'], { input: least });
    expect(code).toBe(2);
    expect(err).toMatch(/\/proc\/coverwright: This (cannot be made|may not be|is on a disk)/);
  });

  test('a part number that would climb out of the folder is refused; a slash in one is no folder', async () => {
    const at = folder();
    const climbs = await run(['make', '-', '--out', 'deep', '--set', 'partNumber=../../evil'], { input: least, cwd: at });
    expect(climbs.code).toBe(2);
    expect(climbs.err).toMatch(/partNumber: .*may not hold "\.\."/);
    expect(readdirSync(at)).toEqual([]);
    const slash = await run(['make', '-', '--out', 'deep', '--set', 'partNumber=/etc/12'], { input: least, cwd: at });
    expect(slash.code).toBe(0);
    expect(readdirSync(at)).toEqual(['deep']);
    expect(readdirSync(join(at, 'deep'))).toContain('etc-12-A.step');
  });

  test('several bad values are told at once', async () => {
    const { code, err } = await run(['check', '-', '--set', 'bdy=3', '--set', 'body.wall=thick'], { input: least });
    expect(code).toBe(2);
    expect(err).toMatch(/bdy: "bdy" is not a name used here/);
    expect(err).toMatch(/body\.wall: Expected a length, got "thick"/);
  });

  test.each([
    [['mkae'], /Did you mean make/],
    [['make'], /missing required argument/],
    [['make', 'x', '--at-once', '0'], /whole number from 1 to 64/],
    [['make', 'x', '--date', 'yesterday'], /Expected a date/],
    [['check', '-', '--set', 'body.wall'], /Expected path=value/],
    [['check', '-', '--set', 'body.wal=3'], /Did you mean wall\?/],
    [['check', '-', '--set', 'body.wall=thick'], /Expected a length, got "thick"/],
  ])('%s', async (args, expected) => {
    const { code, err } = await run(args, { input: least });
    expect(code).toBe(2);
    expect(err).toMatch(expected);
  });
});

describe('the cutters of the shop', () => {
  test('are named on the setup sheet; what is missing is told; a bad file is refused', async () => {
    const at = folder();
    writeFileSync(join(at, 'few.cutters.json'), '{"coverwrightCutters":1,"cutters":[{"name":"Ball 6","kind":"ball","diameter":6}]}');
    const { code, out } = await run(['check', small, '--cutters', join(at, 'few.cutters.json')]);
    expect(code).toBe(0);
    expect(out).toMatch(/warn {2}Outline, feet and seats, op 1: wanted end mill up to .* No end mill in the drawer/);
    writeFileSync(join(at, 'bad.cutters.json'), '{"coverwrightCutters":1,"cutters":[{"name":"Ball 6","kind":"bal","diameter":6}]}');
    const bad = await run(['check', small, '--cutters', join(at, 'bad.cutters.json')]);
    expect([bad.code, bad.err]).toEqual([2, expect.stringContaining('Did you mean ball?')]);
  });
});
