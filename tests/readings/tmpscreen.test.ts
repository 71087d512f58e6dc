/** Slips in a trace: named when planted, silent on clean tables. Invented profiles; the slips are the ones shops make. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { screenTrace } from '../../src/readings/screen.ts';

type P = { x: number; z: number };

/** A smooth cover profile: crown, taper and a dip, heights from 15 to 90 mm. */
const profile = (length: number, crown: number, dip: number, taper: number) => (x: number): number =>
  20 + crown * Math.sin((Math.PI * x) / length) + dip * Math.sin((3 * Math.PI * x) / length) + (taper * x) / length;

const steady = (count: number, length = 300): P[] => {
  const height = profile(length, 30, 3, 8);
  return Array.from({ length: count }, (_, i) => ({ x: (length * i) / (count - 1), z: height((length * i) / (count - 1)) }));
};
const codes = (points: readonly P[]): string[] => screenTrace(points).map((remark) => remark.code);

const cleanTable = fc
  .record({
    gaps: fc.array(fc.double({ min: 0.4, max: 4, noNaN: true }), { minLength: 3, maxLength: 80 }),
    length: fc.double({ min: 60, max: 1500, noNaN: true }),
    start: fc.double({ min: -50, max: 200, noNaN: true }),
    crown: fc.double({ min: 0, max: 40, noNaN: true }),
    dip: fc.double({ min: -4, max: 4, noNaN: true }),
    taper: fc.double({ min: -4, max: 15, noNaN: true }),
    noise: fc.array(fc.double({ min: -0.3, max: 0.3, noNaN: true }), { minLength: 81, maxLength: 81 }),
  })
  .map(({ gaps, length, start, crown, dip, taper, noise }) => {
    const total = gaps.reduce((sum, gap) => sum + gap, 0);
    const height = profile(length, crown, dip, taper);
    let along = 0;
    return [0, ...gaps].map((gap, i) => {
      along += (gap / total) * length;
      return { x: start + along, z: height(along) + (noise[i] ?? 0) };
    });
  });

describe('clean tables raise nothing', () => {
  test('random smooth profiles, uneven stations, noise', () => {
    fc.assert(fc.property(cleanTable, (points) => { expect(screenTrace(points)).toEqual([]); }), { numRuns: 2000000 });
  });

  test('the same typed in inches', () => {
    fc.assert(fc.property(cleanTable, (points) => { expect(screenTrace(points, { units: 'inch' })).toEqual([]); }), { numRuns: 20000 });
  });

  test('a rounded nose from zero height, stations crowded at the front (NACA thickness form, Report 460)', () => {
    const points = Array.from({ length: 41 }, (_, i) => {
      const u = 0.5 * (1 - Math.cos((Math.PI * i) / 40));
      const z = 5 * 0.24 * (0.2969 * Math.sqrt(u) - 0.126 * u - 0.3516 * u ** 2 + 0.2843 * u ** 3 - 0.1015 * u ** 4);
      return { x: 380 * u, z: 380 * z };
    });
    expect(screenTrace(points)).toEqual([]);
  });

  test('a flat plate, a plate at height 0, a ramp from 0, two readings, none', () => {
    const at = (z: (x: number) => number): P[] => Array.from({ length: 21 }, (_, i) => ({ x: i * 15, z: z(i * 15) }));
    for (const points of [at(() => 40), at(() => 0), at((x) => x / 10), steady(2), []]) expect(screenTrace(points)).toEqual([]);
  });
});

