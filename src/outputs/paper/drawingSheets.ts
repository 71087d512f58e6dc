/**
 * The part -> its drawing: side view, plan and end view with hidden lines, the section, dimensions, the hole table from a
 * named datum, and what else a reader needs. Views are laid out in first-angle or third-angle projection (ISO 5456-2),
 * at scales of ISO 5455 (both from memory); what does not fit one sheet goes on the next.
 */
import type { Job } from '../../job/schema.ts';
import type { Units } from '../../job/quantity.ts';
import type { Vec2 } from '../../maths/vec.ts';
import type { Section } from '../../section/section.ts';
import type { Measured } from '../../solid/door.ts';
import type { SolidPlan } from '../../solid/plan.ts';
import { wallFrame } from '../../solid/walls.ts';
import { boundsOf, label, loopPath, placed, polyline, type Bounds, type Drawing, type Mark } from '../drawing.ts';
import { textWidth } from '../letterWidths.ts';
import { holeTable } from '../holeTable.ts';
import { holeCells } from '../planDrawing.ts';
import { sayLength } from '../say.ts';
import { summit } from '../sectionDrawing.ts';
import { viewPoints, type Viewer } from '../view.ts';
import { labelMarks, textBoxes, type LabelWish } from './labels.ts';
import { dimensionMarks, overhang, reachOf, type SideDimension } from './lanes.ts';
import { Flow } from './flow.ts';
import { letter, points, roomOf, sheets, type Page, type SheetForm, type SheetHead } from './page.ts';

export interface DrawingInput {
  readonly job: Job;
  readonly section: Section;
  readonly plan: SolidPlan;
  readonly measured: Measured;
  readonly look: Viewer;
}

/** A view of the part: its lines, its box and its dimensions, in mm of the part, from its own origin. */
interface View {
  readonly caption: string;
  readonly drawing: Drawing;
  readonly box: Bounds;
  readonly dimensions: readonly SideDimension[];
  readonly names: readonly { readonly at: Vec2; readonly radius: number; readonly text: string }[];
  /** Lines that names keep off, as thin boxes. */
  readonly edges: readonly Bounds[];
}

const figures = letter.text;
/** mm between views, beyond their dimensions. */
const gap = 5;
/** ISO 5455, from memory. */
export const scales = [10, 5, 2, 1, 1 / 2, 1 / 5, 1 / 10, 1 / 20, 1 / 50] as const;
export const sayScale = (scale: number): string => (scale >= 1 ? `${scale}:1` : `1:${Math.round(1 / scale)}`);

export function drawingSheets(input: DrawingInput, form: SheetForm, head: SheetHead): Page[] {
  const { job } = input;
  const views = viewsOf(input);
  const room = roomOf(form);
  const contents = [...viewSheets(views, job.paper.projection, room), ...tableSheets(input, room)];
  return sheets(form, head, contents);
}

/** One sheet of views, or two when a second one lets them be drawn larger. */
function viewSheets({ side, plan, end, section }: ReturnType<typeof viewsOf>, projection: Job['paper']['projection'], room: Bounds): { marks: Mark[]; scale: string }[] {
  const first = projection === 'first angle';
  const main: Column = { views: first ? [side, plan] : [plan, side], lined: true };
  const rest: Column = { views: [end, section], lined: false };
  const together: Columns = [main, rest];
  const apart: readonly Columns[] = [[main], [rest]];
  const one = largestScale([together], room);
  const two = largestScale(apart, room);
  const chosen = one >= two ? [together] : apart;
  const scale = Math.max(one, two);
  return chosen.map((columns, i) => ({ marks: [...layOut(columns, scale, room), ...(i === 0 ? projectionMark(projection, [room.most[0] - 34, room.least[1]]) : [])], scale: sayScale(scale) }));
}

/** Views over one another: lined up by the part's own zero, or each in the middle. */
interface Column {
  readonly views: readonly View[];
  readonly lined: boolean;
}
type Columns = readonly Column[];

