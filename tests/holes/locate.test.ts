/**
 * Hole networks against published adjustments, against patterns known beforehand, and against hand-made bad input.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { locateHoles, readingAt } from '../../src/holes/locate.ts';
import type { HolePattern, HoleReading, NetworkSettings } from '../../src/holes/pattern.ts';
import type { Vec2 } from '../../src/maths/vec.ts';
import { unwrap, type Result } from '../../src/result.ts';
import { normals } from '../maths/noise.ts';

const usual: NetworkSettings = { readingError: 0.05, jawWidth: 0, equalHoles: false, seenFrom: 'outside' };
const centre = (a: string, b: string, value: number): HoleReading => ({ kind: 'centre', a, b, value });
const at = (pattern: HolePattern, name: string): Vec2 => pattern.holes.find((hole) => hole.name === name)!.at;
const codes = (result: Result<unknown>): string[] => (result.ok ? [] : result.issues.map((issue) => issue.code));

/** A 2 x 3 pattern such as a cover has. */
const names = ['A', 'B', 'C', 'D', 'E', 'F'];
const six: readonly Vec2[] = [[0, 0], [110, 0], [220, 0], [220, 90], [110, 90], [0, 90]];
const pairs = names.flatMap((_, i) => names.slice(i + 1).map((__, k) => [i, i + 1 + k] as const));
/** Nine readings that just hold it: the rim and three diagonals. */
const braced = pairs.filter(([i, j]) => ['0 1', '1 2', '2 3', '3 4', '4 5', '0 5', '1 4', '0 4', '1 3'].includes(`${i} ${j}`));
const gap = (p: readonly Vec2[], i: number, j: number): number => Math.hypot(p[i]![0] - p[j]![0], p[i]![1] - p[j]![1]);
const readAll = (places: readonly Vec2[], ties = pairs, noise: readonly number[] = []): HoleReading[] => ties.map(([i, j], k) => centre(names[i]!, names[j]!, gap(places, i, j) + (noise[k] ?? 0)));
const left = { hole: 'D', from: 'A', to: 'B', side: 'left' as const };

