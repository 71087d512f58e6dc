/** A diagnosis -> a plan with its arrows, drawn enlarged with the factor stated. mm, as seen from outside. */
import type { Diagnosis } from '../fit/diagnosis.ts';
import type { Vec2 } from '../maths/vec.ts';
import { centreCross, label, polyline, type Drawing, type Mark, type Pen } from './drawing.ts';
import { enlargement, sizeOf } from './patternFiles.ts';

/** An arrow from `from` along `way`, with a head of a quarter of its length. */
export function arrowMarks(from: Vec2, way: Vec2, pen: Pen): Mark[] {
  const length = Math.hypot(...way);
  if (length === 0) return [];
  const to: Vec2 = [from[0] + way[0], from[1] + way[1]];
  const [ux, uy] = [(way[0] / length) * Math.min(length / 4, 4), (way[1] / length) * Math.min(length / 4, 4)];
  return [polyline(pen, [from, to]), polyline(pen, [[to[0] - ux + uy / 2, to[1] - uy - ux / 2], to, [to[0] - ux - uy / 2, to[1] - uy + ux / 2]])];
}

export interface FitDrawing extends Drawing {
  /** How many times the arrows are enlarged. */
  readonly enlarged: number;
}

/** `caption`: whether the drawing itself says what its arrows mean. */
export function fitDrawing(diagnosis: Diagnosis, caption = true): FitDrawing {
  const places = diagnosis.holes.map((hole) => hole.at);
  const size = sizeOf(places);
  const text = Math.max(2.5, size / 60);
  const enlarged = enlargement(Math.max(...diagnosis.holes.map((hole) => hole.distance)), size / 8);
  const times = ([x, y]: Vec2): Vec2 => [x * enlarged, y * enlarged];
  const marks = diagnosis.holes.flatMap((hole): Mark[] => [
    { kind: 'circle', pen: 'outline', centre: hole.at, radius: size / 90 },
    ...centreCross(hole.at, size / 90),
    label([hole.at[0] + text, hole.at[1] - text * 2], hole.name, text, 'start'),
    ...(hole.offset === null ? [] : arrowMarks(hole.at, times(hole.offset), 'reading')),
    ...arrowMarks(hole.at, times(hole.move), 'accent'),
    ...(hole.left === null ? [] : arrowMarks([hole.at[0] + enlarged * hole.explained[0], hole.at[1] + enlarged * hole.explained[1]], times(hole.left), 'warning')),
  ]);
  const low = Math.min(...places.map((p) => p[1]));
  const left = Math.min(...places.map((p) => p[0]));
  const lines = [`Arrows show the way each hole has to move, drawn ${enlarged} times their size. Seen from outside.`, 'Black: as read. Blue: what the design changes by. Red: what nothing explains.', diagnosis.summary];
  if (!caption) return { marks, enlarged };
  return { enlarged, marks: [...marks, ...lines.map((line, i) => label([left, low - text * (5 + 2 * i)], line, text, 'start'))] };
}
