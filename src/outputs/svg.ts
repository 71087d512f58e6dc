/**
 * Drawing -> SVG text, true to size: one user unit is one millimetre and width/height are given in mm, so that it prints
 * and cuts 1:1. Curves are written as exact cubic Beziers. Text is escaped; nothing from a job can become markup.
 */
import { toBeziers } from '../maths/bspline.ts';
import type { Vec2 } from '../maths/vec.ts';
import type { Segment } from '../section/section.ts';
import { boundsOf, type Drawing, type Mark, type Pen } from './drawing.ts';
import { pens } from './pens.ts';

const short = (value: number): string => String(value).replace(/^0\./, '.');

function penStyle(pen: Pen): string {
  const { stroke, width, dash } = pens[pen];
  return stroke === null ? 'stroke:none' : `stroke:${stroke};stroke-width:${short(width)}${dash.length > 0 ? `;stroke-dasharray:${dash.map(short).join(' ')}` : ''}`;
}

/** The alpha of a see-through fill is written behind its colour. */
const fillOf = (pen: Pen): string => (pens[pen].fill === null ? 'none' : `${pens[pen].fill}${pens[pen].fillOpacity < 1 ? Math.round(pens[pen].fillOpacity * 255).toString(16).padStart(2, '0') : ''}`);

export const escapeMarkup = (text: string): string =>
  text.replace(/[&<>"']/g, (c) => ({ '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' })[c] as string).replace(/[^\P{Cc}\t\n\r]/gu, '');

/** Micrometre-true numbers without trailing zeros. */
export const figure = (value: number): string => {
  const text = value.toFixed(4).replace(/\.?0+$/, '');
  return text === '-0' ? '0' : text;
};

const point = (p: Vec2): string => `${figure(p[0])} ${figure(-p[1])}`;

function segmentData(segment: Segment): string {
  if (segment.kind === 'line') return `L${point(segment.to)}`;
  if (segment.kind === 'arc') {
    const r = figure(segment.radius);
    return `A${r} ${r} 0 ${Math.abs(segment.sweep) > Math.PI ? 1 : 0} ${segment.sweep > 0 ? 0 : 1} ${point(segment.to)}`;
  }
  const pieces = toBeziers(segment.curve).map(({ poles }) => poles);
  const ordered = segment.reversed ? [...pieces].reverse().map((p) => [...p].reverse()) : pieces;
  return ordered.map((p) => `C${point(p[1] as Vec2)} ${point(p[2] as Vec2)} ${point(p[3] as Vec2)}`).join('');
}

export function startOf(segment: Segment): Vec2 {
  if (segment.kind !== 'cubic') return segment.from;
  return (segment.reversed ? segment.curve.poles.at(-1) : segment.curve.poles[0]) as Vec2;
}

/** SVG path data of joined segments, y turned down. */
export function pathData(segments: readonly Segment[], closed: boolean): string {
  const [first] = segments;
  return first === undefined ? '' : `M${point(startOf(first))}${segments.map(segmentData).join('')}${closed ? 'Z' : ''}`;
}

export function markText(mark: Mark): string {
  const fill = 'fill' in mark && mark.fill ? fillOf(mark.pen) : 'none';
  if (mark.kind === 'circle') {
    return `<circle class="${mark.pen}" cx="${figure(mark.centre[0])}" cy="${figure(-mark.centre[1])}" r="${figure(mark.radius)}" fill="${fill}"/>`;
  }
  if (mark.kind === 'path') return `<path class="${mark.pen}" fill="${fill}" d="${pathData(mark.segments, mark.closed)}"/>`;
  const turn = mark.turn ? ` transform="rotate(${figure(-mark.turn)} ${figure(mark.at[0])} ${figure(-mark.at[1])})"` : '';
  const ink = mark.pen === 'accent' || mark.pen === 'warning' ? ` fill="${pens[mark.pen].ink}"` : '';
  // A capital is about 0.7 of the font size in a plain sans.
  return `<text x="${figure(mark.at[0])}" y="${figure(-mark.at[1])}" font-size="${figure(mark.height / 0.7)}" text-anchor="${mark.anchor}"${ink}${turn}>${escapeMarkup(mark.text)}</text>`;
}

/** How the pens of these marks look, for the picture of that id alone: several may stand in one page. */
export function styleOf(id: string, marks: readonly Mark[]): string {
  const used = [...new Set(marks.map((mark) => mark.pen))].map((pen) => `#${id} .${pen}{${penStyle(pen)}}`).join('');
  return `<style>#${id} path,#${id} circle{stroke-linejoin:round}#${id} text{font-family:Barlow,'Helvetica Neue',Arial,sans-serif;fill:#1d1b16;font-variant-numeric:tabular-nums}${used}</style>`;
}

export interface SvgOptions {
  /** mm of paper round the marks. */
  readonly margin?: number;
  /** Shown by readers as the name of the picture. */
  readonly title: string;
  /** True for a picture in a page: it fills its box instead of keeping its size in mm. */
  readonly fluid?: boolean;
}

export function svgText(drawing: Drawing, options: SvgOptions): string {
  const { least, most } = boundsOf(drawing);
  const margin = options.margin ?? 5;
  const [x, y] = [least[0] - margin, -most[1] - margin];
  const [width, height] = [most[0] - least[0] + 2 * margin, most[1] - least[1] + 2 * margin];
  const size = options.fluid ? '' : ` width="${figure(width)}mm" height="${figure(height)}mm"`;
  const id = `d${[...`${options.title}${drawing.marks.length}`].reduce((hash, c) => (hash * 31 + c.charCodeAt(0)) >>> 0, 7).toString(36)}`;
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" id="${id}" role="img" aria-label="${escapeMarkup(options.title)}"${size} viewBox="${figure(x)} ${figure(y)} ${figure(width)} ${figure(height)}">` +
    `<title>${escapeMarkup(options.title)}</title>` +
    styleOf(id, drawing.marks) +
    `${drawing.marks.map(markText).join('')}</svg>\n`
  );
}