describe('published adjustments', () => {
  // C. D. Ghilani, Adjustment Computations, example 14.1 (readings from memory, coordinates seen in a public exercise file).
  // The results to eleven digits were computed from them independently (double precision); the book's 6861.32, 3727.82 agree.
  test('trilateration of one station from three known ones', () => {
    const pattern = unwrap(
      locateHoles([centre('A', 'U', 6049), centre('B', 'U', 4736.83), centre('C', 'U', 5446.49)].map((r) => ({ ...r, value: r.value / 10 })), {
        ...usual,
        readingError: 1,
        // Scaled by ten to fit the size of a part; least squares does not mind.
        known: [{ name: 'A', at: [86.54, 452.715] }, { name: 'B', at: [243.255, 204.725] }, { name: 'C', at: [286.522, 2.715] }],
      }),
    );
    const u = at(pattern, 'U');
    expect(u[0] * 10).toBeCloseTo(6861.31678772, 6);
    expect(u[1] * 10).toBeCloseTo(3727.81856572, 6);
    expect(pattern.readings.map((r) => -r.residual * 10)).toEqual([-0.03737265, 0.07679284, -0.04736557].map((v) => expect.closeTo(v, 7)));
    expect(pattern.readings.map((r) => r.redundancy)).toEqual([0.14644682, 0.61832046, 0.23523272].map((v) => expect.closeTo(v, 7)));
    expect(pattern.spread * 10).toBeCloseTo(0.09765937, 7);
    const [xx, , yy] = pattern.holes.find((h) => h.name === 'U')!.covariance;
    expect(Math.sqrt(xx) * 0.09765937).toBeCloseTo(0.07752635, 7);
    expect(Math.sqrt(yy) * 0.09765937).toBeCloseTo(0.15424891, 7);
    // One reading too many: a slip shows in all alike and cannot be placed.
    const w = pattern.readings.map((r) => Math.abs(r.normalised));
    expect(Math.max(...w) - Math.min(...w)).toBeLessThan(1e-6);
  });

  // W. Baarda, data snooping 1968: critical value 3.29 and 4.13 for 80 % power are from memory; the fixture is computed.
  const known = [[0, 0], [100, 0], [120, 60], [60, 110], [0, 80], [-20, 30]].map((p, i) => ({ name: `K${i + 1}`, at: p as unknown as Vec2 }));
  const distances = [60.22, 67.999, 77.625, 71.579, 60.214, 65.774];
  const snooped = (slip: number, without = -1): HolePattern =>
    unwrap(locateHoles(distances.map((d, i): HoleReading => ({ ...centre(`K${i + 1}`, 'P', i === 2 ? d + slip : d), leaveOut: i === without })), { ...usual, readingError: 0.01, known: known.filter((_, i) => i !== without) }));

  test('data snooping: nothing found where nothing is wrong', () => {
    const pattern = snooped(0);
    expect(at(pattern, 'P')).toEqual([expect.closeTo(45.0072647, 6), expect.closeTo(40.00367926, 6)]);
    expect(pattern.readings.map((r) => -r.normalised)).toEqual([-0.5072, 0.5726, -1.4182, 0.6585, -0.3801, -0.1786].map((v) => expect.closeTo(v, 3)));
    expect(pattern.readings.map((r) => r.redundancy)).toEqual([0.67039999, 0.65723922, 0.72723679, 0.57319201, 0.64026695, 0.73166505].map((v) => expect.closeTo(v, 6)));
    expect(pattern.readings.map((r) => r.detectable)).toEqual([0.050467, 0.05097, 0.048455, 0.054579, 0.051641, 0.048308].map((v) => expect.closeTo(v, 5)));
    expect(pattern.spread ** 2).toBeCloseTo(0.553748, 5);
    expect(pattern.slips).toEqual([]);
  });

  test('data snooping: a slip of six sigma is named', () => {
    const pattern = snooped(0.06);
    expect(at(pattern, 'P')).toEqual([expect.closeTo(44.99190879, 6), expect.closeTo(39.99774913, 6)]);
    expect(pattern.readings.map((r) => -r.normalised)).toEqual([-2.3901, 1.6742, -6.5349, 1.8494, -1.3221, -2.0584].map((v) => expect.closeTo(v, 3)));
    expect(pattern.spread ** 2).toBeCloseTo(10.727106, 4);
    expect(pattern.slips.map((s) => [s.index, s.suspects])).toEqual([[2, [2]]]);
    expect(pattern.slips[0]!.amount).toBeCloseTo(0.06, 1);
    const without = snooped(0.06, 2);
    expect(at(without, 'P')).toEqual([expect.closeTo(45.01152089, 6), expect.closeTo(40.00532295, 6)]);
    expect(without.spread ** 2).toBeCloseTo(0.067929, 5);
  });
});

