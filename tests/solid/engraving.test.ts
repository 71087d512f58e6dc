/** Text and grooves follow the top at an even depth, and remove exactly their ink. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { nearestOn, piecewiseOf } from '../../src/maths/piecewise.ts';
import type { Vec2 } from '../../src/maths/vec.ts';
import { unwrap } from '../../src/result.ts';
import { layOut } from '../../src/solid/kernel/carving.ts';
import { inkOf, readFont, type Ink } from '../../src/solid/kernel/glyphs.ts';
import { flattened, type Outline } from '../../src/solid/outline.ts';
import { heightsOf } from '../../src/solid/heights.ts';
import type { BSplineCurve } from '../../src/maths/bspline.ts';
import { readStep, volumeOf as readVolume } from '../stepReader.ts';
import { crowned, dipped, flat, planOf, sharedKernel, sharp, tryMesh, tryPart, volumeOf, type Doc } from './part.ts';

const font = readFont(readFileSync(new URL('../../public/fonts/Barlow-Medium.ttf', import.meta.url)));

/**
 * By Green's theorem what lies over an outline: the integral of F dy round it, F the depth summed up along x. With F = x the
 * area in mm2, exact for lines and for quadratic and cubic Bezier curves (three-point Gauss is exact to degree 5).
 */
function over(outline: Outline, F: (x: number) => number): number {
  const gauss: readonly (readonly [number, number])[] = [[0.5 - Math.sqrt(0.15), 5 / 18], [0.5, 8 / 18], [0.5 + Math.sqrt(0.15), 5 / 18]];
  let [at, sum]: [Vec2, number] = [outline.from, 0];
  for (const stroke of outline.strokes) {
    if (stroke.kind === 'curve' || stroke.kind === 'arc') throw new Error('not in a letter');
    const poles: readonly Vec2[] = stroke.kind === 'line' ? [at, stroke.to] : [at, ...stroke.inner, stroke.to];
    for (const [t, weight] of gauss) {
      const [p, d] = pointAndSlope(poles, t);
      sum += weight * F(p[0]) * d[1];
    }
    at = stroke.to;
  }
  return sum;
}

function pointAndSlope(poles: readonly Vec2[], t: number): readonly [Vec2, Vec2] {
  let row = poles;
  while (row.length > 2) row = row.slice(1).map((p, i): Vec2 => [row[i]![0] + t * (p[0] - row[i]![0]), row[i]![1] + t * (p[1] - row[i]![1])]);
  const [a, b] = row as [Vec2, Vec2];
  const degree = poles.length - 1;
  return [[a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])], [degree * (b[0] - a[0]), degree * (b[1] - a[1])]];
}

const inkOver = (ink: readonly Ink[], F: (x: number) => number): number => ink.reduce((sum, { rim, holes }) => sum + Math.abs(over(rim, F)) - holes.reduce((hole, one) => hole + Math.abs(over(one, F)), 0), 0);
const inkArea = (ink: readonly Ink[]): number => inkOver(ink, (x) => x);

describe('letters', () => {
  test('capitals have the asked height and the line is centred', () => {
    const ink = inkOf(font, 'HEH', 10);
    const points = ink.flatMap(({ rim }) => flattened(rim));
    const range = (axis: 0 | 1): readonly [number, number] => [Math.min(...points.map((p) => p[axis])), Math.max(...points.map((p) => p[axis]))];
    expect(range(1)[0]).toBeCloseTo(-5, 6);
    expect(range(1)[1]).toBeCloseTo(5, 6);
    expect(range(0)[0]).toBeCloseTo(-range(0)[1], 6);
  });

  test('counters are holes, dots are not', () => {
    expect(inkOf(font, 'B', 10).map(({ holes }) => holes.length)).toEqual([2]);
    expect(inkOf(font, 'i', 10).map(({ holes }) => holes.length)).toEqual([0, 0]);
    expect(inkOf(font, '80', 10).map(({ holes }) => holes.length)).toEqual([2, 1]);
  });

  test('text on the underside reads from below: seen from there up is to the left of nothing, and L keeps its stem in front', () => {
    const text = (on: 'top' | 'underside', angle: number): Vec2[] => {
      const [made] = unwrap(planOf({ body: sharp, engraving: [{ text: 'L', x: 50, y: 30, on, angle }] })).engravings;
      return layOut(font, made!).flatMap(({ rim }) => flattened(rim));
    };
    // Reading along +X. From above the top of the L lies towards +Y, from below towards -Y; the stem comes first either way.
    const stemOf = (points: readonly Vec2[], up: 1 | -1): number => Math.max(...points.filter((p) => up * (p[1] - 30) > 3.9).map((p) => p[0]));
    expect(stemOf(text('top', 0), 1)).toBeLessThan(50);
    expect(stemOf(text('underside', 0), -1)).toBeLessThan(50);
  });
});

