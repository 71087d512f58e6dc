/**
 * Face meshes -> one welded mesh, and what can be read off it: volume, gaps, normals, box. Nodes are
 * joined only where their coordinates are the very same numbers, which the kernel grants on shared edges; nothing is
 * snapped together. mm, mm3, rad.
 */
import { cross3, dot3, sub3, type Vec3 } from '../maths/vec.ts';
import type { Mesh } from './door.ts';

export interface WeldedMesh {
  /** x, y, z of each node. */
  readonly positions: Float64Array;
  /** Three node numbers each, right-handed seen from outside the metal. */
  readonly triangles: Uint32Array;
  /** FaceMesh.id of each triangle. */
  readonly faceOf: Uint32Array;
  /** True normals of the faces at the corners of the triangles, nine numbers each; without them facets have to do. */
  readonly normals?: Float32Array;
}

/**
 * Joins nodes of equal coordinates and drops what encloses nothing: triangles that collapse (at the apex of a cone or
 * sphere), and two that lie back to back (in a cusp between two faces that share both its edges).
 */
export function weld(mesh: Mesh): WeldedMesh {
  const most = mesh.faces.reduce((sum, face) => sum + face.positions.length / 3, 0);
  const triangleCount = mesh.faces.reduce((sum, face) => sum + face.triangles.length / 3, 0);
  const positions = new Float64Array(3 * most);
  const triangles = new Uint32Array(3 * triangleCount);
  const faceOf = new Uint32Array(triangleCount);
  const normals = new Float32Array(9 * triangleCount);
  const join = nodeJoiner(positions, most);
  let used = 0;
  for (const face of mesh.faces) {
    const here = new Uint32Array(face.positions.length / 3);
    for (let i = 0; i < here.length; i++) here[i] = join(face.positions[3 * i]!, face.positions[3 * i + 1]!, face.positions[3 * i + 2]!);
    for (let t = 0; t < face.triangles.length; t += 3) {
      const [a, b, c] = [here[face.triangles[t]!]!, here[face.triangles[t + 1]!]!, here[face.triangles[t + 2]!]!];
      if (a === b || b === c || c === a) continue;
      triangles[3 * used] = a;
      triangles[3 * used + 1] = b;
      triangles[3 * used + 2] = c;
      for (let k = 0; k < 9; k++) normals[9 * used + k] = face.normals[3 * face.triangles[t + Math.floor(k / 3)]! + (k % 3)]!;
      faceOf[used++] = face.id;
    }
  }
  return withoutFolds({ positions: positions.slice(0, 3 * join(NaN, NaN, NaN)), triangles: triangles.slice(0, 3 * used), faceOf: faceOf.slice(0, used), normals: normals.slice(0, 9 * used) });
}

/** Without pairs of triangles on the same three nodes looking opposite ways. Such a pair crowds its edges, so most meshes are not searched. */
function withoutFolds(mesh: WeldedMesh & { readonly normals: Float32Array }): WeldedMesh {
  if (meshGap(mesh).crowded === 0) return mesh;
  const waiting = new Map<string, number>();
  const dropped = new Set<number>();
  for (let t = 0; t < mesh.faceOf.length; t++) {
    const [a, b, c] = mesh.triangles.subarray(3 * t, 3 * t + 3);
    const least = Math.min(a!, b!, c!);
    // From the lowest node on, the same way round or the other.
    const turns = a === least ? [b!, c!] : b === least ? [c!, a!] : [a!, b!];
    const partner = waiting.get(`${least},${turns[1]},${turns[0]}`);
    if (partner === undefined || dropped.has(partner)) waiting.set(`${least},${turns[0]},${turns[1]}`, t);
    else dropped.add(t).add(partner);
  }
  const kept = Array.from(mesh.faceOf.keys()).filter((t) => !dropped.has(t));
  return {
    positions: mesh.positions,
    triangles: Uint32Array.from(kept.flatMap((t) => [...mesh.triangles.subarray(3 * t, 3 * t + 3)])),
    faceOf: Uint32Array.from(kept, (t) => mesh.faceOf[t]!),
    normals: Float32Array.from(kept.flatMap((t) => [...mesh.normals.subarray(9 * t, 9 * t + 9)])),
  };
}

/**
 * Number of a node by its coordinates, new ones being written to `positions`; asked for NaN, the count so far. Open
 * addressing over the bits of the coordinates: a Map of texts takes ten times as long.
 */