/** Paper taken by a view with its dimensions and caption. */
function paperBox(view: View, scale: number): { readonly before: Vec2; readonly size: Vec2; readonly after: Vec2 } {
  const size: Vec2 = [(view.box.most[0] - view.box.least[0]) * scale, (view.box.most[1] - view.box.least[1]) * scale];
  const scaled = scaledDimensions(view, scale, [0, 0]);
  const reach = (side: SideDimension['side']): number => reachOf(scaled, side, figures);
  const at = (p: Vec2): Vec2 => [p[0] * scale, p[1] * scale];
  const [least, most] = [at(view.box.least), at(view.box.most)];
  const past = (sides: readonly SideDimension['side'][], axis: 0 | 1): Vec2 => {
    const each = sides.map((side) => overhang(scaled, side, [least[axis], most[axis]], figures));
    return [Math.max(...each.map((o) => o[0])), Math.max(...each.map((o) => o[1]))];
  };
  const [level, upright] = [past(['below', 'above'], 0), past(['left', 'right'], 1)];
  const beside = Math.max(0, (textWidth(view.caption, letter.text) - size[0]) / 2);
  return {
    before: [Math.max(reach('left'), level[0], beside), Math.max(reach('below'), upright[0]) + captionRoom],
    size,
    after: [Math.max(reach('right'), level[1], beside), Math.max(reach('above'), upright[1])],
  };
}

/** mm under a view for its caption. */
const captionRoom = 3 * letter.text;

const scaledDimensions = (view: View, scale: number, origin: Vec2): SideDimension[] =>
  view.dimensions.map((one) => ({ ...one, from: [origin[0] + scale * one.from[0], origin[1] + scale * one.from[1]], to: [origin[0] + scale * one.to[0], origin[1] + scale * one.to[1]] }));

function sizeNeeded(columns: Columns, scale: number): Vec2 {
  const boxes = columns.map(({ views }) => views.map((view) => paperBox(view, scale)));
  const widths = boxes.map((column) => Math.max(...column.map((b) => b.before[0])) + Math.max(...column.map((b) => b.size[0] + b.after[0])));
  const heights = boxes.map((column) => column.reduce((sum, b) => sum + b.before[1] + b.size[1] + b.after[1], gap * (column.length - 1)));
  return [widths.reduce((sum, width) => sum + width, 2 * gap * (columns.length - 1)), Math.max(...heights)];
}

function largestScale(pages: readonly Columns[], room: Bounds): number {
  const fits = (scale: number): boolean =>
    pages.every((columns) => {
      const [width, height] = sizeNeeded(columns, scale);
      return width <= room.most[0] - room.least[0] && height <= room.most[1] - room.least[1];
    });
  return scales.find(fits) ?? scales.at(-1)!;
}

/** Views of a column stand over one another, lined up by the part; columns stand side by side. */
function layOut(columns: Columns, scale: number, room: Bounds): Mark[] {
  const [width, height] = sizeNeeded(columns, scale);
  let x = room.least[0] + (room.most[0] - room.least[0] - width) / 2;
  const top = room.most[1] - (room.most[1] - room.least[1] - height) / 2;
  const names: Names[] = [];
  const drawn = columns.flatMap(({ views, lined }) => {
    const boxes = views.map((view) => paperBox(view, scale));
    const left = x + Math.max(...boxes.map((b) => b.before[0]));
    const widest = Math.max(...boxes.map((b) => b.size[0]));
    const least = Math.min(...views.map((view) => view.box.least[0])) * scale;
    let y = top;
    const marks = views.flatMap((view, i) => {
      const box = boxes[i]!;
      y -= box.after[1] + box.size[1];
      const originX = lined ? left - least : left + (widest - box.size[0]) / 2 - view.box.least[0] * scale;
      const origin: Vec2 = [originX, y - view.box.least[1] * scale];
      y -= box.before[1] + gap;
      names.push(namesOf(view, scale, origin));
      return viewMarks(view, scale, origin);
    });
    x = left + Math.max(...boxes.map((b) => b.size[0] + b.after[0])) + 2 * gap;
    return marks;
  });
  // Names come last: they keep off every figure of every view.
  return [...drawn, ...labelMarks(names.flatMap((one) => one.wishes), [...names.flatMap((one) => one.edges), ...textBoxes(drawn)], room, letter.text)];
}

interface Names {
  readonly wishes: readonly LabelWish[];
  readonly edges: readonly Bounds[];
}

