/** Widths of text against the bundled font itself, read by opentype.js; wrapping against those widths. */
import { readFileSync } from 'node:fs';
import { parse } from 'opentype.js';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { textWidth, wrapped } from '../../../src/outputs/letterWidths.ts';
import { fitted } from '../../../src/outputs/paper/page.ts';

const bytes = readFileSync('public/fonts/Barlow-Medium.ttf');
const font = parse(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength));
const capital = font.charToGlyph('H').getBoundingBox().y2!;

test.each([...'ABCXYZabcxyz ,.;:()-+/&%@ø°±×µ²½…≤Ø'])('%s is as wide as in the font', (letter) => {
  // A hundredth of a capital is how finely the table is written.
  expect(Math.abs(textWidth(letter, 1) - font.charToGlyph(letter).advanceWidth! / capital)).toBeLessThanOrEqual(0.0051);
});

test('figures are all of one width, that of the font\'s tabular figures', () => {
  const widths = [...'0123456789'].map((figure) => textWidth(figure, 1));
  expect(new Set(widths).size).toBe(1);
  // 533 units of 1000 (tnum of Barlow Medium, measured).
  expect(widths[0]! * capital).toBeCloseTo(533, -1);
});

describe('wrapping', () => {
  const seed = 20260102;
  test(`no line is too wide and nothing is lost, seed ${seed}`, () => {
    fc.assert(
      fc.property(fc.lorem({ maxCount: 30 }), fc.double({ min: 8, max: 80, noNaN: true }), (text, width) => {
        const lines = wrapped(text, 2, width);
        for (const line of lines) expect(textWidth(line, 2)).toBeLessThanOrEqual(width);
        expect(lines.join('').replace(/ /g, '')).toBe(text.replace(/ /g, ''));
      }),
      { seed, numRuns: 300 },
    );
  });
  test('a word wider than the line is broken inside', () => expect(wrapped('incomprehensibilities', 2, 10).length).toBeGreaterThan(2));
  test('what does not fit a cell ends in an ellipsis', () => {
    expect(fitted('short', 2, 50)).toBe('short');
    const cut = fitted('a title that is far too long for its cell', 2, 20);
    expect(cut.endsWith('…')).toBe(true);
    expect(textWidth(cut, 2)).toBeLessThanOrEqual(20);
  });
});
