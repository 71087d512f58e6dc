/** How a cover is held, from figures alone: billet, motions, fixture, screws, touch-off numbers. mm. */
import { describe, expect, test } from 'vitest';
import type { Holding } from '../../src/holding/holding.ts';
import { holdingOf } from '../../src/holding/holdingOf.ts';
import { inverse, moved } from '../../src/holding/motion.ts';
import { relievedPlay } from '../../src/holding/pins.ts';
import { unwrap } from '../../src/result.ts';
import { crowned, flatTop, jobOf, planOf, sharp, type Doc } from '../solid/part.ts';

const held = (doc: Doc, top = flatTop): Holding => holdingOf(jobOf(doc), unwrap(planOf(doc, top)));
const tabs: Doc['tabs'] = [{ wall: 'front', at: 15 }, { wall: 'back', at: 40 }];
const bosses: Doc['bosses'] = [
  { x: 25, y: 18, thread: 'M4', endHeight: 8, holeDepth: 14 },
  { x: 25, y: 42, thread: 'M4', endHeight: 8, holeDepth: 14 },
  { x: 75, y: 30, thread: 'M4', endHeight: 8, holeDepth: 14 },
];
const whole: Doc = { body: sharp, tabs, bosses };

describe('billet', () => {
  test('part and allowances, rounded up; the spare is shared between the ends', () => {
    const { stock } = held({ ...whole, holding: { stockEnds: 5, stockSides: 3, stockUnder: 2, stockOver: 8, stockStep: 5 } });
    // 100 + 2 x 16 + 2 x 5 = 142, 60 + 6 = 66, 30 + 10 = 40.
    expect(stock.size).toEqual([145, 70, 40]);
    expect(stock.box.least).toEqual([-22.5, -5, -2]);
    expect(stock.allowance.over).toBeCloseTo(8, 9);
  });
  test('mass by density: 2.70 g/cm3 of 6061', () => {
    const { mass } = holdingOf(jobOf({ ...whole, holding: { stockStep: 0 } }), unwrap(planOf(whole)), { part: 50_000 });
    expect(mass.stock).toBeCloseTo((144 * 66 * 40 * 2.7) / 1000, 9);
    expect(mass.chips).toBeCloseTo(mass.stock - 135, 9);
  });
});

describe('one motion per operation', () => {
  test.each([
    ['about X', 'centre', [0, 0, -1]],
    ['about Y', 'corner', [0, 0, -1]],
  ] as const)('turned over %s, zero at the %s: right-handed, and up on the part is down', (turnOver, firstZero, down) => {
    const { op1, stock } = held({ ...whole, holding: { turnOver, firstZero } });
    const { rotation: [a, b, c] } = op1.motion;
    const det = a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0]) + a[2] * (b[0] * c[1] - b[1] * c[0]);
    expect(det).toBe(1);
    expect([a[2], b[2], c[2]]).toEqual(down);
    // The raw upper face of the billet is Z 0.
    expect(op1.box.most[2]).toBeCloseTo(0, 9);
    if (firstZero === 'corner') expect([op1.box.least[0], op1.box.least[1]]).toEqual([0, 0]);
    else expect(op1.box.least[0]).toBeCloseTo(-op1.box.most[0], 9);
    expect(moved(inverse(op1.motion), moved(op1.motion, stock.box.least))).toEqual(stock.box.least);
  });
  test('the zero is where the motion says it is, for every choice', () => {
    for (const secondZero of ['bore', 'centre', 'corner', 'pin'] as const) {
      const { op2 } = held({ ...whole, holding: { secondZero } });
      expect(moved(op2.motion, op2.zero.at)).toEqual([0, 0, 0]);
      expect(op2.zero.choice).toBe(secondZero);
    }
  });
  test('without a pin the zero says that it fell back to the middle', () => {
    const { op2 } = held({ body: sharp, holding: { secondZero: 'pin' } });
    expect(op2.zero.choice).toBe('centre');
    expect(op2.zero.said).toContain('there is no pin');
  });
});

describe('screws through the actual fixture', () => {
  test('each boss gets a length that reaches and does not bottom', () => {
    for (const screw of held(whole).screws) {
      const { chosen, window, seat } = screw;
      const grip = seat.thickness - seat.counterbore!.depth;
      expect(chosen!.length - grip).toBeGreaterThanOrEqual(window!.need.least);
      expect(chosen!.threadLeft).toBeGreaterThanOrEqual(0.7);
    }
  });
  test('a boss in the wall has no room for a post and says what to change', () => {
    const [screw] = held({ body: sharp, bosses: [{ x: 8, y: 30, thread: 'M4', endHeight: 8, holeDepth: 12, diameter: 12 }] }).screws;
    expect(screw!.chosen).not.toBeNull();
    const [tight] = held({ body: sharp, bosses: [{ x: 5, y: 30, thread: 'M4', endHeight: 8, holeDepth: 12, diameter: 12 }] }).screws;
    expect(tight!.refused[0]).toMatchObject({ code: 'boss-no-post' });
  });
});