function namesOf(view: View, scale: number, origin: Vec2): Names {
  const at = ([x, y]: Vec2): Vec2 => [origin[0] + scale * x, origin[1] + scale * y];
  return {
    wishes: view.names.map((name) => ({ ...name, at: at(name.at), radius: name.radius * scale })),
    edges: view.edges.map((edge): Bounds => ({ least: at(edge.least), most: at(edge.most) })),
  };
}

function viewMarks(view: View, scale: number, origin: Vec2): Mark[] {
  const at = ([x, y]: Vec2): Vec2 => [origin[0] + scale * x, origin[1] + scale * y];
  const around: Bounds = { least: at(view.box.least), most: at(view.box.most) };
  const dimensions = dimensionMarks(scaledDimensions(view, scale, origin), around, figures);
  const below = reachOf(scaledDimensions(view, scale, origin), 'below', figures);
  return [
    ...placed(view.drawing, scale, origin).marks.filter((mark) => !isSpeck(mark)),
    ...dimensions,
    label([(around.least[0] + around.most[0]) / 2, around.least[1] - below - 2.6 * letter.text], view.caption, letter.text),
  ];
}

/** mm of paper. Hidden lines shorter than a dash tell nothing. */
const shortestHidden = 1.2;

function isSpeck(mark: Mark): boolean {
  if (mark.kind !== 'path' || mark.pen !== 'hidden') return false;
  const { least, most } = boundsOf({ marks: [mark] });
  return Math.hypot(most[0] - least[0], most[1] - least[1]) < shortestHidden;
}

function viewsOf({ job, section, plan, measured, look }: DrawingInput): { readonly side: View; readonly plan: View; readonly end: View; readonly section: View } {
  const { units } = job;
  const say = (mm: number): string => sayLength(mm, units);
  const { least, most } = measured.box;
  const { body } = plan;
  const third = job.paper.projection === 'third angle';
  const lines = (name: keyof typeof viewPoints): Drawing => look(viewPoints[name], { hidden: true });
  const dim = (side: SideDimension['side'], from: Vec2, to: Vec2, before = ''): SideDimension => ({ side, from, to, text: `${before}${say(Math.abs(side === 'below' || side === 'above' ? to[0] - from[0] : to[1] - from[1]))}` });
  const past = (a: number, b: number): boolean => Math.abs(a - b) > 0.01;

  const front = section.top[0]!.poles[0]!;
  const back = section.top.at(-1)!.poles.at(-1)!;
  const high = summit(section);
  const side: View = {
    caption: 'Side, seen from the left end',
    drawing: lines('left'),
    box: { least: [least[0], least[2]], most: [most[0], most[2]] },
    dimensions: [
      dim('left', [0, body.frontFoot], front),
      dim('right', [body.length, body.backFoot], back),
      ...(high[1] > Math.max(front[1], back[1]) + 0.5 ? [dim('right', [high[0], 0], high)] : []),
      ...(body.frontFoot > 0.01 ? [dim('left', [0, 0], [0, body.frontFoot])] : []),
      ...(body.backFoot > 0.01 ? [dim('right', [body.length, 0], [body.length, body.backFoot])] : []),
    ],
    names: [],
    edges: [],
  };
  const above: View = {
    caption: 'Plan, seen from outside (above)',
    drawing: withCentres(lines('above'), plan),
    box: { least: [least[0], least[1]], most: [most[0], most[1]] },
    dimensions: [
      dim('below', [0, 0], [body.length, 0]),
      ...(past(least[0], 0) || past(most[0], body.length) ? [dim('below', [least[0], least[1]], [most[0], least[1]])] : []),
      dim('left', [0, 0], [0, body.width]),
      ...(past(least[1], 0) || past(most[1], body.width) ? [dim('left', [least[0], least[1]], [least[0], most[1]])] : []),
      ...plan.tabs.map((tab) => tabDimension(tab, plan, dim)),
    ],
    names: holeTable(plan).filter((row) => row.kind !== 'wall hole').map((row) => ({ at: [row.x, row.y] as Vec2, radius: row.diameter / 2 + row.slot / 2 + 1, text: row.name })),
    edges: planEdges(plan),
  };
  // First angle puts what is seen from the front on the right; third angle what is seen from the back.
  const end: View = third
    ? { caption: 'End, seen from the back', drawing: lines('back'), box: { least: [least[1], least[2]], most: [most[1], most[2]] }, dimensions: [dim('below', [0, 0], [body.width, 0]), dim('right', [body.width, 0], [body.width, most[2]])], names: [], edges: [] }
    : { caption: 'End, seen from the front', drawing: lines('front'), box: { least: [-most[1], least[2]], most: [-least[1], most[2]] }, dimensions: [dim('below', [-body.width, 0], [0, 0]), dim('right', [0, 0], [0, most[2]])], names: [], edges: [] };
  const cut: View = {
    caption: `Section at mid width; skin ${say(section.skin)} square to the top`,
    drawing: { marks: [loopPath('outline', section.outline, true)] },
    box: { least: [0, 0], most: [section.length, high[1]] },
    dimensions: [dim('below', [0, 0], [section.wall, 0]), dim('below', [section.wall, 0], [section.length - section.wall, 0]), dim('below', [section.length - section.wall, 0], [section.length, 0])],
    names: [],
    edges: [],
  };
  return { side, plan: above, end, section: cut };
}

