/**
 * Edges of welded meshes: each edge once with its facets; runs of edge where faces of the solid meet, told convex from
 * concave from smooth; faces of a mesh that has none. mm, rad.
 */
import { tolerance } from '../maths/tolerance.ts';
import { cross3, dot3, sub3, type Vec3 } from '../maths/vec.ts';
import { facetNormal, nodeAt, type WeldedMesh } from './mesh.ts';

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
