/**
 * Fixture -> plan seen from above in the machine frame of the second operation, zero at its cross: what is cut into the
 * plate, what stands on it, the part's outline over it, and the hole table. mm.
 */
import type { FixtureHole, Holding } from '../holding/holding.ts';
import { moved } from '../holding/motion.ts';
import type { Units } from '../job/quantity.ts';
import { cross2, distance2, scale2, sub2, type Vec2 } from '../maths/vec.ts';
import type { Segment } from '../section/section.ts';
import { endOf, rectangleOutline, type Outline } from '../solid/outline.ts';
import type { SolidPlan } from '../solid/plan.ts';
import { bodyOnPlan, tabOnPlan } from '../holding/footprint.ts';
import { centreCross, dimension, label, line, polyline, type Drawing, type Mark, type Pen } from './drawing.ts';
import { machineHoleCells } from './machineHoleTable.ts';
import { sayLength } from './say.ts';

/** Strokes of an outline as segments of a drawing, moved in plan. */
export function outlineSegments({ from, strokes }: Outline, by: Vec2 = [0, 0]): Segment[] {
  const put = ([x, y]: Vec2): Vec2 => [x + by[0], y + by[1]];
  let at = from;
  return strokes.map((stroke): Segment => {
    const [a, b] = [put(at), put(endOf(stroke))];
    at = endOf(stroke);
    if (stroke.kind === 'arc') return arcThrough(a, put(stroke.by), b);
    if (stroke.kind === 'line') return line(a, b);
    throw new Error('outlineSegments: only lines and arcs');
  });
}

/** The arc from a by m to b. */
function arcThrough(a: Vec2, m: Vec2, b: Vec2): Segment {
  const [u, v] = [sub2(m, a), sub2(b, a)];
  const twice = 2 * cross2(u, v);
  const [uu, vv] = [u[0] ** 2 + u[1] ** 2, v[0] ** 2 + v[1] ** 2];
  const centre: Vec2 = [a[0] + (v[1] * uu - u[1] * vv) / twice, a[1] + (u[0] * vv - v[0] * uu) / twice];
  const angle = (p: Vec2): number => Math.atan2(p[1] - centre[1], p[0] - centre[0]);
  const turn = twice > 0 ? 1 : -1;
  const full = 2 * Math.PI;
  const sweep = turn * ((((angle(b) - angle(a)) * turn) % full) + full) % full;
  return { kind: 'arc', from: a, to: b, centre, radius: distance2(a, centre), sweep: sweep === 0 ? turn * full : sweep };
}

export function fixtureDrawing(holding: Holding, plan: SolidPlan, units: Units, withTable = true): Drawing {
  const { fixture, op2, fixtureHoles } = holding;
  const by: Vec2 = [op2.motion.shift[0], op2.motion.shift[1]];
  const put = (p: Vec2): Vec2 => [p[0] + by[0], p[1] + by[1]];
  const plate = { least: put([fixture.plate.least[0], fixture.plate.least[1]]), most: put([fixture.plate.most[0], fixture.plate.most[1]]) };
  const size = plate.most[0] - plate.least[0];
  const text = Math.max(2.5, size / 140);
  const path = (outline: Outline, pen: Pen, fill = false): Mark => ({ kind: 'path', pen, closed: true, fill, segments: outlineSegments(outline, by) });
  const say = (mm: number): string => sayLength(mm, units);
  const marks: Mark[] = [
    { kind: 'path', pen: 'outline', closed: true, fill: true, segments: outlineSegments(rectangleOutline(plate.least, plate.most)) },
    ...fixture.blocks.flatMap((block) => [block.outline, ...block.holes].map((outline) => path(outline, block.what === 'step' ? 'construction' : 'outline'))),
    ...fixture.columns.flatMap((column): Mark[] => {
      const centre = put(column.at);
      const circle: Mark = { kind: 'circle', pen: 'outline', centre, radius: column.radius };
      return column.what === 'support' ? [circle, label([centre[0], centre[1] - text / 2], column.name, text)] : [circle];
    }),
    path(bodyOnPlan(plan.body), 'hidden'),
    ...plan.tabs.map((tab) => path(tabOnPlan(plan.body, tab), 'hidden')),
    ...fixture.holes.flatMap((hole) => holeMarks(hole, put, text, sideFor(hole, holding, plan))),
    ...fixture.text.map(({ text: words, at, height, angle }): Mark => {
      const foot = put(at);
      const turn = (angle * Math.PI) / 180;
      return label([foot[0] + (height / 2) * Math.sin(turn), foot[1] - (height / 2) * Math.cos(turn)], words, height, 'middle', 'text', angle);
    }),
    ...zeroMarks(text),
    ...dimension([plate.least[0], plate.least[1]], [plate.most[0], plate.least[1]], -text * 3, say(size), text),
    ...dimension([plate.least[0], plate.least[1]], [plate.least[0], plate.most[1]], text * 3, say(plate.most[1] - plate.least[1]), text),
  ];
  if (!withTable) return { marks };
  const foot = plate.least[1] - text * 9;
  return { marks: [...marks, label([plate.least[0], foot], `Fixture for the second operation, seen from above. Lengths in ${units === 'inch' ? 'inches' : 'mm'}. Dashed: the part.`, text, 'start'), label([plate.least[0], foot - text * 1.6], `Zero: ${op2.zero.said}`, text, 'start'), ...heights(holding, [plate.least[0], foot - text * 3.4], text, say), ...table(machineHoleCells(fixtureHoles, units), [plate.least[0], foot - text * 7.2], text)] };
}

