/**
 * A drawing as data: marks in mm, x right and y up, each drawn with a named pen. The board, SVG, DXF and paper all draw
 * from the same marks, so what is on the screen is what is in the file.
 */
import type { BSplineCurve } from '../maths/bspline.ts';
import { mapPoles, sampleCurve } from '../maths/bspline.ts';
import type { Vec2 } from '../maths/vec.ts';
import type { Loop, Segment } from '../section/section.ts';
import { textWidth } from './letterWidths.ts';

/** What a line means; each face decides how it looks. Names double as DXF layers. */
export type Pen = 'outline' | 'hidden' | 'centre' | 'dimension' | 'reading' | 'accent' | 'construction' | 'band' | 'text' | 'warning';

export type Mark =
  | { readonly kind: 'path'; readonly pen: Pen; readonly segments: readonly Segment[]; readonly closed: boolean; readonly fill?: boolean }
  | { readonly kind: 'circle'; readonly pen: Pen; readonly centre: Vec2; readonly radius: number; readonly fill?: boolean }
  | {
      readonly kind: 'text';
      readonly pen: Pen;
      readonly at: Vec2;
      readonly text: string;
      /** Height of a capital, mm. */
      readonly height: number;
      readonly anchor: 'start' | 'middle' | 'end';
      /** deg, counter-clockwise. */
      readonly turn?: number;
    };

export interface Drawing {
  readonly marks: readonly Mark[];
}

export interface Bounds {
  readonly least: Vec2;
  readonly most: Vec2;
}

export const line = (from: Vec2, to: Vec2): Segment => ({ kind: 'line', from, to });

export const polyline = (pen: Pen, points: readonly Vec2[], closed = false, fill = false): Mark => ({
  kind: 'path',
  pen,
  closed,
  fill,
  segments: points.slice(1).map((to, i) => line(points[i] as Vec2, to)),
});

export const curvePath = (pen: Pen, curves: readonly BSplineCurve[]): Mark => ({
  kind: 'path',
  pen,
  closed: false,
  segments: curves.map((curve) => ({ kind: 'cubic', curve, reversed: false })),
});

export const loopPath = (pen: Pen, loop: Loop, fill = false): Mark => ({ kind: 'path', pen, closed: true, fill, segments: loop.segments });

export const label = (at: Vec2, text: string, height: number, anchor: 'start' | 'middle' | 'end' = 'middle', pen: Pen = 'text', turn = 0): Mark => ({
  kind: 'text',
  pen,
  at,
  text,
  height,
  anchor,
  turn,
});

/** Two crossed centre lines through a round feature. */
export function centreCross(centre: Vec2, radius: number): Mark[] {
  const reach = radius + Math.max(1.2, radius * 0.25);
  return [
    polyline('centre', [[centre[0] - reach, centre[1]], [centre[0] + reach, centre[1]]]),
    polyline('centre', [[centre[0], centre[1] - reach], [centre[0], centre[1] + reach]]),
  ];
}

/** How the arrows and the figure of a dimension `far` mm long stand, and how far they reach past its two ends. */
export function dimensionForm(far: number, text: string, height: number): { readonly arrow: number; readonly inside: boolean; readonly beside: boolean; readonly before: number; readonly after: number } {
  const arrow = height * 0.9;
  const width = textWidth(text, height);
  // Arrows stand outside when the figure and two arrows do not fit between.
  const inside = far > height * 3;
  // A figure wider than its place stands beside it, on the line carried on.
  const beside = far < width + height * 0.4;
  return { arrow, inside, beside, before: inside ? 0 : 2 * arrow, after: beside ? 2 * arrow + width : inside ? 0 : 2 * arrow };
}

/**
 * A linear dimension between two points, drawn `offset` mm to the left of the way from -> to, with extension lines,
 * arrowheads and the figure above the line, readable from below or from the right.
 */
export function dimension(from: Vec2, to: Vec2, offset: number, text: string, height: number): Mark[] {
  const far = Math.hypot(to[0] - from[0], to[1] - from[1]);
  if (far === 0) return [];
  const along: Vec2 = [(to[0] - from[0]) / far, (to[1] - from[1]) / far];
  const square: Vec2 = [-along[1], along[0]];
  const shift = (p: Vec2, a: number, s: number): Vec2 => [p[0] + along[0] * a + square[0] * s, p[1] + along[1] * a + square[1] * s];
  const [a, b] = [shift(from, 0, offset), shift(to, 0, offset)];
  const side = Math.sign(offset) || 1;
  const gap = height * 0.5 * side;
  const over = height * 0.7 * side;
  const { arrow, inside: between, beside, before, after } = dimensionForm(far, text, height);
  const inside = between ? 1 : -1;
  const head = (tip: Vec2, way: number): Mark => polyline('dimension', [tip, shift(tip, way * arrow, arrow * 0.16), shift(tip, way * arrow, -arrow * 0.16)], true, true);
  const upright = along[0] < -1e-9 || (Math.abs(along[0]) <= 1e-9 && along[1] < 0);
  const turn = (Math.atan2(along[1], along[0]) * 180) / Math.PI + (upright ? 180 : 0);
  const above = upright ? -1 : 1;
  const middle = shift(from, beside ? far + (2 * arrow + after) / 2 : far / 2, offset + above * height * 0.45);
  return [
    polyline('dimension', [shift(from, 0, gap), shift(a, 0, over)]),
    polyline('dimension', [shift(to, 0, gap), shift(b, 0, over)]),
    inside > 0 ? polyline('dimension', [a, b]) : polyline('dimension', [shift(a, -before, 0), shift(b, after, 0)]),
    head(a, inside),
    head(b, -inside),
    label(middle, text, height, 'middle', 'dimension', turn),
  ];
}

