/** The verb fit as a person runs it. */
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, test } from 'vitest';
import { planOf } from '../../src/cli/plans.ts';
import { inspectionSheet } from '../../src/fit/firstArticle.ts';
import { readJob } from '../../src/job/read.ts';
import { unwrap } from '../../src/result.ts';
import { folder, run } from './run.ts';

const preset = resolve('presets/worm-drive-cover.job.json');
const sheet = `on: print
revision: A
error: 0.05
profile: PLA grey
printer: left one
hole, dx, dy
T1, 0.31, -0.02
T2, 0.30, 0.04
T3, 0.28, 0.01
T4, 0.71, 0.35
T5, 0.33, -0.03
`;

describe('fit', () => {
  test('says what is wrong, writes the next revision and its arrows', async () => {
    const at = folder();
    writeFileSync(join(at, 'off.csv'), sheet);
    const { code, out } = await run(['fit', preset, 'off.csv', '--write', 'b.job.json', '--svg', 'arrows.svg'], { cwd: at });
    expect(code).toBe(0);
    expect(out).toContain('shift, hole T4 alone');
    expect(out).toContain('Revision B written to b.job.json');
    expect(readFileSync(join(at, 'arrows.svg'), 'utf8')).toContain('times their size');
    const next = JSON.parse(readFileSync(join(at, 'b.job.json'), 'utf8')) as { revision: string; testFits: unknown[]; revisions: { revision: string; hash: string }[] };
    expect([next.revision, next.testFits.length, next.revisions[0]!.revision]).toEqual(['B', 1, 'A']);
    // The frozen one is the job it was made from, whatever was read since.
    const { out: told } = await run(['compare', preset, 'b.job.json@A', '--json', '--no-volumes'], { cwd: at });
    expect(JSON.parse(told)).toMatchObject({ same: true, hashes: [next.revisions[0]!.hash, next.revisions[0]!.hash] });
    // The same sheet cannot be used on the next revision.
    const again = await run(['fit', 'b.job.json', 'off.csv'], { cwd: at });
    expect([again.code, again.err]).toEqual([2, expect.stringContaining('revision A; the job is at B')]);
  });

  test('a machined part sends nothing to the design', async () => {
    const at = folder();
    writeFileSync(join(at, 'off.csv'), sheet.replace('on: print', 'on: part').replace(/^pr.*\n/gm, ''));
    const { code, out, err } = await run(['fit', preset, 'off.csv', '--write', 'b.job.json'], { cwd: at });
    expect(code).toBe(2);
    expect(out).toContain('zero');
    expect(err).toContain('Nothing of this belongs to the design');
    expect(existsSync(join(at, 'b.job.json'))).toBe(false);
  });

  test.each([
    ['printer: left one', 'printer: left one\nprinted on: right one', /measured on left one; this piece was printed on right one/],
    ['T5, 0.33', 'T4, 0.33', /already has an offset/],
    ['T5, 0.33', 'T5, 33', /more than the hole/],
    ['T5, 0.33', 'Q5, 0.33', /no hole Q5/],
  ])('%s -> %s is refused', async (from, to, words) => {
    const { code, err } = await run(['fit', preset, '-'], { input: sheet.replace(from, to) });
    expect(code).toBe(2);
    expect(err).toMatch(words);
  });
});

describe('a first article', () => {
  const filledIn = (text: string, off: readonly [number, number]): string =>
    text
      .split('\n')
      .map((line) => {
        const cells = line.split('; ');
        const by = cells[2] === 'place X' ? off[0] : cells[2] === 'place Y' ? off[1] : null;
        return by === null ? line : [...cells.slice(0, 7), (Number(cells[3]) + by).toFixed(3)].join('; ');
      })
      .join('\n');

  test('is judged, and a common shift is told to be the zero of the machine', async () => {
    const at = folder();
    const text = inspectionSheetOf(preset);
    writeFileSync(join(at, 'fa.csv'), filledIn(text, [0.08, -0.01]));
    const { code, out } = await run(['fit', preset, 'fa.csv'], { cwd: at });
    expect(code).toBe(1);
    expect(out).toContain('First article: 0 in, 26 out');
    expect(out).toContain("Move the machine's zero by -0.08 X, +0.01 Y mm");
    const good = await run(['fit', preset, '-', '--json'], { cwd: at, input: filledIn(text, [0.01, 0.01]) });
    expect(good.code).toBe(0);
    expect(JSON.parse(good.out)).toMatchObject({ ok: true, inspection: { counts: { in: 26, out: 0 } }, next_revision: null });
  });

  test('of another revision is refused with the cure', async () => {
    const { code, err } = await run(['fit', preset, '-'], { input: inspectionSheetOf(preset).replace('revision: A', 'revision: B') });
    expect([code, err]).toEqual([2, expect.stringContaining('Measure a part of A')]);
  });
});

function inspectionSheetOf(path: string): string {
  const file = unwrap(readJob(readFileSync(path, 'utf8')));
  return inspectionSheet(file.job, unwrap(planOf(file)));
}
