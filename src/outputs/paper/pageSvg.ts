/** A page of paper -> SVG for looking at: the same marks as the PDF, on white. */
import { escapeMarkup, figure, markText, styleOf } from '../svg.ts';
import type { Page } from './page.ts';

export function pageSvg(page: Page): string {
  const { width, height, layers } = page;
  const clips = layers.map(({ clip }, i) => (clip === undefined ? '' : `<clipPath id="c${i}"><rect x="${figure(clip.least[0])}" y="${figure(-clip.most[1])}" width="${figure(clip.most[0] - clip.least[0])}" height="${figure(clip.most[1] - clip.least[1])}"/></clipPath>`)).join('');
  const marks = layers.map((layer, i) => `<g${layer.clip === undefined ? '' : ` clip-path="url(#c${i})"`}>${layer.marks.map(markText).join('')}</g>`).join('');
  // y runs up on the page and down in SVG, so the page lies at negative y.
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" id="page" role="img" aria-label="${escapeMarkup(page.name)}" width="${figure(width)}mm" height="${figure(height)}mm" viewBox="0 ${figure(-height)} ${figure(width)} ${figure(height)}">` +
    `<title>${escapeMarkup(page.name)}</title>${styleOf('page', layers.flatMap((layer) => layer.marks))}<defs>${clips}</defs><rect x="0" y="${figure(-height)}" width="${figure(width)}" height="${figure(height)}" fill="#fff"/>${marks}</svg>\n`
  );
}
