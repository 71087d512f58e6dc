/**
 * Drawn lines, arcs and splines -> pieces with exact ends that can be walked along and turned into points. Plane of the
 * drawing, its own unit or mm as the caller says; x right, z up, angles counter-clockwise.
 *
 * Curves are evaluated from their own definition (centre and radius, Bezier, NURBS by de Boor's algorithm on weighted
 * points), never through another approximation.
 */
import type { Vec2 } from '../maths/vec.ts';
import { mostReadings } from './reading.ts';

/** One drawn curve, t from 0 to 1. */
export interface Piece {
  readonly kind: 'line' | 'arc' | 'curve';
  readonly from: Vec2;
  readonly to: Vec2;
  /** at(0) = from, at(1) = to. */
  at(t: number): Vec2;
  /** Parameters where the shape may turn sharply or change law; ascending, strictly between 0 and 1. */
  readonly breaks: readonly number[];
}

const mix = (a: Vec2, b: Vec2, t: number): Vec2 => [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t];

export const line = (from: Vec2, to: Vec2): Piece => ({ kind: 'line', from, to, at: (t) => mix(from, to, t), breaks: [] });

/** Elliptic or circular arc: centre, two half axes as vectors, start and sweep in rad (positive from `u` towards `v`). */
export function ellipticArc(centre: Vec2, u: Vec2, v: Vec2, start: number, sweep: number, ends?: readonly [Vec2, Vec2]): Piece {
  const point = (angle: number): Vec2 => [
    centre[0] + u[0] * Math.cos(angle) + v[0] * Math.sin(angle),
    centre[1] + u[1] * Math.cos(angle) + v[1] * Math.sin(angle),
  ];
  const from = ends?.[0] ?? point(start);
  const to = ends?.[1] ?? point(start + sweep);
  // Quarter turns, so that no stretch is long enough to fool a midpoint.
  const quarters = Math.ceil(Math.abs(sweep) / (Math.PI / 2));
  return {
    kind: 'arc',
    from,
    to,
    at: (t) => (t <= 0 ? from : t >= 1 ? to : point(start + sweep * t)),
    breaks: Array.from({ length: Math.max(0, quarters - 1) }, (_, i) => (i + 1) / quarters),
  };
}

/** Circular arc; angles in rad. */
export const arc = (centre: Vec2, radius: number, start: number, sweep: number): Piece => ellipticArc(centre, [radius, 0], [0, radius], start, sweep);

/**
 * Arc between two points with a bulge: the tangent of a quarter of its angle, positive counter-clockwise (DXF reference;
 * 1 is a half circle). A bulge of 0 is a straight line.
 */
export function bulgeArc(from: Vec2, to: Vec2, bulge: number): Piece {
  const [dx, dz] = [to[0] - from[0], to[1] - from[1]];
  const chord = Math.hypot(dx, dz);
  if (bulge === 0 || chord === 0) return line(from, to);
  // Signed distance from the middle of the chord to the centre, to its left.
  const height = (chord * (1 - bulge * bulge)) / (4 * bulge);
  const centre: Vec2 = [(from[0] + to[0]) / 2 - (dz / chord) * height, (from[1] + to[1]) / 2 + (dx / chord) * height];
  const radius = Math.hypot(from[0] - centre[0], from[1] - centre[1]);
  const start = Math.atan2(from[1] - centre[1], from[0] - centre[0]);
  return ellipticArc(centre, [radius, 0], [0, radius], start, 4 * Math.atan(bulge), [from, to]);
}

/** Bezier curve of any degree, by de Casteljau. */
export function bezier(poles: readonly Vec2[]): Piece {
  const at = (t: number): Vec2 => {
    let row = poles;
    while (row.length > 1) row = row.slice(1).map((p, i) => mix(row[i] as Vec2, p, t));
    return row[0] as Vec2;
  };
  // Halves, so that an S is not taken for a straight line.
  return { kind: 'curve', from: poles[0] as Vec2, to: poles.at(-1) as Vec2, at, breaks: [1 / 4, 1 / 2, 3 / 4] };
}

/** Non-uniform rational B-spline. knots = poles + degree + 1, non-decreasing; weights positive, one per pole. */
export interface Nurbs {
  readonly degree: number;
  readonly knots: readonly number[];
  readonly poles: readonly Vec2[];
  readonly weights: readonly number[];
}

/** The curve over its whole domain, knots[degree] to knots[poles]. Clamped or not. */
export function nurbs(curve: Nurbs): Piece {
  const { degree, knots, poles } = curve;
  const start = knots[degree] as number;
  const end = knots[poles.length] as number;
  const at = (t: number): Vec2 => nurbsPoint(curve, t >= 1 ? end : start + (end - start) * t);
  const inner = [...new Set(knots.filter((knot) => knot > start && knot < end))].map((knot) => (knot - start) / (end - start));
  const edges = [0, ...inner, 1];
  const breaks = edges.slice(1).flatMap((edge, i) => {
    const before = edges[i] as number;
    return [before + (edge - before) / 3, before + ((edge - before) * 2) / 3, edge];
  });
  return { kind: 'curve', from: at(0), to: at(1), at, breaks: breaks.slice(0, -1) };
}

