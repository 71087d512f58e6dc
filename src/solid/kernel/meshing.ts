/**
 * Solids -> face meshes, redoing only what changed. The kernel keeps the facets on every face a boolean leaves alone, so
 * one run of the mesher over the new faces and their neighbours fills in the new ones, and only those are read out. The
 * book remembers each face by identity: its id, its edges, its facets, and how finely it was meshed (the kernel itself
 * would keep too coarse or too fine facets).
 */
import type { TopoDS_Face, TopoDS_Shape } from 'replicad-opencascadejs';
import type { FaceMesh, Mesh, MeshQuality } from '../door.ts';
import { compoundOf } from './measure.ts';
import { guarded, KernelFailure, type Oc } from './oc.ts';
import { scoped } from './scope.ts';
import { edgeHashes, faceKind, facesOf, planeOf } from './topology.ts';

interface Page {
  /** Held so that its address is not used again for another face. */
  readonly face: TopoDS_Face;
  readonly hash: number;
  /** Ids of the face as it stands and turned inside out. */
  readonly ids: readonly [number, number];
  /** Hashes of its edges, to find its neighbours by: two edges of one hash only make a neighbour too many. */
  readonly edges: readonly number[];
  quality: MeshQuality;
  meshes: readonly [FaceMesh, FaceMesh] | null;
  lastUsed: number;
}

/** With more than this share of the faces unread, the whole shape is meshed and read in one go, which is much quicker per facet. */
const bulkShare = 0.6;

/** Pages not asked for in this many meshings are let go. */
const memory = 8;

const same = (a: MeshQuality, b: MeshQuality): boolean => a.deviation === b.deviation && a.angle === b.angle;

export class MeshBook {
  readonly #oc: Oc;
  readonly #pages = new Map<number, Page[]>();
  #nextId = 1;
  #clock = 0;

  constructor(oc: Oc) {
    this.#oc = oc;
  }

