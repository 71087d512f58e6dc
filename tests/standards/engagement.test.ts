/** Thread engagement, FED-STD-H28/2B formulas (secondary pages), against a printed table of shear areas and computed lengths. */
import { describe, expect, test } from 'vitest';
import {
  engagementByStrength, engagementNeeded, equalStrengthEngagement, shearAreas, shearAreasPerLength, stressArea,
} from '../../src/standards/engagement.ts';
import { matingMaterialNames } from '../../src/standards/materials.ts';
import { thread, threadNames } from '../../src/standards/threads.ts';

const within = (got: number, expected: number, relative: number): void => {
  expect(Math.abs(got / expected - 1)).toBeLessThanOrEqual(relative);
};

describe('printed shear areas at one diameter of engagement, 6H/6g (a secondary page after a textbook on bolted joints)', () => {
  test.each([
    ['M5', 14.183, 35.366, 49.994], ['M6', 20.123, 51.875, 73.145], ['M8', 36.609, 97.29, 134.63], ['M10', 57.99, 155.8, 214.77], ['M12', 84.267, 227.72, 313.41],
  ] as const)('%s', (name, at, external, internal) => {
    const areas = shearAreas(name, thread(name).major);
    within(stressArea(thread(name)), at, 5e-4);
    within(areas.external, external, 5e-4);
    within(areas.internal, internal, 5e-4);
  });
});

describe('least length, computed from the same formulas outside this code', () => {
  // name, external and internal mm2/mm, Le, Q for an 800 MPa screw in 310 MPa alloy.
  test.each([
    ['M3', 3.90337, 5.54661, 2.5777, 4.681], ['M4', 5.4728, 7.76906, 3.2081, 5.832], ['M5', 7.07314, 9.99879, 4.0103, 7.321], ['M6', 8.64576, 12.19089, 4.6551, 8.52],
    ['M8', 12.16119, 16.82853, 6.0206, 11.228], ['M10', 15.57956, 21.47692, 7.4443, 13.936], ['M12', 18.97624, 26.11728, 8.8813, 16.653],
  ] as const)('%s', (name, external, internal, equal, inAlloy) => {
    const t = thread(name);
    const areas = shearAreasPerLength(t);
    within(areas.external, external, 5e-6);
    within(areas.internal, internal, 5e-6);
    within(equalStrengthEngagement(stressArea(t), t), equal, 5e-5);
    within(engagementByStrength(t, 800, 310), inAlloy, 5e-4);
    within(engagementNeeded(name, '6061-T6').computed ?? NaN, inAlloy, 5e-4);
  });

  test('1/4-20 in inches: .17285 with D1 most .207', () => {
    const t = thread('1/4-20');
    const limits = { ...t, d1Most: 0.207 * 25.4, d2LeastExternal: 0.2127 * 25.4 };
    within(equalStrengthEngagement(0.0318 * 25.4 ** 2, limits) / 25.4, 0.17285, 1e-4);
    within(equalStrengthEngagement(0.0318 * 25.4 ** 2, { ...limits, d1Most: 0.2067 * 25.4 }) / 25.4, 0.17204, 1e-4);
  });
});

describe('what is asked for', () => {
  test('the larger of practice and formula, always saying which', () => {
    for (const name of threadNames) {
      for (const inMaterial of matingMaterialNames) {
        const need = engagementNeeded(name, inMaterial);
        expect(need.least).toBe(Math.max(need.practice, need.computed ?? 0));
        expect(need.rule).not.toBe('');
      }
    }
  });

  test('1.5 diameters in aluminium is close to what the formula gives (1.39 to 1.56)', () => {
    expect(engagementNeeded('M5', '6061-T6').least).toBe(7.5);
    const small = engagementNeeded('M3', '6061-T6');
    expect(small.least).toBe(small.computed);
  });

  test('a weaker material never needs less thread; a nut at least as strong needs the equal-strength length', () => {
    const t = thread('M6');
    const equal = equalStrengthEngagement(stressArea(t), t);
    let last = 0;
    for (const strength of [1600, 800, 400, 310, 200, 100, 50]) {
      const need = engagementByStrength(t, 800, strength);
      expect(need).toBeGreaterThanOrEqual(Math.max(last, equal));
      last = need;
    }
    expect(engagementByStrength(t, 800, 1600)).toBe(equal);
  });

  test('plastics without a strength fall back on practice', () => {
    expect(engagementNeeded('M4', 'PLA')).toMatchObject({ computed: null, least: 10, rule: '2.5 diameters in plastic' });
  });
});
