/**
 * Face meshes -> one welded mesh, and what can be read off it: volume, gaps, the edges a person would feel. Nodes are
 * joined only where their coordinates are the very same numbers, which the kernel grants on shared edges; nothing is
 * snapped together. mm, mm3, rad.
 */
import { tolerance } from '../maths/tolerance.ts';
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

/** The edges of a mesh, each once, in the order they are first met. `count` of them; the arrays may be longer. */
export interface MeshEdges {
  readonly count: number;
  readonly low: Uint32Array;
  readonly high: Uint32Array;
  /** The first two facets that use it. */
  readonly first: Uint32Array;
  readonly second: Uint32Array;
  /** How many do; 2 in a closed mesh. */
  readonly uses: Uint32Array;
}

/** Found by a table of hashed slots: a general map of so many keys takes several times longer. */
export function edgesOfMesh({ positions, triangles }: WeldedMesh): MeshEdges {
  const most = triangles.length;
  const [low, high, first, second, uses] = [0, 1, 2, 3, 4].map(() => new Uint32Array(most)) as [Uint32Array, Uint32Array, Uint32Array, Uint32Array, Uint32Array];
  let size = 1024;
  while (size < 2 * most) size *= 2;
  const slots = new Int32Array(size).fill(-1);
  const nodes = positions.length / 3;
  let count = 0;
  for (let i = 0; i < most; i++) {
    const [a, b] = [triangles[i]!, triangles[i % 3 === 2 ? i - 2 : i + 1]!];
    const [from, to] = a < b ? [a, b] : [b, a];
    let slot = (Math.imul(from, 0x9e3779b1) ^ Math.imul(to + nodes, 0x85ebca6b)) >>> 0;
    slot = (slot ^ (slot >>> 15)) & (size - 1);
    while (slots[slot]! >= 0 && !(low[slots[slot]!] === from && high[slots[slot]!] === to)) slot = (slot + 1) & (size - 1);
    let edge = slots[slot]!;
    const facet = Math.floor(i / 3);
    if (edge < 0) {
      edge = slots[slot] = count++;
      low[edge] = from;
      high[edge] = to;
      first[edge] = facet;
    } else if (uses[edge] === 1) second[edge] = facet;
    uses[edge]!++;
  }
  return { count, low, high, first, second, uses };
}

/** A run of edge between two faces of the solid. */
export interface FeatureEdge {
  /** The two faces; the same twice on the seam of a closed face. */
  readonly faces: readonly [number, number];
  /** convex: metal inside the angle, a corner a hand can feel. concave: an inside corner. smooth: tangent. */
  readonly kind: 'convex' | 'concave' | 'smooth';
  /** rad, largest turn along the run between the facets on either side. */
  readonly turn: number;
  readonly points: readonly Vec3[];
  /** True when the last point joins the first again. */
  readonly closed: boolean;
}

/**
 * Polylines where two faces of the solid meet. `angle` (rad) is the turn below which a meeting counts as smooth. With the
 * true normals in the mesh the turn is that of the faces themselves; without, that of the facets, which stand off their
 * faces by up to half the facet turn on either side, so that `angle` has to be more than the facet turn.
 */
export function featureEdges(mesh: WeldedMesh, angle: number = tolerance.smoothEdge, edges: MeshEdges = edgesOfMesh(mesh)): FeatureEdge[] {
  const runs = new Map<string, { a: number; b: number; turn: number }[]>();
  for (let i = 0; i < edges.count; i++) {
    if (edges.uses[i] !== 2) continue;
    const [s, t] = [edges.first[i]!, edges.second[i]!];
    const [f, g] = [mesh.faceOf[s]!, mesh.faceOf[t]!];
    if (f === g) continue;
    const [a, b] = [edges.low[i]!, edges.high[i]!];
    const turn = signedTurn(mesh, s, t, a, b);
    const kind = Math.abs(turn) < angle ? 'smooth' : turn > 0 ? 'convex' : 'concave';
    const name = `${Math.min(f, g)},${Math.max(f, g)},${kind}`;
    const list = runs.get(name);
    if (list === undefined) runs.set(name, [{ a, b, turn }]);
    else list.push({ a, b, turn });
  }
  return [...runs].flatMap(([name, pieces]) => {
    const [f, g, kind] = name.split(',') as [string, string, FeatureEdge['kind']];
    return chains(pieces).map(({ nodes, turn }): FeatureEdge => {
      const closed = nodes.length > 2 && nodes[0] === nodes.at(-1);
      return { faces: [Number(f), Number(g)], kind, turn, points: nodes.map((node) => nodeAt(mesh, node)), closed };
    });
  });
}