  mesh(shape: TopoDS_Shape, quality: MeshQuality): Mesh {
    const oc = this.#oc;
    return guarded(oc, 'mesh', () =>
      scoped((keep) => {
        this.#clock++;
        const faces = facesOf(oc, shape).map(keep);
        const pages = faces.map((face) => this.#page(face, quality));
        if (pages.some((page) => !same(page.quality, quality))) {
          oc.BRepTools.Clean(shape, true);
          for (const page of pages) {
            page.meshes = null;
            page.quality = quality;
          }
        }
        const unread = pages.filter((page) => page.meshes === null);
        if (unread.length > bulkShare * pages.length) readAll(oc, shape, faces, pages, quality);
        else if (unread.length > 0) keep(new oc.BRepMesh_IncrementalMesh(compoundOf(oc, keep, withNeighbours(faces, pages, unread)), quality.deviation, false, quality.angle, false));
        const read = faces.map((face, i): FaceMesh => {
          const page = pages[i]!;
          page.meshes ??= readFace(oc, page);
          return page.meshes[turned(oc, face) === turned(oc, page.face) ? 0 : 1];
        });
        this.#forget();
        return { faces: read, quality };
      }),
    );
  }

  #page(face: TopoDS_Face, quality: MeshQuality): Page {
    const hash = this.#oc.ReplicadShapeHasher.HashCode(face, 0x7fffffff);
    const bucket = this.#pages.get(hash) ?? [];
    let page = bucket.find((one) => one.face.IsSame(face));
    if (page === undefined) {
      const edges = edgeHashes(this.#oc, face);
      page = { face: this.#oc.TopoDS.Face(face), hash, ids: [this.#nextId++, this.#nextId++], edges, quality, meshes: null, lastUsed: 0 };
      bucket.push(page);
      this.#pages.set(hash, bucket);
    }
    page.lastUsed = this.#clock;
    return page;
  }

  #forget(): void {
    for (const [hash, bucket] of this.#pages) {
      const kept = bucket.filter((page) => this.#clock - page.lastUsed < memory);
      if (kept.length === bucket.length) continue;
      for (const page of bucket.filter((one) => !kept.includes(one))) {
        // Edges note the facets of every face they ever bounded; left there, the notes slow down each later check.
        this.#oc.BRepTools.Clean(page.face, true);
        page.face.delete();
      }
      if (kept.length === 0) this.#pages.delete(hash);
      else this.#pages.set(hash, kept);
    }
  }

  close(): void {
    for (const bucket of this.#pages.values()) for (const page of bucket) page.face.delete();
    this.#pages.clear();
  }
}

/**
 * The faces still to be meshed and all that share an edge with them: the mesher takes the points of a shared edge from the
 * facets that are there, and going over all the others costs more than the new facets themselves.
 */
function withNeighbours(faces: readonly TopoDS_Face[], pages: readonly Page[], unread: readonly Page[]): TopoDS_Face[] {
  const edges = new Set(unread.flatMap((page) => page.edges));
  return faces.filter((_, i) => pages[i]!.edges.some((edge) => edges.has(edge)));
}

const turned = (oc: Oc, face: TopoDS_Face): boolean => face.Orientation() === oc.TopAbs_Orientation.TopAbs_REVERSED;

type Pair = readonly [FaceMesh, FaceMesh];

/** The same facets as the face stands, and turned inside out. */
function bothWays(ids: Page['ids'], kind: FaceMesh['kind'], positions: Float32Array, normals: Float32Array, triangles: Uint32Array): Pair {
  return [
    { id: ids[0], kind, positions, normals, triangles },
    { id: ids[1], kind, positions, normals: normals.map((x) => -x), triangles: flipped(triangles) },
  ];
}

/** Meshes and reads a whole shape at once. `faces` in the order the kernel walks them. */
function readAll(oc: Oc, shape: TopoDS_Shape, faces: readonly TopoDS_Face[], pages: readonly Page[], quality: MeshQuality): void {
  scoped((keep) => {
    const raw = keep(oc.ReplicadMeshExtractor.extract(shape, quality.deviation, quality.angle, false));
    const memory = oc.wasmMemory.buffer;
    const positions = new Float32Array(memory, raw.getVerticesPtr(), raw.getVerticesSize());
    const normals = new Float32Array(memory, raw.getNormalsPtr(), raw.getNormalsSize());
    const triangles = new Uint32Array(memory, raw.getTrianglesPtr(), raw.getTrianglesSize());
    const groups = new Int32Array(memory, raw.getFaceGroupsPtr(), raw.getFaceGroupsSize());
    if (groups.length !== 3 * faces.length) throw new KernelFailure('mesh: a face without facets');
    faces.forEach((face, i) => {
      const page = pages[i]!;
      const own = triangles.slice(groups[3 * i]!, groups[3 * i]! + groups[3 * i + 1]!);
      const first = own.reduce((least, node) => Math.min(least, node), Infinity);
      const last = own.reduce((most, node) => Math.max(most, node), 0);
      const [from, to] = [3 * first, 3 * last + 3];
      const at = positions.slice(from, to);
      const straight = own.map((node) => node - first);
      const pair = bothWays(page.ids, faceKind(oc, face), at, outward(at, normals.slice(from, to), straight), straight);
      // The page's own handle may stand the other way round.
      page.meshes = turned(oc, face) === turned(oc, page.face) ? pair : [{ ...pair[1], id: page.ids[0] }, { ...pair[0], id: page.ids[1] }];
    });
  });
}

/** Reads one face whose facets are already there. */
function readFace(oc: Oc, { face, ids }: Page): Pair {
  return scoped((keep) => {
    const place = keep(new oc.TopLoc_Location());
    const facets = oc.BRep_Tool.Triangulation(face, place, 0) as InstanceType<Oc['Poly_Triangulation']> | null;
    if (facets === null) throw new KernelFailure('mesh: a face without facets');
    keep(facets);
    const shift = place.IsIdentity() ? null : keep(place.Transformation());
    const positions = new Float32Array(3 * facets.NbNodes());
    for (let i = 0; i < positions.length / 3; i++) {
      const node = facets.Node(i + 1);
      if (shift !== null) node.Transform(shift);
      positions[3 * i] = node.X();
      positions[3 * i + 1] = node.Y();
      positions[3 * i + 2] = node.Z();
      node.delete();
    }
    const triangles = readTriangles(facets, turned(oc, face));
    return bothWays(ids, faceKind(oc, face), positions, readNormals(oc, face, facets, positions, triangles), triangles);
  });
}

function readTriangles(facets: InstanceType<Oc['Poly_Triangulation']>, flip: boolean): Uint32Array {
  const triangles = new Uint32Array(3 * facets.NbTriangles());
  for (let t = 0; t < triangles.length / 3; t++) {
    const facet = facets.Triangle(t + 1);
    triangles[3 * t] = facet.Value(1) - 1;
    triangles[3 * t + 1] = facet.Value(flip ? 3 : 2) - 1;
    triangles[3 * t + 2] = facet.Value(flip ? 2 : 3) - 1;
    facet.delete();
  }
  return triangles;
}

function flipped(triangles: Uint32Array): Uint32Array {
  const other = triangles.slice();
  for (let t = 0; t < other.length; t += 3) [other[t + 1], other[t + 2]] = [other[t + 2]!, other[t + 1]!];
  return other;
}

/** Normals of the face itself, not of its facets, pointing to the side the facets face. */
function readNormals(oc: Oc, face: TopoDS_Face, facets: InstanceType<Oc['Poly_Triangulation']>, positions: Float32Array, triangles: Uint32Array): Float32Array {
  const normals = new Float32Array(positions.length);
  const plane = planeOf(oc, face);
  if (plane !== null) {
    for (let i = 0; i < normals.length; i++) normals[i] = plane.normal[i % 3]!;
    return normals;
  }
  oc.BRepLib_ToolTriangulatedShape.ComputeNormals(face, facets);
  for (let i = 0; i < normals.length / 3; i++) {
    const normal = facets.Normal(i + 1);
    normals[3 * i] = normal.X();
    normals[3 * i + 1] = normal.Y();
    normals[3 * i + 2] = normal.Z();
    normal.delete();
  }
  return outward(positions, normals, triangles);
}

/** Normals turned to the side the facets face. */
function outward(positions: Float32Array, normals: Float32Array, triangles: Uint32Array): Float32Array {
  if (against(positions, normals, triangles)) for (let i = 0; i < normals.length; i++) normals[i] = -normals[i]!;
  return normals;
}

/** Whether normals and facets point to opposite sides, by the sum over all facets. */
function against(positions: Float32Array, normals: Float32Array, triangles: Uint32Array): boolean {
  let sum = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [3 * triangles[t]!, 3 * triangles[t + 1]!, 3 * triangles[t + 2]!];
    const u = [0, 1, 2].map((k) => positions[b + k]! - positions[a + k]!) as [number, number, number];
    const v = [0, 1, 2].map((k) => positions[c + k]! - positions[a + k]!) as [number, number, number];
    sum += (u[1] * v[2] - u[2] * v[1]) * normals[a]! + (u[2] * v[0] - u[0] * v[2]) * normals[a + 1]! + (u[0] * v[1] - u[1] * v[0]) * normals[a + 2]!;
  }
  return sum < 0;
}
