/**
 * Polylines and polygons given as points, mm: area, inside test, self-crossing in near-linear time.
 * Method for crossings: segments are entered in a square grid about as coarse as a mean step; only segments sharing a
 * cell are compared. 100 000 points take a few tens of milliseconds.
 * Stops being true: signs are taken in double precision; a polyline that only touches itself may count as crossing.
 */
import { tolerance } from './tolerance.ts';
import type { Vec2 } from './vec.ts';

/** Twice the signed area of the triangle a b c, positive counter-clockwise. */
const turn = (a: Vec2, b: Vec2, c: Vec2): number => (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);

/** Signed area of a closed polygon, positive counter-clockwise; the last point is joined to the first. */
export function signedArea(points: readonly Vec2[]): number {
  let sum = 0;
  for (let i = 0; i < points.length; i++) {
    const a = points[i]!;
    const b = points[(i + 1) % points.length]!;
    sum += a[0] * b[1] - b[0] * a[1];
  }
  return sum / 2;
}

/** Whether a point lies inside a closed polygon (even-odd). Points on the edge may fall either way. */
export function insidePolygon(points: readonly Vec2[], at: Vec2): boolean {
  let inside = false;
  for (let i = 0, j = points.length - 1; i < points.length; j = i++) {
    const a = points[i]!;
    const b = points[j]!;
    if (a[1] > at[1] !== b[1] > at[1] && at[0] < ((b[0] - a[0]) * (at[1] - a[1])) / (b[1] - a[1]) + a[0]) inside = !inside;
  }
  return inside;
}

/** Whether segments ab and cd cross; a point on the other line counts as left of it. */
export const segmentsCross = (a: Vec2, b: Vec2, c: Vec2, d: Vec2): boolean =>
  turn(a, b, c) >= 0 !== turn(a, b, d) >= 0 && turn(c, d, a) >= 0 !== turn(c, d, b) >= 0;

/**
 * The first pair of segments (i, j), i < j, of an open polyline that cross, or null. Segment i joins points i and i + 1;
 * neighbours are not compared. A closed outline may end where it began.
 */
export function selfCrossing(points: readonly Vec2[]): readonly [number, number] | null {
  const n = points.length - 1;
  if (n < 3) return null;
  let total = 0;
  for (let i = 0; i < n; i++) total += Math.hypot(points[i + 1]![0] - points[i]![0], points[i + 1]![1] - points[i]![1]);
  const cell = total / n;
  if (!(cell > 0)) return null;
  const cells = new Map<number, number[]>();
  const closed = points[0]![0] === points[n]![0] && points[0]![1] === points[n]![1];
  let low = Infinity;
  let left = Infinity;
  for (const p of points) {
    left = Math.min(left, p[0]);
    low = Math.min(low, p[1]);
  }
  const firstIn = (key: number, j: number): number => {
    const held = cells.get(key);
    if (!held) {
      cells.set(key, [j]);
      return n;
    }
    let first = n;
    for (const i of held) {
      if (i >= first || j - i < 2 || (closed && i === 0 && j === n - 1)) continue;
      if (segmentsCross(points[i]!, points[i + 1]!, points[j]!, points[j + 1]!)) first = i;
    }
    held.push(j);
    return first;
  };
  for (let j = 0; j < n; j++) {
    let first = n;
    eachCell(points[j]!, points[j + 1]!, left, low, cell, (key) => (first = Math.min(first, firstIn(key, j))));
    if (first < n) return [first, j];
  }
  return null;
}

/** Columns of cells are numbered this far apart; a polyline of n steps spans at most n + 1 of them. */
const columnStride = 2 ** 26;

/** Visits every grid cell a segment passes through, column by column; the ends of each column's stretch are rounded outwards. */
function eachCell(a: Vec2, b: Vec2, left: number, low: number, cell: number, visit: (key: number) => void): void {
  const [p, q] = a[0] <= b[0] ? [a, b] : [b, a];
  const x0 = (p[0] - left) / cell;
  const x1 = (q[0] - left) / cell;
  const z0 = (p[1] - low) / cell;
  const z1 = (q[1] - low) / cell;
  for (let i = Math.floor(x0); i <= Math.floor(x1); i++) {
    const at = (x: number): number => (x1 > x0 ? z0 + ((z1 - z0) * (Math.min(x1, Math.max(x0, x)) - x0)) / (x1 - x0) : z0);
    const from = x1 > x0 ? at(i) : z0;
    const to = x1 > x0 ? at(i + 1) : z1;
    const bottom = Math.floor(Math.min(from, to) - tolerance.point);
    const top = Math.floor(Math.max(from, to) + tolerance.point);
    for (let k = bottom; k <= top; k++) visit((i + 1) * columnStride + k + 1);
  }
}

/** Convex hull, counter-clockwise, without points on its edges (Andrew's monotone chain). */
export function convexHull(points: readonly Vec2[]): Vec2[] {
  const sorted = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const half = (from: readonly Vec2[]): Vec2[] => {
    const chain: Vec2[] = [];
    for (const p of from) {
      while (chain.length >= 2 && turn(chain.at(-2)!, chain.at(-1)!, p) <= 0) chain.pop();
      chain.push(p);
    }
    return chain.slice(0, -1);
  };
  return sorted.length < 3 ? sorted : [...half(sorted), ...half([...sorted].reverse())];
}

/** How far inside a convex counter-clockwise polygon a point lies, to its nearest side; negative outside. */
export function insideBy(hull: readonly Vec2[], at: Vec2): number {
  if (hull.length < 3) return -Infinity;
  return Math.min(...hull.map((a, i) => {
    const b = hull[(i + 1) % hull.length]!;
    return turn(a, b, at) / Math.hypot(b[0] - a[0], b[1] - a[1]);
  }));
}
