/** Random jobs: any body a person might type, most of them sensible, some not. Sizes in mm. */
import fc from 'fast-check';
import { interpolateCubic } from '../../src/maths/interpolate.ts';
import type { BSplineCurve } from '../../src/maths/bspline.ts';
import type { Vec2 } from '../../src/maths/vec.ts';
import type { Doc } from './part.ts';

export interface RandomJob {
  readonly doc: Doc;
  readonly top: readonly BSplineCurve[];
}

const size = (least: number, most: number, step = 0.5) => fc.integer({ min: Math.round(least / step), max: Math.round(most / step) }).map((n) => n * step);
const share = fc.integer({ min: 0, max: 1000 }).map((n) => n / 1000);
const wall = fc.constantFrom('front', 'back', 'left', 'right');
const often = <T>(value: fc.Arbitrary<T>, weight: number, otherwise: T) => fc.oneof({ weight, arbitrary: value }, { weight: 1, arbitrary: fc.constant(otherwise) });

/** Crowned, tapered, waved tops over the length, and now and then one with a corner. */
const contour = fc.record({ length: size(50, 260), height: size(16, 60), crown: size(-8, 16), taper: size(-0.1, 0.1, 0.005), wave: size(0, 2), corner: fc.integer({ min: 0, max: 9 }).map((n) => n === 0) }).map(
  ({ length, height, crown, taper, wave, corner }) => {
    const at = (x: number): Vec2 => {
      const s = x / length;
      return [x, height + crown * Math.sin(Math.PI * s) + taper * x + wave * Math.sin(3 * Math.PI * s) + (corner ? 0.1 * Math.min(x, length - x) : 0)];
    };
    const span = (from: number, to: number): BSplineCurve => interpolateCubic(Array.from({ length: 9 }, (_, i) => at(from + ((to - from) * i) / 8)));
    return { length, height, top: corner ? [span(0, length / 2), span(length / 2, length)] : [span(0, length)] };
  },
);

const body = fc.record({
  width: size(30, 140),
  wall: size(1.5, 5),
  skin: size(1.5, 5),
  outsideRadius: often(size(0, 8), 2, 0),
  insideCornerRadius: often(size(0, 9), 2, 0),
  insideRoofRadius: often(size(0, 7), 2, 0),
  leftClosed: share.map((s) => s < 0.85),
  rightClosed: share.map((s) => s < 0.85),
  step: fc.constantFrom('none', 'none', 'none', 'front', 'back'),
  stepHeight: size(1, 8),
});

const tab = fc.record({ wall, at: share, seat: often(size(-3, 12), 1, undefined), length: size(10, 30), reach: size(8, 20), thickness: size(3, 8), cornerRadius: size(0, 5), rootRadius: often(size(0, 3), 1, 0), slot: often(size(0, 4), 1, 0), head: fc.constantFrom('none', 'none', 'counterbore', 'countersink') });
const boss = fc.record({ x: share, y: share, diameter: size(8, 16), end: share, depth: size(0, 20), drilled: share.map((s) => s < 0.8), rootRadius: often(size(0, 2), 1, 0) });
const hole = fc.record({ in: fc.constantFrom('skin', 'skin', 'front', 'back', 'left', 'right'), x: share, y: share, z: share, diameter: size(2, 9), slot: often(size(0, 8), 1, 0), head: fc.constantFrom('none', 'none', 'countersink') });
const notch = fc.record({ wall, at: share, width: size(3, 12), height: size(2, 9), radius: size(0, 3) });
const engraving = fc.record({ text: fc.constantFrom('A1', 'OB', '8'), on: fc.constantFrom('top', 'underside'), x: share, y: share, height: size(3, 8), depth: size(0.2, 1, 0.1), angle: fc.constantFrom(0, 90, -30) });
const groove = fc.record({ run: fc.constantFrom('along', 'across'), at: share, from: share, length: share, width: size(1, 5), depth: size(0.2, 1.2, 0.1) });

const anyJob: fc.Arbitrary<RandomJob> = fc
  .record({
    contour,
    body,
    tabs: fc.array(tab, { maxLength: 2 }),
    bosses: fc.array(boss, { maxLength: 2 }),
    engraving: often(fc.array(engraving, { maxLength: 1 }), 1, []),
    holes: often(fc.array(hole, { maxLength: 2 }), 1, []),
    notches: often(fc.array(notch, { maxLength: 2 }), 1, []),
    grooves: often(fc.array(groove, { maxLength: 1 }), 1, []),
    breaks: fc.record({ tabs: often(size(0, 1, 0.25), 1, 0), holes: often(size(0, 0.5, 0.25), 1, 0), feet: often(size(0, 1, 0.25), 1, 0) }),
  })
  .map(({ contour: { length: L, height: H, top }, body: b, ...features }) => {
    const W = b.width;
    const along = (name: string, s: number): number => s * (name === 'front' || name === 'back' ? W : L);
    const doc: Doc = {
      body: {
        width: W,
        wall: b.wall,
        skin: b.skin,
        outsideRadius: b.outsideRadius,
        insideCornerRadius: b.insideCornerRadius,
        insideRoofRadius: b.insideRoofRadius,
        leftEnd: { closed: b.leftClosed },
        rightEnd: { closed: b.rightClosed },
        ...(b.step === 'front' ? { frontFoot: b.stepHeight } : b.step === 'back' ? { backFoot: b.stepHeight } : {}),
      },
      tabs: features.tabs.map(({ at, seat, slot, head, ...rest }) => ({ ...rest, at: along(rest.wall, at), ...(seat === undefined ? {} : { seat }), hole: { screw: 'M4' as const, slot, head: slot > 0 ? ('none' as const) : head } })),
      bosses: features.bosses.map(({ x, y, end, depth, drilled, ...rest }) => ({ ...rest, x: x * L, y: y * W, endHeight: Math.round(end * H * 0.7), ...(drilled ? { thread: 'M4' as const, holeDepth: depth } : {}) })),
      holes: features.holes.map(({ x, y, z, head, ...rest }) => ({ ...rest, x: x * L, y: y * W, z: z * H, head, ...(head === 'countersink' ? { headDiameter: 1.8 * rest.diameter } : {}) })),
      notches: features.notches.map(({ at, ...rest }) => ({ ...rest, at: along(rest.wall, at) })),
      grooves: features.grooves.map(({ at, from, length, ...rest }) => {
        const [run, cross] = rest.run === 'along' ? [L, W] : [W, L];
        return { ...rest, at: at * cross, from: from * run, to: from * run + 5 + length * run };
      }),
      engraving: features.engraving.map(({ x, y, ...rest }) => ({ ...rest, x: x * L, y: y * W })),
      edgeBreaks: features.breaks,
    };
    return { doc, top };
  });

/** Evenly spread: the library's liking for edge values would put everything in one corner. */
export const randomJob: fc.Arbitrary<RandomJob> = fc.noBias(anyJob);