/** Where a tab stands along its wall; its sizes are in the table. */
function tabDimension(tab: SolidPlan['tabs'][number], { body }: SolidPlan, dim: (side: SideDimension['side'], from: Vec2, to: Vec2) => SideDimension): SideDimension {
  if (tab.wall === 'front') return dim('left', [-tab.reach, 0], [-tab.reach, tab.middle]);
  if (tab.wall === 'back') return dim('right', [body.length + tab.reach, 0], [body.length + tab.reach, tab.middle]);
  return tab.wall === 'left' ? dim('below', [0, -tab.reach], [tab.middle, -tab.reach]) : dim('above', [0, body.width + tab.reach], [tab.middle, body.width + tab.reach]);
}

/** Edges of body and tabs in plan. */
function planEdges({ body, tabs }: SolidPlan): Bounds[] {
  const boxes: Bounds[] = [{ least: [0, 0], most: [body.length, body.width] }];
  for (const tab of tabs) {
    const frame = wallFrame(body, tab.wall);
    const [a, b] = [frame.plan(tab.middle - tab.length / 2, 0), frame.plan(tab.middle + tab.length / 2, tab.reach)];
    boxes.push({ least: [Math.min(a[0], b[0]), Math.min(a[1], b[1])], most: [Math.max(a[0], b[0]), Math.max(a[1], b[1])] });
  }
  return boxes.flatMap(({ least: [x0, y0], most: [x1, y1] }): Bounds[] => [
    { least: [x0, y0], most: [x1, y0] },
    { least: [x0, y1], most: [x1, y1] },
    { least: [x0, y0], most: [x0, y1] },
    { least: [x1, y0], most: [x1, y1] },
  ]);
}

function withCentres(drawing: Drawing, plan: SolidPlan): Drawing {
  const crosses = holeTable(plan)
    .filter((row) => row.kind !== 'wall hole')
    .flatMap(({ x, y, diameter }): Mark[] => {
      const reach = diameter / 2 + 1.5;
      return [polyline('centre', [[x - reach, y], [x + reach, y]]), polyline('centre', [[x, y - reach], [x, y + reach]])];
    });
  return { marks: [...drawing.marks, ...crosses] };
}

/** The sign of the projection: a cone and its end view (ISO 5456-2, from memory). */
function projectionMark(projection: Job['paper']['projection'], [x, y]: Vec2): Mark[] {
  const side = (left: number): Mark[] => [
    polyline('outline', [[left, y + 2.2], [left + 8, y + 1], [left + 8, y + 7], [left, y + 5.8], [left, y + 2.2]], true),
    polyline('centre', [[left - 1.5, y + 4], [left + 9.5, y + 4]]),
  ];
  const round = (middle: number): Mark[] => [
    { kind: 'circle', pen: 'outline', centre: [middle, y + 4], radius: 3 },
    { kind: 'circle', pen: 'outline', centre: [middle, y + 4], radius: 1.8 },
    polyline('centre', [[middle - 4.5, y + 4], [middle + 4.5, y + 4]]),
    polyline('centre', [[middle, y - 0.5], [middle, y + 8.5]]),
  ];
  return projection === 'first angle' ? [...side(x + 4), ...round(x + 22)] : [...round(x + 7), ...side(x + 18)];
}

