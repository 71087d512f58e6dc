/** Pictures to millimetres against a pinhole camera built here, a linear solver of another library, and chance itself. */
import * as fc from 'fast-check';
import { Matrix, SingularValueDecomposition } from 'ml-matrix';
import { describe, expect, test } from 'vitest';
import { inverted, mapped, squareToQuad, type Quad } from '../../src/maths/homography.ts';
import type { Vec2 } from '../../src/maths/vec.ts';
import { orderCorners, scalePicture, type PictureScale, type PictureSetup } from '../../src/readings/picture.ts';
import { meanSigma, sigmaAcross, sumOf } from '../../src/readings/pictureError.ts';
import { keptPlace, pictureReadings, placeOf } from '../../src/readings/pictureReadings.ts';
import { unwrap } from '../../src/result.ts';

const seed = 20260611;
const far = (a: Vec2 | null, b: Vec2): number => (a === null ? Infinity : Math.hypot(a[0] - b[0], a[1] - b[1]));

interface Camera {
  readonly look: (x: number, z: number, towards?: number) => Vec2;
  /** mm from the plane to the lens. */
  readonly distance: number;
}

/** A pinhole in space before the plane of the part (x right, z up, y away from the camera), turned by three angles, deg. */
function camera(at: readonly [number, number, number], tilt: number, pan: number, roll: number, focal: number, middle: Vec2): Camera {
  const rad = Math.PI / 180;
  const turn = (v: readonly [number, number, number]): [number, number, number] => {
    let [x, y, z] = v;
    [x, y] = [x * Math.cos(pan * rad) - y * Math.sin(pan * rad), x * Math.sin(pan * rad) + y * Math.cos(pan * rad)];
    [y, z] = [y * Math.cos(tilt * rad) - z * Math.sin(tilt * rad), y * Math.sin(tilt * rad) + z * Math.cos(tilt * rad)];
    [x, z] = [x * Math.cos(roll * rad) - z * Math.sin(roll * rad), x * Math.sin(roll * rad) + z * Math.cos(roll * rad)];
    return [x, y, z];
  };
  return {
    distance: -at[1],
    look(x, z, towards = 0) {
      const [u, depth, v] = turn([x - at[0], -towards - at[1], z - at[2]]);
      return [middle[0] + (focal * u) / depth, middle[1] - (focal * v) / depth];
    },
  };
}

const size: Vec2 = [4000, 3000];
const tilted = camera([130, -500, 20], 14, -9, 5, 3200, [2000, 1500]);
const rectangle = (cam: Camera, w: number, h: number, typed: readonly [string, string] = [`${w}.000`, `${h}.000`]): PictureSetup['known'] => ({ kind: 'rectangle', corners: [cam.look(0, 0), cam.look(w, 0), cam.look(w, h), cam.look(0, h)], width: typed[0], height: typed[1] });
const scaleOf = (setup: Partial<PictureSetup> & Pick<PictureSetup, 'known'>): PictureScale => unwrap(scalePicture({ size, pickingError: 1, ...setup }, 'mm'));
const codes = (setup: Partial<PictureSetup> & Pick<PictureSetup, 'known'>): string[] => {
  const read = scalePicture({ size, pickingError: 1, ...setup }, 'mm');
  return read.ok ? [] : read.issues.map((i) => i.code);
};

