/** What a person would see wrong with a page: text over text, or marks past the frame. */
import { boundsOf, textCorners, type Mark } from '../../../src/outputs/drawing.ts';
import { margin, type Page } from '../../../src/outputs/paper/page.ts';

export type Text = Extract<Mark, { kind: 'text' }>;
export const texts = (page: Page): Text[] => page.layers.filter((layer) => layer.clip === undefined).flatMap((layer) => layer.marks).filter((mark) => mark.kind === 'text' && mark.text.trim() !== '') as Text[];

/** Box of a text without the air above and below the letters. */
function inkBox(text: Text): { x0: number; y0: number; x1: number; y1: number } {
  const corners = textCorners({ ...text });
  const pad = 0.2 * text.height;
  const xs = corners.map((c) => c[0]);
  const ys = corners.map((c) => c[1]);
  return { x0: Math.min(...xs) + pad, y0: Math.min(...ys) + pad, x1: Math.max(...xs) - pad, y1: Math.max(...ys) - pad };
}

export function overlaps(page: Page): string[] {
  const all = texts(page).map((text) => ({ text: text.text, ...inkBox(text) }));
  return all.flatMap((a, i) => all.slice(i + 1).filter((b) => a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1).map((b) => `"${a.text}" over "${b.text}"`));
}


/** mm that anything reaches past the frame; 0 when nothing does. */
export function outside(page: Page): number {
  const { least, most } = boundsOf({ marks: page.layers.filter((layer) => layer.clip === undefined).flatMap((layer) => layer.marks) });
  const past = Math.max(margin - least[0], margin - least[1], most[0] - (page.width - margin), most[1] - (page.height - margin));
  // The line of the frame itself has a width, and boxes of turned text are loose by a hair.
  return past < 0.1 ? 0 : past;
}
