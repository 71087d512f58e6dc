/**
 * Welded mesh -> binary STL: 80-byte header, uint32 count, 50 bytes a facet, little-endian (format as commonly published;
 * an STL has no unit, so the header says it). The header must not begin with "solid", which some readers take for text.
 */
import type { WeldedMesh } from '../solid/mesh.ts';

export function stlBytes(mesh: WeldedMesh, title: string): Uint8Array {
  const count = mesh.triangles.length / 3;
  const bytes = new Uint8Array(84 + 50 * count);
  const view = new DataView(bytes.buffer);
  const header = `coverwright, units mm: ${title}`.replace(/[^\u0020-\u007e]/g, '?').slice(0, 80);
  for (let i = 0; i < 80; i += 1) bytes[i] = i < header.length ? header.charCodeAt(i) : 0x20;
  view.setUint32(80, count, true);
  const { positions: p, triangles } = mesh;
  for (let t = 0; t < count; t += 1) {
    const at = 84 + 50 * t;
    const [a, b, c] = [triangles[3 * t] as number * 3, triangles[3 * t + 1] as number * 3, triangles[3 * t + 2] as number * 3];
    const [ux, uy, uz] = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
    const [vx, vy, vz] = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
    const normal = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx] as const;
    const size = Math.hypot(...normal) || 1;
    for (let k = 0; k < 3; k += 1) view.setFloat32(at + 4 * k, (normal[k] as number) / size, true);
    for (const [corner, start] of [a, b, c].entries()) {
      for (let k = 0; k < 3; k += 1) view.setFloat32(at + 12 + 12 * corner + 4 * k, p[start + k]!, true);
    }
  }
  return bytes;
}
