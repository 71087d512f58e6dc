/** Which posts and holes of a fixture are put in without booleans: those of plain cases, none that meets anything. */
import { readFileSync, readdirSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { fairContour } from '../../src/contour/fair.ts';
import { putInOf } from '../../src/holding/boring.ts';
import { holdingOf } from '../../src/holding/holdingOf.ts';
import type { FixturePlan } from '../../src/holding/holding.ts';
import { readJob } from '../../src/job/read.ts';
import { distance2 } from '../../src/maths/vec.ts';
import { unwrap } from '../../src/result.ts';
import { sectionOf } from '../../src/section/sectionOf.ts';
import { rectangleOutline } from '../../src/solid/outline.ts';
import { planSolid } from '../../src/solid/plan.ts';

function fixtureOf(preset: string): FixturePlan {
  const { job } = unwrap(readJob(readFileSync(`presets/${preset}`, 'utf8')));
  const section = unwrap(sectionOf(unwrap(fairContour(job.trace, job.contour)), job.body));
  return holdingOf(job, unwrap(planSolid(job, section))).fixture;
}

const presets = readdirSync('presets').filter((name) => name.endsWith('.job.json'));
const sample = 'worm-drive-cover.job.json';

describe.each(presets)('%s', (preset) => {
  const plan = fixtureOf(preset);
  const { posts, bores, otherColumns, otherHoles, otherMouths } = putInOf(plan);

  test('nothing is lost, nothing is put in twice', () => {
    expect(posts.length + otherColumns.length).toBe(plan.columns.length);
    const alone = plan.mouths.filter((mouth) => !plan.holes.some((hole) => hole.name === mouth.name && distance2(hole.at, mouth.at) < 1e-6));
    const left = otherMouths.filter((mouth) => alone.includes(mouth)).length;
    expect(bores.length).toBe(plan.holes.length - otherHoles.length + alone.length - left);
  });

  test('what is put in stands clear of everything else', () => {
    const widest = (bore: (typeof bores)[number]): number => Math.max(...bore.steps.map(({ radius }) => radius));
    posts.forEach((post, i) => {
      for (const other of [...posts.slice(i + 1), ...otherColumns]) expect(distance2(post.at, other.at)).toBeGreaterThan(post.radius + other.radius);
    });
    bores.forEach((bore, i) => {
      for (const other of bores.slice(i + 1)) expect(distance2(bore.at, other.at)).toBeGreaterThan(widest(bore) + widest(other));
      for (const post of plan.columns) expect(distance2(bore.at, post.at) < 1e-6 || distance2(bore.at, post.at) > post.radius + widest(bore)).toBe(true);
      // Steps grow upwards, from where the bore begins.
      bore.steps.reduce((low, { to }) => (expect(to).toBeGreaterThan(low), to), bore.from);
    });
  });
});

describe('the sample', () => {
  const plan = fixtureOf(sample);

  test('every boss post and support stands by itself, every hole is bored by itself', () => {
    const { posts, otherHoles, otherMouths } = putInOf(plan);
    expect(posts.map(({ name }) => name)).toEqual(plan.columns.filter(({ what }) => what !== 'nest post').map(({ name }) => name));
    expect([otherHoles, otherMouths]).toEqual([[], []]);
  });

  test('a post moved into its neighbour, a hole moved across the rim of its post or half off the plate is left to booleans', () => {
    const [first, second] = plan.columns as [FixturePlan['columns'][number], FixturePlan['columns'][number]];
    const into = { ...plan, columns: plan.columns.map((column) => (column === second ? { ...column, at: [first.at[0] + first.radius, first.at[1]] as const } : column)) };
    expect(putInOf(into).otherColumns.map(({ name }) => name)).toEqual(expect.arrayContaining([first.name, second.name]));
    const hole = plan.holes.find(({ name }) => name === first.name)!;
    const moved = (x: number): FixturePlan => ({ ...plan, holes: plan.holes.map((one) => (one === hole ? { ...one, at: [x, one.at[1]] as const } : one)) });
    expect(putInOf(moved(hole.at[0] + first.radius)).otherHoles.map(({ name }) => name)).toContain(first.name);
    expect(putInOf(moved(plan.plate.least[0])).otherHoles.map(({ name }) => name)).toContain(first.name);
  });

  test('room cut free beside a post keeps it from being put in', () => {
    const [post] = plan.columns as [FixturePlan['columns'][number]];
    const [x, y] = post.at;
    const cut: FixturePlan = { ...plan, reliefs: [{ name: 'room', outline: rectangleOutline([x - 20, y - 1], [x - post.radius + 1, y + 1]), from: 0 }] };
    expect(putInOf(cut).otherColumns.map(({ name }) => name)).toContain(post.name);
  });
});