function nodeJoiner(positions: Float64Array, most: number): (x: number, y: number, z: number) => number {
  const size = 2 ** Math.ceil(Math.log2(Math.max(16, 2 * most)));
  const table = new Int32Array(size).fill(-1);
  const coordinates = new Float32Array(3);
  const bits = new Int32Array(coordinates.buffer);
  let count = 0;
  return (x, y, z) => {
    if (Number.isNaN(x)) return count;
    // + 0 turns -0 into 0, which would otherwise be another node.
    coordinates[0] = x + 0;
    coordinates[1] = y + 0;
    coordinates[2] = z + 0;
    let slot = (Math.imul(bits[0]!, 0x9e3779b1) ^ Math.imul(bits[1]!, 0x85ebca77) ^ Math.imul(bits[2]!, 0xc2b2ae3d)) >>> 0;
    slot = (slot ^ (slot >>> 15)) & (size - 1);
    for (; table[slot]! >= 0; slot = (slot + 1) & (size - 1)) {
      const node = table[slot]!;
      if (positions[3 * node] === coordinates[0] && positions[3 * node + 1] === coordinates[1] && positions[3 * node + 2] === coordinates[2]) return node;
    }
    table[slot] = count;
    positions.set(coordinates, 3 * count);
    return count++;
  };
}

export const nodeAt = (mesh: Pick<WeldedMesh, 'positions'>, node: number): Vec3 => [mesh.positions[3 * node]!, mesh.positions[3 * node + 1]!, mesh.positions[3 * node + 2]!];

/** mm3 enclosed, by the divergence theorem; right for a closed mesh only (see meshGap). */
export function meshVolume(mesh: WeldedMesh): number {
  let six = 0;
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const [a, b, c] = corners(mesh, t);
    six += dot3(a, cross3(b, c));
  }
  return six / 6;
}

const corners = (mesh: Pick<WeldedMesh, 'positions' | 'triangles'>, t: number): readonly [Vec3, Vec3, Vec3] => [
  nodeAt(mesh, mesh.triangles[t]!),
  nodeAt(mesh, mesh.triangles[t + 1]!),
  nodeAt(mesh, mesh.triangles[t + 2]!),
];

/** How far a mesh is from closed: edges used by one triangle only, by more than two, or twice the same way round. 0 is watertight. */
export function meshGap(mesh: WeldedMesh): { readonly open: number; readonly crowded: number; readonly turned: number } {
  const { triangles } = mesh;
  const nodes = mesh.positions.length / 3;
  // Uses of each edge from its lower to its higher node, and the other way, as sorted numbers: a closed mesh has the same in both.
  const [up, down] = [new Float64Array(triangles.length), new Float64Array(triangles.length)];
  let [ups, downs] = [0, 0];
  for (let i = 0; i < triangles.length; i++) {
    const [a, b] = [triangles[i]!, triangles[i % 3 === 2 ? i - 2 : i + 1]!];
    if (a < b) up[ups++] = a * nodes + b;
    else down[downs++] = b * nodes + a;
  }
  const [rising, falling] = [up.subarray(0, ups).sort(), down.subarray(0, downs).sort()];
  let [open, crowded, turned] = [0, 0, 0];
  let [i, j] = [0, 0];
  while (i < ups || j < downs) {
    const edge = Math.min(i < ups ? rising[i]! : Infinity, j < downs ? falling[j]! : Infinity);
    let [forth, back] = [0, 0];
    for (; i < ups && rising[i] === edge; i++) forth++;
    for (; j < downs && falling[j] === edge; j++) back++;
    if (forth + back === 1) open++;
    else if (forth + back > 2) crowded++;
    else if (forth !== 1) turned++;
  }
  return { open, crowded, turned };
}

/** Out of the metal; not of unit length: its size is twice the facet's area. */
export function facetNormal(mesh: Pick<WeldedMesh, 'positions' | 'triangles'>, t: number): Vec3 {
  const [a, b, c] = corners(mesh, 3 * t);
  return cross3(sub3(b, a), sub3(c, a));
}

/** The box round a mesh. */
export function meshBox({ positions }: Pick<WeldedMesh, 'positions'>): { readonly least: Vec3; readonly most: Vec3 } {
  const least: [number, number, number] = [Infinity, Infinity, Infinity];
  const most: [number, number, number] = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < positions.length; i += 1) {
    least[i % 3] = Math.min(least[i % 3]!, positions[i]!);
    most[i % 3] = Math.max(most[i % 3]!, positions[i]!);
  }
  return { least, most };
}