/** Turn from face to face over the common edge of facets s and t, nodes a to b, rad; positive when the metal is inside the angle. */
function signedTurn(mesh: WeldedMesh, s: number, t: number, a: number, b: number): number {
  const n = facetNormal(mesh, s);
  const turn =
    mesh.normals === undefined
      ? angleBetween(n, facetNormal(mesh, t))
      : Math.min(...[a, b].map((node) => angleBetween(normalAt(mesh, mesh.normals!, s, node), normalAt(mesh, mesh.normals!, t, node))));
  const apex = [0, 1, 2].map((k) => mesh.triangles[3 * t + k]!).find((node) => ![0, 1, 2].some((k) => mesh.triangles[3 * s + k] === node));
  if (apex === undefined) return turn;
  return dot3(n, sub3(nodeAt(mesh, apex), nodeAt(mesh, mesh.triangles[3 * s]!))) <= 0 ? turn : -turn;
}

const angleBetween = (n: Vec3, m: Vec3): number => Math.atan2(Math.hypot(...cross3(n, m)), dot3(n, m));

/** True normal of the face of a facet at one of its nodes; that of the facet where the face has none (the tip of a cone). */
function normalAt(mesh: WeldedMesh, normals: Float32Array, facet: number, node: number): Vec3 {
  const at = 9 * facet + 3 * [0, 1, 2].findIndex((k) => mesh.triangles[3 * facet + k] === node);
  const normal: Vec3 = [normals[at]!, normals[at + 1]!, normals[at + 2]!];
  return normal[0] === 0 && normal[1] === 0 && normal[2] === 0 ? facetNormal(mesh, facet) : normal;
}

/** Out of the metal; not of unit length: its size is twice the facet's area. */
export function facetNormal(mesh: Pick<WeldedMesh, 'positions' | 'triangles'>, t: number): Vec3 {
  const [a, b, c] = corners(mesh, 3 * t);
  return cross3(sub3(b, a), sub3(c, a));
}

/** Joins pieces end to end into runs; a run stops where more than two pieces meet. */
export function chains(pieces: readonly { readonly a: number; readonly b: number; readonly turn: number }[]): { readonly nodes: number[]; readonly turn: number }[] {
  const at = new Map<number, number[]>();
  pieces.forEach(({ a, b }, i) => {
    for (const node of [a, b]) at.set(node, [...(at.get(node) ?? []), i]);
  });
  const used = new Set<number>();
  const found: { nodes: number[]; turn: number }[] = [];
  const follow = (start: number, first: number): void => {
    const nodes = [start];
    let turn = 0;
    let next: number | undefined = first;
    let here = start;
    while (next !== undefined) {
      used.add(next);
      const piece: { readonly a: number; readonly b: number; readonly turn: number } = pieces[next]!;
      turn = Math.max(turn, Math.abs(piece.turn));
      here = piece.a === here ? piece.b : piece.a;
      nodes.push(here);
      const around: number[] = at.get(here)!;
      next = around.length === 2 ? around.find((i) => !used.has(i)) : undefined;
    }
    found.push({ nodes, turn });
  };
  for (const [node, around] of at) if (around.length !== 2) for (const i of around) if (!used.has(i)) follow(node, i);
  pieces.forEach(({ a }, i) => {
    if (!used.has(i)) follow(a, i);
  });
  return found;
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

/** The same mesh, its faces numbered anew: facets that meet within `angle` (rad) are one face. For pictures of meshes cut as meshes. */
export function smoothFaces(mesh: WeldedMesh, angle: number = tolerance.smoothEdge): WeldedMesh {
  const facets = mesh.triangles.length / 3;
  const head = Uint32Array.from({ length: facets }, (_, t) => t);
  const find = (t: number): number => {
    let root = t;
    while (head[root] !== root) root = head[root]!;
    while (head[t] !== root) [head[t], t] = [root, head[t]!];
    return root;
  };
  const least = Math.cos(angle);
  const edges = edgesOfMesh(mesh);
  for (let i = 0; i < edges.count; i++) {
    if (edges.uses[i] !== 2) continue;
    const [s, t] = [edges.first[i]!, edges.second[i]!];
    const [n, m] = [facetNormal(mesh, s), facetNormal(mesh, t)];
    if (dot3(n, m) >= least * Math.hypot(...n) * Math.hypot(...m)) head[find(s)] = find(t);
  }
  return { positions: mesh.positions, triangles: mesh.triangles, faceOf: Uint32Array.from(head, (_, t) => find(t)) };
}