/** All points a segment's outline needs for a box or a polyline face; curves within `tolerance` mm. */
export function segmentPoints(segment: Segment, tolerance: number): Vec2[] {
  if (segment.kind === 'line') return [segment.from, segment.to];
  if (segment.kind === 'cubic') {
    const points = sampleCurve(segment.curve, tolerance);
    return segment.reversed ? [...points].reverse() : [...points];
  }
  const turn = Math.abs(segment.sweep);
  const step = 2 * Math.acos(Math.max(-1, 1 - tolerance / Math.max(segment.radius, tolerance)));
  const count = Math.max(2, Math.ceil(turn / Math.max(step, 1e-3)));
  const start = Math.atan2(segment.from[1] - segment.centre[1], segment.from[0] - segment.centre[0]);
  return Array.from({ length: count + 1 }, (_, i): Vec2 => {
    const angle = start + (segment.sweep * i) / count;
    return [segment.centre[0] + segment.radius * Math.cos(angle), segment.centre[1] + segment.radius * Math.sin(angle)];
  });
}

/** Box round all marks. */
export function boundsOf(drawing: Drawing): Bounds {
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const mark of drawing.marks) {
    for (const [x, y] of cornersOf(mark)) {
      x0 = Math.min(x0, x);
      y0 = Math.min(y0, y);
      x1 = Math.max(x1, x);
      y1 = Math.max(y1, y);
    }
  }
  return x0 > x1 ? { least: [0, 0], most: [1, 1] } : { least: [x0, y0], most: [x1, y1] };
}

/** Points that span a mark. */
function cornersOf(mark: Mark): Vec2[] {
  if (mark.kind === 'path') return mark.segments.flatMap((segment) => segmentPoints(segment, 0.1));
  if (mark.kind === 'circle') return [[-1, -1], [1, 1]].map(([x, y]): Vec2 => [mark.centre[0] + x! * mark.radius, mark.centre[1] + y! * mark.radius]);
  return textCorners(mark);
}

/** The four corners of the box of a text, descenders included. */
export function textCorners({ text, at, height, anchor, turn }: Extract<Mark, { kind: 'text' }>): Vec2[] {
  const width = textWidth(text, height);
  const before = anchor === 'start' ? 0 : anchor === 'middle' ? width / 2 : width;
  const angle = ((turn ?? 0) * Math.PI) / 180;
  const corners: readonly Vec2[] = [[-before, -0.3 * height], [width - before, -0.3 * height], [width - before, 1.2 * height], [-before, 1.2 * height]];
  return corners.map(([u, v]): Vec2 => [at[0] + u * Math.cos(angle) - v * Math.sin(angle), at[1] + u * Math.sin(angle) + v * Math.cos(angle)]);
}

/** The same drawing seen from the other side: x' = about - x. Text stays readable. */
export function mirrored(drawing: Drawing, about: number): Drawing {
  const turned = { start: 'end', middle: 'middle', end: 'start' } as const;
  const marks = mapped(drawing.marks, (p) => [about - p[0], p[1]], 1, true);
  return { marks: marks.map((mark) => (mark.kind === 'text' ? { ...mark, anchor: turned[mark.anchor] } : mark)) };
}

/** The drawing `scale` times as large, its origin moved to `to`. Texts are scaled with it unless `keepText`. */
export function placed(drawing: Drawing, scale: number, to: Vec2, keepText = false): Drawing {
  const marks = mapped(drawing.marks, (p) => [to[0] + scale * p[0], to[1] + scale * p[1]], scale, false);
  return { marks: keepText ? marks : marks.map((mark) => (mark.kind === 'text' ? { ...mark, height: mark.height * scale } : mark)) };
}

/** The drawing stretched along x and y by factors near 1, for a printer that is off by as much. Round things stay round. */
export function stretched(drawing: Drawing, [kx, ky]: Vec2): Drawing {
  return { marks: mapped(drawing.marks.map((mark) => (mark.kind === 'path' ? withoutArcs(mark) : mark)), (p) => [p[0] * kx, p[1] * ky], Math.sqrt(kx * ky), false) };
}

/** Arcs as short lines: stretched unevenly they are arcs no more. */
function withoutArcs(mark: Extract<Mark, { kind: 'path' }>): Mark {
  if (!mark.segments.some((segment) => segment.kind === 'arc')) return mark;
  const segments = mark.segments.flatMap((segment): Segment[] => {
    if (segment.kind !== 'arc') return [segment];
    const points = segmentPoints(segment, 0.005);
    return points.slice(1).map((to, i) => line(points[i]!, to));
  });
  return { ...mark, segments };
}

/** Every point moved by `move`, which keeps shapes but for size (and, `flips`, side). */
function mapped(marks: readonly Mark[], move: (p: Vec2) => Vec2, scale: number, flips: boolean): Mark[] {
  const segment = (s: Segment): Segment => {
    if (s.kind === 'line') return { ...s, from: move(s.from), to: move(s.to) };
    if (s.kind === 'arc') return { ...s, from: move(s.from), to: move(s.to), centre: move(s.centre), radius: s.radius * scale, sweep: flips ? -s.sweep : s.sweep };
    return { ...s, curve: mapPoles(s.curve, move) };
  };
  return marks.map((mark): Mark => {
    if (mark.kind === 'path') return { ...mark, segments: mark.segments.map(segment) };
    if (mark.kind === 'circle') return { ...mark, centre: move(mark.centre), radius: mark.radius * scale };
    return { ...mark, at: move(mark.at) };
  });
}