describe('four points', () => {
  test('the map of the unit square is the null vector of the eight linear equations (ml-matrix, singular values)', () => {
    fc.assert(
      fc.property(convexQuad(), (quad) => {
        const square: Quad = [[0, 0], [1, 0], [1, 1], [0, 1]];
        const rows = quad.flatMap(([X, Y], i) => {
          const [x, y] = square[i] as Vec2;
          return [[x, y, 1, 0, 0, 0, -X * x, -X * y, -X], [0, 0, 0, x, y, 1, -Y * x, -Y * y, -Y]];
        });
        const v = new SingularValueDecomposition(new Matrix([...rows, Array.from({ length: 9 }, () => 0)])).rightSingularVectors.getColumn(8);
        squareToQuad(quad).forEach((value, k) => expect(value).toBeCloseTo(v[k]! / v[8]!, 5));
      }),
      { seed, numRuns: 200 },
    );
  });

  test('a picture and back: random quadrilaterals, random points', () => {
    fc.assert(
      fc.property(convexQuad(), fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true }), (quad, u, v) => {
        const map = squareToQuad(quad);
        expect(far(mapped(inverted(map), mapped(map, [u, v])!), [u, v])).toBeLessThan(1e-9);
      }),
      { seed, numRuns: 500 },
    );
  });

  test('a rectangle seen by a tilted camera gives back every point of its plane', () => {
    const scale = scaleOf({ known: rectangle(tilted, 200, 150) });
    for (const [x, z] of [[0, 0], [200, 150], [97.3, 44.1], [-60, 210], [260, -40]] as const) {
      expect(far(scale.toMm(tilted.look(x, z)), [x, z])).toBeLessThan(1e-8);
      expect(far(scale.toPx([x, z]), tilted.look(x, z))).toBeLessThan(1e-6);
    }
  });

  test('a picture taken square on at 0.1 mm per px', () => {
    const scale = scaleOf({ known: { kind: 'rectangle', corners: [[1000, 2000], [3000, 2000], [3000, 1000], [1000, 1000]], width: '200', height: '100' } });
    expect(scale.toMm([1500, 1800])).toEqual([expect.closeTo(50, 9), expect.closeTo(20, 9)]);
    // One px of picking is 0.1 mm each way, by hand.
    expect(meanSigma(scale.errorAt([1500, 1800])!.own)).toBeCloseTo(0.1, 9);
  });

  test('taps in any order are brought round from the lower left, the level side first', () => {
    const corners: Quad = [[100, 800], [900, 760], [880, 200], [130, 220]];
    fc.assert(fc.property(fc.shuffledSubarray([0, 1, 2, 3], { minLength: 4 }), (order) => {
      expect(orderCorners(order.map((i) => corners[i]) as unknown as Quad)).toEqual(corners);
    }), { seed, numRuns: 30 });
  });

  test('zero and level tapped: the frame is theirs, and X may run to the left', () => {
    const part = (x: number, z: number): Vec2 => [30 + x * Math.cos(0.2) - z * Math.sin(0.2), 12 + x * Math.sin(0.2) + z * Math.cos(0.2)];
    const look = (p: Vec2): Vec2 => tilted.look(p[0], p[1]);
    const right = scaleOf({ known: rectangle(tilted, 200, 150), zero: { at: look(part(0, 0)), towards: look(part(120, 0)) } });
    expect(far(right.toMm(look(part(70, 25))), [70, 25])).toBeLessThan(1e-8);
    const left = scaleOf({ known: rectangle(tilted, 200, 150), zero: { at: look(part(120, 0)), towards: look(part(0, 0)) } });
    expect(far(left.toMm(look(part(70, 25))), [50, 25])).toBeLessThan(1e-8);
  });
});

describe('two rulers', () => {
  // A scanner of 600 by 597 dots to the inch; rulers lying as they fell.
  const [sx, sy] = [25.4 / 600, 25.4 / 597];
  const px = (x: number, y: number): Vec2 => [x / sx, y / sy];
  const lay = (from: Vec2, length: number, deg: number) => ({ from: px(...from), to: px(from[0] + length * Math.cos((deg * Math.PI) / 180), from[1] + length * Math.sin((deg * Math.PI) / 180)) });
  test('both scales and the tilt come out, however the rulers lie', () => {
    fc.assert(
      fc.property(fc.double({ min: -30, max: 30, noNaN: true }), fc.double({ min: -30, max: 30, noNaN: true }), (a, b) => {
        const along = lay([20, 200], 100, -a);
        const scale = scaleOf({ size: [5000, 7000], known: { kind: 'rulers', along, alongLength: '100.00', upright: lay([30, 180], 80, 90 + b), uprightLength: '80.00' } });
        expect(far(scale.toMm(along.to), [100, 0])).toBeLessThan(1e-8);
        // 50 mm along the first ruler's way and 10 mm up from its start, laid out on the glass by hand.
        const [c, s] = [Math.cos((a * Math.PI) / 180), Math.sin((a * Math.PI) / 180)];
        expect(far(scale.toMm(px(20 + 50 * c - 10 * s, 200 - 50 * s - 10 * c)), [50, 10])).toBeLessThan(1e-8);
      }),
      { seed, numRuns: 200 },
    );
  });
});