/** Last span from degree to poles - 1 that starts at or before u, by bisection. */
function spanOf(knots: readonly number[], degree: number, poles: number, u: number): number {
  let low = degree;
  let high = poles - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if ((knots[middle] as number) <= u) low = middle;
    else high = middle - 1;
  }
  // At the far end, or on a repeated knot, step back to a span that has a width.
  while (low > degree && knots[low] === knots[low + 1]) low--;
  return low;
}

/** De Boor's algorithm on (w x, w z, w). */
function nurbsPoint({ degree, knots, poles, weights }: Nurbs, u: number): Vec2 {
  const span = spanOf(knots, degree, poles.length, u);
  const rows = Array.from({ length: degree + 1 }, (_, j): [number, number, number] => {
    const index = span - degree + j;
    const [x, z] = poles[index] as Vec2;
    const w = weights[index] as number;
    return [x * w, z * w, w];
  });
  for (let level = 1; level <= degree; level++) {
    for (let j = degree; j >= level; j--) {
      const low = knots[span - degree + j] as number;
      const width = (knots[span + 1 + j - level] as number) - low;
      const part = width === 0 ? 0 : (u - low) / width;
      const [a, b] = [rows[j - 1], rows[j]] as [[number, number, number], [number, number, number]];
      rows[j] = [a[0] + (b[0] - a[0]) * part, a[1] + (b[1] - a[1]) * part, a[2] + (b[2] - a[2]) * part];
    }
  }
  const [x, z, w] = rows[degree] as [number, number, number];
  return [x / w, z / w];
}

/** The same piece walked the other way. */
export const reversed = (piece: Piece): Piece => ({
  kind: piece.kind,
  from: piece.to,
  to: piece.from,
  at: (t) => piece.at(1 - t),
  breaks: [...piece.breaks].reverse().map((t) => 1 - t),
});

/** The same piece through an affine map or any other; straight lines must stay straight. */
export function mapped(piece: Piece, map: (p: Vec2) => Vec2): Piece {
  const from = map(piece.from);
  const to = map(piece.to);
  return { kind: piece.kind, from, to, at: piece.kind === 'line' ? (t) => mix(from, to, t) : (t) => map(piece.at(t)), breaks: piece.breaks };
}

// A curve halved this often between two breaks is finer than any file means; it stops runaway on broken numbers.
const deepest = 14;

/** Distance of p from the chord a-b, its ends included: a curve that doubles back is off its chord. */
function offChord(p: Vec2, a: Vec2, b: Vec2): number {
  const [dx, dz] = [b[0] - a[0], b[1] - a[1]];
  const square = dx * dx + dz * dz;
  const part = square === 0 ? 0 : Math.min(1, Math.max(0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dz) / square));
  return Math.hypot(p[0] - a[0] - part * dx, p[1] - a[1] - part * dz);
}

/**
 * Points along a piece, both ends included: halved until no chord is further than `chord` from the curve (judged at three
 * places) nor longer than `longest`. A straight line gives only its ends, unless longer than `longest`. Beyond `most` points
 * it is halved no further.
 */
export function pointsAlong(piece: Piece, chord: number, longest: number = Infinity, most: number = mostReadings): readonly Vec2[] {
  const points: Vec2[] = [piece.from];
  const halve = (a: number, pa: Vec2, b: number, pb: Vec2, depth: number): void => {
    const middle = (a + b) / 2;
    const pm = piece.at(middle);
    const length = Math.hypot(pb[0] - pa[0], pb[1] - pa[1]);
    const off = piece.kind === 'line' ? 0 : Math.max(offChord(pm, pa, pb), offChord(piece.at((3 * a + b) / 4), pa, pb), offChord(piece.at((a + 3 * b) / 4), pa, pb));
    if (depth < deepest && points.length < most && (off > chord || length > longest)) {
      halve(a, pa, middle, pm, depth + 1);
      halve(middle, pm, b, pb, depth + 1);
    } else points.push(pb);
  };
  const edges = [0, ...piece.breaks, 1];
  for (let i = 1; i < edges.length; i++) {
    const [a, b] = [edges[i - 1], edges[i]] as [number, number];
    halve(a, i === 1 ? piece.from : piece.at(a), b, i === edges.length - 1 ? piece.to : piece.at(b), 0);
  }
  return points;
}

// Chords per stretch between breaks; a quarter circle comes out 0.04 % short.
const lengthChords = 16;

/** Length of a piece to about 0.1 %, for naming and spacing. */
export function lengthOf(piece: Piece): number {
  if (piece.kind === 'line') return Math.hypot(piece.to[0] - piece.from[0], piece.to[1] - piece.from[1]);
  const edges = [0, ...piece.breaks, 1];
  let sum = 0;
  let last = piece.from;
  for (let i = 1; i < edges.length; i++) {
    const [a, b] = [edges[i - 1], edges[i]] as [number, number];
    for (let j = 1; j <= lengthChords; j++) {
      const p = piece.at(a + ((b - a) * j) / lengthChords);
      sum += Math.hypot(p[0] - last[0], p[1] - last[1]);
      last = p;
    }
  }
  return sum;
}
