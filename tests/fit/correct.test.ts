/** Corrections go where they belong: the hole in the finished plan moves by what was found, and by nothing else. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { planOf } from '../../src/cli/plans.ts';
import { compareJobs } from '../../src/fit/compare.ts';
import { applyCorrection, moveHoles, patternOf, placeHoles } from '../../src/fit/correct.ts';
import { diagnose } from '../../src/fit/diagnosis.ts';
import { fitOf, readFitSheet } from '../../src/fit/fitSheet.ts';
import type { FitContext, OffsetReading } from '../../src/fit/offsets.ts';
import { readDocument, readJob, type JobFile } from '../../src/job/read.ts';
import { contentHash, thaw } from '../../src/job/revisions.ts';
import { unwrap } from '../../src/result.ts';

const job = (name: string): JobFile => unwrap(readJob(readFileSync(`presets/${name}.job.json`, 'utf8')));
const large = job('worm-drive-cover');
const holes = (file: JobFile) => patternOf(unwrap(planOf(file)));
const context: FitContext = { on: 'print', against: 'mating part', seenFrom: 'outside', lay: 'located', madeFrom: 'A', current: 'A', readingError: 0.05 };

describe('every kind of hole follows its arrow', () => {
  test.each(['worm-drive-cover', 'encoder-cover', 'motor-cover', 'clamp-cover'])('%s', (name) => {
    const file = job(name);
    const before = holes(file);
    expect(before.length).toBeGreaterThan(1);
    const arrows = before.map((hole, i) => ({ ...hole, move: [0.2 + 0.01 * i, -0.13] as const }));
    const { document, changes } = unwrap(moveHoles(file, arrows, () => 'Test.'));
    const after = holes(unwrap(readDocument(document)));
    after.forEach((hole, i) => {
      expect(hole.at[0] - before[i]!.at[0], hole.name).toBeCloseTo(arrows[i]!.move[0], 2);
      expect(hole.at[1] - before[i]!.at[1], hole.name).toBeCloseTo(arrows[i]!.move[1], 2);
    });
    expect(changes.length).toBe(2 * before.length);
    // Values nobody moved keep their typing.
    expect(document.body).toEqual(file.document.body);
    expect(document.trace).toEqual(file.document.trace);
  });
});

describe('from a test fit to the next revision', () => {
  const pattern = holes(large);
  const readings: OffsetReading[] = pattern.map(({ name }, i) => ({ hole: name, dx: i === 2 ? 0.45 : 0.02 * (i % 3) - 0.02, dy: i === 2 ? -0.3 : 0.01 * (i % 2) }));
  const diagnosis = unwrap(diagnose(readings, pattern, context));
  const corrected = unwrap(applyCorrection(large, diagnosis, readings));
  const next = unwrap(readDocument(corrected));

  test('one wrong hole is moved, the others stand', () => {
    expect(diagnosis.findings.filter((f) => f.real).map((f) => [f.kind, f.hole])).toEqual([['single hole', pattern[2]!.name]]);
    const after = holes(next);
    after.forEach((hole, i) => {
      expect(hole.at[0] - pattern[i]!.at[0]).toBeCloseTo(diagnosis.holes[i]!.move[0], 3);
      expect(hole.at[1] - pattern[i]!.at[1]).toBeCloseTo(diagnosis.holes[i]!.move[1], 3);
    });
    expect(after[2]!.at[0] - pattern[2]!.at[0]).toBeCloseTo(0.45, 1);
  });

  test('the old revision stands frozen with what, from, to and why', () => {
    expect(next.job.revision).toBe('B');
    const [frozen] = next.job.revisions;
    expect(frozen!.hash).toBe(contentHash(large.document));
    expect(frozen!.changes.map((c) => c.path)).toEqual(expect.arrayContaining([expect.stringMatching(/^tabs\[2\]/)]));
    expect(frozen!.changes[0]!.why).toContain('alone');
    expect(unwrap(thaw(next.document, 'A')).document).toEqual(large.document);
  });

  test('a sheet kept in the job does not change what the part is', () => {
    const kept = unwrap(readFitSheet(`hole, dx\n${pattern[0]!.name}, 0.1\n${pattern[1]!.name}, 0`, large)).file;
    expect(contentHash(kept.document)).toBe(contentHash(large.document));
    expect(compareJobs(large, kept).same).toBe(true);
  });

  test('the same offsets are not used twice, nor on another revision', () => {
    const again = applyCorrection(next, { ...diagnosis, madeFrom: 'B' }, readings);
    expect(again.ok ? '' : again.issues[0]!.code).toBe('offsets-used');
    const other = applyCorrection(next, diagnosis, [...readings].reverse());
    expect(other.ok ? '' : other.issues[0]!.code).toBe('other-revision');
  });

  test('what belongs to the printer or the machine never reaches the design', () => {
    const middle = pattern.reduce(([x, y], h) => [x + h.at[0] / pattern.length, y + h.at[1] / pattern.length] as const, [0, 0] as readonly [number, number]);
    const scaled = pattern.map((h): OffsetReading => ({ hole: h.name, dx: 0.003 * (h.at[0] - middle[0]), dy: 0.003 * (h.at[1] - middle[1]) }));
    const print = unwrap(diagnose(scaled, pattern, context));
    const refused = applyCorrection(large, print, scaled);
    expect(refused.ok ? '' : refused.issues[0]!.code).toBe('nothing-to-correct');
    expect(refused.ok ? '' : refused.issues[0]!.hint).toContain('printer profile');
    const part = unwrap(diagnose(readings.map((r) => ({ ...r, dx: 0.4, dy: 0 })), pattern, { ...context, on: 'part' }));
    const machine = applyCorrection(large, part, readings);
    expect(machine.ok ? '' : machine.issues[0]!.hint).toContain('zero');
  });

  test('compare names the values and the holes that moved', () => {
    const c = compareJobs(large, next, pattern, holes(next));
    expect(c.same).toBe(false);
    expect(c.revisions).toEqual(['A', 'B']);
    expect(c.holes.map((h) => [h.name, h.kind])).toEqual([[pattern[2]!.name, 'moved']]);
    expect(c.holes[0]!.move).toEqual([expect.closeTo(diagnosis.holes[2]!.move[0], 3), expect.closeTo(diagnosis.holes[2]!.move[1], 3)]);
    expect(c.differences.map((d) => d.path)).toEqual(expect.arrayContaining(['revision']));
    expect(c.differences.some((d) => d.path.startsWith('revisions'))).toBe(false);
    expect(compareJobs(large, large).same).toBe(true);
  });

  test('the same length typed another way is named as such', () => {
    const retyped = unwrap(readDocument({ ...large.document, body: { ...large.document.body, skin: `${large.job.body.skin}mm` } }));
    const c = compareJobs(large, retyped);
    expect(c.differences).toEqual([expect.objectContaining({ path: 'body.skin', matters: false })]);
  });
});

describe('a sheet of offsets', () => {
  const name = holes(large)[0]!.name;
  const second = holes(large)[1]!.name;

  test('is kept in the job and read back the same', () => {
    const sheet = `# Test fit of 3 May\non: print\nseen from: mating face\nerror: 0.05\nrevision: A\nprofile: PLA grey\nprinter: left\nscale: 0.997; 0.998\ncompensated: no\nhole; clock; amount; pin\n${name}; 1:30; 0,3;\n${second}; ; ; 4.9`;
    const { file, fit } = unwrap(readFitSheet(sheet, large));
    const { readings, context: read } = fitOf(fit, file.job.revision);
    expect(readings).toEqual([{ hole: name, clock: 1.5, amount: 0.3 }, { hole: second, pin: 4.9 }]);
    expect(read).toMatchObject({ on: 'print', seenFrom: 'mating', madeFrom: 'A', readingError: 0.05, print: { profile: 'PLA grey', printer: 'left', printedOn: 'left', scale: [0.997, 0.998], compensated: false } });
    expect(unwrap(readDocument(file.document)).job.testFits).toHaveLength(1);
  });

  test.each([
    ['hole, dx, dy\nT1, abc, 0', /line 2: .*length/],
    ['hole, dx\nT1, 1 2 3', /line 2/],
    ['T1, 0.1, 0', /heads the columns/],
    ['hole, dx, wobble\nT1, 1, 2', /"wobble" is not a column/],
    ['colour: red\nhole, dx\nT1, 1', /"colour" is not a setting/],
    ['on: phone\nhole, dx\nT1, 1', /line 1: .*print, part/],
    ['', /got nothing/],
  ])('%j is refused', (sheet, words) => {
    const read = readFitSheet(sheet, large);
    expect(read.ok ? '' : read.issues.map((i) => `${i.at}: ${i.message}`).join('\n')).toMatch(words);
  });
});

test('located places go to the holes of the same names', () => {
  const pattern = holes(large);
  const placed = unwrap(placeHoles(pattern, [{ name: pattern[0]!.name, at: [pattern[0]!.at[0] + 1, pattern[0]!.at[1]] }]));
  expect(placed[0]!.move).toEqual([expect.closeTo(1, 9), 0]);
  const unknown = placeHoles(pattern, [{ name: 'nowhere', at: [0, 0] }]);
  expect(unknown.ok ? '' : unknown.issues[0]!.message).toContain('nowhere');
});
