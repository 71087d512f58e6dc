/** The outline of one face: edges of its facets used by one facet only, as pairs of points. */
import type { FaceMesh } from '../../solid/door.ts';

export function edgeLines({ triangles, positions }: FaceMesh): Float32Array {
  const count = positions.length / 3;
  const once = new Map<number, readonly [number, number]>();
  for (let t = 0; t < triangles.length; t += 3) {
    for (let k = 0; k < 3; k += 1) {
      const [a, b] = [triangles[t + k]!, triangles[t + ((k + 1) % 3)]!];
      const key = Math.min(a, b) * count + Math.max(a, b);
      if (!once.delete(key)) once.set(key, [a, b]);
    }
  }
  const lines = new Float32Array(once.size * 6);
  let at = 0;
  for (const ends of once.values()) {
    for (const node of ends) {
      lines.set(positions.subarray(3 * node, 3 * node + 3), at);
      at += 3;
    }
  }
  return lines;
}
