/**
 * Plan -> drawing seen from outside (above): x to the right, y up; bosses and what lies under the skin hidden. With the
 * hole table beside it. mm.
 */
import type { Units } from '../job/quantity.ts';
import type { Vec2 } from '../maths/vec.ts';
import type { Segment } from '../section/section.ts';
import type { BodyPlan, SolidPlan, TabPlan, ThroughHole } from '../solid/plan.ts';
import { wallFrame } from '../solid/walls.ts';
import { centreCross, dimension, label, line, type Drawing, type Mark } from './drawing.ts';
import { holeTable, type HoleRow } from './holeTable.ts';
import { featureMarks, type PlanSide } from './planFeatures.ts';
import { sayLength } from './say.ts';

/** A closed outline through corners, each rounded by its radius (0 for sharp), counter-clockwise or clockwise as given. */
export function roundedOutline(corners: readonly { readonly at: Vec2; readonly radius: number }[]): Segment[] {
  const segments: Segment[] = [];
  const count = corners.length;
  const touch = corners.map(({ at, radius }, i) => {
    const before = corners[(i + count - 1) % count]!.at;
    const after = corners[(i + 1) % count]!.at;
    const way = (to: Vec2): Vec2 => {
      const size = Math.hypot(to[0] - at[0], to[1] - at[1]) || 1;
      return [(to[0] - at[0]) / size, (to[1] - at[1]) / size];
    };
    const [a, b] = [way(before), way(after)];
    const angle = Math.acos(Math.max(-1, Math.min(1, a[0] * b[0] + a[1] * b[1])));
    const back = radius > 0 ? radius / Math.tan(angle / 2) : 0;
    const half: Vec2 = [a[0] + b[0], a[1] + b[1]];
    const size = Math.hypot(...half) || 1;
    const centre: Vec2 = [at[0] + (half[0] / size) * (radius / Math.sin(angle / 2)), at[1] + (half[1] / size) * (radius / Math.sin(angle / 2))];
    const turn = Math.sign(a[1] * b[0] - a[0] * b[1]) || 1;
    return { from: [at[0] + a[0] * back, at[1] + a[1] * back] as Vec2, to: [at[0] + b[0] * back, at[1] + b[1] * back] as Vec2, centre, radius, sweep: turn * (Math.PI - angle) };
  });
  for (const [i, corner] of touch.entries()) {
    if (corner.radius > 0) segments.push({ kind: 'arc', from: corner.from, to: corner.to, centre: corner.centre, radius: corner.radius, sweep: corner.sweep });
    const next = touch[(i + 1) % count]!;
    segments.push(line(corner.to, next.from));
  }
  return segments;
}

export function bodyOutline(body: BodyPlan): Segment[] {
  const r = body.outsideRadius;
  const [left, right] = [body.left.closed ? r : 0, body.right.closed ? r : 0];
  return roundedOutline([
    { at: [0, 0], radius: left },
    { at: [body.length, 0], radius: left },
    { at: [body.length, body.width], radius: right },
    { at: [0, body.width], radius: right },
  ]);
}

/** The tab as it stands out from its wall; its root side is left open. */
export function tabOutline(body: BodyPlan, tab: TabPlan): Segment[] {
  const frame = wallFrame(body, tab.wall);
  const [a, b] = [tab.middle - tab.length / 2, tab.middle + tab.length / 2];
  const radius = Math.min(tab.cornerRadius, tab.length / 2, tab.reach);
  const outline = roundedOutline([
    { at: frame.plan(a, 0), radius: 0 },
    { at: frame.plan(a, tab.reach), radius },
    { at: frame.plan(b, tab.reach), radius },
    { at: frame.plan(b, 0), radius: 0 },
  ]);
  return outline.slice(0, -1);
}

/** A round hole or slot in plan. */
function holeMarks(hole: ThroughHole): Mark[] {
  const [x, y] = hole.entry;
  const shapes: Mark[] = [slotMark([x, y], hole.diameter / 2, hole)];
  if (hole.head.kind !== 'none') shapes.push(slotMark([x, y], hole.head.diameter / 2, hole));
  return [...shapes, ...centreCross([x, y], hole.diameter / 2)];
}

function slotMark(centre: Vec2, radius: number, hole: ThroughHole): Mark {
  if (hole.slot === 0) return { kind: 'circle', pen: 'outline', centre, radius };
  const [ux, uy] = hole.slotAlong;
  const half = hole.slot / 2;
  const at = (along: number, side: number): Vec2 => [centre[0] + ux * along - uy * side, centre[1] + uy * along + ux * side];
  return {
    kind: 'path',
    pen: 'outline',
    closed: true,
    segments: [
      line(at(-half, -radius), at(half, -radius)),
      { kind: 'arc', from: at(half, -radius), to: at(half, radius), centre: at(half, 0), radius, sweep: Math.PI },
      line(at(half, radius), at(-half, radius)),
      { kind: 'arc', from: at(-half, radius), to: at(-half, -radius), centre: at(-half, 0), radius, sweep: Math.PI },
    ],
  };
}

