/** Whatever is typed, the answer is a pattern of finite numbers or reasons why not; nothing throws. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { locateHoles } from '../../src/holes/locate.ts';
import { networkOf, readNetworkSheet } from '../../src/holes/networkSheet.ts';
import { holeReadingKinds, type HoleReading } from '../../src/holes/pattern.ts';
import { readFitSheet } from '../../src/fit/fitSheet.ts';
import { diagnose } from '../../src/fit/diagnosis.ts';
import { readDocument } from '../../src/job/read.ts';
import { unwrap } from '../../src/result.ts';

const name = fc.constantFrom('A', 'B', 'C', 'D', 'E');
const length = fc.oneof(fc.integer({ min: 1, max: 2000 }).map((k) => k / 10), fc.constantFrom(0, -1, 1e-9, 1e9, NaN, Infinity, 100));
const reading = fc.record({ kind: fc.constantFrom(...holeReadingKinds), a: name, b: fc.oneof(name, fc.constantFrom('', 'foot')), value: length }) as fc.Arbitrary<HoleReading>;
const sound = reading.filter((r) => r.value > 0 && r.value < 5000 && r.a !== r.b && r.b !== '').map((r): HoleReading => (r.kind.startsWith('edge') ? { ...r, b: 'foot' } : r.b === 'foot' ? { ...r, b: r.a === 'A' ? 'B' : 'A' } : r));

const settings = fc.record({ readingError: fc.constantFrom(0.05, 1e-3, 5), jawWidth: fc.constantFrom(0, 0.6, 10), equalHoles: fc.boolean(), seenFrom: fc.constantFrom('outside' as const, 'mating' as const) });

test.each([
  ['anything', reading],
  ['sound readings that agree with nothing', sound],
] as const)('%s', (_, one) => {
  fc.assert(
    fc.property(fc.array(one, { maxLength: 16 }), settings, (readings, given) => {
      const result = locateHoles(readings, given);
      if (!result.ok) {
        expect(result.issues.every((issue) => issue.message.length > 10 && issue.hint.length > 3 && !/NaN|undefined|null/.test(issue.message + issue.hint) || /got NaN/.test(issue.message))).toBe(true);
        return;
      }
      for (const hole of result.value.holes) expect([...hole.at, ...hole.covariance, hole.ellipse.major, hole.shape.major].every(Number.isFinite), JSON.stringify(hole)).toBe(true);
      expect(result.value.readings.every((r) => Number.isFinite(r.residual) && r.redundancy >= 0 && r.redundancy <= 1)).toBe(true);
    }),
    { numRuns: 300, seed: 31 },
  );
}, 120_000);

test('any text as a sheet', () => {
  const file = unwrap(readDocument({ coverwright: 1, body: { width: 50 }, tabs: [{ wall: 'front', at: 10 }] }));
  const word = fc.constantFrom('centre', 'outside', 'pin', 'A', 'B', 'T1', ',', ';', '\t', '\n', ':', '12.5', '1/2', 'datum', 'side', 'left of', 'hole, dx', 'error', '#', ' ', '"');
  const text = fc.oneof(fc.string({ maxLength: 200 }), fc.array(word, { maxLength: 40 }).map((words) => words.join('')));
  fc.assert(
    fc.property(text, (typed) => {
      const network = readNetworkSheet(typed);
      if (network.ok) locateHoles(networkOf(network.value.network).readings, networkOf(network.value.network).settings);
      readFitSheet(typed, file);
    }),
    { numRuns: 500, seed: 32 },
  );
});

test('any offsets', () => {
  const pattern = [[0, 0], [100, 0], [100, 0], [50, 0], [0, 80]].map((at, i) => ({ name: `T${i}`, path: `tabs[${i}]`, at: at as unknown as readonly [number, number], diameter: 5.5 }));
  const offset = fc.oneof(fc.record({ dx: fc.double({ min: -5, max: 5, noNaN: true }), dy: fc.constantFrom(0, 0.1, -0.2) }), fc.record({ clock: fc.integer({ min: 1, max: 12 }), amount: fc.constantFrom(0, 0.3) }), fc.record({ pin: fc.constantFrom(5, 4.8, 3) }));
  fc.assert(
    fc.property(fc.array(offset, { minLength: 2, maxLength: 5 }), fc.constantFrom('located' as const, 'free' as const), (offsets, lay) => {
      const result = diagnose(offsets.map((o, i) => ({ hole: `T${i}`, ...o })), pattern, { on: 'print', against: 'mating part', seenFrom: 'outside', lay, madeFrom: 'A', current: 'A', readingError: 0.05, matingDiameter: 5 });
      if (!result.ok) return;
      for (const hole of result.value.holes) expect([...hole.move, ...hole.explained].every(Number.isFinite)).toBe(true);
      for (const finding of result.value.findings) expect([...finding.amount, ...finding.band, finding.chance].every(Number.isFinite), JSON.stringify(finding)).toBe(true);
    }),
    { numRuns: 100, seed: 33 },
  );
}, 120_000);
