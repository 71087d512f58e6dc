import { describe, expect, test } from 'vitest';
import { readDocument, readJob, setInDocument, typedFor } from '../../src/job/read.ts';
import type { JobDocument } from '../../src/job/schema.ts';
import { sayIssue, unwrap } from '../../src/result.ts';

const least = { coverwright: 1, body: { width: 60 }, trace: { points: [[0, 20], [40, 26], [80, 22]] } };
const issuesOf = (input: unknown): string[] => {
  const read = typeof input === 'string' ? readJob(input) : readDocument(input);
  return read.ok ? [] : read.issues.map(sayIssue);
};

describe('a job file', () => {
  test('a dozen lines make a job, the rest has defaults', () => {
    const { job, document } = unwrap(readDocument(least));
    expect(job.body).toMatchObject({ wall: 3, skin: 3, leftEnd: { closed: true }, outsideRadius: 3 });
    expect(job.trace.points[1]).toMatchObject({ x: 40, z: 26, corner: false });
    expect(document).toEqual(least);
  });

  test('what was typed is kept as typed; what it means is in mm', () => {
    const typed = { ...least, units: 'inch', body: { width: '2 3/8', wall: '.125', skin: '3mm' } };
    const { job, document } = unwrap(readDocument(typed));
    expect(document.body).toEqual({ width: '2 3/8', wall: '.125', skin: '3mm' });
    expect(job.body.width).toBeCloseTo(60.325, 12);
    expect(job.body.wall).toBeCloseTo(3.175, 12);
    expect(job.body.skin).toBe(3);
    expect(job.trace.points[1]?.x).toBeCloseTo(1016, 9);
    // A default is a length in mm whatever the job is typed in.
    expect(job.body.outsideRadius).toBe(3);
  });

  test('an object reading and a pair mean the same', () => {
    const { job } = unwrap(readDocument({ ...least, trace: { points: [[0, 20], { x: 0, z: 20 }, [9, 9]] } }));
    expect(job.trace.points[0]).toEqual(job.trace.points[1]);
  });

  test('every problem is told at once, with the nearest known name', () => {
    const told = issuesOf({ coverwright: 1, body: { width: 60, wal: 3, skin: -2 }, tabs: [{ wal: 'front', at: 'x' }], materiel: '6061-T6' });
    expect(told).toContainEqual(expect.stringContaining('body.wal: "wal" is not a name used here. Did you mean wall?'));
    expect(told).toContainEqual(expect.stringContaining('body.skin: Skin is -2 mm; expected 0.2 mm to 60 mm.'));
    expect(told).toContainEqual(expect.stringContaining('tabs[0].wal: "wal" is not a name used here. Did you mean wall?'));
    expect(told).toContainEqual(expect.stringContaining('tabs[0].at: Expected a length, got "x".'));
    expect(told).toContainEqual(expect.stringContaining('materiel: "materiel" is not a name used here. Did you mean material?'));
  });

  test('a choice that is nearly right', () => {
    expect(issuesOf({ ...least, material: '6061T6' })[0]).toMatch(/Did you mean 6061-T6\?/);
    expect(issuesOf({ ...least, tabs: [{ wall: 'frnt', at: 3 }] })[0]).toMatch(/tabs\[0\]\.wall: .*Did you mean front\?/);
  });

  test('inches typed where the job is in inches but the figures are mm', () => {
    expect(issuesOf({ ...least, units: 'inch', body: { width: 120000 } })[0]).toMatch(/Was it typed in mm\?/);
  });

  const bad: readonly [string, unknown, RegExp][] = [
    ['empty file', '', /The job file is empty/],
    ['truncated', '{"coverwright": 1, "body": {"width"', /line 1, column 36: This is not JSON: expected ':' after property name/],
    ['cut off', '{"coverwright": 1,\n "body": {', /line 2, column 11: This is not JSON/],
    ['not JSON', 'x=1\ny=2', /This is not JSON: unexpected token 'x'/],
    ['a list', '[1,2]', /Expected a job: one JSON object, got \[1,2\]/],
    ['no version', '{"body":{}}', /does not say that it is a job/],
    ['wrong version', { ...least, coverwright: 99 }, /This job is version 99; this program reads up to 1/],
    ['version in words', { ...least, coverwright: 'one' }, /Expected the job version/],
    ['prototype', '{"coverwright":1,"__proto__":{"x":1}}', /The name "__proto__" may not stand in a job/],
    ['constructor below', '{"coverwright":1,"body":{"constructor":{"x":1}}}', /may not stand in a job/],
    ['deep nesting', `{"coverwright":1,"body":${'['.repeat(100000)}${']'.repeat(100000)}}`, /nests more than 40 deep/],
    ['missing width', { coverwright: 1, body: {} }, /body\.width: Width is missing/],
    ['missing body', { coverwright: 1 }, /body: Body is missing/],
    ['NaN reading', { ...least, trace: { points: [[0, Number.NaN]] } }, /trace\.points\[0\]\.z/],
    ['huge reading', { ...least, trace: { points: [[0, 1e9]] } }, /Height is 1000000000 mm; expected -100000 mm to 100000 mm/],
    ['three numbers in a reading', { ...least, trace: { points: [[1, 2, 3]] } }, /trace\.points\[0\]/],
    ['a fraction in a job in mm', { ...least, body: { width: '1 3/32' } }, /fraction without a unit/],
    ['revision I', { ...least, revision: 'I' }, /revision/],
    ['ambiguous comma', { ...least, body: { width: '1,234' } }, /could mean 1\.234 or 1234/],
    ['too long', `{"coverwright":1,"title":"${'x'.repeat(50_000_001)}"}`, /at most 50 MB/],
  ];
  test.each(bad)('%s is refused in one sentence with the cure', (_, input, expected) => {
    const told = issuesOf(input);
    expect(told.join('\n')).toMatch(expected);
    for (const sentence of told) expect(sentence.length).toBeLessThan(400);
  });

  test('an old draft is brought up to today', () => {
    const { job } = unwrap(readDocument({ coverwright: 0, points: [[0, 20], [50, 30], [80, 20]], error: '0.1mm', body: { width: 50 } }));
    expect(job.trace.points).toHaveLength(3);
    expect(job.trace.readingError).toBe(0.1);
  });
});

