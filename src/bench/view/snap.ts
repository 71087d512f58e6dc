/** Where a pick settles: on a corner or an edge of the outline near it. */
import { Vector3, type LineSegments } from 'three';

/** The nearest corner within `near` mm, else the nearest place on an edge. Corners are where an outline bends sharply. */
export function snapToEdges(lines: LineSegments, at: Vector3, near: number): { readonly point: Vector3; readonly on: 'corner' | 'edge' } | null {
  const p = lines.geometry.getAttribute('position');
  const ways = new Map<string, { point: Vector3; ways: Vector3[] }>();
  let best: { point: Vector3; far: number } | null = null;
  const [a, b, way] = [new Vector3(), new Vector3(), new Vector3()];
  for (let i = 0; i < p.count; i += 2) {
    a.fromBufferAttribute(p, i);
    b.fromBufferAttribute(p, i + 1);
    way.subVectors(b, a);
    const share = Math.max(0, Math.min(1, at.clone().sub(a).dot(way) / (way.lengthSq() || 1)));
    const point = a.clone().addScaledVector(way, share);
    const far = point.distanceTo(at);
    if (far < near && (best === null || far < best.far)) best = { point, far };
    for (const [end, out] of [[a, 1], [b, -1]] as const) {
      if (end.distanceTo(at) > near) continue;
      const key = end.toArray().join();
      const entry = ways.get(key) ?? { point: end.clone(), ways: [] };
      entry.ways.push(way.clone().normalize().multiplyScalar(out));
      ways.set(key, entry);
    }
  }
  for (const { point, ways: met } of ways.values()) if (met.some((u, i) => met.slice(i + 1).some((v) => u.dot(v) > -0.9))) return { point, on: 'corner' };
  return best && { point: best.point, on: 'edge' };
}