/** Holes, tabs, notes and revisions: as many sheets as they need. */
function tableSheets(input: DrawingInput, room: Bounds): { marks: Mark[] }[] {
  const { job, plan } = input;
  const flow = new Flow(room);
  flow.heading(`Holes from datums B and C, seen from outside; lengths in ${unitName(job.units)}`);
  const [holeHead, ...holes] = holeCells(holeTable(plan), job.units);
  if (holes.length > 0) flow.table(holeHead!.map((title, i) => ({ title, width: [24, 24, 24, 24, 82, 60][i]!, align: i >= 1 && i <= 3 ? 'end' as const : 'start' as const })), holes);
  if (plan.tabs.length > 0) {
    const say = (mm: number): string => sayLength(mm, job.units);
    flow.heading('Tabs');
    flow.table(
      ['Tab', 'Wall', 'Middle', 'Seat', 'Length', 'Reach', 'Thickness', 'Corner R', 'Root R', 'Upper edges'].map((title, i) => ({ title, width: i < 2 ? 26 : 23, align: i < 2 ? ('start' as const) : ('end' as const) })),
      plan.tabs.map((tab) => [tab.name, tab.wall, ...[tab.middle, tab.seat, tab.length, tab.reach, tab.thickness, tab.cornerRadius, tab.rootRadius].map(say), tab.edgeBreak > 0 ? `${say(tab.edgeBreak)} x 45°` : 'sharp']),
    );
  }
  flow.heading('Notes');
  flow.add(points(notesOf(input), flow.at, room.most[0] - room.least[0]));
  flow.heading('Revisions');
  flow.table([{ title: 'Rev.', width: 16 }, { title: 'What changed after it, and why', width: 150 }, { title: 'Content hash', width: 60 }], [
    ...job.revisions.map((one) => [one.revision, [one.why, ...one.changes.map((c) => `${c.path}: ${c.from ?? 'nothing'} to ${c.to}`)].filter(Boolean).join('; ') || '-', one.hash.slice(0, 16)]),
    [job.revision, 'This drawing', ''],
  ]);
  return flow.pages();
}

const unitName = (units: Units): string => (units === 'inch' ? 'inches' : 'mm');

function notesOf({ job, plan, section }: DrawingInput): string[] {
  const say = (mm: number): string => sayLength(mm, job.units);
  const { body } = plan;
  const { byHand } = job.edgeBreaks;
  return [
    'Datum A: seat plane under the lower foot (Z = 0). Datum B: outer face of the front wall (X = 0). Datum C: outer face of the left end (Y = 0).',
    `The top is the smooth contour of the STEP file, one face; the model governs, this sheet shows it. Skin ${say(section.skin)} square to it, walls ${say(body.wall)}, ends ${body.left.closed ? say(body.left.thickness) : 'open'} left and ${body.right.closed ? say(body.right.thickness) : 'open'} right.`,
    `Radii: outside ${sayRadius(body.outsideRadius, say)}, upright inside corners ${sayRadius(body.insideCornerRadius, say)}, inside roof ${sayRadius(body.insideRoofRadius, say)}${plan.bosses.some((b) => b.rootRadius > 0) ? `, boss roots ${sayRadius(Math.max(...plan.bosses.map((b) => b.rootRadius)), say)}` : ''}.`,
    byHand > 0 ? `Break every other sharp edge ${say(byHand)} by hand.` : 'Edges are left as modelled: handle with care, or state an edge break.',
    `Hole positions within a circle of ${say(job.bolting.positionTolerance)} diameter about datums B and C. Untoleranced sizes: ${toleranceName(job)}.`,
    ...(plan.engravings.length > 0 ? [`Engraved: ${plan.engravings.map((text) => `"${text.text}" on the ${text.on}, ${say(text.depth)} deep`).join('; ')}.`] : []),
    'This cover is not a guard unless someone licensed to say so has said so. Electrical, pressure, structural or guarding duty needs engineering; local codes and licensed practice come first.',
  ];
}

const sayRadius = (mm: number, say: (mm: number) => string): string => (mm > 0 ? `R${say(mm)}` : 'sharp');

export const toleranceName = (job: Job): string => `ISO 2768-1 ${job.paper.generalTolerance}`;
