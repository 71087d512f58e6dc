/**
 * What the shape of a curve amounts to: where it changes its bend, its least radii, its length. Plane of the section, mm.
 * Method: on a cubic piece the sign of the bend is that of x'z'' - z'x'', which is a quadratic in the parameter, so the
 * places where it changes are found exactly. Between two of them lies a lobe; its depth is the largest distance from the
 * chord between its ends. A change of bend counts only between lobes deeper than `depth`: a straight stretch that
 * wanders by less than the curve is known to is straight.
 * Stops being true: a turn at a marked corner is not a bend and is not counted.
 */
import { brentLeast, quadraticRoots } from '../maths/roots.ts';
import { tolerance } from '../maths/tolerance.ts';
import { arcLength, evaluate, type Piecewise } from '../maths/piecewise.ts';
import type { Vec2 } from '../maths/vec.ts';
import type { RadiusAt, ShapeFigures } from './contour.ts';

/** A stretch that bends to one side. */
export interface Lobe {
  readonly from: number;
  readonly to: number;
  /** +1 turns left (a dip when travelling with x), -1 turns right (a crown). */
  readonly side: 1 | -1;
  readonly depth: number;
  /** Largest curvature on it, 1/mm, positive, and its parameter. */
  readonly sharpest: number;
  readonly sharpestAt: number;
}

/** `corners`: rising parameters (breaks of the curve) at which it turns sharply. `depth` in mm. */
export function shapeOf(curve: Piecewise, corners: readonly number[], depth: number): ShapeFigures {
  const work = new Float64Array(6);
  const at = (u: number): Vec2 => {
    evaluate(curve, u, work);
    return [work[0]!, work[1]!];
  };
  const length = arcLength(curve);
  const stretches = lobesOf(curve, corners);
  const clear = Math.max(depth, tolerance.point);
  const inflections: Vec2[] = [];
  let crown: Lobe | null = null;
  let dip: Lobe | null = null;
  for (const lobes of stretches) {
    let before: Lobe | null = null;
    for (const lobe of lobes) {
      const counts = lobe.depth >= clear;
      if (counts) {
        if (before && before.side !== lobe.side) inflections.push(at(lobe.from));
        before = lobe;
      }
      if (!counts && lobe.sharpest * length < 1) continue;
      if (lobe.side < 0 && lobe.sharpest > (crown?.sharpest ?? 0)) crown = lobe;
      if (lobe.side > 0 && lobe.sharpest > (dip?.sharpest ?? 0)) dip = lobe;
    }
  }
  const least = (lobe: Lobe | null): RadiusAt | null => {
    if (!lobe) return null;
    const u = sharpen(curve, lobe);
    return { radius: 1 / Math.abs(bend(curve, u, work)), at: at(u) };
  };
  return { inflections, leastConvex: least(crown), leastConcave: least(dip), length };
}

/** Signed curvature at u. */
function bend(curve: Piecewise, u: number, work: Float64Array): number {
  evaluate(curve, u, work);
  const speed = Math.sqrt(work[2]! * work[2]! + work[3]! * work[3]!);
  return (work[2]! * work[5]! - work[3]! * work[4]!) / (speed * speed * speed);
}

/** Parameter of the largest curvature of a lobe, from the best sample. */
function sharpen(curve: Piecewise, lobe: Lobe): number {
  const work = new Float64Array(6);
  const step = Math.min(lobe.to - lobe.from, (4 * (curve.breaks.at(-1)! - curve.breaks[0]!)) / curve.breaks.length);
  const from = Math.max(lobe.from, lobe.sharpestAt - step / 4);
  const to = Math.min(lobe.to, lobe.sharpestAt + step / 4);
  const least = (u: number): number => -lobe.side * bend(curve, u, work);
  const u = brentLeast(least, from, to, tolerance.root * Math.max(1, to));
  return [u, from, to, lobe.sharpestAt].reduce((best, next) => (least(next) < least(best) ? next : best));
}