describe('on a flat top the ink comes out at its depth', () => {
  const shell = flat.length * flat.width * flat.height - (flat.length - 6) * (flat.width - 6) * (flat.height - 2);
  test.each([['top', 'OB8'], ['underside', 'R&5']] as const)('%s', async (on, text) => {
    const volume = await volumeOf({ body: sharp, engraving: [{ text, x: 50, y: 30, on, depth: 0.5 }] });
    const area = inkArea(inkOf(font, text, 8));
    expect(area).toBeGreaterThan(30);
    expect(Math.abs(shell - volume - area * 0.5)).toBeLessThan(0.1);
  });

  test('unless it is left out for editing', async () => {
    const { measured } = await tryPart({ body: sharp, engraving: [{ text: 'OB8', x: 50, y: 30 }] }, undefined, { engraving: false });
    expect(Math.abs(measured.volume - shell)).toBeLessThan(0.1);
  });
});

describe('on a curved top', () => {
  const top = piecewiseOf(crowned[0]!);
  /** Depths of the carved floors: the swept faces that lie in the metal from end to end. */
  const floorDepths = async (doc: Doc): Promise<number[]> => {
    const { faces, measured } = await tryMesh(doc, crowned);
    expect(measured).toMatchObject({ valid: true, solids: 1, closed: true });
    return faces.filter((face) => face.kind === 'swept').flatMap(({ positions }) => {
      const depths: number[] = [];
      for (let i = 0; i < positions.length; i += 3) depths.push(nearestOn(top, [positions[i]!, positions[i + 2]!]).distance);
      return Math.min(...depths) > 0.3 && Math.max(...depths) < 2 ? depths : [];
    });
  };

  test.each([
    ['letters', { engraving: [{ text: 'H1', x: 100, y: 45, depth: 0.6 }] }, 0.6],
    ['a groove', { grooves: [{ at: 45, from: 30, to: 170, width: 4, depth: 0.8 }] }, 0.8],
  ] as readonly (readonly [string, Partial<Doc>, number])[])('%s are as deep as asked, square to it', async (_, carved, depth) => {
    const depths = await floorDepths({ body: { width: 90 }, ...carved });
    expect(depths.length).toBeGreaterThan(10);
    for (const one of depths) expect(Math.abs(one - depth)).toBeLessThan(3e-3);
  });

  /** mm of metal upright between two curves, summed up from the middle of the text along x, by Simpson's rule. */
  function summed(upper: readonly BSplineCurve[], lower: readonly BSplineCurve[], from: number): (x: number) => number {
    const [high, low] = [heightsOf(upper), heightsOf(lower)];
    const depth = (x: number): number => high.at(x) - low.at(x);
    return (x) => {
      const step = (x - from) / 40;
      return Array.from({ length: 20 }, (_, i) => from + 2 * i * step).reduce((sum, a) => sum + ((depth(a) + 4 * depth(a + step) + depth(a + 2 * step)) * step) / 3, 0);
    };
  }

  // Letters with counters and curves, turned, on crowned and dipped tops, on either side of the metal: what is missing is
  // the ink times the depth over it, and an outside reader finds the same faces and the same volume in the STEP.
  test.each([
    ['crowned, on the top, turned', crowned, { text: 'B8 0&', on: 'top', angle: 30, depth: 0.6 }],
    ['dipped, on the top, across', dipped, { text: 'R09', on: 'top', angle: 90, depth: 0.4 }],
    ['crowned, from below, turned', crowned, { text: 'Q6i', on: 'underside', angle: -40, depth: 0.5 }],
  ] as const)('%s', async (_, curves, text) => {
    const doc = (on: boolean): Doc => ({ body: { width: 90, skin: 3 }, ...(on ? { engraving: [{ ...text, x: 110, y: 45, height: 9 }] } : {}) });
    const door = await sharedKernel();
    const build = (on: boolean) => {
      const plan = unwrap(planOf(doc(on), curves));
      const { solid } = unwrap(door.build(plan));
      const measured = door.measure(solid);
      const step = door.step([{ solid, name: 'LETTERS', colour: '#808080' }], { schema: 'AP242', units: 'mm', fileName: 'letters.step', description: '', author: '', date: '2024-05-06T07:08:09Z' });
      door.release(solid);
      return { plan, measured, step };
    };
    const [bare, carved] = [build(false), build(true)];
    const made = carved.plan.engravings[0]!;
    const ink = layOut(font, made);
    const [upper, lower] = text.on === 'top' ? [carved.plan.body.top, made.floor] : [made.floor, carved.plan.body.roof];
    const expected = inkOver(ink, summed(upper, lower, 110));
    expect(expected).toBeGreaterThan(10);
    expect(Math.abs(bare.measured.volume - carved.measured.volume - expected)).toBeLessThan(0.01 * expected);
    const pieces = ink.reduce((sum, { rim, holes }) => sum + rim.strokes.length + holes.reduce((n, hole) => n + hole.strokes.length, 0) + 1 + holes.length, 0);
    expect(carved.measured.faces - bare.measured.faces).toBe(pieces);
    const [read] = await readStep(carved.step);
    expect(read!.brep_faces.length).toBe(carved.measured.faces);
    expect(Math.abs(readVolume(read!) / carved.measured.volume - 1)).toBeLessThan(5e-4);
  });

  test('a carved top counts its pieces: a groove right along leaves two', async () => {
    const { measured } = await tryPart({ body: { width: 90 }, grooves: [{ at: 45, from: -5, to: 205, width: 4, depth: 0.8 }] }, crowned);
    expect(measured.topFaces).toBe(2);
  });
});
