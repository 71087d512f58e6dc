/** A located hole pattern -> its drawing, table and figures. mm, plan as seen from outside. */
import { mmPerInch, type Units } from '../job/quantity.ts';
import { degreesToRadians } from '../maths/angle.ts';
import type { Vec2 } from '../maths/vec.ts';
import type { HolePattern, HoleReading, ErrorEllipse } from '../holes/pattern.ts';
import { centreCross, label, polyline, type Drawing, type Mark } from './drawing.ts';

import { textFile, type OutputFile } from './file.ts';
import { sayLength } from './say.ts';
import { svgText } from './svg.ts';

const ellipsePoints = 60;

export function ellipseMark(centre: Vec2, { major, minor, angle }: ErrorEllipse, enlarged: number, pen: 'accent' | 'warning'): Mark {
  const [c, s] = [Math.cos(degreesToRadians(angle)), Math.sin(degreesToRadians(angle))];
  const points = Array.from({ length: ellipsePoints + 1 }, (_, k): Vec2 => {
    const t = (2 * Math.PI * k) / ellipsePoints;
    const [u, v] = [enlarged * major * Math.cos(t), enlarged * minor * Math.sin(t)];
    return [centre[0] + c * u - s * v, centre[1] + s * u + c * v];
  });
  return polyline(pen, points, true);
}

/** 1, 2, 5, 10 ... such that `largest` mm is drawn about `wanted` mm long. */
export function enlargement(largest: number, wanted: number): number {
  if (!(largest > 0)) return 1;
  const power = 10 ** Math.floor(Math.log10(wanted / largest));
  const lead = wanted / largest / power;
  return Math.max(1, power * (lead >= 5 ? 5 : lead >= 2 ? 2 : 1));
}

/** Size of a plan: the longer side of the box round some points. */
export function sizeOf(points: readonly Vec2[]): number {
  const span = (axis: 0 | 1): number => Math.max(...points.map((p) => p[axis])) - Math.min(...points.map((p) => p[axis]));
  return Math.max(10, span(0), span(1));
}

export interface PatternDrawing extends Drawing {
  /** How many times the ellipses are enlarged. */
  readonly enlarged: number;
}

/** `caption`: whether the drawing itself says what is enlarged. */
export function patternDrawing(pattern: HolePattern, readings: readonly HoleReading[], units: Units, caption = true): PatternDrawing {
  const size = sizeOf(pattern.holes.map((hole) => hole.at));
  const text = Math.max(2.5, size / 60);
  const enlarged = enlargement(Math.max(...pattern.holes.map((hole) => hole.shape.major)), size / 18);
  const at = new Map(pattern.holes.map((hole) => [hole.name, hole.at]));
  const doubtful = new Set(pattern.slips.flatMap((slip) => slip.suspects));
  const marks: Mark[] = readings.flatMap((reading, i): Mark[] => {
    const [from, to] = [at.get(reading.a), at.get(reading.b)];
    return from === undefined || to === undefined || reading.leaveOut ? [] : [polyline(doubtful.has(i) ? 'warning' : 'construction', [from, to])];
  });
  for (const hole of pattern.holes) {
    const radius = (hole.diameter ?? size / 60) / 2;
    marks.push({ kind: 'circle', pen: 'outline', centre: hole.at, radius }, ...centreCross(hole.at, radius), ellipseMark(hole.at, hole.shape, enlarged, 'accent'));
    marks.push(label([hole.at[0] + radius + text * 0.6, hole.at[1] + radius], `${hole.name}  ${sayLength(hole.at[0], units)}; ${sayLength(hole.at[1], units)}`, text, 'start'));
  }
  const low = Math.min(...pattern.holes.map((hole) => hole.at[1]));
  const left = Math.min(...pattern.holes.map((hole) => hole.at[0]));
  if (caption) marks.push(label([left, low - text * 5], `Seen from outside. Ellipses hold the true centre 95 times in 100, drawn ${enlarged} times their size.`, text, 'start'));
  return { marks, enlarged };
}

export function patternTable(pattern: HolePattern, units: Units): string {
  const k = units === 'inch' ? 1 / mmPerInch : 1;
  const n = units === 'inch' ? 5 : 4;
  const unit = units === 'inch' ? 'in' : 'mm';
  const f = (mm: number): string => (mm * k).toFixed(n);
  const rows = pattern.holes.map((hole) => [hole.name, f(hole.at[0]), f(hole.at[1]), hole.diameter === null ? '' : f(hole.diameter), f(hole.ellipse.major), f(hole.ellipse.minor), hole.ellipse.angle.toFixed(1), f(hole.shape.major)].join(','));
  return [`hole,x (${unit}),y (${unit}),diameter (${unit}),ellipse long half axis 95 % (${unit}),short half axis (${unit}),direction (deg),long half axis after best fit (${unit})`, ...rows, ''].join('\r\n');
}

export function patternFiles(pattern: HolePattern, readings: readonly HoleReading[], units: Units, stem: string): OutputFile[] {
  return [
    textFile(`${stem}-holes.svg`, 'image/svg+xml', 'The holes, what was measured between them, and their errors enlarged.', svgText(patternDrawing(pattern, readings, units), { title: `Hole pattern of ${stem}` })),
    textFile(`${stem}-holes.csv`, 'text/csv', 'Places and errors of the holes.', patternTable(pattern, units)),
    textFile(`${stem}-holes.json`, 'application/json', 'All figures of the pattern, in mm, for programs.', `${JSON.stringify(pattern, (_, value: unknown) => (value === Infinity ? null : value), 2)}\n`),
  ];
}
