/**
 * Templates to print 1:1 and lay on the work: the side contour with its section, and the plan with holes and tabs. Each is
 * cut into tiles that overlap and carry marks to join them by, and every sheet carries check bars both ways. What the bars
 * measured on a trial print comes back as paper.barAcross and paper.barUp, and the reprint is corrected by it.
 */
import { mmPerInch, type Units } from '../../job/quantity.ts';
import type { Job } from '../../job/schema.ts';
import type { Vec2 } from '../../maths/vec.ts';
import type { Section } from '../../section/section.ts';
import type { SolidPlan } from '../../solid/plan.ts';
import { boundsOf, label, loopPath, placed, polyline, stretched, type Bounds, type Drawing, type Mark } from '../drawing.ts';
import { planDrawing } from '../planDrawing.ts';
import { pens } from '../pens.ts';
import { letter, margin, paragraph, rectangle, sheets, sizeOf, type Page, type SheetContent, type SheetForm, type SheetHead } from './page.ts';

/** mm as drawn; what it measures tells the printer's scale. */
export const barLength = 100;
/** mm two neighbouring tiles both show. */
const overlap = 12;
const barRoom = 14;
const uprightRoom = 8;
/** mm kept free round what is drawn. */
const air = 4;

export interface TemplateInput {
  readonly job: Job;
  readonly section: Section;
  readonly plan: SolidPlan;
}

export function templateSheets({ job, section, plan }: TemplateInput, form: SheetForm, head: SheetHead): Page[] {
  const correction: Vec2 = [barLength / job.paper.barAcross, barLength / job.paper.barUp];
  const drawings: readonly { readonly name: string; readonly drawing: Drawing }[] = [
    { name: 'Contour and section', drawing: { marks: [loopPath('outline', section.outline), ...contourMarks(section, job.units)] } },
    { name: 'Plan, seen from outside', drawing: { marks: planDrawing(plan, job.units, false).marks.filter((mark) => mark.pen !== 'dimension').map((mark) => ('fill' in mark ? { ...mark, fill: false } : mark)) } },
  ];
  const tiles = drawings.flatMap(({ name, drawing }) => {
    const [upright, across] = [false, true].map((landscape) => tilesOf(name, drawing, { ...form, landscape }, correction));
    return across!.length < upright!.length ? across! : upright!;
  });
  return sheets(form, { ...head, kind: 'Template', scale: '1:1' }, tiles);
}

/** Stations along the section, to set the template by. */
function contourMarks(section: Section, units: Units): Mark[] {
  const marks: Mark[] = [polyline('centre', [[0, 0], [section.length, 0]]), polyline('centre', [[0, 0], [0, boundsOf({ marks: [loopPath('outline', section.outline)] }).most[1]]])];
  const step = units === 'inch' ? mmPerInch / 2 : 20;
  for (let x = step; x < section.length; x += step) marks.push(polyline('construction', [[x, 0], [x, 3]]), label([x, 4], units === 'inch' ? String(Number((x / mmPerInch).toFixed(1))) : String(x), letter.small));
  return marks;
}

function tilesOf(name: string, drawing: Drawing, form: SheetForm, correction: Vec2): SheetContent[] {
  const { width, height } = sizeOf(form);
  // The head of the sheet and the bars take their room; the rest is the tile.
  const window: Bounds = { least: [margin + 4 + uprightRoom, margin + 16 + barRoom + 4], most: [width - margin - 4, height - margin - 14] };
  const size: Vec2 = [window.most[0] - window.least[0], window.most[1] - window.least[1]];
  const corrected = stretched(drawing, correction);
  const { least, most } = boundsOf(corrected);
  const box: Bounds = { least: [least[0] - air, least[1] - air], most: [most[0] + air, most[1] + air] };
  const counts = [0, 1].map((axis) => Math.max(1, Math.ceil((box.most[axis]! - box.least[axis]! - overlap) / (size[axis]! - overlap)))) as [number, number];
  const tiles: SheetContent[] = [];
  for (let row = counts[1] - 1; row >= 0; row--) {
    for (let column = 0; column < counts[0]; column++) {
      const from: Vec2 = [box.least[0] + column * (size[0] - overlap), box.least[1] + row * (size[1] - overlap)];
      const empty = middle(box, size, counts);
      const to: Vec2 = [window.least[0] - from[0] + empty[0], window.least[1] - from[1] + empty[1]];
      const tile = counts[0] * counts[1] === 1 ? '' : `, tile ${String.fromCharCode(65 + (counts[1] - 1 - row))}${column + 1} of ${counts[1]} x ${counts[0]}`;
      const marks = placed(corrected, 1, to, true).marks;
      tiles.push({
        marks: [],
        landscape: form.landscape,
        layers: [
          { marks, clip: window },
          { marks: [rectangle('construction', window), ...joinMarks(window, { row, column, counts }), label([window.least[0], window.most[1] + 4], `${name}${tile}`, letter.head, 'start', 'accent'), ...checkBars(window, correction)] },
        ],
      });
    }
  }
  return tiles;
}

