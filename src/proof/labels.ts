/**
 * Where the marking goes: two lines of letters in a plain field, sunk where nothing is fitted. mm.
 * The letters are as large as the field allows, between the least a nozzle writes and a size that reads from a bench.
 */
import type { Vec2, Vec3 } from '../maths/vec.ts';
import { add3, scale3 } from '../maths/vec.ts';
import type { MeshForm } from '../solid/meshRecipe.ts';
import type { SolidPlan } from '../solid/plan.ts';
import { wallFrame } from '../solid/walls.ts';
import type { WallName } from '../job/schema.ts';

export const warning = 'TEST FIT, NOT A GUARD';

/** A plain rectangle on the outside of a piece: middle, directions of reading and up, size. Its face looks along right x up. */
export interface Field {
  readonly middle: Vec3;
  readonly right: Vec3;
  readonly up: Vec3;
  readonly size: Vec2;
  /** How thick the metal is behind it. */
  readonly behind: number;
}

/** Capitals: mm. Smaller ones fill up in print (common practice, no source). */
const smallest = 2.5;
const largest = 6;
/** A letter's advance and the distance of two lines against the capital. */
const advance = 0.72;
const leading = 1.75;
/** mm; a third of the wall at most. */
const usualDepth = 0.4;
export const engravingDepth = (behind: number): number => Math.min(usualDepth, behind / 3);

/** Capitals that fit a field with these lines; 0 when none can be read. */
export function capitalFor({ size }: Field, lines: readonly string[]): number {
  const longest = Math.max(...lines.map((line) => line.length));
  const high = Math.min(largest, size[0] / (longest * advance), size[1] / (leading * (lines.length - 1) + 1.4));
  return high >= smallest ? high : 0;
}

/** The letters to cut; none when the field is too small. */
export function letteringIn(field: Field, lines: readonly string[]): MeshForm[] {
  const height = capitalFor(field, lines);
  if (height === 0) return [];
  return lines.map((text, i) => {
    const rise = ((lines.length - 1) / 2 - i) * leading * height;
    return { kind: 'letters', text, height, frame: { origin: add3(field.middle, scale3(field.up, rise)), x: field.right, y: field.up }, from: -engravingDepth(field.behind), to: 1 };
  });
}

/** The field that takes the largest letters. */
const bestField = (fields: readonly Field[], lines: readonly string[]): Field | null =>
  fields.reduce<Field | null>((best, one) => (capitalFor(one, lines) > (best === null ? 0 : capitalFor(best, lines)) ? one : best), null);

/** Two lines in one field, or one long line, or each in a field of its own; none when nothing can be read. */
export function letteringOn(fields: readonly Field[], lines: readonly [string, string]): MeshForm[] {
  const ways = [[...lines], [lines.join('  ')]].flatMap((way) => {
    const field = bestField(fields, way);
    return field === null ? [] : [{ way, field, high: capitalFor(field, way) }];
  });
  const best = ways.sort((a, b) => b.high - a.high)[0];
  if (best !== undefined) return letteringIn(best.field, best.way);
  const first = bestField(fields, [lines[1]]);
  const second = bestField(fields.filter((one) => one !== first), [lines[0]]);
  return first === null || second === null ? [] : [...letteringIn(first, [lines[1]]), ...letteringIn(second, [lines[0]])];
}

/** mm kept between letters and anything else. */
const clear = 1.5;

/** How far along X and Y a piece goes. */
export interface Reach {
  readonly least: Vec2;
  readonly most: Vec2;
}

/** Plain fields on the outer faces of the walls, within a piece, between two heights above the foot. `high` null: up to the rounded top. */
export function wallFields(plan: SolidPlan, reach: Reach, high: number | null): Field[] {
  return (['front', 'back', 'left', 'right'] as const).flatMap((wall) => {
    const frame = wallFrame(plan.body, wall);
    if (!frame.exists) return [];
    const k = wall === 'front' || wall === 'back' ? 1 : 0;
    const other = frame.plan(0, 0)[1 - k]!;
    if (other < reach.least[1 - k]! - clear || other > reach.most[1 - k]! + clear) return [];
    const from = Math.max(frame.flat[0], reach.least[k]!) + clear;
    const to = Math.min(frame.flat[1], reach.most[k]!) - clear;
    return freeStretches([from, to], obstaclesOn(plan, wall)).flatMap((stretch) => fieldsIn(plan, wall, stretch, high));
  });
}

function fieldsIn(plan: SolidPlan, wall: WallName, [from, to]: Vec2, high: number | null): Field[] {
  const frame = wallFrame(plan.body, wall);
  const foot = Math.max(frame.foot(from), frame.foot(to)) + plan.body.feetBreak + clear;
  const roof = Math.min(frame.top(from), frame.top(to)) - plan.body.outsideRadius - clear;
  const top = high === null ? roof : Math.min(roof, Math.min(frame.foot(from), frame.foot(to)) + high - clear);
  if (to <= from || top <= foot) return [];
  const [x, y] = frame.plan((from + to) / 2, 0);
  // Read from outside: right is such that right x up looks out of the wall.
  const right: Vec3 = wall === 'left' ? [1, 0, 0] : wall === 'right' ? [-1, 0, 0] : wall === 'front' ? [0, -1, 0] : [0, 1, 0];
  return [{ middle: [x, y, (foot + top) / 2], right, up: [0, 0, 1], size: [to - from, top - foot], behind: frame.thickness }];
}

/** Stretches of a wall that tabs, notches, holes and a step of the foot take. */
function obstaclesOn({ body, tabs, notches, holes }: SolidPlan, wall: WallName): Vec2[] {
  const upright = wall === 'front' || wall === 'back';
  const square = wallFrame(body, wall).out;
  return [
    ...tabs.filter((tab) => tab.wall === wall).map((tab): Vec2 => [tab.middle - tab.length / 2, tab.middle + tab.length / 2]),
    ...notches.filter((notch) => notch.wall === wall).map((notch): Vec2 => [notch.middle - notch.width / 2, notch.middle + notch.width / 2]),
    ...holes.filter((hole) => Math.abs(hole.axis[0] * square[0] + hole.axis[1] * square[1]) > 0.5).map((hole): Vec2 => {
      const u = hole.entry[upright ? 1 : 0];
      return [u - hole.diameter - hole.slot, u + hole.diameter + hole.slot];
    }),
    ...(upright || body.frontFoot === body.backFoot ? [] : [[body.stepAt, body.stepAt] as Vec2]),
  ];
}

function freeStretches([from, to]: Vec2, taken: readonly Vec2[]): Vec2[] {
  let free: Vec2[] = [[from, to]];
  for (const [a, b] of taken) free = free.flatMap(([f, t]): Vec2[] => (b + clear <= f || a - clear >= t ? [[f, t]] : [[f, Math.min(t, a - clear)], [Math.max(f, b + clear), t]]));
  return free.filter(([f, t]) => t - f > smallest);
}