type NameSide = 'after' | 'beside' | 'before' | 'above' | 'below';

/** Where the name of a hole has room: on its pad, on the plate, off the letters beside the zero. */
function sideFor({ what, name, at }: FixtureHole, { fixture: { plate } }: Holding, { tabs }: SolidPlan): NameSide {
  const tab = tabs.find((one) => one.name === name);
  if (tab !== undefined) return tab.wall === 'front' || tab.wall === 'back' ? 'above' : 'beside';
  if (what === 'touch-off bore') return 'below';
  if (!what.startsWith('table')) return 'after';
  return at[0] > (plate.least[0] + plate.most[0]) / 2 ? 'before' : 'beside';
}

function nameOf(name: string, [x, y]: Vec2, widest: number, text: number, side: NameSide): Mark {
  if (side === 'above') return label([x, y + widest + text * 0.5], name, text);
  if (side === 'below') return label([x - widest, y - widest - text * 1.8], name, text, 'start');
  // Past the arms of the cross.
  if (side === 'before') return label([x - widest - text * 1.3, y - text / 2], name, text, 'end');
  if (side === 'beside') return label([x + widest + text * 1.3, y - text / 2], name, text, 'start');
  return label([x + widest + text * 0.5, y + widest], name, text, 'start');
}

function holeMarks(hole: FixtureHole, put: (p: Vec2) => Vec2, text: number, side: NameSide): Mark[] {
  const centre = put(hole.at);
  const radius = hole.diameter / 2;
  const widest = Math.max(radius, (hole.counterbore?.diameter ?? 0) / 2);
  const head: Mark[] = hole.counterbore === null ? [] : [{ kind: 'circle', pen: hole.counterbore.from === 'below' ? 'hidden' : 'outline', centre, radius: hole.counterbore.diameter / 2 }];
  const slot = hole.slot === null ? [] : slotSides(centre, radius, hole.slot);
  return [{ kind: 'circle', pen: 'outline', centre, radius }, ...head, ...slot, ...centreCross(centre, widest), nameOf(hole.name, centre, widest, text, side)];
}

function slotSides(centre: Vec2, radius: number, { length, along }: { readonly length: number; readonly along: Vec2 }): Mark[] {
  const out = scale2(along, length);
  return [radius, -radius].map((side) => {
    const from: Vec2 = [centre[0] - along[1] * side, centre[1] + along[0] * side];
    return polyline('outline', [from, [from[0] + out[0], from[1] + out[1]]]);
  });
}

/** A cross with the two axes named. */
function zeroMarks(text: number): Mark[] {
  const arm = text * 3;
  return [polyline('accent', [[-arm / 2, 0], [arm, 0]]), polyline('accent', [[0, -arm / 2], [0, arm]]), label([arm + text * 0.4, -text / 2], 'X', text, 'start', 'accent'), label([0, arm + text * 0.4], 'Y', text, 'middle', 'accent')];
}

/** Heights of what stands on the plate, over the Z zero. */
function heights({ fixture, op2 }: Holding, at: Vec2, text: number, say: (mm: number) => string): Mark[] {
  const up = (z: number): string => say(moved(op2.motion, [0, 0, z])[2]);
  const list = [...fixture.blocks.filter((block) => block.what !== 'step').map((block) => `${block.name} ${up(block.top)}`), ...fixture.columns.map((column) => `${column.name} ${up(column.top)}`)];
  const rows = [list.slice(0, Math.ceil(list.length / 2)), list.slice(Math.ceil(list.length / 2))];
  return rows.filter((row) => row.length > 0).map((row, i) => label([at[0], at[1] - i * text * 1.6], `${i === 0 ? 'Heights over the plate: ' : ''}${row.join(', ')}`, text, 'start'));
}

function table(cells: readonly (readonly string[])[], at: Vec2, text: number): Mark[] {
  const columns = [0, 8, 20, 29, 38, 46, 84].map((n) => at[0] + n * text);
  return cells.flatMap((row, i) => row.map((words, k) => label([columns[k]!, at[1] - i * text * 1.8], words, text, 'start', i === 0 ? 'accent' : 'text')));
}
