/**
 * Volumes of flat-topped parts against formulas worked by hand: prisms, cylinders, cones, Pappus for roundings. Every
 * feature kind adds or removes exactly what the formula says.
 */
import { describe, expect, test } from 'vitest';
import { unwrap } from '../../src/result.ts';
import { heightsOf } from '../../src/solid/heights.ts';
import { crowned, flat, planOf, sharp, tryPart, volumeOf, type Doc } from './part.ts';

const { length: L, width: W, height: H, wall: w, skin: s } = flat;

const shell = L * W * H - (L - 2 * w) * (W - 2 * w) * (H - s);
const plain: Doc = { body: sharp };

/** mm3. The kernel integrates to about 1e-6 of the whole. */
const closeTo = (value: number, expected: number, within = 0.3): void => expect(Math.abs(value - expected)).toBeLessThan(within);

/** What a change adds to the plain shell. */
const change = async (doc: Omit<Doc, 'body'>): Promise<number> => (await volumeOf({ ...doc, body: sharp })) - shell;

/** Corners of a square rounded by r lose this, per corner. */
const corner = (r: number): number => (1 - Math.PI / 4) * r * r;

/** Box a by b by h with its top edges and uprights rounded by r: slabs of a rounded rectangle, cylinders, spheres (Pappus). */
const roundedBox = (a: number, b: number, h: number, r: number): number => {
  const [p, q] = [a - 2 * r, b - 2 * r];
  return (a * b - 4 * corner(r)) * (h - r) + p * q * r + (2 * (p + q) * Math.PI * r * r) / 4 + (2 / 3) * Math.PI * r ** 3;
};

describe('the shell', () => {
  test('a sharp shell is box less box', async () => {
    const { measured, built } = await tryPart(plain);
    closeTo(measured.volume, shell, 0.01);
    expect(measured).toMatchObject({ faces: 11, topFaces: 1, valid: true, solids: 1, closed: true });
    expect(built.route).toBe('assembled');
    measured.box.least.forEach((value) => closeTo(value, 0, 1e-5));
    measured.box.most.forEach((value, i) => closeTo(value, [L, W, H][i]!, 1e-5));
    closeTo(measured.area, 2 * L * H + 2 * W * H + 2 * L * W + (2 * (L - 2 * w) + 2 * (W - 2 * w)) * (H - s), 0.01);
  });

  test('open ends have no wall', async () => {
    const one = await volumeOf({ body: { ...sharp, leftEnd: { closed: false } } });
    closeTo(one, L * W * H - (L - 2 * w) * (W - w) * (H - s));
    const both = await volumeOf({ body: { ...sharp, leftEnd: { closed: false }, rightEnd: { closed: false } } });
    closeTo(both, L * W * H - (L - 2 * w) * W * (H - s));
  });

  test('an end may be thicker than the walls', async () => {
    closeTo(await volumeOf({ body: { ...sharp, rightEnd: { thickness: 7 } } }), L * W * H - (L - 2 * w) * (W - w - 7) * (H - s));
  });

  test('the higher foot takes its block away', async () => {
    const [foot, step] = [6, 40];
    const front = await volumeOf({ body: { ...sharp, frontFoot: foot, stepAt: step } });
    closeTo(front, shell - foot * (step * W - (step - w) * (W - 2 * w)));
    const back = await volumeOf({ body: { ...sharp, backFoot: foot, stepAt: step, leftEnd: { closed: false } } });
    closeTo(back, L * W * H - (L - 2 * w) * (W - w) * (H - s) - foot * ((L - step) * W - (L - step - w) * (W - w)));
  });

  test('equal roundings inside and outside are cylinders and spheres', async () => {
    const volume = await volumeOf({ body: { ...sharp, outsideRadius: 5, insideCornerRadius: 4, insideRoofRadius: 4 } });
    closeTo(volume, roundedBox(L, W, H, 5) - roundedBox(L - 2 * w, W - 2 * w, H - s, 4));
  });

  test('a larger corner than roof radius rolls round the corner (slabs of inset rounded rectangles, summed)', async () => {
    const [a, b, h, rc, rr] = [L - 2 * w, W - 2 * w, H - s, 6, 3];
    let cap = 0;
    const steps = 20_000;
    for (let i = 0; i < steps; i++) {
      const t = (rr * (i + 0.5)) / steps;
      const inset = rr - Math.sqrt(rr * rr - t * t);
      cap += ((a - 2 * inset) * (b - 2 * inset) - 4 * corner(rc - inset)) * (rr / steps);
    }
    const hollow = (a * b - 4 * corner(rc)) * (h - rr) + cap;
    closeTo(await volumeOf({ body: { ...sharp, insideCornerRadius: rc, insideRoofRadius: rr } }), L * W * H - hollow);
  });

  test('only corners, or only the roof, may be rounded', async () => {
    closeTo(await volumeOf({ body: { ...sharp, insideCornerRadius: 5 } }), shell + 4 * corner(5) * (H - s));
    const { measured } = await tryPart({ body: { ...sharp, insideRoofRadius: 5 } });
    // Four quarter rounds that run into each other in the corners: prisms less what they share there, twice the third of r3 (5/3 - pi/2).
    const [a, b, r] = [L - 2 * w, W - 2 * w, 5];
    closeTo(measured.volume, shell + corner(r) * 2 * (a + b) - 4 * r ** 3 * (5 / 3 - Math.PI / 2));
  });

  test('broken feet lose a ring of mitred corners', async () => {
    const c = 1;
    closeTo(await change({ edgeBreaks: { feet: c } }), -(c * c * (L + W) - (4 / 3) * c ** 3));
  });
});

