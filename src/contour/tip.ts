/**
 * Ball-tip compensation. A ball of radius r pressed down on the contour is read at its bottom: reading = centre - (0, r).
 * It touches at centre - r n, n the outward normal of the contour there; taking r off straight down instead reads high by
 * r (1 / cos t - 1) on a slope t, and stands r sin t to one side. Plane of the section, mm.
 * The faired curve of the contact points gives the normals, they give the contact points: repeated until still.
 * Stops being true: in a dip tighter than the ball, which cannot touch its bottom.
 */
import { evaluate, pieceAt } from '../maths/piecewise.ts';
import type { Vec2 } from '../maths/vec.ts';
import { piecesOfFit, type Smooth } from './smooth.ts';

/** Contact point of a reading when the outward normal is n. */
export const contactPoint = (reading: Vec2, radius: number, normal: Vec2): Vec2 => [
  reading[0] - radius * normal[0],
  reading[1] + radius - radius * normal[1],
];

/** Outward (left-hand) unit normals of the fit at its own readings; at a corner the mean of its two sides. */
export function normalsOf(found: Smooth, t: Float64Array, corners: readonly number[]): Vec2[] {
  const curve = piecesOfFit(found.fit);
  const work = new Float64Array(6);
  const sharp = new Set(corners);
  const tangent = (u: number): Vec2 => {
    evaluate(curve, u, work);
    const speed = Math.hypot(work[2]!, work[3]!) || 1;
    return [work[2]! / speed, work[3]! / speed];
  };
  return Array.from(t, (u, i) => {
    const after = tangent(u);
    if (!sharp.has(i)) return [-after[1], after[0]];
    const k = pieceAt(curve.breaks, u);
    const before = tangent(u - (u - curve.breaks[Math.max(0, k - 1)]!) / 1024);
    const [x, z] = [after[0] + before[0], after[1] + before[1]];
    const size = Math.hypot(x, z) || 1;
    return [-z / size, x / size];
  });
}
