/**
 * How wide a line of text is, in heights of a capital: advances of Barlow Medium with tabular figures, measured from the
 * bundled font. Kerning is left out, so a line comes out a hair narrower than told. Letters not listed count as wide ones.
 */

/** Hundredths of a capital's height for the letters from space to tilde. */
const advances = [
  29, 47, 42, 96, 80, 120, 96, 21, 42, 42, 57, 71, 38, 57, 39, 61, 76, 76, 76, 76, 76, 76, 76, 76, 76, 76, 50, 45, 71, 71, 71, 69, 118, 90, 89, 87, 88, 85, 81, 88, 92, 37, 83, 88, 81, 102, 96, 89, 85, 83, 88, 84,
  82, 92, 86, 125, 86, 84, 79, 56, 61, 56, 65, 71, 30, 74, 79, 75, 79, 77, 52, 78, 77, 36, 35, 73, 34, 118, 77, 79, 80, 80, 53, 70, 53, 77, 70, 106, 71, 68, 64, 47, 26, 47, 73,
];

const others: Readonly<Record<string, number>> = { ø: 76, '°': 54, '±': 71, '×': 61, µ: 78, '–': 66, '—': 97, '²': 47, '³': 46, '½': 114, '¼': 116, '¾': 130, '…': 116, '•': 44, '≤': 71, '≥': 71, Ø: 89 };

const wide = 100;

/** mm, for capitals of `height` mm. */
export function textWidth(text: string, height: number): number {
  let sum = 0;
  for (const letter of text) sum += advances[letter.charCodeAt(0) - 32] ?? others[letter] ?? wide;
  return (sum * height) / 100;
}

/** Lines no wider than `width` mm, broken between words; a word wider than that is broken inside. */
export function wrapped(text: string, height: number, width: number): string[] {
  const lines: string[] = [];
  for (const part of text.split('\n')) {
    let now = '';
    for (const word of part.split(/ +/)) {
      const longer = now === '' ? word : `${now} ${word}`;
      if (textWidth(longer, height) <= width) {
        now = longer;
        continue;
      }
      if (now !== '') lines.push(now);
      const pieces = broken(word, height, width);
      lines.push(...pieces.slice(0, -1));
      now = pieces.at(-1) ?? '';
    }
    lines.push(now);
  }
  return lines;
}

function broken(word: string, height: number, width: number): string[] {
  const pieces = [''];
  for (const letter of word) {
    if (pieces.at(-1) !== '' && textWidth(pieces.at(-1) + letter, height) > width) pieces.push('');
    pieces[pieces.length - 1] += letter;
  }
  return pieces;
}
