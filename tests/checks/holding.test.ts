/** Checks of the holding, each shown one that is right and one that is wrong. mm. */
import { describe, expect, test } from 'vitest';
import { sayMm } from '../../src/checks/finding.ts';
import { cutterRoom, jawRoom } from '../../src/checks/cutterRoom.ts';
import { fixtureGap, fixtureOutside, fixtureOverlap } from '../../src/checks/fixtureFit.ts';
import { longSpans, screwAccess } from '../../src/checks/fixtureSupport.ts';
import { flipProven, oddOneOut } from '../../src/checks/flip.ts';
import { clampingCentre, heldDown, screwsFit } from '../../src/checks/holdDown.ts';
import type { HoldingCheck, HoldingInput } from '../../src/checks/holdingInput.ts';
import { pinPlay, pinsThere } from '../../src/checks/locatingPins.ts';
import type { FixturePlan } from '../../src/holding/holding.ts';
import { holdingOf } from '../../src/holding/holdingOf.ts';
import { unwrap } from '../../src/result.ts';
import { rectangleOutline } from '../../src/solid/outline.ts';
import { flatTop, jobOf, planOf, sharp, type Doc } from '../solid/part.ts';

const tapped = (x: number, y: number) => ({ x, y, thread: 'M4' as const, endHeight: 8, holeDepth: 14, diameter: 10 });
const good: Doc = { body: sharp, tabs: [{ wall: 'front', at: 15 }, { wall: 'back', at: 40 }], bosses: [tapped(25, 18), tapped(25, 42), tapped(75, 28)] };
const proven = { overlap: 0, against: 'after the first operation' as const, gap: 0.1, looked: 0.25, deviation: 0.05, fixtureVolume: 1 };

function input(doc: Doc, change: (fixture: FixturePlan) => Partial<FixturePlan> = () => ({})): HoldingInput {
  const [job, plan] = [jobOf(doc), unwrap(planOf(doc, flatTop))];
  const holding = holdingOf(job, plan);
  return { job, plan, holding: { ...holding, fixture: { ...holding.fixture, ...change(holding.fixture) } }, evidence: proven, refused: [] };
}
const codes = (check: HoldingCheck, one: HoldingInput): string[] => check(one, sayMm).map((finding) => finding.code);

test('nothing is found on a part held well', () => {
  const all = [fixtureOverlap, fixtureGap, fixtureOutside, cutterRoom, jawRoom, screwsFit, heldDown, clampingCentre, pinsThere, pinPlay, flipProven, oddOneOut, longSpans, screwAccess];
  expect(all.flatMap((check) => codes(check, input(good)))).toEqual([]);
});

describe('each is found where it is wrong', () => {
  test.each([
    ['shared metal', fixtureOverlap, { ...input(good), evidence: { ...proven, overlap: 0.5 } }, 'fixture-overlap'],
    ['a fixture that cannot be made', fixtureOverlap, { ...input(good), evidence: null, refused: [{ code: 'x', at: 'holding', message: 'No.', hint: 'Yes.' }] }, 'fixture-not-made'],
    ['a billet that falls apart', fixtureOverlap, { ...input(good), evidence: { ...proven, against: 'finished' } }, 'after-first-unknown'],
    ['a gap short by 0.03', fixtureGap, { ...input(good), evidence: { ...proven, gap: 0.07 } }, 'fixture-gap'],
    ['a gap nobody could measure', fixtureGap, { ...input(good), evidence: { ...proven, gap: null } }, 'fixture-gap'],
    ['a pad past the part', fixtureOutside, input(good, (f) => ({ blocks: [...f.blocks, { what: 'pad', name: 'T1', outline: rectangleOutline([-16.5, 10], [-2, 20]), holes: [], top: 0 }] })), 'fixture-in-cut'],
    ['a plate too near', cutterRoom, input(good, (f) => ({ plate: { ...f.plate, most: [f.plate.most[0], f.plate.most[1], -2] } })), 'cutter-near-plate'],
    ['bolts too near', cutterRoom, input(good, (f) => ({ table: { ...f.table, places: [[-30, 30]] } })), 'cutter-near-bolts'],
    ['jaws that reach the part', jawRoom, input({ ...good, holding: { stockOver: 4, stockStep: 0 } }), 'jaws-on-part'],
    ['jaws that hardly hold', jawRoom, input({ ...good, holding: { grip: 2 } }), 'jaws-shallow'],
    ['a hole too shallow for any screw', screwsFit, input({ ...good, bosses: [{ ...tapped(25, 18), holeDepth: 6 }] }), 'screw-thread-short'],
    ['nothing to hold by', heldDown, input({ body: sharp }), 'nothing-holds'],
    ['two screws only', heldDown, input({ ...good, bosses: [tapped(25, 18), tapped(75, 42)] }), 'few-screws'],
    ['held through tabs', heldDown, input({ body: sharp, tabs: [{ wall: 'front', at: 15 }, { wall: 'back', at: 40 }, { wall: 'left', at: 50 }] }), 'held-by-tabs'],
    ['screws beside what carries', clampingCentre, input(good, (f) => ({ contacts: f.contacts.slice(-1), clamps: [{ name: 'B1', at: [25, 18] }] })), 'clamping-off-support'],
    ['no pins', pinsThere, input({ body: sharp }), 'pins-missing'],
    ['pins side by side', pinsThere, input({ ...good, tabs: [{ wall: 'front', at: 12, length: 20 }, { wall: 'front', at: 46, length: 20 }] }), 'pins-near'],
    ['a pin that binds', pinPlay, input({ ...good, holding: { pinGap: 0.005 } }), 'pins-bind'],
    ['no room for a flip corner', flipProven, input({ body: sharp, holding: { stockEnds: 1, stockStep: 0 } }), 'flip-not-proven'],
    ['a part that goes on end for end', oddOneOut, input({ ...good, tabs: [{ wall: 'front', at: 30 }, { wall: 'back', at: 30 }], bosses: [tapped(25, 30), tapped(75, 30)] }), 'goes-on-turned'],
    ['heads that run into each other', screwAccess, input({ ...good, bosses: [tapped(40, 30), tapped(48, 30), tapped(75, 28)] }), 'screw-crowded'],
  ] as const)('%s', (_, check, one, code) => expect(codes(check, one as HoldingInput)).toContain(code));

  test('a long span with no room for a support', () => {
    const found = longSpans({ ...input(good), holding: { ...input(good).holding, longSpans: [{ at: [50, 30], span: 120, limit: 90 }] } }, sayMm);
    expect(found[0]).toMatchObject({ code: 'skin-unsupported', value: 120, limit: 90 });
    expect(found[0]!.cure).not.toBe('');
  });
});
