import { execFileSync } from 'node:child_process';
import { readdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import DxfParser from 'dxf-parser';
import { describe, expect, test } from 'vitest';
import { folder, run } from './run.ts';

const readings = 'station,height\n0,20.1\n10,24\n20,26.8\n30,28.1\n40,28\n50,26.6\n60,24.1\n70,20\n';

describe('fair', () => {
  test('a table of readings becomes figures and files', async () => {
    const at = folder();
    writeFileSync(join(at, 'r.csv'), readings);
    const { code, out } = await run(['fair', 'r.csv', '--error', '0.1', '--out', 'o'], { cwd: at });
    expect(code).toBe(0);
    expect(out).toMatch(/8 used of 8/);
    expect(readdirSync(join(at, 'o')).sort()).toEqual(['r-contour.dxf', 'r-contour.json', 'r-contour.svg', 'r-curve.csv', 'r-readings.csv']);
    const dxf = new DxfParser().parseSync(readFileSync(join(at, 'o', 'r-contour.dxf'), 'utf8'));
    const json = JSON.parse(readFileSync(join(at, 'o', 'r-contour.json'), 'utf8')) as { curves: { poles_mm: [number, number][] }[] };
    const spline = dxf?.entities.find((e) => e.type === 'SPLINE') as unknown as { controlPoints: { x: number; y: number }[] };
    // The curve in the DXF is the curve in the report, pole for pole.
    expect(spline.controlPoints.map((p) => [p.x, p.y])).toEqual(json.curves[0]?.poles_mm.map(([x, z]) => [expect.closeTo(x, 9), expect.closeTo(z, 9)]));
  });

  test('its own DXF read back is the same curve', async () => {
    const at = folder();
    writeFileSync(join(at, 'r.csv'), readings);
    await run(['fair', 'r.csv', '--error', '0.1', '--out', '.'], { cwd: at });
    const { code, out } = await run(['fair', 'r-contour.dxf', '--pick', 'CURVE', '--smoothing', 'through the points', '--json'], { cwd: at });
    expect(code).toBe(0);
    const first = JSON.parse(readFileSync(join(at, 'r-contour.json'), 'utf8')) as { length_mm: number };
    const again = JSON.parse(out) as { contour: { length_mm: number } };
    expect(again.contour.length_mm).toBeCloseTo(first.length_mm, 2);
  });

  test.each([
    ['', /Expected a table, got nothing/],
    ['a,b\n', /./],
    ['1;2\n3;4\n', /Expected at least 3|reading/i],
    ['1,2\n3,4\n', /can be read two ways/],
    ['0,0\n1,1\nx,y\n2,2\n', /row|line/i],
    ['\u0000\u0001\u0002binary', /text|binary/i],
  ])('bad table %j', async (input, expected) => {
    const { code, err } = await run(['fair', '-'], { input });
    expect(code).toBe(2);
    expect(err).toMatch(expected);
    expect(err).not.toMatch(/\n\s+at /);
  });
});

describe('new', () => {
  test('writes a job that can be made, under its own name, and never over another', async () => {
    const at = folder();
    expect((await run(['new', 'a.job.json', '--from', 'encoder-cover', '--title', 'My "first" cover', '--number', 'X-1'], { cwd: at })).code).toBe(0);
    const job = JSON.parse(readFileSync(join(at, 'a.job.json'), 'utf8')) as { title: string; partNumber: string };
    expect(job).toMatchObject({ title: 'My "first" cover', partNumber: 'X-1' });
    const again = await run(['new', 'a.job.json'], { cwd: at });
    expect(again.code).toBe(2);
    expect(again.err).toMatch(/exists already/);
    expect((await run(['check', 'a.job.json'], { cwd: at })).code).toBe(0);
  });

  test('lists the presets, and names the nearest', async () => {
    const { out } = await run(['new', '--list']);
    expect(out.trim().split('\n').length).toBeGreaterThanOrEqual(4);
    const { code, err } = await run(['new', 'x.json', '--from', 'encoder-covr']);
    expect(code).toBe(2);
    expect(err).toMatch(/Did you mean encoder-cover\?/);
  });
});

describe('the packed package', () => {
  test('asks for the very versions it was tested with: an installer does not see the lockfile', () => {
    const { dependencies } = JSON.parse(readFileSync('package.json', 'utf8')) as { dependencies: Record<string, string> };
    const { packages } = JSON.parse(readFileSync('package-lock.json', 'utf8')) as { packages: Record<string, { version: string }> };
    for (const [name, version] of Object.entries(dependencies)) expect(packages[`node_modules/${name}`]?.version, name).toBe(version);
  });

  test('its command makes a part outside the repository', async () => {
    const at = folder();
    // As npm would publish it, without its scripts: the build is already there.
    const [tarball] = JSON.parse(execFileSync('npm', ['pack', '--json', '--ignore-scripts', '--pack-destination', at], { encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] })) as { filename: string; files: { path: string }[] }[];
    execFileSync('tar', ['-xzf', join(at, tarball!.filename), '-C', at]);
    symlinkSync(resolve('node_modules'), join(at, 'package', 'node_modules'));
    const packed = join(at, 'package', 'dist', 'cli.js');
    expect((await run(['new', 'p.job.json', '--from', 'encoder-cover'], { cwd: at, command: packed })).code).toBe(0);
    expect((await run(['make', 'p.job.json', '--out', 'o', '--set', 'engraving[0].text=A1', '--set', 'engraving[0].x=2', '--set', 'engraving[0].y=.8'], { cwd: at, command: packed })).err).toBe('');
    expect(readdirSync(join(at, 'o'))).toContain('OB-118-A.step');
    expect(tarball!.files.some(({ path }) => path.startsWith('dist/bench'))).toBe(false);
  });
});
