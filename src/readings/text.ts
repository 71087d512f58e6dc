/**
 * What came in as text -> lines fit to be read, or one clear reason why not. Decoding bytes is the face's work; this room
 * sees text only, and says so when the text is not one.
 */
import { ok, refuse, type Result } from '../result.ts';

/** Characters. The 200 000 readings a job takes, at 160 characters a row: more is not a table of readings. */
export const longestText = 32_000_000;

// Control characters that no text table, DXF or SVG holds. NUL first among them.
// oxlint-disable-next-line no-control-regex
const notText = /[\u0000-\u0008\u000e-\u001f]/;

/** Removes a byte order mark and brings line ends to one form. Refuses empty, oversized and binary input. */
export function cleanText(text: string, what: 'table' | 'DXF' | 'SVG', limit: number = longestText): Result<string> {
  if (text.length > limit) {
    return refuse({
      code: 'text-too-long',
      at: '',
      message: `Expected a ${what} of at most ${sayMillions(limit)} characters, got ${sayMillions(text.length)}.`,
      hint: 'Keep only the part that holds the readings of this contour.',
    });
  }
  if (text.startsWith('PK\u0003\u0004')) {
    return refuse({ code: 'not-text', at: '', message: `Expected a ${what} as text, got a packed file such as a workbook.`, hint: 'Save or export the sheet as CSV (UTF-8) and read that.' });
  }
  const odd = notText.exec(text);
  if (odd !== null) {
    return refuse({
      code: 'not-text',
      at: '',
      message: `Expected a ${what} as text, got bytes that are not text (code ${odd[0].charCodeAt(0)} at character ${odd.index + 1}).`,
      hint: what === 'DXF' ? 'Save it as a text (ASCII) DXF.' : 'Save it as plain text, UTF-8.',
    });
  }
  const plain = text.replace(/^\ufeff/, '').replace(/\r\n?/g, '\n');
  if (plain.trim() === '') {
    return refuse({ code: 'empty', at: '', message: `Expected a ${what}, got nothing.`, hint: 'Choose a file with readings in it, or paste the rows.' });
  }
  return ok(plain);
}

const sayMillions = (count: number): string => (count < 1e6 ? String(count) : `${Number((count / 1e6).toPrecision(3))} million`);