describe('patterns known beforehand', () => {
  test('true distances give the true pattern, with no start given', () => {
    const pattern = unwrap(locateHoles(readAll(six), { ...usual, sides: [left] }));
    names.forEach((name, i) => expect(at(pattern, name)).toEqual([expect.closeTo(six[i]![0], 6), expect.closeTo(six[i]![1], 6)]));
    expect(pattern.mirror).toBeNull();
    expect(pattern.slips).toEqual([]);
  });

  test.each([
    ['turned and placed', { at: [12, -7] as Vec2, angle: 30 }, (p: Vec2): Vec2 => [12 + p[0] * Math.cos(Math.PI / 6) - p[1] / 2, -7 + p[0] / 2 + p[1] * Math.cos(Math.PI / 6)]],
    ['seen from the mating face', { seenFrom: 'mating' as const }, (p: Vec2): Vec2 => [p[0], -p[1]]],
    ['with another datum', { datum: { origin: 'C', towards: 'D' } }, (p: Vec2): Vec2 => [p[1], 220 - p[0]]],
  ])('%s', (_, settings, moved) => {
    const pattern = unwrap(locateHoles(readAll(six), { ...usual, ...settings, sides: [left] }));
    names.forEach((name, i) => expect(at(pattern, name)).toEqual(moved(six[i]!).map((v) => expect.closeTo(v, 6))));
  });

  test('calipers over and between holes, flat jaws on their chords', () => {
    const d = [5.5, 5.5, 6.6, 6.6, 5.5, 5.5];
    const w = 0.6;
    const seen = d.map((x) => Math.sqrt(x * x - w * w));
    // 0.6 mm flats read a 5 mm hole 0.036 small (computed from the chord).
    expect(5 - Math.sqrt(25 - 0.36)).toBeCloseTo(0.036, 3);
    const readings = pairs.flatMap(([i, j]): HoleReading[] => [
      { kind: 'outside', a: names[i]!, b: names[j]!, value: gap(six, i, j) + (seen[i]! + seen[j]!) / 2 },
      ...(i === 0 ? [{ kind: 'inside' as const, a: names[i]!, b: names[j]!, value: gap(six, i, j) - (seen[i]! + seen[j]!) / 2 }] : []),
    ]);
    const pattern = unwrap(locateHoles([...readings, { kind: 'jaws', a: 'A', b: '', value: seen[0]! }], { ...usual, jawWidth: w, sides: [left] }));
    names.forEach((name, i) => {
      expect(at(pattern, name)).toEqual([expect.closeTo(six[i]![0], 5), expect.closeTo(six[i]![1], 5)]);
      expect(pattern.holes[i]!.diameter).toBeCloseTo(d[i]!, 5);
    });
    for (const reading of readings) expect(readingAt(pattern, reading, w)).toBeCloseTo(reading.value, 5);
  });

  test('every hole from two edges of a casting', () => {
    const readings = six.flatMap(([x, y], i): HoleReading[] => [
      { kind: 'edge', a: names[i]!, b: 'foot', value: y + 8 },
      { kind: 'edge near', a: names[i]!, b: 'end', value: 230 - x - 2.75 },
    ]);
    const pattern = unwrap(
      locateHoles([...readings, { kind: 'pin', a: 'A', b: '', value: 5.5 }], { ...usual, equalHoles: true, datum: { origin: 'A', along: 'foot' }, edges: [{ name: 'end', angle: 90 }] }),
    );
    names.forEach((name, i) => expect(at(pattern, name)).toEqual([expect.closeTo(six[i]![0], 5), expect.closeTo(six[i]![1], 5)]));
    expect(pattern.mirror).toBeNull();
  });

  test('the same two edges looked at from the mating face', () => {
    const readings = six.flatMap(([x, y], i): HoleReading[] => [{ kind: 'edge', a: names[i]!, b: 'foot', value: y + 8 }, { kind: 'edge', a: names[i]!, b: 'end', value: 230 - x }]);
    const pattern = unwrap(locateHoles(readings, { ...usual, seenFrom: 'mating', datum: { origin: 'A', along: 'foot' }, edges: [{ name: 'end', angle: 90 }] }));
    names.forEach((name, i) => expect(at(pattern, name)).toEqual([expect.closeTo(six[i]![0], 5), expect.closeTo(-six[i]![1], 5)]));
  });

  test('an edge of unknown direction', () => {
    const t = 0.3;
    const readings = [...readAll(six), ...six.slice(0, 4).map(([x, y], i): HoleReading => ({ kind: 'edge', a: names[i]!, b: 'rim', value: -Math.sin(t) * x + Math.cos(t) * y + 80 }))];
    const pattern = unwrap(locateHoles(readings, { ...usual, sides: [left] }));
    expect(Math.cos(((pattern.edges[0]!.angle - (t * 180) / Math.PI) * Math.PI) / 180)).toBeCloseTo(1, 9);
    for (const reading of readings) expect(readingAt(pattern, reading, 0)).toBeCloseTo(reading.value, 5);
  });

  test('poses and order do not matter to the distances found', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.shuffledSubarray([...pairs], { minLength: 14 }), (seed, ties) => {
        const noise = normals(seed, 15).map((z) => z * 0.05);
        const byPair = new Map(pairs.map((p, k) => [p, noise[k]!]));
        const readings = ties.map((p) => centre(names[p[0]]!, names[p[1]]!, gap(six, ...p) + byPair.get(p)!));
        const sorted = [...pairs].filter((p) => ties.includes(p)).map((p) => centre(names[p[0]]!, names[p[1]]!, gap(six, ...p) + byPair.get(p)!));
        const [one, two] = [unwrap(locateHoles(readings, usual)), unwrap(locateHoles(sorted, { ...usual, datum: { origin: 'F', towards: 'C' } }))];
        for (const [i, j] of pairs) {
          const length = (p: HolePattern): number => Math.hypot(at(p, names[i]!)[0] - at(p, names[j]!)[0], at(p, names[i]!)[1] - at(p, names[j]!)[1]);
          expect(length(one)).toBeCloseTo(length(two), 5);
        }
        // The shape's errors do not know the datum either.
        const worst = (p: HolePattern): number => Math.max(...p.holes.map((h) => h.shape.major));
        expect(worst(one)).toBeCloseTo(worst(two), 6);
      }),
      { numRuns: 25, seed: 41 },
    );
  });
});