describe('tabs', () => {
  const tab = { wall: 'front', at: 30, length: 24, reach: 16, thickness: 5, cornerRadius: 4 } as const;
  const solid = (24 * 16 - 2 * corner(4)) * 5;

  test('a tab adds its block, less its hole', async () => {
    closeTo(await change({ tabs: [{ ...tab, hole: null }] }), solid);
    // M5 medium, 5.5 mm: ISO 273, seen on a secondary page.
    closeTo(await change({ tabs: [tab] }), solid - (Math.PI / 4) * 5.5 ** 2 * 5);
  });

  test('on every wall, at any seat', async () => {
    const tabs = [{ ...tab, hole: null }, { ...tab, hole: null, wall: 'back' as const, seat: -2 }, { ...tab, hole: null, wall: 'left' as const, at: 50, seat: 12 }, { ...tab, hole: null, wall: 'right' as const, at: 60, seat: 25 }];
    closeTo(await change({ tabs }), 4 * solid);
  });

  test('a tab on a rounded corner is carried on into it', async () => {
    const round = { ...sharp, outsideRadius: 5 };
    const bare = await volumeOf({ body: round });
    const tabbed = await volumeOf({ body: round, tabs: [{ ...tab, at: 10, hole: null }] });
    // The tab runs from Y -2 to 22; from 0 to 5 it also fills what the round corner leaves behind the wall's face.
    const gap = (y: number): number => 5 - Math.sqrt(25 - (5 - y) ** 2);
    let filled = 0;
    for (let i = 0; i < 10_000; i++) filled += gap((5 * (i + 0.5)) / 10_000) * (5 / 10_000);
    closeTo(tabbed - bare, solid + filled * 5, 0.6);
  });

  test('a counterbore, a countersink and broken mouths', async () => {
    const hole = { diameter: 5, head: 'counterbore', headDiameter: 9, headDepth: 2 } as const;
    closeTo(await change({ tabs: [{ ...tab, hole }] }), solid - Math.PI * (4.5 ** 2 * 2 + 2.5 ** 2 * 3));
    const sunk = { diameter: 5, head: 'countersink', headDiameter: 9 } as const;
    const frustum = (R: number, r: number, h: number): number => (Math.PI * h * (R * R + R * r + r * r)) / 3;
    closeTo(await change({ tabs: [{ ...tab, hole: sunk }] }), solid - frustum(4.5, 2.5, 2) - Math.PI * 2.5 ** 2 * 3);
    const c = 0.5;
    closeTo(await change({ tabs: [{ ...tab, hole: { diameter: 5 } }], edgeBreaks: { holes: c } }), solid - Math.PI * 2.5 ** 2 * (5 - 2 * c) - 2 * frustum(3, 2.5, c));
  });

  test('a slot', async () => {
    closeTo(await change({ tabs: [{ ...tab, hole: { diameter: 5, slot: 4, slotAngle: 90 } }] }), solid - (Math.PI * 2.5 ** 2 + 5 * 4) * 5);
  });

  test('a root is the hollow quarter round along the wall', async () => {
    closeTo(await change({ tabs: [{ ...tab, hole: null, rootRadius: 3 }] }), solid + corner(3) * 24);
  });

  test('broken upper edges are mitred slabs', async () => {
    const [c, n] = [1, 20_000];
    let top = 0;
    for (let i = 0; i < n; i++) {
      const inset = c - (c * (i + 0.5)) / n;
      top += (24 - 2 * inset) * (16 - inset) * (c / n);
    }
    closeTo(await change({ tabs: [{ ...tab, cornerRadius: 0, hole: null }], edgeBreaks: { tabs: c } }), 24 * 16 * (5 - c) + top);
  });
});

