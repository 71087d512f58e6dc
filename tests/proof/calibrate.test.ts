/** Printer calibration: hand figures, numpy as a second opinion, coverage of the stated errors, slips named. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { randomFrom } from '../../src/maths/random.ts';
import { calibratePrinter } from '../../src/proof/calibrate.ts';
import { compensated, compensationError, expectedPlace, expectedPrinted } from '../../src/proof/compensate.ts';
import type { PrinterReadings } from '../../src/proof/printerFile.ts';
import { drawnForPrint, printKinds } from '../../src/proof/printSize.ts';
import type { PrintProfile } from '../../src/proof/profile.ts';
import { unwrap, type Result } from '../../src/result.ts';

type Bar = PrinterReadings['bars'][number];
const bar = (axis: Bar['axis'], drawn: number, measured: number, error?: number): Bar => ({ axis, drawn, measured, ...(error === undefined ? {} : { error }) });
const readingsOf = (more: Partial<PrinterReadings> = {}): PrinterReadings => ({
  coverwrightPrinter: 1, printer: 'bench two', material: 'PLA', note: '', units: 'mm', readingError: 0.05,
  bars: [bar('x', 20, 20.04), bar('x', 200, 199.5), bar('y', 20, 20.02), bar('y', 200, 199.6)],
  holes: [], shafts: [], rectangles: [], flares: [], ...more,
});
const codes = (result: Result<unknown>): string[] => (result.ok ? [] : result.issues.map((issue) => `${issue.code} ${issue.at}`));

describe('hand figures', () => {
  test('two bars: the straight line through them, its errors by hand', () => {
    const { x } = unwrap(calibratePrinter(readingsOf())).axes;
    // (199.5 - 20.04) / 180 = 0.997; 20.04 - 0.997 x 20 = 0.1; 0.05 sqrt 2 / 180; 0.05 sqrt(200^2 + 20^2) / 180.
    expect(x.factor).toBeCloseTo(0.997, 12);
    expect(x.growth).toBeCloseTo(0.1, 10);
    expect(x.factorError).toBeCloseTo((0.05 * Math.SQRT2) / 180, 12);
    expect(x.growthError).toBeCloseTo((0.05 * Math.hypot(200, 20)) / 180, 12);
    expect(x.scatter).toBeNull();
  });

  test('five bars of unequal error agree with numpy 2.4.6, polyfit(w = 1/s, cov = "unscaled")', () => {
    const bars = [[20, 20.03, 0.03], [60, 59.97, 0.03], [120, 119.8, 0.05], [200, 199.55, 0.05], [200, 199.43, 0.1]].map(([d, m, s]) => bar('x', d!, m!, s));
    const { x } = unwrap(calibratePrinter(readingsOf({ bars: [...bars, bar('y', 20, 20), bar('y', 200, 200)] }))).axes;
    expect(x.factor).toBeCloseTo(0.99719718, 8);
    expect(x.growth).toBeCloseTo(0.11112492, 8);
    expect(x.factorError ** 2).toBeCloseTo(8.175787513577817e-8, 16);
    expect(x.shared).toBeCloseTo(-6.2031241917964085e-6, 14);
    expect(x.growthError ** 2).toBeCloseTo(7.90927429783272e-4, 12);
    expect(x.scatter! ** 2 * 3).toBeCloseTo(3.218822531423311, 8);
  });

  test('0.3 % over 220 mm between centres is 0.66 mm (computed)', () => {
    const bars = (['x', 'y'] as const).flatMap((axis) => [bar(axis, 20, 0.997 * 20), bar(axis, 200, 0.997 * 200)]);
    const profile = unwrap(calibratePrinter(readingsOf({ bars })));
    expect(220 - unwrap(expectedPrinted(profile, drawnForPrint('centres x', 220))).mm).toBeCloseTo(0.66, 10);
    expect(unwrap(compensated(profile).size('centres x', 220)).drawn).toBeCloseTo(220 / 0.997, 9);
  });

  test('200 x 100 pushed 0.1 out of square shows 0.18 in the diagonals (computed), and is read back as 0.1 in 100', () => {
    const rising = Math.hypot(200.1, 100);
    const falling = Math.hypot(199.9, 100);
    expect(rising - falling).toBeCloseTo(0.18, 2);
    const bars = (['x', 'y'] as const).flatMap((axis) => [bar(axis, 20, 20), bar(axis, 200, 200)]);
    const { skew } = unwrap(calibratePrinter(readingsOf({ bars, rectangles: [{ x: 200, y: 100, rising, falling }] })));
    expect(Math.tan((skew!.degrees * Math.PI) / 180)).toBeCloseTo(0.1 / 100, 7);
    // Both diagonals are about 223.6: 0.05 x sqrt 2 x 223.6 / (2 x 200 x 100) rad.
    expect(skew!.error).toBeCloseTo((((0.05 * Math.SQRT2 * 223.607) / 40000) * 180) / Math.PI, 6);
  });

  test('flare is what the bed shows over what stands above; half of it is relieved each side, never a negative one', () => {
    const profile = unwrap(calibratePrinter(readingsOf({ flares: [{ atBed: 20.35, above: 20.05 }, { atBed: 60.25, above: 60.05 }] })));
    expect(profile.flare!.mm).toBeCloseTo(0.25, 10);
    expect(profile.flare!.error).toBeCloseTo(0.05, 10);
    expect(compensated(profile).bedRelief).toBeCloseTo(0.125, 10);
    const hollow = unwrap(calibratePrinter(readingsOf({ flares: [{ atBed: 19.5, above: 20 }] })));
    expect(compensated(hollow).bedRelief).toBe(0);
    expect(hollow.notes.join()).toContain('first layer');
  });
});

/** A printer known to the last digit, and readings of it with seeded noise. */
const truth = { x: [0.9968, 0.09], y: [0.9975, 0.06], hole: [0.995, -0.18], shaft: [0.998, 0.12], skew: 0.12, flare: 0.22 } as const;
function noisy(seed: number): PrinterReadings {
  const { normal } = randomFrom(seed);
  const sigma = 0.04;
  const read = (value: number): number => value + sigma * normal();
  const sizes = (line: readonly [number, number], drawn: readonly number[]) => drawn.map((d) => ({ drawn: d, measured: read(line[0] * d + line[1]) }));
  const skew = (truth.skew * Math.PI) / 180;
  const a = truth.x[0] * 150 + truth.x[1];
  const b = truth.y[0] * 100 + truth.y[1];
  const diagonal = (sign: number): number => read(Math.sqrt(a * a + b * b + sign * 2 * a * b * Math.sin(skew)));
  return readingsOf({
    readingError: sigma,
    bars: (['x', 'y'] as const).flatMap((axis) => sizes(truth[axis], [15, 50, 100, 150, 200]).map((size) => ({ axis, ...size }))),
    holes: sizes(truth.hole, [3, 5, 8, 12]),
    shafts: sizes(truth.shaft, [4, 8, 12]),
    rectangles: [{ x: 150, y: 100, rising: diagonal(1), falling: diagonal(-1) }],
    flares: [20, 40, 60].map((size) => ({ atBed: read(size + truth.flare), above: read(size) })),
  });
}

