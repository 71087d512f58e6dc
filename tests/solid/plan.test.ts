/** Plans: derived defaults, table sizes, names and paths; and what is refused before the kernel is asked. No kernel here. */
import { describe, expect, test } from 'vitest';
import type { Issue } from '../../src/result.ts';
import { unwrap } from '../../src/result.ts';
import { heightsOf } from '../../src/solid/heights.ts';
import type { SolidPlan } from '../../src/solid/plan.ts';
import { crowned, planOf, sharp, type Doc } from './part.ts';

const plan = (doc: Doc, top = crowned): SolidPlan => unwrap(planOf(doc, top));

function issues(doc: Doc): readonly Issue[] {
  const made = planOf(doc, crowned);
  if (made.ok) throw new Error('nothing was refused');
  return made.issues;
}

const body = { width: 90 };

describe('derived figures', () => {
  test('a tab stands on the foot of its wall and has an M5 hole half way out', () => {
    const { tabs } = plan({ body: { ...body, backFoot: 4, stepAt: 80 }, tabs: [{ wall: 'back', at: 30 }, { wall: 'left', at: 40, name: 'LUG' }, { wall: 'left', at: 150 }] });
    expect(tabs[0]).toMatchObject({ name: 'T1', at: 'tabs[0]', seat: 4 });
    expect(tabs[0]!.hole).toMatchObject({ diameter: 5.5, depth: 5, entry: [208, 30, 9], axis: [0, 0, -1] });
    expect(tabs[1]).toMatchObject({ name: 'LUG', seat: 0 });
    expect(tabs[1]!.hole!.entry).toEqual([40, -8, 5]);
    expect(tabs[2]).toMatchObject({ name: 'T3', seat: 4 });
  });

  test('an end follows the walls unless told otherwise', () => {
    expect(plan({ body: { ...body, wall: 4, rightEnd: { thickness: 7 } } }).body).toMatchObject({ left: { closed: true, thickness: 4 }, right: { closed: true, thickness: 7 } });
    expect(plan({ body: { ...body, leftEnd: { closed: false, thickness: 7 } } }).body.left).toEqual({ closed: false, thickness: 0 });
  });

  test('a thread sets drill and depth of thread', () => {
    const { bosses } = plan({ body, bosses: [{ x: 60, y: 40, thread: 'M5', holeDepth: 14 }, { x: 100, y: 40, holeDiameter: 6, holeDepth: 9 }, { x: 140, y: 40, thread: 'M6' }] });
    expect(bosses[0]!.hole).toMatchObject({ diameter: 4.2, depth: 14, thread: 'M5' });
    expect(bosses[0]!.hole!.threadDepth).toBeLessThan(14);
    expect(bosses[1]!.hole).toMatchObject({ diameter: 6, thread: '', threadDepth: 0 });
    expect(bosses[2]!.hole).toBeNull();
  });

  test('a skin hole starts on the contour and stops in the hollow', () => {
    const { holes, body: made } = plan({ body, holes: [{ in: 'skin', x: 70, y: 40, diameter: 8 }] });
    const top = heightsOf(made.top).at(70);
    expect(holes[0]!.entry).toEqual([70, 40, top]);
    expect(top - holes[0]!.depth).toBeLessThan(heightsOf(made.roof).at(70));
    expect(top - holes[0]!.depth).toBeGreaterThan(20);
  });
});

