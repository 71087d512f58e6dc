/**
 * Ball-end cutter radius R and step s -> height h of the ridge left on a flat face, and back. mm, exact geometry of two
 * circles: h = R - sqrt(R^2 - (s/2)^2). Slope, curvature, run-out and feed marks are not included.
 */

/** mm. NaN when the step is wider than the cutter: no ridge is left to speak of, an uncut band is. */
export function scallopHeight(radius: number, step: number): number {
  const half = step / 2;
  // Same value as R - sqrt(R^2 - half^2) without losing digits when the step is small.
  return (half * half) / (radius + Math.sqrt(radius * radius - half * half));
}

/** mm. Largest step that leaves a ridge no higher than `height`; NaN for a height above the radius twice over. */
export const scallopStep = (radius: number, height: number): number => 2 * Math.sqrt(2 * radius * height - height * height);