describe('1000 seeded printers', () => {
  test('95 % bands of every number, and of an unseen coupon, cover the truth 90 to 98 times in a hundred', () => {
    const runs = 1000;
    const inside = new Map<string, number>();
    const band = 1.959964;
    const count = (name: string, miss: number, error: number): void => void inside.set(name, (inside.get(name) ?? 0) + (Math.abs(miss) <= band * error ? 1 : 0));
    for (let seed = 1; seed <= runs; seed++) {
      const profile = unwrap(calibratePrinter(noisy(seed)));
      for (const name of ['x', 'y', 'hole', 'shaft'] as const) {
        const line = name === 'x' || name === 'y' ? profile.axes[name] : profile[name]!;
        count(`${name} factor`, line.factor - truth[name][0], line.factorError);
        count(`${name} growth`, line.growth - truth[name][1], line.growthError);
      }
      count('skew', profile.skew!.degrees - truth.skew, profile.skew!.error);
      count('flare', profile.flare!.mm - truth.flare, profile.flare!.error);
      const coupon = unwrap(expectedPrinted(profile, drawnForPrint('outside x', 178)));
      count('unseen bar', coupon.mm - (truth.x[0] * 178 + truth.x[1]), coupon.error);
      const read = truth.hole[0] * 5.5 + truth.hole[1] + 0.04 * randomFrom(1_000_000 + seed).normal();
      const hole = unwrap(expectedPrinted(profile, drawnForPrint('hole', 5.5)));
      count('unseen hole, as read', hole.mm - read, hole.readingError);
    }
    expect(inside.size).toBe(12);
    for (const [name, hits] of inside) {
      expect(hits / runs, name).toBeGreaterThanOrEqual(0.9);
      expect(hits / runs, name).toBeLessThanOrEqual(0.98);
    }
  });
});

