/** The library as built and published: typed, in Node, one runnable example. */
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { reportSchema } from '../src/outputs/report.ts';
import { jobJsonSchema, reportJsonSchema } from '../src/cli/schemas.ts';

// As built, typed by the source it was built from.
const { fair, make, readJob } = (await import('../dist/index.js' as string)) as typeof import('../src/index.ts');

describe('as a library', () => {
  test('readJob, make and fair', async () => {
    const read = readJob(readFileSync('presets/encoder-cover.job.json', 'utf8'));
    expect(read.ok).toBe(true);
    if (!read.ok) return;
    const stages: string[] = [];
    const made = await make(read.value, { date: new Date('2026-01-01T00:00:00Z'), progress: (stage) => stages.push(stage) });
    expect(made.ok).toBe(true);
    if (!made.ok) return;
    expect(made.value.files.map((f) => f.name)).toContain('OB-118-A.step');
    expect(stages).toContain('solid');
    // The report keeps to its published schema.
    expect(reportSchema.safeParse(made.value.report).error).toBeUndefined();
    const faired = fair([[0, 20], [10, 24], [20, 25.5], ['30', '1in'], [40, 22]], { readingError: 0.05 });
    expect(faired.ok && faired.value.contour.spans[0]?.poles[0]?.[0]).toBe(0);
  });

  test('a refusal is data', async () => {
    const made = await make('{"coverwright": 1}');
    expect(made).toEqual({ ok: false, issues: [expect.objectContaining({ at: 'body', code: 'missing' })] });
  });

  test('the example in the README runs as printed', () => {
    const readme = readFileSync('README.md', 'utf8');
    const example = /```js\n([\s\S]*?)```/.exec(readme)?.[1];
    expect(example).toBeDefined();
    const out = execFileSync(process.execPath, ['--input-type=module', '-e', example as string], { encoding: 'utf8' });
    expect(out).toMatch(/cm3/);
  });
});

describe('published schemas', () => {
  test.each([['job.schema.json', jobJsonSchema], ['report.schema.json', reportJsonSchema]] as const)('public/%s is the one the code gives (npm run build writes it)', (name, schema) => {
    expect(JSON.parse(readFileSync(`public/${name}`, 'utf8'))).toEqual(JSON.parse(JSON.stringify(schema())));
  });
});
