/**
 * Threads against the outside: ISO and ASME tables as quoted on secondary pages, the formulas of ISO 68-1 (from memory)
 * and relations every row must keep whatever the table says.
 */
import { describe, expect, test } from 'vitest';
import { stressArea } from '../../src/standards/engagement.ts';
import {
  clearanceHole, fitClasses, majorDiameter, tapDrill, tapRunOut, thread, threadNames, threadPitch, threads, type ThreadName,
} from '../../src/standards/threads.ts';

const inch = 25.4;
const metric = threads.filter((t) => t.system === 'metric');
const unified = threads.filter((t) => t.system === 'unified');

describe('tables as printed', () => {
  // ISO 273, seen on a secondary page.
  test.each([
    ['M3', 3.2, 3.4, 3.6], ['M4', 4.3, 4.5, 4.8], ['M5', 5.3, 5.5, 5.8], ['M6', 6.4, 6.6, 7],
    ['M8', 8.4, 9, 10], ['M10', 10.5, 11, 12], ['M12', 13, 13.5, 14.5],
  ] as const)('clearance of %s', (name, fine, medium, coarse) => {
    expect(fitClasses.map((fit) => clearanceHole(name, fit))).toEqual([fine, medium, coarse]);
  });

  test('M12 is ISO 273 and not the older British table (14.0 and 15.0)', () => {
    expect(clearanceHole('M12', 'medium')).toBe(13.5);
    expect(clearanceHole('M12', 'coarse')).toBe(14.5);
  });

  // ASME B18.2.8 normal: drills #18, #9, #2, 9/32, 11/32, 13/32 as printed in a handbook; the least diameter is within 0.001 in of its drill.
  test.each([
    ['#6-32', 0.1695], ['#8-32', 0.196], ['#10-24', 0.221], ['1/4-20', 9 / 32], ['5/16-18', 11 / 32], ['3/8-16', 13 / 32],
  ] as const)('normal clearance of %s against its drill', (name, drill) => {
    expect(Math.abs(clearanceHole(name, 'medium') / inch - drill)).toBeLessThan(0.001);
  });

  // Basic sizes of ISO 724, seen in a tool catalogue: P, D2, D1, d3.
  test.each([
    ['M3', 0.5, 2.675, 2.459, 2.387], ['M4', 0.7, 3.545, 3.242, 3.141], ['M5', 0.8, 4.48, 4.134, 4.019], ['M6', 1, 5.35, 4.917, 4.773],
    ['M8', 1.25, 7.188, 6.647, 6.466], ['M10', 1.5, 9.026, 8.376, 8.16], ['M12', 1.75, 10.863, 10.106, 9.853],
  ] as const)('basic sizes of %s', (name, p, d2, d1, d3) => {
    const t = thread(name);
    expect(t.pitch).toBe(p);
    expect(Math.abs(t.pitchDiameter - d2)).toBeLessThanOrEqual(6e-4);
    expect(Math.abs(t.minorInternal - d1)).toBeLessThanOrEqual(6e-4);
    expect(Math.abs(t.rootExternal - d3)).toBeLessThanOrEqual(6e-4);
  });

  // Stress areas of ISO 898-1 and ASME B1.1 (seen), printed to three or four figures, against their formulas.
  test('stress areas within 0.5 % of the formula', () => {
    for (const t of threads) expect(Math.abs(t.stressArea / stressArea(t) - 1), t.name).toBeLessThan(5e-3);
  });

  test('stress area of 1/4-20 is .03182 in2 (computed)', () => {
    expect(stressArea(thread('1/4-20')) / inch ** 2).toBeCloseTo(0.03182, 5);
  });
});