describe('off the plane', () => {
  test('10 mm nearer at 0.5 m: 200 mm are seen as 204, uncorrected 4 mm wrong (the figure of common practice, by similar triangles)', () => {
    const square = camera([100, -500, 60], 0, 0, 0, 3000, [2000, 1500]);
    const known = rectangle(square, 240, 160);
    const [a, b] = [square.look(0, 50, 10), square.look(200, 50, 10)];
    const wide = (scale: PictureScale): number => scale.toMm(b)![0] - scale.toMm(a)![0];
    expect(wide(scaleOf({ known })) - 200).toBeCloseTo(4.08, 2);
    expect(wide(scaleOf({ known, offPlane: { off: '10', distance: '500' } }))).toBeCloseTo(200, 8);
  });

  test('exact for a tilted camera too, zero tapped or not, nearer or farther', () => {
    for (const off of [12, -15]) {
      const offPlane = { off: String(off), distance: '500' };
      const look = (x: number, z: number): Vec2 => tilted.look(x, z, off);
      const bare = scaleOf({ known: rectangle(tilted, 200, 150), offPlane });
      for (const [x, z] of [[10, 5], [180, 30], [90, 120]] as const) expect(far(bare.toMm(look(x, z)), [x, z])).toBeLessThan(1e-6);
      const framed = scaleOf({ known: rectangle(tilted, 200, 150), offPlane, zero: { at: look(10, 5), towards: look(190, 5) } });
      expect(far(framed.toMm(look(90, 120)), [80, 115])).toBeLessThan(1e-6);
    }
  });

  test('with zero tapped the place of the lens drops out of the error; without it, it counts', () => {
    const known = rectangle(tilted, 200, 150);
    const offPlane = { off: '10.00', distance: '500' };
    const zero = { at: tilted.look(0, 0, 10), towards: tilted.look(200, 0, 10) };
    const common = (setup: Partial<PictureSetup>): number => meanSigma(scaleOf({ known, ...setup }).errorAt(tilted.look(20, 4, 10))!.common);
    expect(common({ offPlane }) - common({})).toBeGreaterThan(0.05);
    expect(Math.abs(common({ offPlane, zero }) - common({ zero }))).toBeLessThan(0.02);
  });
});

