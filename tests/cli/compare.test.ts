/** The verb compare as a person runs it. */
import { readFileSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { expect, test } from 'vitest';
import { folder, run } from './run.ts';

const preset = resolve('presets/clamp-cover.job.json');

test('values, holes and volumes of two jobs', async () => {
  const at = folder();
  const job = JSON.parse(readFileSync(preset, 'utf8')) as { body: Record<string, unknown>; tabs: Record<string, unknown>[] };
  job.body['skin'] = '4mm';
  job.tabs[0] = { ...job.tabs[0], holeAlong: '0.5mm' };
  writeFileSync(join(at, 'b.json'), JSON.stringify(job));
  const { code, out } = await run(['compare', preset, 'b.json'], { cwd: at });
  expect(code).toBe(0);
  expect(out).toMatch(/body\.skin\s+\S.* -> 4mm/);
  expect(out).toMatch(/hole T1 moved [+-]0\.\d+ X, [+-]0\.\d+ Y mm \(0\.500\)/);
  expect(out).toMatch(/Volume \d+\.\d+ -> \d+\.\d+ cm3 \(\+\d/);
}, 60_000);

test('a revision that is not there', async () => {
  const { code, err } = await run(['compare', `${preset}@A`, `${preset}@B`]);
  expect([code, err]).toEqual([2, expect.stringContaining('not frozen in this job')]);
});