describe('what to measure next', () => {
  test('the reading named shrinks the worst ellipse as much as promised', () => {
    const nine = braced;
    const sides = [left, { hole: 'E', from: 'A', to: 'B', side: 'left' as const }, { hole: 'F', from: 'A', to: 'E', side: 'left' as const }, { hole: 'D', from: 'B', to: 'E', side: 'right' as const }, { hole: 'C', from: 'B', to: 'D', side: 'right' as const }];
    const before = unwrap(locateHoles(readAll(six, nine), { ...usual, sides }));
    const next = before.next!;
    expect(next.again).toBe(false);
    const worst = (p: HolePattern): number => Math.max(...p.holes.map((h) => h.shape.major));
    expect(next.worstNow).toBeCloseTo(worst(before), 9);
    const tried = pairs.filter((p) => !nine.includes(p)).map((p) => worst(unwrap(locateHoles(readAll(six, [...nine, p]), { ...usual, sides }))));
    expect(next.worstThen).toBeCloseTo(Math.min(...tried), 6);
  });
});

describe('bad input is named with its cure', () => {
  const refused = (readings: readonly HoleReading[], settings: Partial<NetworkSettings> = {}) => {
    const result = locateHoles(readings, { ...usual, ...settings });
    if (result.ok) throw new Error('expected a refusal');
    return result.issues;
  };

  test('too few readings: what is loose and what cures it', () => {
    const [issue] = refused([centre('A', 'B', 100), centre('B', 'C', 60), centre('C', 'D', 100), centre('D', 'A', 60)]);
    expect(issue!.code).toBe('pattern-flexible');
    expect(issue!.message).toContain('1 more reading is needed');
    expect(issue!.hint).toMatch(/Measure (A to C|B to D)/);
    expect(refused([centre('A', 'B', 100), centre('C', 'D', 60)])[0]!.code).toBe('pattern-flexible');
    expect(refused([])[0]!.code).toBe('too-few-readings');
  });

  test('a distance no triangle has', () => {
    const [issue] = refused([centre('A', 'B', 50), centre('B', 'C', 40), centre('A', 'C', 120)]);
    expect(issue!.code).toBe('no-triangle');
    expect(issue!.message).toContain('120 mm is longer than');
  });

  test('two patterns that fit equally', () => {
    // D hangs on B and C alone and may stand on either side of them.
    const [issue] = refused([centre('A', 'B', 100), centre('B', 'C', 60), centre('A', 'C', 80), centre('B', 'D', 70), centre('C', 'D', 50)]);
    expect(issue!.code).toBe('two-patterns');
    expect(issue!.hint).toContain('Measure A to D');
    const settled = locateHoles([centre('A', 'B', 100), centre('B', 'C', 60), centre('A', 'C', 80), centre('B', 'D', 70), centre('C', 'D', 50)], {
      ...usual,
      sides: [{ hole: 'C', from: 'A', to: 'B', side: 'left' }, { hole: 'D', from: 'B', to: 'C', side: 'right' }],
    });
    expect(codes(settled)).toEqual([]);
  });

  test('the mirror question is asked until it is answered', () => {
    expect(unwrap(locateHoles(readAll(six), usual)).mirror).toContain('left or right');
    expect(unwrap(locateHoles(readAll(six), { readingError: 0.05, jawWidth: 0, equalHoles: false, sides: [left] })).mirror).toContain('From which side');
  });

  test('holes on one line are not held across it', () => {
    const [issue] = refused([centre('A', 'B', 50), centre('B', 'C', 50), centre('A', 'C', 100)]);
    expect(issue!.code).toBe('pattern-flexible');
    expect(issue!.hint).toContain('straight edge');
  });

  test('diameters nothing tells', () => {
    const outside = pairs.map(([i, j]): HoleReading => ({ kind: 'outside', a: names[i]!, b: names[j]!, value: gap(six, i, j) + 5.5 }));
    const result = locateHoles(outside, { ...usual, sides: [left] });
    if (result.ok) expect(result.value.holes[0]!.diameterError).toBeGreaterThan(0.03);
    const three = refused(outside.filter((r) => 'ABC'.includes(r.a) && 'ABC'.includes(r.b)));
    expect(three.map((issue) => issue.code)).toContain('size-unknown');
  });

  test('all problems at once', () => {
    const issues = refused([centre('A', 'A', 5), { kind: 'centre', a: 'A', b: 'B', value: -3 }, { kind: 'outside', a: 'A', b: '', value: 3 }, centre('B', 'C', NaN)]);
    expect(issues.map((issue) => [issue.code, issue.at])).toEqual([['same-hole', 'reading 1'], ['bad-value', 'reading 2'], ['hole-missing', 'reading 3'], ['bad-value', 'reading 4']]);
  });

  test('a datum or a side that is not there', () => {
    expect(refused(readAll(six), { datum: { origin: 'A', towards: 'Z' }, sides: [{ ...left, hole: 'Y' }] }).map((issue) => issue.code)).toEqual(['unknown-hole', 'unknown-hole']);
  });

  test('the same reading twice is asked about', () => {
    const readings = [...readAll(six), centre('B', 'A', 110)];
    expect(unwrap(locateHoles(readings, usual)).remarks.map((r) => r.code)).toContain('reading-twice');
  });

  test('over less between must be the two holes together', () => {
    const over: HoleReading[] = [{ kind: 'outside', a: 'A', b: 'B', value: 115.5 }, { kind: 'inside', a: 'A', b: 'B', value: 104.5 }, { kind: 'jaws', a: 'A', b: '', value: 5.5 }, { kind: 'jaws', a: 'B', b: '', value: 5.5 }];
    const good = unwrap(locateHoles([...readAll(six), ...over], { ...usual, sides: [left] }));
    expect(good.checks.map((c) => [c.difference, c.passed])).toEqual([[expect.closeTo(0, 9), true]]);
    const wrong = unwrap(locateHoles([...readAll(six), { ...over[0]!, value: 116.1 }, ...over.slice(1)], { ...usual, sides: [left] }));
    expect(wrong.checks[0]).toMatchObject({ difference: expect.closeTo(0.6, 9), passed: false });
  });
});
