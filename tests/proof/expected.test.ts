/** What the print should read: against a printer made up in the test, whose truth is known. */
import { describe, expect, test } from 'vitest';
import { randomFrom } from '../../src/maths/random.ts';
import type { Vec3 } from '../../src/maths/vec.ts';
import { expectedReading, judgeReading, readingMiss } from '../../src/proof/expected.ts';
import { printLaw } from '../../src/proof/law.ts';
import { lying, standingOn, type WantedReading } from '../../src/proof/proofPlan.ts';
import type { PrintProfile } from '../../src/proof/profile.ts';
import { readPrinterDocument } from '../../src/proof/readPrinter.ts';
import { unwrap } from '../../src/result.ts';

const degree = Math.PI / 180;

/** A printer as it truly is: what it makes of a size. */
interface Truth {
  readonly x: readonly [factor: number, growth: number];
  readonly y: readonly [factor: number, growth: number];
  readonly hole: readonly [factor: number, growth: number];
  readonly skew: number;
}

const line = ([factor, growth]: readonly [number, number], drawn: number): number => factor * drawn + growth;
/** Length of a plan vector once printed. */
const printedLength = ({ x, y, skew }: Truth, [dx, dy]: readonly number[]): number => Math.hypot(x[0] * dx! + y[0] * Math.sin(skew * degree) * dy!, y[0] * Math.cos(skew * degree) * dy!);

/** The square and the hole bar printed there, read with `noise` mm of error. */
function calibrated(truth: Truth, noise: () => number, error: number): PrintProfile {
  const bar = (axis: 'x' | 'y', drawn: number) => ({ axis, drawn, measured: line(truth[axis], drawn) + noise() });
  const corner = (sign: 1 | -1): number => {
    const [a, b] = [line(truth.x, 200), line(truth.y, 200)];
    return Math.hypot(a + sign * b * Math.sin(truth.skew * degree), b * Math.cos(truth.skew * degree)) + noise();
  };
  return unwrap(
    readPrinterDocument({
      coverwrightPrinter: 1,
      printer: 'made up',
      readingError: error,
      bars: [bar('x', 14), bar('x', 72), bar('x', 200), bar('y', 14), bar('y', 42), bar('y', 200)],
      holes: [4.1, 5.5, 9].map((drawn) => ({ drawn, measured: line(truth.hole, drawn) + noise() })),
      rectangles: [{ x: 200, y: 200, rising: corner(1), falling: corner(-1) }],
    }),
  ).profile;
}

const truth: Truth = { x: [0.997, 0.1], y: [0.9975, 0.08], hole: [0.998, -0.19], skew: 0.06 };
const centres = (from: Vec3, to: Vec3): WantedReading => ({ what: 'centres', name: '', from, to });

describe('a corrected print', () => {
  const law = printLaw(calibrated(truth, () => 0, 0.03));
  const readings: readonly WantedReading[] = [
    { what: 'hole', name: '', size: 5.5 },
    { what: 'hole', name: '', size: 8.5 },
    centres([0, 0, 0], [220, 0, 0]),
    centres([-8, 30, 0], [388, 60, 0]),
    centres([-8, 30, 0], [190, -8, 0]),
    { what: 'outside', name: '', along: [1, 0, 0], size: 380 },
    { what: 'outside', name: '', along: [0, 1, 0], size: 120 },
    { what: 'outside', name: '', along: [Math.SQRT1_2, Math.SQRT1_2, 0], size: 90 },
  ];

  test.each([0, 90, 37])('turned by %s degrees on the bed it reads as designed', (turn) => {
    for (const wanted of readings) expect(readingMiss(expectedReading(wanted, standingOn(turn), law, true))!).toBeCloseTo(0, 9);
  });

  test('a rib that lies on its side follows the axes of the bed, not of the part', () => {
    const drawn = expectedReading({ what: 'outside', name: '', along: [0, 0, 1], size: 50 }, lying, law, true).drawn;
    expect(drawn).toBeCloseTo((50 - 0.08) / 0.9975 / Math.cos(truth.skew * degree), 3);
  });

  test('uncorrected, 0.3 % over 220 mm is 0.66 mm (computed; trade notes)', () => {
    const read = expectedReading(centres([0, 0, 0], [220, 0, 0]), standingOn(0), law, false);
    expect([read.drawn, readingMiss(read)!]).toEqual([220, expect.closeTo(-0.66, 9)]);
  });

  test('without a profile nothing is said', () => expect(expectedReading(readings[0]!, standingOn(0), printLaw(null), true)).toMatchObject({ design: 5.5, drawn: 5.5, printed: null, error: null }));

  test('sizes outside those measured say so', () => {
    expect(expectedReading({ what: 'hole', name: '', size: 30 }, standingOn(0), law, true).beyond).toBe(true);
    expect(expectedReading({ what: 'hole', name: '', size: 5.5 }, standingOn(0), law, true).beyond).toBe(false);
    expect(expectedReading(centres([0, 0, 0], [380, 0, 0]), standingOn(0), law, true).beyond).toBe(true);
  });
});

test('a reading taken on the print is judged by its band; a slip is told from a print', () => {
  const law = printLaw(calibrated(truth, () => 0, 0.03));
  const one = expectedReading({ what: 'hole', name: '', size: 5.5 }, standingOn(0), law, true);
  const within = 1.96 * one.error!;
  expect(judgeReading(one, 5.5 + 0.99 * within)).toMatchObject({ within: true, slip: false });
  expect(judgeReading(one, 5.5 - 1.01 * within)).toMatchObject({ within: false, slip: false });
  expect(judgeReading(one, 55)).toMatchObject({ slip: true });
  const bare = judgeReading(expectedReading({ what: 'hole', name: '', size: 5.5 }, standingOn(0), printLaw(null), true), 5.3);
  expect([bare.within, bare.slip, Number(bare.off.toFixed(9))]).toEqual([null, false, -0.2]);
});

describe('an unseen coupon', () => {
  const seed = 20_260_131;
  const trials = 1500;
  const error = 0.03;
  // None of these was printed for the calibration.
  const coupon: readonly (readonly [string, WantedReading, (drawn: number) => number])[] = [
    ['hole 6.6', { what: 'hole', name: '', size: 6.6 }, (drawn) => line(truth.hole, drawn)],
    ['outside X 120', { what: 'outside', name: '', along: [1, 0, 0], size: 120 }, (drawn) => line(truth.x, drawn)],
    ['centres slantwise', centres([0, 0, 0], [110, 90, 0]), () => printedLength(truth, [110, 90])],
  ];

  test.each(coupon)('%s reads within its stated band 95 times in 100', (_, wanted, printed) => {
    const random = randomFrom(seed);
    let inside = 0;
    for (let i = 0; i < trials; i++) {
      const profile = calibrated(truth, () => error * random.normal(), error);
      const { drawn, printed: told, error: sigma } = expectedReading(wanted, standingOn(0), printLaw(profile), false);
      const read = printed(drawn) + error * random.normal();
      if (Math.abs(read - told!) <= 1.96 * sigma!) inside++;
    }
    // Two standard errors of a share of 0.95 in 1500 are 0.011.
    expect(inside / trials, `seed ${seed}`).toBeGreaterThan(0.935);
    expect(inside / trials, `seed ${seed}`).toBeLessThan(0.97);
  });
});