describe('setting one value', () => {
  const document = least as JobDocument;

  test('a path into the job', () => {
    const set = unwrap(setInDocument(document, 'body.wall', '1/8in'));
    expect(unwrap(readDocument(set)).job.body.wall).toBeCloseTo(3.175, 12);
    expect(document.body).toEqual({ width: 60 });
  });

  test('one past the end adds to a list; further is refused', () => {
    const set = unwrap(setInDocument(document, 'tabs[0].wall', 'front'));
    expect(set.tabs).toEqual([{ wall: 'front' }]);
    const refused = setInDocument(document, 'tabs[3].wall', 'front');
    expect(refused.ok ? '' : sayIssue(refused.issues[0] as never)).toMatch(/There are 0; tabs\[3\] is not the next one\. Use tabs\[0\] to add one/);
  });

  test('an unknown path names the nearest', () => {
    const refused = setInDocument(document, 'body.wal', 3);
    expect(refused.ok ? '' : sayIssue(refused.issues[0] as never)).toMatch(/Did you mean wall\?/);
    expect(setInDocument(document, 'body..wall', 3).ok).toBe(false);
    expect(setInDocument(document, '__proto__.x', 3).ok).toBe(false);
  });

  test('text stays text where the field is text', () => {
    expect(typedFor(document, 'title', '12')).toBe('12');
    expect(typedFor(document, 'body.wall', '3.5')).toBe(3.5);
    expect(typedFor(document, 'body.leftEnd.closed', 'false')).toBe(false);
    expect(typedFor(document, 'body.wall', '1 3/32in')).toBe('1 3/32in');
  });
});
