/** Materials: figures seen on secondary pages or from memory, as each row says. */
import { expect, test } from 'vitest';
import { density, heatGrowth, material, materialNames, materials, matingMaterialNames, matingMaterials, type MaterialName } from '../../src/standards/materials.ts';
import { bedMargin, printBeds, usableBed } from '../../src/standards/printBeds.ts';
import { saySource } from '../../src/standards/source.ts';

test('every name has a row, every row says what it rests on', () => {
  expect(materials.map((row) => row.name)).toEqual([...materialNames]);
  expect(matingMaterials.map((row) => row.name)).toEqual([...matingMaterialNames]);
  for (const row of matingMaterials) {
    expect(saySource(row.source)).toMatch(/seen on a secondary page|from memory/);
    expect(row.source.note).not.toBe('');
    expect(row.poisson).toBeGreaterThan(0.2);
    expect(row.poisson).toBeLessThan(0.5);
    if (row.ultimate !== null && row.yield !== null) expect(row.yield).toBeLessThan(row.ultimate);
  }
});

// Aluminum Association typical values, seen on two pages.
test('6061-T6 as printed', () => {
  expect(material('6061-T6')).toMatchObject({ density: 2.7, youngsModulus: 68.9, expansion: 23.6, ultimate: 310, yield: 276, shear: 207 });
});

// Computed: 23.6e-6 x 300 x 40.
test('heat growth of 300 mm of 6061 over 40 K is 0.2832 mm', () => {
  expect(heatGrowth('6061-T6', 300, 40)).toBeCloseTo(0.2832, 12);
});

// Trade note (computed): alloy cover on iron, 200 mm, 60 K, 0.15 mm.
test('alloy on cast iron, 200 mm, 60 K: about 0.15 mm', () => {
  expect(heatGrowth('6061-T6', 200, 60) - heatGrowth('grey cast iron', 200, 60)).toBeCloseTo(0.15, 2);
});

test('densities run in the order anyone knows from the hand', () => {
  const order: readonly MaterialName[] = ['ABS', 'PLA', 'PETG', 'acetal', '6061-T6', '7075-T6', 'mild steel', '304 stainless'];
  for (let i = 1; i < order.length; i++) expect(density(order[i] as MaterialName)).toBeGreaterThan(density(order[i - 1] as MaterialName));
});

test('an unknown name is a bug and throws', () => {
  expect(() => density('unobtainium' as MaterialName)).toThrow('unobtainium');
  expect(() => density('__proto__' as MaterialName)).toThrow();
});

test('a bed is usable less a margin on both sides', () => {
  for (const bed of printBeds) expect(usableBed(bed)).toEqual({ x: bed.x - 2 * bedMargin, y: bed.y - 2 * bedMargin, z: bed.z });
});
