/**
 * The bed: how a piece is turned to fit on it, and which pieces share one. mm; a turn in degrees, counter-clockwise as seen
 * from above.
 *
 * Turning: 0 and 90 first, then every whole degree, the one that leaves most room. Sharing: pieces in rows by falling depth,
 * each on the first bed with room (first fit by shelves: not the tightest there is, but never over the edge).
 */
import { degreesToRadians } from '../maths/angle.ts';
import type { Vec2 } from '../maths/vec.ts';
import type { Job } from '../job/schema.ts';

/** Room left once the margin is kept. */
export interface Bed {
  readonly x: number;
  readonly y: number;
  readonly z: number;
  readonly margin: number;
}

/** mm kept between two pieces on one bed: a brim's width and more. */
const between = 6;

export const bedOf = ({ bedX, bedY, bedZ, bedMargin }: Job['proof']): Bed => ({ x: bedX - 2 * bedMargin, y: bedY - 2 * bedMargin, z: bedZ, margin: bedMargin });

export const turned = ([x, y]: Vec2, degrees: number): Vec2 => {
  const [c, s] = degrees === 90 ? [0, 1] : [Math.cos(degreesToRadians(degrees)), Math.sin(degreesToRadians(degrees))];
  return [c * x - s * y, s * x + c * y];
};

/** Size of the box round some points, turned. */
export function extentOf(points: readonly Vec2[], degrees = 0): Vec2 {
  const on = points.map((p) => turned(p, degrees));
  const span = (k: 0 | 1): number => Math.max(...on.map((p) => p[k])) - Math.min(...on.map((p) => p[k]));
  return [span(0), span(1)];
}

/** A turn that brings the points onto the bed; null when none does. `stretch` is how much larger they are drawn. */
export function turnToFit(points: readonly Vec2[], bed: Bed, stretch = 1): number | null {
  const room = (degrees: number): number => {
    const [x, y] = extentOf(points, degrees);
    return Math.min(bed.x - x * stretch, bed.y - y * stretch);
  };
  for (const degrees of [0, 90]) if (room(degrees) >= 0) return degrees;
  const best = Array.from({ length: 180 }, (_, degrees) => degrees).reduce((a, b) => (room(b) > room(a) ? b : a));
  return room(best) >= 0 ? best : null;
}

export interface Placed {
  readonly bed: number;
  /** Least corner of its box, from the corner of the bed itself. */
  readonly at: Vec2;
}

/** Where boxes of these sizes stand, in their order. Every one fits the bed on its own. */
export function shareBeds(sizes: readonly Vec2[], bed: Bed): Placed[] {
  const shelves: { bed: number; y: number; depth: number; used: number }[] = [];
  const depthUsed: number[] = [];
  const placed: Placed[] = Array.from({ length: sizes.length }, () => ({ bed: 0, at: [0, 0] }));
  const order = sizes.map((_, i) => i).sort((a, b) => sizes[b]![1] - sizes[a]![1] || a - b);
  for (const i of order) {
    const [width, depth] = sizes[i]!;
    let shelf = shelves.find((one) => depth <= one.depth && one.used + width <= bed.x);
    if (shelf === undefined) {
      let number = depthUsed.findIndex((used) => used + depth <= bed.y);
      if (number < 0) number = depthUsed.push(0) - 1;
      shelf = { bed: number, y: depthUsed[number]!, depth, used: 0 };
      shelves.push(shelf);
      depthUsed[number] = depthUsed[number]! + depth + between;
    }
    placed[i] = { bed: shelf.bed, at: [bed.margin + shelf.used, bed.margin + shelf.y] };
    shelf.used += width + between;
  }
  // Beds are counted as their first pieces come.
  const names = [...new Set(placed.map((one) => one.bed))];
  return placed.map((one) => ({ ...one, bed: names.indexOf(one.bed) }));
}
