/** What cannot be built is refused by name, with the largest size that works where there is one. */
import { describe, expect, test } from 'vitest';
import type { Issue } from '../../src/result.ts';
import { crowned, flatTop, planOf, sharedKernel, sharp, type Doc } from './part.ts';

async function refusal(doc: Doc, top = crowned): Promise<Issue> {
  const door = await sharedKernel();
  const plan = planOf(doc, top);
  const built = plan.ok ? door.build(plan.value) : plan;
  if (built.ok) throw new Error('it was built');
  expect(built.issues).toHaveLength(1);
  return built.issues[0]!;
}

const largest = (issue: Issue): number => Number(/the largest that works is ([\d.]+) mm/.exec(issue.message)?.[1]);

async function builds(doc: Doc, top = crowned): Promise<boolean> {
  const door = await sharedKernel();
  const plan = planOf(doc, top);
  if (!plan.ok) return false;
  const built = door.build(plan.value);
  if (built.ok) door.release(built.value.solid);
  return built.ok;
}

describe('radii and breaks that cannot be built', () => {
  test.each([
    ['body.outsideRadius', (value: number): Doc => ({ body: { width: 22, outsideRadius: value } }), 12],
    ['body.insideRoofRadius', (value: number): Doc => ({ body: { width: 22, insideRoofRadius: value } }), 11],
    ['body.insideCornerRadius', (value: number): Doc => ({ body: { width: 22, insideCornerRadius: value } }), 12],
    ['bosses[0].rootRadius', (value: number): Doc => ({ body: { width: 90 }, bosses: [{ x: 60, y: 30, endHeight: 5, rootRadius: value }] }), 25],
    // What the section itself has no room for it refuses first; these come to the kernel.
  ] as const)('%s', async (at, doc, value) => {
    const issue = await refusal(doc(value));
    expect(issue.at).toBe(at);
    const best = largest(issue);
    expect(best).toBeGreaterThan(0);
    expect(best).toBeLessThan(value);
    expect(await builds(doc(best))).toBe(true);
    expect(await builds(doc(Math.min(value, best + 0.6)))).toBe(false);
  });
});

describe('features that cannot be built', () => {
  test('a slot that cuts the part in two', async () => {
    const open = { ...sharp, leftEnd: { closed: false }, rightEnd: { closed: false } };
    const issue = await refusal({ body: open, holes: [{ in: 'skin', x: 50, y: 30, diameter: 6 }, { in: 'skin', x: 30, y: 30, diameter: 8, slot: 100, slotAngle: 90 }] }, flatTop);
    expect(issue).toMatchObject({ at: 'holes[1]', code: 'feature-not-built' });
    expect(issue.message).toMatch(/hole H2 .* falls into 2 pieces/);
  });

  test('text that runs off the part, or that the font cannot write', async () => {
    const off = await refusal({ body: { width: 90 }, engraving: [{ text: 'TOO LONG FOR THIS', x: 100, y: 45, height: 20 }] });
    expect(off).toMatchObject({ at: 'engraving[0]' });
    expect(off.message).toMatch(/past the top/);
    const unknown = await refusal({ body: { width: 90 }, engraving: [{ text: 'A漢', x: 100, y: 45 }] });
    expect(unknown.message).toMatch(/the font has no 漢/);
  });
});

test('a break as large as the radius of its edge is refused before anything is built, with the cure', async () => {
  const tabs = await refusal({ body: { width: 90 }, tabs: [{ wall: 'front', at: 30 }], edgeBreaks: { tabs: 7 } });
  expect([tabs.at, tabs.message]).toEqual(['edgeBreaks.tabs', expect.stringContaining('takes the whole corner radius of 4 mm')]);
  const feet = await refusal({ body: { width: 90 }, edgeBreaks: { feet: 9 } });
  expect([feet.at, feet.message]).toEqual(['edgeBreaks.feet', expect.stringContaining('takes the whole outside radius of 3 mm')]);
  for (const issue of [tabs, feet]) expect(issue.hint).toMatch(/smaller|larger/);
});