describe('bosses', () => {
  const boss = { x: 40, y: 30, diameter: 12, endHeight: 8 } as const;
  const column = Math.PI * 36 * (H - s - 8);
  const drilled = (r: number, depth: number, point: number): number => Math.PI * r * r * depth + (Math.PI * r ** 3) / Math.tan((point / 2) * (Math.PI / 180)) / 3;

  test('a boss is a cylinder from its end to the roof', async () => {
    closeTo(await change({ bosses: [boss] }), column);
  });

  test('its blind hole is a cylinder and a cone', async () => {
    // Tap drill of M5, 4.2 mm: common table value, seen on a secondary page.
    closeTo(await change({ bosses: [{ ...boss, thread: 'M5', holeDepth: 14 }] }), column - drilled(2.1, 14, 118));
    closeTo(await change({ bosses: [{ ...boss, holeDiameter: 6, holeDepth: 10, pointAngle: 180 }] }), column - Math.PI * 9 * 10);
    const c = 0.5;
    const mouth = (Math.PI * c * (2.6 ** 2 + 2.6 * 2.1 + 2.1 ** 2)) / 3 - Math.PI * 2.1 ** 2 * c;
    closeTo(await change({ bosses: [{ ...boss, thread: 'M5', holeDepth: 14 }], edgeBreaks: { holes: c } }), column - drilled(2.1, 14, 118) - mouth);
  });

  test('flush with the feet, with and without a hole', async () => {
    const full = Math.PI * 36 * (H - s);
    closeTo(await change({ bosses: [{ ...boss, endHeight: 0 }, { ...boss, x: 70, endHeight: 0, thread: 'M5', holeDepth: 14 }] }), 2 * full - drilled(2.1, 14, 118));
  });

  test('half sunk in a wall', async () => {
    closeTo(await change({ bosses: [{ ...boss, y: w }] }), column / 2);
    closeTo(await change({ bosses: [{ ...boss, y: w, thread: 'M5', holeDepth: 10 }] }), column / 2 - drilled(2.1, 10, 118));
  });

  test('on a curved roof: the height of the roof summed over its round', async () => {
    const round = { body: { ...sharp, width: 90 } };
    const place = { x: 120, y: 40, diameter: 16, endHeight: 10 };
    const { roof } = unwrap(planOf(round, crowned)).body;
    const heights = heightsOf(roof);
    const [n, r] = [4000, 8];
    let sum = 0;
    for (let i = 0; i < n; i++) {
      const across = -r + (2 * r * (i + 0.5)) / n;
      sum += 2 * Math.sqrt(r * r - across * across) * (heights.at(120 + across) - 10) * ((2 * r) / n);
    }
    closeTo((await volumeOf({ ...round, bosses: [place] }, crowned)) - (await volumeOf(round, crowned)), sum, 0.5);
    // Half in a wall a boolean has to do it; the same roof, the same sum over half the round.
    closeTo((await volumeOf({ ...round, bosses: [{ ...place, y: 3 }] }, crowned)) - (await volumeOf(round, crowned)), sum / 2, 0.5);
  });

  test('reaching below a raised foot', async () => {
    const { measured, built } = await tryPart({ body: { ...sharp, frontFoot: 6 }, bosses: [{ ...boss, endHeight: 2, thread: 'M5', holeDepth: 14 }] });
    closeTo(measured.volume, shell - 6 * (50 * W - 47 * (W - 2 * w)) + Math.PI * 36 * (H - s - 2) - drilled(2.1, 14, 118));
    expect(built.route).toBe('cut');
  });

  test('across the step of the feet it ends where it says on both sides', async () => {
    // Between the two feet, on the step at 50: a cylinder from its end to the roof, wherever the feet are.
    const stepped = { ...sharp, frontFoot: 6 };
    const across = await volumeOf({ body: stepped, bosses: [{ ...boss, x: 48, endHeight: 2 }] });
    closeTo(across - (await volumeOf({ body: stepped })), Math.PI * 36 * (H - s - 2));
  });

  test('a root is a hollow round about the boss (Pappus)', async () => {
    const r = 3;
    // Centroid of the quarter-round spandrel lies r (10 - 3 pi) / (12 - 3 pi) from its straight sides.
    const centroid = 6 + (r * (10 - 3 * Math.PI)) / (12 - 3 * Math.PI);
    closeTo(await change({ bosses: [{ ...boss, rootRadius: r }] }), column + corner(r) * 2 * Math.PI * centroid);
  });
});

