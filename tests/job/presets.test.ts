import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { readJob } from '../../src/job/read.ts';
import { sayIssue } from '../../src/result.ts';

const presets = readdirSync('presets').filter((name) => name.endsWith('.job.json'));

describe('presets', () => {
  test('there are at least four', () => expect(presets.length).toBeGreaterThanOrEqual(4));
  test.each(presets)('%s is a job', (name) => {
    const read = readJob(readFileSync(`presets/${name}`, 'utf8'));
    expect(read.ok ? [] : read.issues.map(sayIssue)).toEqual([]);
  });
});