/** The lobes of every smooth stretch, in order. */
export function lobesOf(curve: Piecewise, corners: readonly number[]): Lobe[][] {
  const { breaks } = curve;
  const out: Lobe[][] = [];
  const sharp = new Set(corners);
  let cuts: number[] = [breaks[0]!];
  let sides: number[] = [];
  for (let i = 0; i + 1 < breaks.length; i++) {
    if (i > 0 && sharp.has(breaks[i]!)) {
      out.push(measured(curve, [...cuts, breaks[i]!], sides));
      cuts = [breaks[i]!];
      sides = [];
    }
    const from = breaks[i]!;
    const h = breaks[i + 1]! - from;
    const [x1, x2, x3, z1, z2, z3] = [curve.x[4 * i + 1]!, curve.x[4 * i + 2]!, curve.x[4 * i + 3]!, curve.z[4 * i + 1]!, curve.z[4 * i + 2]!, curve.z[4 * i + 3]!];
    const [c0, c1, c2] = [x1 * z2 - z1 * x2, 3 * (x1 * z3 - z1 * x3), 3 * (x2 * z3 - z2 * x3)];
    let last = 0;
    for (const root of changesIn(c0, c1, c2, h)) {
      const s = (last + root) / 2;
      const side = c0 + s * (c1 + s * c2) > 0 ? 1 : -1;
      if (sides.length > 0 && sides.at(-1) !== side) cuts.push(from + last);
      if (sides.length === 0 || sides.at(-1) !== side) sides.push(side);
      last = root;
    }
  }
  out.push(measured(curve, [...cuts, breaks.at(-1)!], sides));
  return out;
}

/** Where c0 + c1 s + c2 s^2 changes sign inside 0..h, and h itself. Asks for roots only where there is one. */
function changesIn(c0: number, c1: number, c2: number, h: number): readonly number[] {
  const end = c0 + h * (c1 + h * c2);
  const vertex = c2 === 0 ? -1 : -c1 / (2 * c2);
  const turns = vertex > 0 && vertex < h && c0 * (c0 + (vertex * c1) / 2) < 0;
  if (c0 * end > 0 && !turns) return [h];
  return [...quadraticRoots(c0, c1, c2).filter((s) => s > 0 && s < h), h];
}

/** Places looked at per piece for depth and curvature; fewer where the pieces are legion and each is all but straight. */
const looksAt = (pieces: number): number => (pieces > 5000 ? 2 : 4);

function measured(curve: Piecewise, cuts: readonly number[], sides: readonly number[]): Lobe[] {
  const work = new Float64Array(6);
  const { breaks } = curve;
  const looks = looksAt(breaks.length);
  let piece = 0;
  return sides.map((side, k) => {
    const from = cuts[k]!;
    const to = cuts[k + 1]!;
    evaluate(curve, from, work, piece);
    const [ax, az] = [work[0]!, work[1]!];
    while (piece + 2 < breaks.length && breaks[piece + 1]! <= from) piece++;
    let last = piece;
    while (last + 2 < breaks.length && breaks[last + 1]! < to) last++;
    evaluate(curve, to, work, last);
    const [bx, bz] = [work[0]!, work[1]!];
    const chord = Math.hypot(bx - ax, bz - az) || 1;
    let depth = 0;
    let sharpest = 0;
    let sharpestAt = from;
    for (let i = piece; i <= last; i++) {
      const a = Math.max(from, breaks[i]!);
      const b = Math.min(to, breaks[i + 1]!);
      for (let j = 0; j <= looks; j++) {
        const u = a + ((b - a) * j) / looks;
        evaluate(curve, u, work, i);
        const speed = Math.sqrt(work[2]! * work[2]! + work[3]! * work[3]!);
        const curvature = (side * (work[2]! * work[5]! - work[3]! * work[4]!)) / (speed * speed * speed);
        if (curvature > sharpest) {
          sharpest = curvature;
          sharpestAt = u;
        }
        depth = Math.max(depth, Math.abs((work[0]! - ax) * (bz - az) - (work[1]! - az) * (bx - ax)) / chord);
      }
    }
    return { from, to, side: side as 1 | -1, depth, sharpest, sharpestAt };
  });
}
