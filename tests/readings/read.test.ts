/** The one door of the room, and texts made to be slow: long runs that send careless patterns into a crawl. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { kindOf, readReadings } from '../../src/readings/read.ts';

const fixture = (name: string): string => readFileSync(new URL(`../fixtures/readings/${name}`, import.meta.url), 'utf8');

test.each([
  ['profile-mm.dxf', 'DXF'], ['profile-r12.dxf', 'DXF'], ['profile.svg', 'SVG'], ['profile-px.svg', 'SVG'], ['height-gauge-de.csv', 'table'], ['pencil-inch.txt', 'table'], ['probe-log.tsv', 'table'],
] as const)('%s is known by name and by how it begins', (name, kind) => {
  expect(kindOf(name, '')).toBe(kind);
  expect(kindOf('', fixture(name))).toBe(kind);
});

test('each kind is read by its own reader', () => {
  for (const name of ['profile-mm.dxf', 'profile.svg', 'height-gauge-de.csv']) {
    const result = readReadings(fixture(name), { units: 'mm', file: name });
    expect(result.ok && result.value.points.length).toBeGreaterThan(10);
    if (result.ok) expect(result.value.provenance.file).toBe(name);
  }
});

describe('a million of one character comes back with an answer', () => {
  const million = 1_000_000;
  test.each([
    ['blanks in a row', `1${' '.repeat(million)}2 x`], ['digits', `${'1'.repeat(million)}!,2`], ['commas', ','.repeat(million)], ['quotes', `${'"'.repeat(million)},1`], ['an open quote', `"${'a'.repeat(million)}`],
    ['a fraction of blanks', `1${' '.repeat(million)}/2,3`], ['a long head', `${'a ('.repeat(300_000)},z\n1,2`], ['semicolons and blanks', `;${' ;'.repeat(million / 2)}`], ['hashes', ' #'.repeat(million / 2)],
    ['tabs', `1${'\t'.repeat(million)}2`], ['minus signs', '-'.repeat(million)], ['slashes', '1/'.repeat(million / 2)],
    ['an SVG size of digits', `<svg width="${'1'.repeat(million)}!" viewBox="${'1 '.repeat(million / 2)}"><path d="M0 0L9 9"/></svg>`],
    ['SVG points of digits', `<svg width="9mm" viewBox="0 0 9 9"><polyline points="${'1'.repeat(million)}x 2"/></svg>`],
    ['an SVG transform', `<svg width="9mm" viewBox="0 0 9 9"><g transform="${'scale(1)'.repeat(million / 8)}"><path d="M0 0L9 9"/></g></svg>`],
    ['an SVG path of moves', `<svg width="9mm" viewBox="0 0 9 9"><path d="${'M1 1'.repeat(million / 4)}"/></svg>`],
    ['an SVG style of blanks', `<svg width="9mm" viewBox="0 0 9 9"><path style="${';'.repeat(million / 2)}${' '.repeat(million / 2)}x" d="M0 0L9 9"/></svg>`],
    ['DXF zeros', '0\n'.repeat(million)], ['a DXF of one long value', `0\n${'A'.repeat(million)}\n0\nEOF`],
  ])('%s', (_, text) => {
    const result = readReadings(text, { units: 'mm' });
    expect(typeof result.ok).toBe('boolean');
    if (!result.ok) for (const issue of result.issues) expect(issue.message.length).toBeLessThan(500);
  });
});