export function planDrawing(plan: SolidPlan, units: Units, withTable = true, side: PlanSide = 'above', text = Math.max(2.5, plan.body.length / 110)): Drawing {
  const { body } = plan;
  const say = (mm: number): string => sayLength(mm, units);
  const marks: Mark[] = [{ kind: 'path', pen: 'outline', closed: true, segments: bodyOutline(body), fill: true }];
  for (const tab of plan.tabs) {
    marks.push({ kind: 'path', pen: 'outline', closed: false, segments: tabOutline(body, tab), fill: true });
    if (tab.hole) marks.push(...holeMarks(tab.hole));
    const frame = wallFrame(body, tab.wall);
    const at = frame.plan(tab.middle, tab.reach + text * 1.6);
    marks.push(label([at[0], at[1] - text / 2], tab.name, text, tab.wall === 'front' ? 'end' : tab.wall === 'back' ? 'start' : 'middle'));
  }
  for (const boss of plan.bosses) {
    const centre: Vec2 = [boss.x, boss.y];
    marks.push({ kind: 'circle', pen: 'hidden', centre, radius: boss.diameter / 2 });
    if (boss.hole) marks.push({ kind: 'circle', pen: 'hidden', centre, radius: boss.hole.diameter / 2 });
    marks.push(...centreCross(centre, boss.diameter / 2), label([boss.x + boss.diameter / 2 + text * 0.6, boss.y + boss.diameter / 2], boss.name, text, 'start'));
  }
  for (const hole of plan.holes) if (Math.abs(hole.axis[2]) > 0.5) marks.push(...holeMarks(hole), label([hole.entry[0] + hole.diameter / 2 + text, hole.entry[1] + text], hole.name, text, 'start'));
  marks.push(...featureMarks(plan, side, text));
  const box = planBox(plan);
  marks.push(...dimension([0, 0], [body.length, 0], box.least[1] - text * 5, say(body.length), text));
  marks.push(...dimension([0, 0], [0, body.width], -box.least[0] + text * 5, say(body.width), text));
  if (withTable) marks.push(label([body.length / 2, box.least[1] - text * 9], `Plan seen from ${side === 'above' ? 'outside (above)' : 'the mating face (below)'}. Lengths in ${units === 'inch' ? 'inches' : 'mm'}; X from the front wall, Y from the left end.`, text));
  if (withTable) marks.push(...tableMarks(holeTable(plan), [0, box.least[1] - text * 13], text, units));
  return { marks };
}

/** How far the tabs of the front and left walls reach below and beside the body. */
export function planBox({ tabs }: SolidPlan): { readonly least: Vec2 } {
  const front = Math.max(0, ...tabs.filter((t) => t.wall === 'front').map((t) => t.reach));
  const left = Math.max(0, ...tabs.filter((t) => t.wall === 'left').map((t) => t.reach));
  return { least: [-front, -left] };
}

/** Cells of the hole table, header first. */
export function holeCells(rows: readonly HoleRow[], units: Units): string[][] {
  const say = (mm: number): string => sayLength(mm, units);
  const size = (row: HoleRow): string =>
    [row.thread ? `${row.thread} (drill ${say(row.diameter)})` : `ø${say(row.diameter)}`, row.slot > 0 ? `slot +${say(row.slot)}` : '', row.head].filter(Boolean).join(', ');
  const depth = (row: HoleRow): string => (row.depth === null ? 'through' : row.threadDepth === null ? say(row.depth) : `${say(row.depth)}, thread ${say(row.threadDepth)}`);
  return [['Hole', 'X', 'Y', 'Z', 'Size', 'Depth'], ...rows.map((row) => [row.name, say(row.x), say(row.y), say(row.z), size(row), depth(row)])];
}

function tableMarks(rows: readonly HoleRow[], at: Vec2, text: number, units: Units): Mark[] {
  if (rows.length === 0) return [];
  const columns = [0, 7, 17, 27, 37, 75].map((n) => at[0] + n * text);
  return holeCells(rows, units).flatMap((cells, row): Mark[] =>
    cells.map((cell, column) => label([columns[column] as number, at[1] - row * text * 1.8], cell, text, 'start', row === 0 ? 'accent' : 'text')),
  );
}