describe('pins', () => {
  test('the two round holes farthest apart; the relieved one keeps from turning only', () => {
    const { fixture: { pins } } = held({ ...whole, tabs: [{ wall: 'front', at: 30 }, { wall: 'front', at: 12, length: 20 }, { wall: 'back', at: 40 }] });
    expect(pins.map((pin) => [pin.kind, pin.name])).toEqual([['round', 'T2'], ['relieved', 'T3']]);
    const [a, b] = pins;
    const line = [b!.at[0] - a!.at[0], b!.at[1] - a!.at[1]];
    expect(line[0]! * b!.land!.along[0] + line[1]! * b!.land!.along[1]).toBeCloseTo(0, 9);
  });
  test('slotted holes take none', () => {
    expect(held({ ...whole, tabs: [{ wall: 'front', at: 15, hole: { screw: 'M5', slot: 2 } }, { wall: 'back', at: 40 }] }).fixture.pins).toEqual([]);
  });
  test('play of a relieved pin is where its land corner meets the hole', () => {
    const x = relievedPlay(6, 5.96, 1.2);
    const corner = Math.hypot(0.6 + x, Math.sqrt(2.98 ** 2 - 0.6 ** 2));
    expect(corner).toBeCloseTo(3, 9);
  });
});

describe('the flip is proven', () => {
  test.each([
    ['a part with tabs', whole, flatTop],
    ['a bare symmetric box', { body: sharp }, flatTop],
    ['a large crowned one', { body: { width: 120, outsideRadius: 3 }, tabs: [{ wall: 'left', at: 100 }, { wall: 'right', at: 100 }] }, crowned],
  ] as const)('%s: every wrong flip moves a number past its tolerance', (_, doc, top) => {
    const { touchOff, stock } = held(doc as Doc, top);
    expect(stock.flipCorner).not.toBeNull();
    expect(touchOff.wrong.length).toBeGreaterThanOrEqual(8);
    for (const wrong of touchOff.wrong) expect(wrong, wrong.what).toMatchObject({ told: true });
  });
  test('without room for a flip corner a symmetric billet tells nothing, and that is said', () => {
    const { touchOff, stock } = held({ body: sharp, holding: { stockEnds: 2 } });
    expect(stock.flipCorner).toBeNull();
    expect(touchOff.wrong.filter((wrong) => !wrong.told).map((wrong) => wrong.what)).toContain('turned over about the other axis: end for end on the fixture');
  });
  test('a skew counts twice: 0.5 mrad, 100 mm off, 0.1 mm of step (computed)', () => {
    const { step } = held({ ...whole, holding: { skew: 0.05 } });
    expect((step.step / step.reach) * 100).toBeCloseTo(0.1, 12);
  });
});

describe('the fixture holds to the tables', () => {
  // Figures seen on secondary pages that quote ISO 273, ISO 4762, DIN 974-1 (diameters from memory too) and ISO 286-1; pins m6 from memory.
  test('M5: clearance 5.5 (ISO 273 medium), head room 10 across (DIN 974-1 series 1) over a head of 8.72, at least as deep as the head is high, 5', () => {
    const { fixture, fixtureHoles, op2 } = held({ ...whole, bosses: bosses.map((boss) => ({ ...boss, thread: 'M5', diameter: 12, holeDepth: 15 })) });
    const screws = fixture.holes.filter((hole) => hole.what === 'screw hole');
    expect(screws).toHaveLength(3);
    for (const { diameter, counterbore } of screws) {
      expect([diameter, counterbore!.diameter, counterbore!.from]).toEqual([5.5, 10, 'below']);
      expect(counterbore!.depth).toBeGreaterThanOrEqual(5);
    }
    // The same holes from the zero of the second operation.
    const row = fixtureHoles.find((hole) => hole.name === 'B1')!;
    expect(row.at).toEqual(moved(op2.motion, [25, 18, 8]));
    expect(row.depth).toBeNull();
  });
  test('pins: m6 in H7 at 5 to 6 mm is 8 um loose to 12 um tight (ISO 286-1)', () => {
    const [pin] = held(whole).fixture.pins;
    expect(pin!.diameter).toBeCloseTo(5.47, 9);
    expect(pin!.press!.clearance).toBeCloseTo(0.008, 9);
    expect(pin!.press!.interference).toBeCloseTo(0.012, 9);
  });
  test('M10 table screws: 11 through, 18 of head room (ISO 273, DIN 974-1), on the pitch of the table', () => {
    const { fixture: { holes, table } } = held({ ...whole, holding: { tablePitch: 63 } });
    const bolts = holes.filter((hole) => hole.what === 'table hole');
    expect(bolts.map(({ diameter, counterbore }) => [diameter, counterbore!.diameter])).toEqual([[11, 18], [11, 18], [11, 18], [11, 18]]);
    const apart = (k: 0 | 1): number => Math.max(...table.places.map((p) => p[k])) - Math.min(...table.places.map((p) => p[k]));
    expect([(apart(0) / 63) % 1, (apart(1) / 63) % 1].map((rest) => Math.min(rest, 1 - rest) < 1e-9)).toEqual([true, true]);
  });
});
