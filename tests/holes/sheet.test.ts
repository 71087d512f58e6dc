/** Sheets of hole readings, as typed. */
import { describe, expect, test } from 'vitest';
import { locateHoles } from '../../src/holes/locate.ts';
import { networkOf, readNetworkSheet } from '../../src/holes/networkSheet.ts';
import { readDocument } from '../../src/job/read.ts';
import { unwrap } from '../../src/result.ts';

const sheet = `# Finder bracket, dial calipers
units: mm
error: 0.05
jaw width: 0.6
seen from: mating face
datum: A to B
place: 12; -7
angle: 90
side: D left of A B
edge: foot 0
kind, hole, to, value, error
outside, A, B, 105.5
centre, A, D, 60, 0.1
centre, B, D, 116.62
edge near, A, foot, 8.2
edge, B, foot, 10.95
pin, A, 5.5
jaws, B, , 5.45
`;

describe('a sheet', () => {
  test('is read whole, and kept in a job as it was typed', () => {
    const { typed, network } = unwrap(readNetworkSheet(sheet));
    const { readings, settings } = networkOf(network);
    expect(readings).toHaveLength(7);
    expect(readings[1]).toEqual({ kind: 'centre', a: 'A', b: 'D', value: 60, error: 0.1, leaveOut: false });
    expect(readings[5]).toMatchObject({ kind: 'pin', a: 'A', b: '', value: 5.5 });
    expect(readings[6]).toMatchObject({ kind: 'jaws', a: 'B', b: '', value: 5.45 });
    expect(settings).toMatchObject({ readingError: 0.05, jawWidth: 0.6, seenFrom: 'mating', datum: { origin: 'A', towards: 'B' }, at: [12, -7], angle: 90, sides: [{ hole: 'D', from: 'A', to: 'B', side: 'left' }], edges: [{ name: 'foot', angle: 0 }] });
    const again = unwrap(readDocument({ coverwright: 1, body: { width: 50 }, pattern: typed }));
    expect(again.job.pattern).toEqual(network);
    expect(locateHoles(readings, settings).ok).toBe(true);
  });

  test('inches and fractions', () => {
    const { network } = unwrap(readNetworkSheet('units: inch\ncentre; A; B; 2 1/2\ncentre; A; C; 1,25\ncentre; B; C; 50mm\n'));
    expect(network.readings.map((r) => r.value)).toEqual([63.5, 31.75, 50]);
  });

  test('all problems at once, by line', () => {
    const read = readNetworkSheet('error: 0.05\ncentre, A, B, abc\nwide, A, B, 3\npin, A\nshade: dark\ndatum: A\n');
    expect(read.ok ? [] : read.issues.map((i) => i.at)).toEqual(['line 5', 'line 4', 'line 6']);
    const later = readNetworkSheet('error: 0.05\ncentre, A, B, abc\nwide, A, B, 3\n');
    expect(later.ok ? [] : later.issues.map((i) => i.at)).toEqual(['line 2', 'line 3']);
  });

  test.each(['', '\u0000\u0001', '   \n# only a remark\n'])('%j is refused in words', (text) => {
    const read = readNetworkSheet(text);
    const readings = read.ok ? locateHoles(networkOf(read.value.network).readings, networkOf(read.value.network).settings) : read;
    expect(readings.ok).toBe(false);
  });
});