describe('the expected error against chance: 20 000 pictures tapped with noise', () => {
  const draw = normal(7);
  const noisy = (p: Vec2, sigma: number): Vec2 => [p[0] + sigma * draw(), p[1] + sigma * draw()];
  const digits = (typed: string, half: number): string => String(Number(typed) + half * (2 * uniform() - 1));
  const uniform = random(11);

  function compare(setup: PictureSetup, again: () => PictureSetup, px: Vec2): void {
    const scale = unwrap(scalePicture(setup, 'mm'));
    const stated = scale.errorAt(px)!;
    const total = sumOf(stated.own, stated.common);
    const truth = scale.toMm(px)!;
    let [xx, xz, zz] = [0, 0, 0];
    const runs = 20_000;
    for (let i = 0; i < runs; i += 1) {
      const [x, z] = unwrap(scalePicture(again(), 'mm')).toMm(noisy(px, setup.pickingError))!;
      xx += (x - truth[0]) ** 2 / runs;
      xz += ((x - truth[0]) * (z - truth[1])) / runs;
      zz += (z - truth[1]) ** 2 / runs;
    }
    // A variance from 20 000 draws is good to 1 %; first order costs a little more.
    expect(Math.abs(total.xx / xx - 1)).toBeLessThan(0.05);
    expect(Math.abs(total.zz / zz - 1)).toBeLessThan(0.05);
    expect(Math.abs(total.xz - xz)).toBeLessThan(0.05 * Math.sqrt(xx * zz));
  }

  test('a tilted rectangle with zero tapped and the profile off its plane', () => {
    const corners = [tilted.look(0, 0), tilted.look(200, 0), tilted.look(200, 150), tilted.look(0, 150)] as const;
    const zero = { at: tilted.look(10, 10, 10), towards: tilted.look(190, 10, 10) };
    const make = (move: (p: Vec2) => Vec2, width: string, height: string, off: string): PictureSetup => ({ size, pickingError: 2, known: { kind: 'rectangle', corners: corners.map(move) as unknown as Quad, width, height }, zero: { at: move(zero.at), towards: move(zero.towards) }, offPlane: { off, distance: '500' } });
    // H and the lens's place drop out to second order here; the other inputs are all drawn.
    compare(make((p) => p, '200.0', '150.0', '10'), () => make((p) => noisy(p, 2), digits('200', 0.05), digits('150', 0.05), digits('10', 0.5)), tilted.look(120, 60, 10));
  });

  test('two rulers, one of them read to a millimetre only', () => {
    const [a, b, c, d] = [[300, 2500], [3300, 2440], [350, 2300], [420, 700]] as const;
    const make = (move: (p: Vec2) => Vec2, along: string, upright: string): PictureSetup => ({ size, pickingError: 1.5, known: { kind: 'rulers', along: { from: move(a), to: move(b) }, alongLength: along, upright: { from: move(c), to: move(d) }, uprightLength: upright } });
    compare(make((p) => p, '250', '135.0'), () => make((p) => noisy(p, 1.5), digits('250', 0.5), digits('135', 0.05)), [2400, 1200]);
  });
});

describe('refused with the reason', () => {
  const known = (corners: Quad, width: string | number = '200', height: string | number = '150'): PictureSetup['known'] => ({ kind: 'rectangle', corners, width, height });
  const good: Quad = [[100, 900], [1100, 900], [1100, 200], [100, 200]];
  test.each<[string, PictureSetup['known'], string[]]>([
    ['nearly in line', known([[100, 900], [600, 905], [1100, 900], [600, 200]]), ['corners-in-line']],
    ['all in line', known([[100, 900], [400, 900], [800, 900], [1200, 900]]), ['corners-in-line']],
    ['crossed', known([[100, 900], [1100, 200], [1100, 900], [100, 200]]), ['corners-crossed']],
    ['dented', known([[100, 900], [1100, 900], [400, 700], [100, 200]]), ['corners-dented']],
    ['clockwise', known([[100, 200], [1100, 200], [1100, 900], [100, 900]]), ['corners-turned']],
    ['repeated', known([[100, 900], [102, 900], [1100, 200], [100, 200]]), ['points-repeated']],
    ['zero and not a length, both told', known(good, '0', 'wide'), ['length-not-understood', 'picture-size']],
    ['a fraction without a unit in mm', known(good, '7 7/8', '150'), ['length-not-understood']],
    ['negative', known(good, -5), ['picture-size']],
    ['nothing typed', known(good, ''), ['length-not-understood']],
    ['rulers alike', { kind: 'rulers', along: { from: [0, 0], to: [500, 30] }, alongLength: 100, upright: { from: [0, 100], to: [500, 130] }, uprightLength: 100 }, ['rulers-alike']],
    ['rulers leaning alike to either side', { kind: 'rulers', along: { from: [0, 0], to: [500, 500] }, alongLength: 100, upright: { from: [0, 500], to: [500, 0] }, uprightLength: 100 }, ['rulers-alike']],
    ['rulers that disagree', { kind: 'rulers', along: { from: [0, 0], to: [500, 300] }, alongLength: 10, upright: { from: [0, 0], to: [300, 500] }, uprightLength: 1000 }, ['rulers-disagree']],
  ])('%s', (_, setup, expected) => {
    expect(codes({ known: setup }).sort()).toEqual([...expected].sort());
  });

  test('zero, plane and picking error', () => {
    expect(codes({ known: known(good), zero: { at: [5, 5], towards: [7, 5] } })).toEqual(['points-repeated']);
    expect(codes({ known: known(good), offPlane: { off: '300', distance: '500' } })).toEqual(['off-plane-too-far']);
    expect(codes({ known: known(good), offPlane: { off: '10', distance: '0' } })).toEqual(['picture-size']);
    expect(codes({ known: known(good), pickingError: 0 })).toContain('picking-error');
    // The same tilt seen from 50 m would need a camera below the floor.
    expect(codes({ known: rectangle(tilted, 200, 150), offPlane: { off: '10', distance: '9999' } })).toEqual(['camera-distance']);
  });

  test('beyond the horizon nothing is read', () => {
    const scale = scaleOf({ known: known([[100, 900], [1100, 900], [700, 500], [500, 500]]) });
    expect(scale.toMm([600, 100])).toBeNull();
    expect(scale.errorAt([600, 100])).toBeNull();
    expect(pictureReadings(scale, [[600, 100], [600, 700]], 'mm')).toHaveLength(1);
  });
});