/** A drawing smaller than its one tile stands in the middle of it. */
const middle = (box: Bounds, size: Vec2, counts: readonly [number, number]): Vec2 =>
  [0, 1].map((axis) => (counts[axis] === 1 ? (size[axis]! - (box.most[axis]! - box.least[axis]!)) / 2 : 0)) as unknown as Vec2;

/** Crosses in the overlap: the same place of the part on both tiles. */
function joinMarks(window: Bounds, { row, column, counts }: { readonly row: number; readonly column: number; readonly counts: readonly [number, number] }): Mark[] {
  const cross = ([x, y]: Vec2): Mark[] => [polyline('accent', [[x - 4, y], [x + 4, y]]), polyline('accent', [[x, y - 4], [x, y + 4]])];
  const [x0, y0] = window.least;
  const [x1, y1] = window.most;
  const half = overlap / 2;
  const marks: Mark[] = [];
  for (const y of [y0 + (y1 - y0) * 0.2, y0 + (y1 - y0) * 0.8]) {
    if (column > 0) marks.push(...cross([x0 + half, y]));
    if (column < counts[0] - 1) marks.push(...cross([x1 - half, y]));
  }
  for (const x of [x0 + (x1 - x0) * 0.2, x0 + (x1 - x0) * 0.8]) {
    if (row > 0) marks.push(...cross([x, y0 + half]));
    if (row < counts[1] - 1) marks.push(...cross([x, y1 - half]));
  }
  return marks;
}

/** A bar each way, corrected like the drawing, with what to do with them. What counts is from edge to edge of the black. */
function checkBars({ least }: Bounds, [kx, ky]: Vec2): Mark[] {
  const [x0, y0] = [least[0], least[1] - 10];
  const [u0, v0] = [least[0] - uprightRoom + 1, least[1] + 4];
  const note = kx === 1 && ky === 1 ? 'Print at 100 %, no fitting to the page. Both bars must measure 100 mm; where they do not, type what they measure as paper.barAcross and paper.barUp and print again.' : 'Corrected by the bars as typed: both must measure 100 mm now.';
  return [
    bar([x0, y0], [x0 + barLength * kx, y0 + barThick]),
    label([x0 + (barLength * kx) / 2, y0 + barThick + 0.8], '100 mm across, from edge to edge', letter.small),
    bar([u0, v0], [u0 + barThick, v0 + barLength * ky]),
    label([u0 + barThick + 2.6, v0 + (barLength * ky) / 2], '100 mm up, from edge to edge', letter.small, 'middle', 'text', 90),
    ...paragraph(note, [x0 + barLength * kx + 6, least[1] - 2], 70, letter.small).marks,
  ];
}

const barThick = 2;

/** Black from corner to corner: the line round it is drawn inside. */
function bar([x0, y0]: Vec2, [x1, y1]: Vec2): Mark {
  const inset = pens.dimension.width / 2;
  return polyline('dimension', [[x0 + inset, y0 + inset], [x1 - inset, y0 + inset], [x1 - inset, y1 - inset], [x0 + inset, y1 - inset], [x0 + inset, y0 + inset]], true, true);
}
