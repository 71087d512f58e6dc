/**
 * Pages -> PDF, every mark at its fixed place: 1 mm is 72 / 25.4 points, whatever a reader or printer makes of it later.
 * Text is text (it can be searched and copied) in the bundled font. The same pages and date give the same bytes.
 */
import PDFDocument from 'pdfkit';
import { toBytes } from 'pdfkit/output';
import { toBeziers } from '../../maths/bspline.ts';
import type { Vec2 } from '../../maths/vec.ts';
import { mmPerInch } from '../../job/quantity.ts';
import type { Segment } from '../../section/section.ts';
import type { Mark } from '../drawing.ts';
import { textWidth } from '../letterWidths.ts';
import { pens } from '../pens.ts';
import { startOf } from '../svg.ts';
import type { Page } from './page.ts';

const pointsPerMm = 72 / mmPerInch;
/** Height of a capital over the font's size, of the bundled font. */
const capital = 0.7;
const features = ['tnum', 'kern'];

export interface PdfInfo {
  readonly title: string;
  readonly subject: string;
  /** ISO 8601. */
  readonly date: string;
}

export function pdfBytes(pages: readonly Page[], info: PdfInfo, font: Uint8Array): Promise<Uint8Array> {
  const made = new Date(info.date);
  const pdf = new PDFDocument({
    autoFirstPage: false,
    font,
    lang: 'en',
    displayTitle: true,
    info: { Title: info.title, Subject: info.subject, Creator: 'coverwright', Producer: 'coverwright', CreationDate: made, ModDate: made },
  });
  // Every text is placed by our own widths (they differ by the kerning only); left to ask, the writer lays each one out three times.
  pdf.widthOfString = () => 0;
  for (const page of pages) drawPage(pdf, page);
  pdf.end();
  return toBytes(pdf);
}

function drawPage(pdf: PDFDocument, page: Page): void {
  pdf.addPage({ size: [page.width * pointsPerMm, page.height * pointsPerMm], margin: 0 });
  const at = ([x, y]: Vec2): [number, number] => [x * pointsPerMm, (page.height - y) * pointsPerMm];
  for (const { marks, clip } of page.layers) {
    pdf.save();
    if (clip !== undefined) {
      const [x0, y0] = at(clip.least);
      const [x1, y1] = at(clip.most);
      pdf.rect(x0, y1, x1 - x0, y0 - y1).clip();
    }
    for (const mark of marks) drawMark(pdf, mark, at);
    pdf.restore();
  }
}

type At = (p: Vec2) => [number, number];

function drawMark(pdf: PDFDocument, mark: Mark, at: At): void {
  const pen = pens[mark.pen];
  if (mark.kind === 'text') return drawText(pdf, mark, at);
  const fill = mark.fill === true ? pen.fill : null;
  if (pen.stroke === null && fill === null) return;
  if (mark.kind === 'circle') pdf.circle(...at(mark.centre), mark.radius * pointsPerMm);
  else {
    const [first] = mark.segments;
    if (first === undefined) return;
    pdf.moveTo(...at(startOf(first)));
    for (const segment of mark.segments) drawSegment(pdf, segment, at);
    if (mark.closed) pdf.closePath();
  }
  pdf.fillOpacity(pen.fillOpacity).lineJoin('round').lineWidth(pen.width * pointsPerMm);
  if (pen.dash.length > 0) pdf.dash(pen.dash.map((mm) => mm * pointsPerMm), { phase: 0 });
  else pdf.undash();
  if (fill !== null && pen.stroke !== null) pdf.fillAndStroke(fill, pen.stroke);
  else if (fill !== null) pdf.fill(fill);
  else pdf.stroke(pen.stroke!);
}

function drawText(pdf: PDFDocument, mark: Extract<Mark, { kind: 'text' }>, at: At): void {
  const text = mark.text.replace(/\p{Cc}+/gu, ' ');
  if (text.trim() === '') return;
  pdf.fontSize((mark.height / capital) * pointsPerMm);
  const [x, y] = at(mark.at);
  const width = mark.anchor === 'start' ? 0 : textWidth(text, mark.height) * pointsPerMm;
  const before = mark.anchor === 'middle' ? width / 2 : width;
  pdf.save().fillColor(pens[mark.pen].ink, 1);
  if (mark.turn) pdf.rotate(-mark.turn, { origin: [x, y] });
  pdf.text(text, x - before, y, { lineBreak: false, baseline: 'alphabetic', features });
  pdf.restore();
}

function drawSegment(pdf: PDFDocument, segment: Segment, at: At): void {
  if (segment.kind === 'line') pdf.lineTo(...at(segment.to));
  else if (segment.kind === 'arc') for (const [a, b, c] of arcBeziers(segment)) pdf.bezierCurveTo(...at(a), ...at(b), ...at(c));
  else {
    const pieces = toBeziers(segment.curve).map(({ poles }) => poles);
    const ordered = segment.reversed ? [...pieces].reverse().map((poles) => [...poles].reverse()) : pieces;
    for (const poles of ordered) pdf.bezierCurveTo(...at(poles[1]!), ...at(poles[2]!), ...at(poles[3]!));
  }
}

/** Quarter turns or less as cubic Beziers: off by less than 3 parts in 10 000 of the radius (the usual 4/3 tan(a/4)). */
function arcBeziers({ from, centre, radius, sweep }: Extract<Segment, { kind: 'arc' }>): (readonly [Vec2, Vec2, Vec2])[] {
  const count = Math.max(1, Math.ceil(Math.abs(sweep) / (Math.PI / 2)));
  const step = sweep / count;
  const reach = (4 / 3) * Math.tan(step / 4) * radius;
  const start = Math.atan2(from[1] - centre[1], from[0] - centre[0]);
  const on = (angle: number): Vec2 => [centre[0] + radius * Math.cos(angle), centre[1] + radius * Math.sin(angle)];
  return Array.from({ length: count }, (_, i) => {
    const [a, b] = [start + i * step, start + (i + 1) * step];
    const [p, q] = [on(a), on(b)];
    return [[p[0] - reach * Math.sin(a), p[1] + reach * Math.cos(a)], [q[0] + reach * Math.sin(b), q[1] - reach * Math.cos(b)], q] as const;
  });
}