describe('readings from picked points', () => {
  const known: PictureSetup['known'] = { kind: 'rectangle', corners: [[1000, 2000], [3000, 2000], [3000, 1000], [1000, 1000]], width: '200.0', height: '50.0' };
  test('in order of station, each with its place; the error is square to the profile', () => {
    const scale = scaleOf({ known });
    const readings = pictureReadings(scale, [[2500, 1500.04], [1500, 1500], [2000, 1400]], 'mm');
    expect(readings.map((r) => [r.x, r.z])).toEqual([[50, 25], [100, 30], [150, 25]]);
    // X 0.1 mm per px, Z 0.05: the middle point's neighbours lie level, so its error is Z's.
    expect(readings[1]!.error).toBeCloseTo(0.05, 9);
    expect(placeOf(readings[2]!.note)).toEqual([2500, 1500]);
    expect(placeOf('measured twice')).toBeNull();
    expect(keptPlace([1.26, 2.34])).toEqual([1.3, 2.3]);
    expect(sigmaAcross({ xx: 4, xz: 0, zz: 9 }, [0, -3])).toBeCloseTo(2, 12);
  });
  test('in an inch job the figures are inches', () => {
    const scale = unwrap(scalePicture({ size, pickingError: 1, known: { ...known, width: '200mm', height: '50mm' } }, 'inch'));
    expect(pictureReadings(scale, [[1254, 1492]], 'inch')[0]).toMatchObject({ x: 1, z: 1, error: Number((0.05 / 25.4).toFixed(5)) });
  });
});

/** Corners pushed in from a large square by random amounts, always convex. */
function convexQuad(): fc.Arbitrary<Quad> {
  const push = fc.tuple(fc.double({ min: 0, max: 400, noNaN: true }), fc.double({ min: 0, max: 400, noNaN: true }));
  return fc.tuple(push, push, push, push).map(([a, b, c, d]): Quad => [[a[0], 1000 - a[1]], [1000 - b[0], 1000 - b[1]], [1000 - c[0], c[1]], [d[0], d[1]]]);
}

/** Park and Miller's generator: the same draws on every machine. */
function random(from: number): () => number {
  let state = from;
  return () => (state = (state * 48271) % 2147483647) / 2147483647;
}

function normal(from: number): () => number {
  const next = random(from);
  return () => Math.sqrt(-2 * Math.log(next())) * Math.cos(2 * Math.PI * next());
}