describe('relations every row keeps', () => {
  test('names are unique and all there, in order', () => {
    expect(threads.map((t) => t.name)).toEqual([...threadNames]);
  });

  test('D1 least <= drill <= D1 most', () => {
    for (const t of threads) {
      expect(t.tapDrill, t.name).toBeGreaterThanOrEqual(t.d1Least);
      expect(t.tapDrill, t.name).toBeLessThanOrEqual(t.d1Most);
    }
  });

  test('metric drill is d - P to 0.05 mm', () => {
    for (const t of metric) expect(Math.abs(t.tapDrill - (t.major - t.pitch)), t.name).toBeLessThanOrEqual(0.05 + 1e-9);
  });

  test('least D1 is the basic minor diameter to its printed digits', () => {
    for (const t of metric) expect(Math.abs(t.d1Least - t.minorInternal), t.name).toBeLessThanOrEqual(6e-4);
    for (const t of unified) expect(Math.abs(t.d1Least - t.minorInternal), t.name).toBeLessThanOrEqual(6e-4 * inch);
  });

  // ASME B1.1 minor diameter tolerance 2B, formulas from memory: independent of the page the table came from.
  test('2B minor diameter limits agree with the formulas to 0.001 in', () => {
    for (const t of unified) {
      const d = t.major / inch;
      const p = t.pitch / inch;
      const width = d < 0.25 ? 0.05 * p ** (2 / 3) + (0.03 * p) / d - 0.002 : 0.25 * p - 0.4 * p * p;
      expect(Math.abs(t.d1Most / inch - (d - 1.082532 * p + width)), t.name).toBeLessThanOrEqual(6e-4);
    }
  });

  // Least 2A pitch diameter of 1/4-20, .2127 in: seen on a secondary page.
  test('unified pitch diameter limits', () => {
    expect(thread('1/4-20').d2LeastExternal / inch).toBeCloseTo(0.2127, 4);
    // .2224 and .2408 from memory; the standard rounds each term on the way.
    expect(Math.abs(thread('1/4-20').d2MostInternal / inch - 0.2224)).toBeLessThanOrEqual(1e-4);
    expect(Math.abs(thread('1/4-20').dLeastExternal / inch - 0.2408)).toBeLessThanOrEqual(1e-4);
  });

  test('the screw enters the nut at its limits and the clearance hole at every fit, wider for a coarser fit', () => {
    for (const t of threads) {
      expect(t.d2LeastExternal).toBeLessThan(t.pitchDiameter);
      expect(t.d2MostInternal).toBeGreaterThan(t.pitchDiameter);
      expect(t.dLeastExternal).toBeLessThan(t.major);
      const [fine, medium, coarse] = fitClasses.map((fit) => clearanceHole(t.name, fit));
      expect(fine).toBeGreaterThan(t.major);
      expect(medium).toBeGreaterThan(fine ?? NaN);
      expect(coarse).toBeGreaterThan(medium ?? NaN);
    }
  });

  test('screw numbers: d = .060 + .013 n in', () => {
    for (const [name, n] of [['#6-32', 6], ['#8-32', 8], ['#10-24', 10]] as const) expect(majorDiameter(name)).toBeCloseTo((0.06 + 0.013 * n) * inch, 12);
  });

  test('pitch of a unified thread is what its name says', () => {
    for (const t of unified) expect(threadPitch(t.name)).toBeCloseTo(inch / Number(t.name.split('-')[1]), 12);
  });
});

describe('tapped depth', () => {
  // Worked example of two tap makers' pages: 1/4-20, .375 thread + .100 chamfer + .050 = .525 in of drill.
  test('run-out of the printed example', () => {
    expect(0.375 + tapRunOut('1/4-20') / inch).toBeCloseTo(0.525, 12);
  });

  test('a longer tap chamfer needs a deeper drill', () => {
    for (const name of threadNames) {
      expect(tapRunOut(name, 'plug')).toBeGreaterThan(tapRunOut(name, 'bottoming'));
      expect(tapRunOut(name, 'taper')).toBeGreaterThan(tapRunOut(name, 'plug'));
    }
  });
});

test('an unknown name is a bug and throws', () => {
  expect(() => tapDrill('M7' as ThreadName)).toThrow('M7');
  expect(() => thread('constructor' as ThreadName)).toThrow();
});