describe('openings', () => {
  test('notches, square and with round corners', async () => {
    closeTo(await change({ notches: [{ wall: 'front', at: 30, width: 10, height: 6 }] }), -10 * 6 * w);
    closeTo(await change({ notches: [{ wall: 'left', at: 40, width: 10, height: 8, radius: 3 }] }), -(10 * 8 - 2 * corner(3)) * w);
    closeTo(await change({ notches: [{ wall: 'back', at: 30, width: 10, height: 8, radius: 5 }] }), -(10 * 8 - 2 * corner(5)) * w);
  });

  test('free holes through skin and walls', async () => {
    closeTo(await change({ holes: [{ in: 'skin', x: 30, y: 30, diameter: 8 }] }), -Math.PI * 16 * s);
    closeTo(await change({ holes: [{ in: 'front', y: 30, z: 12, diameter: 8, slot: 6 }] }), -(Math.PI * 16 + 8 * 6) * w);
    closeTo(await change({ holes: [{ in: 'right', x: 30, z: 12, diameter: 5, head: 'countersink', headDiameter: 8 }] }), -((Math.PI * 1.5 * (16 + 10 + 6.25)) / 3 + Math.PI * 6.25 * 1.5));
    closeTo(await change({ holes: [{ in: 'skin', x: 30, y: 30, diameter: 5, head: 'counterbore', headDiameter: 9, headDepth: 1 }] }), -Math.PI * (4.5 ** 2 + 2.5 ** 2));
  });

  test('a skin hole over a boss goes right through the boss', async () => {
    const boss = { x: 40, y: 30, diameter: 12, endHeight: 8 };
    closeTo(await change({ bosses: [boss], holes: [{ in: 'skin', x: 40, y: 30, diameter: 5 }] }), Math.PI * 36 * (H - s - 8) - Math.PI * 6.25 * (H - 8));
  });
});

describe('carving', () => {
  test('grooves along and across', async () => {
    closeTo(await change({ grooves: [{ run: 'along', at: 20, from: 10, to: 80, width: 3, depth: 1 }] }), -70 * 3);
    closeTo(await change({ grooves: [{ run: 'along', at: 20, from: -5, to: 105, width: 3, depth: 1 }] }), -L * 3);
    closeTo(await change({ grooves: [{ run: 'across', at: 50, from: 10, to: 40, width: 4, depth: 0.5 }] }), -4 * 30 * 0.5);
  });
});