describe('compensation', () => {
  const profile = unwrap(calibratePrinter({ ...noisy(7), bars: [...noisy(7).bars, bar('z', 5, 5.02), bar('z', 60, 60.1)] }));

  test('round trip: what is drawn comes out as wanted, sizes and places', () => {
    fc.assert(
      fc.property(fc.constantFrom(...printKinds), fc.double({ min: 1, max: 400, noNaN: true }), (of, wanted) => {
        expect(Math.abs(unwrap(compensationError(profile, of, wanted)))).toBeLessThan(1e-9);
      }),
      { seed: 4101 },
    );
    fc.assert(
      fc.property(fc.double({ min: -200, max: 200, noNaN: true }), fc.double({ min: -200, max: 200, noNaN: true }), (x, y) => {
        const out = expectedPlace(profile, compensated(profile).place([x, y]));
        expect(Math.hypot(out[0] - x, out[1] - y)).toBeLessThan(1e-9);
      }),
      { seed: 4102 },
    );
  });

  test('a printed square has the diagonals the skew was read from', () => {
    const at = (x: number, y: number) => expectedPlace(profile, { printOnly: true, drawnX: x, drawnY: y });
    const rising = Math.hypot(...at(100, 80));
    const falling = Math.hypot(at(100, 0)[0] - at(0, 80)[0], at(100, 0)[1] - at(0, 80)[1]);
    const sine = (rising ** 2 - falling ** 2) / (4 * Math.hypot(...at(100, 0)) * Math.hypot(...at(0, 80)));
    expect((Math.asin(sine) * 180) / Math.PI).toBeCloseTo(profile.skew!.degrees, 9);
  });

  test('a hole prints small and is drawn large; beyond the measured sizes is said and costs error', () => {
    expect(unwrap(compensated(profile).size('hole', 5.5)).drawn).toBeGreaterThan(5.5);
    const near = unwrap(expectedPrinted(profile, drawnForPrint('hole', 8)));
    const far = unwrap(expectedPrinted(profile, drawnForPrint('hole', 60)));
    expect([near.beyond, far.beyond]).toEqual([false, true]);
    expect(far.error).toBeGreaterThan(5 * near.error);
  });

  test('print sizes cannot be taken for design sizes', () => {
    const size = unwrap(compensated(profile).size('hole', 5.5));
    // @ts-expect-error a size of the print is not a number of the design
    const design: number = size;
    // @ts-expect-error a number of the design is not a size of the print
    const wrong = (): unknown => expectedPrinted(profile, 5.5);
    expect([typeof design, typeof wrong]).toEqual(['object', 'function']);
    expect(size.printOnly).toBe(true);
  });

  test('what was not measured is refused, not guessed', () => {
    const bare: PrintProfile = unwrap(calibratePrinter(readingsOf()));
    for (const of of ['outside z', 'centres z', 'hole', 'shaft'] as const) {
      expect(codes(compensated(bare).size(of, 10))).toEqual([`print-not-measured ${of}`]);
      expect(codes(expectedPrinted(bare, drawnForPrint(of, 10)))).toEqual([`print-not-measured ${of}`]);
    }
    expect(bare.notes.join()).toContain('along Z');
    for (const wanted of [0, -1, Number.NaN, Infinity]) expect(codes(compensated(bare).size('outside x', wanted))).toEqual(['print-size-unusable outside x']);
    expect(codes(compensated(bare).size('outside x', 0.05))).toEqual(['print-size-too-small outside x']);
  });
});

describe('bad readings, each named', () => {
  test.each<[string, Partial<PrinterReadings>, string[]]>([
    ['one length only', { bars: [bar('x', 100, 99.7), bar('x', 100, 99.8), bar('y', 20, 20), bar('y', 200, 200)] }, ['print-one-size bars']],
    ['lengths too near', { bars: [bar('x', 100, 99.7), bar('x', 100.5, 100.2), bar('y', 20, 20), bar('y', 200, 200)] }, ['print-one-size bars']],
    ['no bars along Y', { bars: [bar('x', 20, 20), bar('x', 200, 200)] }, ['print-axis-missing bars']],
    ['nothing at all', { bars: [] }, ['print-axis-missing bars', 'print-axis-missing bars']],
    ['inches read as mm', { bars: [bar('x', 20, 20), bar('x', 200, 7.86), bar('y', 20, 20), bar('y', 200, 200)] }, ['print-reading-slip bars[1]']],
    ['no number', { bars: [bar('x', 20, Number.NaN), bar('x', 200, 200, 0), bar('y', 20, 20), bar('y', 200, 200)] }, ['print-reading-unusable bars[0]', 'print-reading-unusable bars[1]']],
    ['one hole size', { holes: [{ drawn: 5, measured: 4.8 }] }, ['print-one-size holes']],
    ['diagonal of another piece', { rectangles: [{ x: 100, y: 100, rising: 141, falling: 70 }] }, ['print-reading-slip rectangles[0].falling']],
    ['diagonals that cannot be', { rectangles: [{ x: 100, y: 100, rising: 155, falling: 130 }] }, ['print-skew-slip rectangles[0]']],
    ['flare', { flares: [{ atBed: 30, above: 20 }] }, ['print-reading-slip flares[0]']],
    ['everything at once', { bars: [bar('x', 20, 20)], holes: [{ drawn: 5, measured: 50 }], flares: [{ atBed: 30, above: 20 }] }, ['print-one-size bars', 'print-axis-missing bars', 'print-reading-slip holes[0]', 'print-reading-slip flares[0]']],
  ])('%s', (_, more, expected) => {
    const refused = calibratePrinter(readingsOf(more));
    expect(codes(refused)).toEqual(expected);
    if (!refused.ok) for (const issue of refused.issues) expect(issue.hint).not.toBe('');
  });

  test('a misread bar within reason widens the errors and is named in a note', () => {
    const calm = unwrap(calibratePrinter(noisy(3)));
    const bars = noisy(3).bars.map((b, i) => (i === 2 ? { ...b, measured: b.measured + 1 } : b));
    const profile = unwrap(calibratePrinter({ ...noisy(3), bars }));
    expect(profile.notes.join()).toContain('bars[2] misses most');
    expect(profile.axes.x.growthError).toBeGreaterThan(5 * calm.axes.x.growthError);
    expect(calm.notes.join()).not.toContain('misses');
  });
});
