/** Screw heads and their room. Tables seen on secondary pages quoting ISO 4762, ISO 10642, ISO 7380-1, ASME B18.3, DIN 974-1, DIN 74. */
import { describe, expect, test } from 'vitest';
import { buttonScrew, capScrew, flatScrew, headRoom, sayScrewLength, screwLengths } from '../../src/standards/screws.ts';
import { clearanceHole, thread, threadNames, threads } from '../../src/standards/threads.ts';

const metricNames = threads.filter((t) => t.system === 'metric').map((t) => t.name);
const rad = Math.PI / 180;

describe('heads', () => {
  // ISO 4762 as printed: dk max, knurled, dk min, k max, k min, s.
  test.each([
    ['M3', 5.5, 5.68, 5.32, 3, 2.86, 2.5], ['M4', 7, 7.22, 6.78, 4, 3.82, 3], ['M5', 8.5, 8.72, 8.28, 5, 4.82, 4], ['M6', 10, 10.22, 9.78, 6, 5.7, 5],
    ['M8', 13, 13.27, 12.73, 8, 7.64, 6], ['M10', 16, 16.27, 15.73, 10, 9.64, 8], ['M12', 18, 18.27, 17.73, 12, 11.57, 10],
  ] as const)('cap screw %s', (name, dk, knurled, least, k, kLeast, s) => {
    expect(capScrew(name)).toMatchObject({ headDiameterMost: dk, knurledMost: knurled, headDiameterLeast: least, headHeightMost: k, headHeightLeast: kLeast, key: s });
  });

  test('ISO 4762: head height is the thread diameter, on every row', () => {
    for (const name of metricNames) expect(capScrew(name).headHeightMost).toBe(thread(name).major);
  });

  test('ISO 10642: 90 deg makes k = (dk - d) / 2, dk = 2.24 d, k = 0.62 d, on every row', () => {
    for (const name of metricNames) {
      const { headDiameterSharp: dk, headHeightMost: k, angle } = flatScrew(name);
      const d = thread(name).major;
      expect(angle).toBe(90);
      expect(k).toBeCloseTo((dk - d) / 2, 9);
      expect(dk).toBeCloseTo(2.24 * d, 9);
      expect(k).toBeCloseTo(0.62 * d, 9);
    }
  });

  test('ASME B18.3 flat heads: printed reference height is that of an 82 deg cone within .002 in', () => {
    for (const { name, system, major } of threads) {
      if (system === 'metric') continue;
      const { headDiameterSharp, headHeightMost, angle } = flatScrew(name);
      const cone = (headDiameterSharp - major) / 2 / Math.tan((angle / 2) * rad);
      expect(Math.abs(cone - headHeightMost) / 25.4, name).toBeLessThan(0.002);
    }
  });

  // ISO 7380-1 as printed; one catalogue has 18 for M10.
  test('button heads', () => {
    expect(metricNames.map((name) => buttonScrew(name)?.headDiameterMost)).toEqual([5.7, 7.6, 9.5, 10.5, 14, 17.5, 21]);
    for (const name of metricNames) expect(buttonScrew(name)?.headHeightMost).toBeCloseTo(0.55 * thread(name).major, 9);
    expect(buttonScrew('1/4-20')).toBeNull();
  });

  test('limits are the right way round and keys fit in heads', () => {
    for (const name of threadNames) {
      const screw = capScrew(name);
      expect(screw.headDiameterLeast).toBeLessThan(screw.headDiameterMost);
      expect(screw.headHeightLeast).toBeLessThan(screw.headHeightMost);
      expect(screw.knurledMost).toBeGreaterThanOrEqual(screw.headDiameterMost);
      expect(screw.key * 2 / Math.sqrt(3)).toBeLessThan(screw.headDiameterLeast);
      expect(screw.headDiameterLeast, 'head wider than the coarse hole').toBeGreaterThan(clearanceHole(name, 'coarse'));
    }
  });
});

describe('room for the head', () => {
  // DIN 974-1 series 1, matched by one chart.
  test('counterbore diameters as printed', () => {
    expect(metricNames.map((name) => headRoom(name).counterbore.diameter)).toEqual([6.5, 8, 10, 11, 15, 18, 20]);
    expect(metricNames.map((name) => headRoom(name).counterbore.depth)).toEqual([3.4, 4.4, 5.4, 6.4, 8.6, 10.6, 12.6]);
  });

  test('the counterbore clears the largest head, knurled, by 0.35 mm at least on the radius and hides it', () => {
    for (const name of threadNames) {
      const { counterbore } = headRoom(name);
      const screw = capScrew(name);
      expect((counterbore.diameter - screw.knurledMost) / 2, name).toBeGreaterThanOrEqual(0.35);
      expect(counterbore.depth, name).toBeGreaterThan(screw.headHeightMost);
    }
  });

  test('the countersink swallows the sharp head and has its angle', () => {
    for (const name of threadNames) {
      const { countersink } = headRoom(name);
      const screw = flatScrew(name);
      expect(countersink.angle).toBe(screw.angle);
      expect(countersink.diameter, name).toBeGreaterThan(screw.headDiameterSharp);
      expect(countersink.diameter - screw.headDiameterSharp, name).toBeLessThan(0.5);
    }
  });
});

describe('lengths', () => {
  test('ascending, none shorter than a usable grip, all within the range of the size', () => {
    for (const name of threadNames) {
      const lengths = screwLengths(name);
      expect(lengths.length).toBeGreaterThan(5);
      for (let i = 1; i < lengths.length; i++) expect(lengths[i]).toBeGreaterThan(lengths[i - 1] ?? NaN);
    }
    expect(screwLengths('M5')).toEqual([8, 10, 12, 16, 20, 25, 30, 35, 40, 45, 50]);
  });

  test('said as at the counter', () => {
    expect(sayScrewLength('M5', 16)).toBe('M5 x 16');
    expect(sayScrewLength('1/4-20', 15.875)).toBe('1/4-20 x 5/8 in');
    expect(sayScrewLength('1/4-20', 44.45)).toBe('1/4-20 x 1 3/4 in');
    expect(sayScrewLength('1/4-20', 50.8)).toBe('1/4-20 x 2 in');
    expect(sayScrewLength('1/4-20', 12.7)).toBe('1/4-20 x 1/2 in');
  });
});