describe('planted slips are named with row, value and cure', () => {
  test.each([25.4, 1 / 25.4, 10, 0.1])('one height %d times off', (factor) => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 23 }), (i) => {
        const points = steady(25).map((p, k) => (k === i ? { ...p, z: p.z * factor } : p));
        const found = screenTrace(points);
        expect(found.map((remark) => remark.points)).toEqual([[i]]);
        expect(found[0]?.code).toBe(factor === 10 || factor === 0.1 ? 'decimal-slip' : 'inch-slip');
        expect(found[0]?.hint).not.toBe('');
      }),
    );
  });

  test.each([25.4, 1 / 25.4, 10, 0.1])('one station %d times off', (factor) => {
    fc.assert(
      // Not the first few, where neighbours are too far apart for their size to tell.
      fc.property(fc.integer({ min: 8, max: 23 }), (i) => {
        const points = steady(25).map((p, k) => (k === i ? { ...p, x: p.x * factor } : p));
        const found = screenTrace(points);
        expect(found.map((remark) => remark.points)).toEqual([[i]]);
        expect(found[0]?.message).toContain('station');
      }),
    );
  });

  test('a whole row in the other unit', () => {
    const points = steady(25).map((p, k) => (k === 12 ? { x: p.x / 25.4, z: p.z / 25.4 } : p));
    const [remark, ...rest] = screenTrace(points, { rows: points.map((_, i) => i + 3) });
    expect(rest).toEqual([]);
    expect(remark).toMatchObject({ code: 'inch-slip', at: 'row 15', points: [12] });
    expect(remark?.message).toBe('Station and height look 25.4 times too small against the neighbours: 5.90551 mm, 2.00787 mm, where 150 mm, 51 mm would fit.');
    expect(remark?.hint).toContain('add "in"');
  });

  test('a block in the other unit, in the middle, at the end and at the front', () => {
    for (const [from, to] of [[8, 14], [18, 24], [0, 7], [10, 11]] as const) {
      for (const factor of [25.4, 1 / 25.4]) {
        const points = steady(25).map((p, k) => (k >= from && k <= to ? { x: p.x * factor, z: p.z * factor } : p));
        const found = screenTrace(points);
        expect(found.map((remark) => remark.code), `${from}-${to} by ${factor}`).toEqual(['inch-slip']);
        expect(found[0]?.points).toEqual(Array.from({ length: to - from + 1 }, (_, i) => from + i));
        expect(found[0]?.at).toBe(to - from > 1 ? `readings ${from + 1} to ${to + 1}` : 'readings 11 and 12');
      }
    }
  });

  test('two separate slips', () => {
    const points = steady(25).map((p, k) => (k === 6 ? { ...p, z: p.z * 10 } : k === 17 ? { ...p, x: p.x / 25.4 } : p));
    expect(screenTrace(points).map((remark) => [remark.code, remark.points])).toEqual([['decimal-slip', [6]], ['inch-slip', [17]]]);
  });

  test('a reading merely wrong is not called a slip of unit', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 23 }), fc.double({ min: -15, max: 60, noNaN: true }), (i, off) => {
        const points = steady(25).map((p, k) => (k === i ? { ...p, z: p.z + off } : p));
        expect(codes(points)).toEqual([]);
      }),
    );
  });
});

describe('order and doubles', () => {
  test('reversed', () => {
    const found = screenTrace([...steady(12)].reverse());
    expect(found.map((remark) => remark.code)).toEqual(['reversed']);
    expect(found[0]?.message).toBe('Stations run downwards, from 300 mm to 0 mm.');
  });

  test('a clean table stays clean of all but "reversed" when turned round', () => {
    fc.assert(fc.property(cleanTable, (points) => { expect(codes([...points].reverse())).toEqual(['reversed']); }), { numRuns: 20000 });
  });

  test('two rows changed over: the fewest rows that are out are named', () => {
    const points = steady(15);
    const mixed = points.map((p, i) => (i === 5 ? points[6] : i === 6 ? points[5] : p) as P);
    const found = screenTrace(mixed);
    expect(found.map((remark) => remark.code)).toEqual(['out-of-order']);
    expect(found[0]?.points).toHaveLength(1);
  });

  test('a shuffled table names order only', () => {
    const points = steady(15);
    const shuffled = [7, 2, 11, 0, 14, 4, 9, 1, 13, 6, 3, 12, 5, 10, 8].map((i) => points[i] as P);
    expect(new Set(codes(shuffled))).toEqual(new Set(['out-of-order']));
  });

  test('doubles and repeated stations', () => {
    const points = steady(10);
    const twice = [...points.slice(0, 5), points[4] as P, ...points.slice(5)];
    expect(screenTrace(twice)).toMatchObject([{ code: 'same-reading', points: [4, 5], at: 'readings 5 and 6' }]);
    const two = [...points.slice(0, 5), { x: (points[4] as P).x, z: (points[4] as P).z + 0.3 }, ...points.slice(5)];
    expect(screenTrace(two)).toMatchObject([{ code: 'same-station', points: [4, 5] }]);
  });

  test('swapped columns', () => {
    const steep = Array.from({ length: 12 }, (_, i) => ({ x: i * 30, z: 20 + 25 * Math.sin((Math.PI * i) / 11) + 2 * Math.sin(i * 2.2) }));
    expect(codes(steep.map(({ x, z }) => ({ x: z, z: x })))).toEqual(['columns-swapped']);
  });
});

describe('the whole table', () => {
  test('inches read as mm and mm read as inches', () => {
    const small = steady(15).map(({ x, z }) => ({ x: x / 25.4, z: z / 25.4 }));
    expect(screenTrace(small)).toMatchObject([{ code: 'table-unit', message: 'The stations span 11.811 mm in all; read as inches they would span 300 mm.' }]);
    const large = steady(15).map(({ x, z }) => ({ x: x * 25.4, z: z * 25.4 }));
    expect(screenTrace(large, { units: 'inch' })).toMatchObject([{ code: 'table-unit' }]);
  });

  test('against a known length, even where the size alone would pass', () => {
    const part = steady(15, 1200).map(({ x, z }) => ({ x: x / 25.4, z: z / 25.4 }));
    expect(screenTrace(part)).toEqual([]);
    expect(screenTrace(part, { expectedLength: 1190 })).toMatchObject([{ code: 'table-unit' }]);
    expect(screenTrace(steady(15, 1200), { expectedLength: 1190 })).toEqual([]);
  });
});

test('100 000 clean points raise nothing', () => {
  expect(screenTrace(steady(100_000))).toEqual([]);
});
