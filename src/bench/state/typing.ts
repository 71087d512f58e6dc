/** What is typed and how it is kept. */
import { readLength } from '../../job/quantity.ts';

/** A plain number is kept as one, so that the file reads well; anything else stays the text that was typed. */
export function keepAsTyped(text: string): string | number {
  const clean = text.trim();
  return /^-?(0|[1-9]\d*)(\.\d*[1-9])?$/.test(clean) && readLength(clean, 'mm').ok ? Number(clean) : text;
}