describe('refused with the parameter named', () => {
  const cases: readonly (readonly [string, Doc, string, RegExp])[] = [
    ['ends thicker than the part', { body: { ...body, width: 6, leftEnd: { thickness: 4 } } }, 'body.width', /7 mm of a width of 6 mm/],
    ['a tab on an open end', { body: { ...body, leftEnd: { closed: false } }, tabs: [{ wall: 'left', at: 30 }] }, 'tabs[0].wall', /left end is open/],
    ['a tab beside its wall', { body, tabs: [{ wall: 'front', at: 140 }] }, 'tabs[0].at', /wall 90 mm long/],
    ['a tab above its wall', { body, tabs: [{ wall: 'front', at: 40, seat: 60 }] }, 'tabs[0].seat', /do not meet/],
    ['a tab below its foot', { body, tabs: [{ wall: 'front', at: 40, seat: -9 }] }, 'tabs[0].seat', /do not meet/],
    ['a corner radius larger than the tab', { body, tabs: [{ wall: 'front', at: 40, cornerRadius: 20 }] }, 'tabs[0].cornerRadius', /largest is 12 mm/],
    ['a root longer than the reach', { body, tabs: [{ wall: 'front', at: 40, rootRadius: 20 }] }, 'tabs[0].rootRadius', /reach of 16 mm/],
    ['a root higher than the wall', { body, tabs: [{ wall: 'front', at: 40, reach: 40, thickness: 20, rootRadius: 25 }] }, 'tabs[0].rootRadius', /largest/],
    ['a boss outside', { body, bosses: [{ x: 300, y: 40 }] }, 'bosses[0]', /not in the hollow/],
    ['a boss above the roof', { body, bosses: [{ x: 60, y: 40, endHeight: 60 }] }, 'bosses[0].endHeight', /roof above it/],
    ['a hole as wide as its boss', { body, bosses: [{ x: 60, y: 40, holeDiameter: 12, holeDepth: 5 }] }, 'bosses[0].diameter', /12 mm/],
    ['a blind hole of no size', { body, bosses: [{ x: 60, y: 40, holeDepth: 5 }] }, 'bosses[0]', /thread or a hole diameter/],
    ['a free hole of no size', { body, holes: [{ in: 'skin', x: 60, y: 40 }] }, 'holes[0]', /screw or a diameter/],
    ['a head of no size', { body, holes: [{ in: 'skin', x: 60, y: 40, diameter: 5, head: 'counterbore' }] }, 'holes[0].head', /diameter and depth/],
    ['a head smaller than its hole', { body, holes: [{ in: 'skin', x: 60, y: 40, diameter: 9, head: 'countersink', headDiameter: 8 }] }, 'holes[0].headDiameter', /no larger/],
    ['a hole in an open end', { body: { ...body, rightEnd: { closed: false } }, holes: [{ in: 'right', x: 60, z: 9, diameter: 5 }] }, 'holes[0].in', /open/],
    ['a notch beside its wall', { body, notches: [{ wall: 'front', at: 200 }] }, 'notches[0].at', /does not touch/],
    ['a notch rounder than its size', { body, notches: [{ wall: 'front', at: 40, radius: 5 }] }, 'notches[0].radius', /largest is 4 mm/],
    ['a groove backwards', { body, grooves: [{ at: 40, from: 50, to: 20 }] }, 'grooves[0].to', /end beyond the start/],
    ['a groove off the top', { body, grooves: [{ at: 140, from: 20, to: 50 }] }, 'grooves[0]', /does not touch/],
    ['text as deep as the skin', { body, engraving: [{ text: 'A', x: 60, y: 40, depth: 3 }] }, 'engraving[0].depth', /fall through/],
    ['no text', { body, engraving: [{ text: '  ', x: 60, y: 40 }] }, 'engraving[0].text', /no letters/],
  ];
  test.each(cases)('%s', (_, doc, at, message) => {
    const [issue] = issues(doc);
    expect(issue!.at).toBe(at);
    expect(issue!.message).toMatch(message);
    expect(issue!.hint).not.toBe('');
  });

  test('all at once', () => {
    const found = issues({ body, tabs: [{ wall: 'front', at: 300 }], bosses: [{ x: 300, y: 0 }], holes: [{ in: 'skin', x: 1, y: 1 }] });
    expect(found.map((issue) => issue.at)).toEqual(['tabs[0].at', 'bosses[0]', 'holes[0]']);
  });
});

test('the same job gives the same plan, and it is plain data', () => {
  const doc: Doc = { body: { ...sharp, width: 90 }, tabs: [{ wall: 'front', at: 40 }], bosses: [{ x: 60, y: 40 }] };
  expect(JSON.parse(JSON.stringify(plan(doc)))).toEqual(plan(doc));
});
