/** Walking shapes: faces, edges, kinds and planes. Handles returned belong to the caller. */
import type { TopAbs_ShapeEnum, TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Shell, TopoDS_Wire } from 'replicad-opencascadejs';
import type { Vec3 } from '../../maths/vec.ts';
import type { RigidMotion } from '../door.ts';
import type { Oc } from './oc.ts';
import { scoped } from './scope.ts';

/** Each sub-shape of a kind in the order the kernel walks them; shared ones come once per use. */
function each(oc: Oc, shape: TopoDS_Shape, kind: TopAbs_ShapeEnum, visit: (found: TopoDS_Shape) => void): void {
  const walk = new oc.TopExp_Explorer(shape, kind);
  try {
    for (; walk.More(); walk.Next()) {
      const found = walk.Current();
      try {
        visit(found);
      } finally {
        found.delete();
      }
    }
  } finally {
    walk.delete();
  }
}

export function facesOf(oc: Oc, shape: TopoDS_Shape): TopoDS_Face[] {
  const faces: TopoDS_Face[] = [];
  each(oc, shape, oc.TopAbs_ShapeEnum.TopAbs_FACE, (found) => faces.push(oc.TopoDS.Face(found)));
  return faces;
}

/** Wires of a face, the outer one among them. */
export function wiresOf(oc: Oc, face: TopoDS_Face): TopoDS_Wire[] {
  const wires: TopoDS_Wire[] = [];
  each(oc, face, oc.TopAbs_ShapeEnum.TopAbs_WIRE, (found) => wires.push(oc.TopoDS.Wire(found)));
  return wires;
}

/** Another handle on the same shape. */
export const copyOf = (shape: TopoDS_Shape): TopoDS_Shape => shape.Oriented(shape.Orientation());

/** The same shape moved as a whole; its faces and their facets are shared with the original. */
export function placedCopy(oc: Oc, shape: TopoDS_Shape, placed?: RigidMotion): TopoDS_Shape {
  if (placed === undefined) return copyOf(shape);
  const [a, b, c] = placed.rotation;
  const t = placed.shift;
  return scoped((keep) => {
    const motion = keep(new oc.gp_Trsf());
    motion.SetValues(a[0], a[1], a[2], t[0], b[0], b[1], b[2], t[1], c[0], c[1], c[2], t[2]);
    return shape.Moved(keep(new oc.TopLoc_Location(motion)), false);
  });
}

export function shellsOf(oc: Oc, shape: TopoDS_Shape): TopoDS_Shell[] {
  const shells: TopoDS_Shell[] = [];
  each(oc, shape, oc.TopAbs_ShapeEnum.TopAbs_SHELL, (found) => shells.push(oc.TopoDS.Shell(found)));
  return shells;
}

/** Every edge once. */
export function edgesOf(oc: Oc, shape: TopoDS_Shape): TopoDS_Edge[] {
  const buckets = new Map<number, TopoDS_Edge[]>();
  const edges: TopoDS_Edge[] = [];
  each(oc, shape, oc.TopAbs_ShapeEnum.TopAbs_EDGE, (found) => {
    const hash = oc.ReplicadShapeHasher.HashCode(found, 0x7fffffff);
    const bucket = buckets.get(hash) ?? [];
    if (bucket.some((seen) => seen.IsSame(found))) return;
    const edge = oc.TopoDS.Edge(found);
    bucket.push(edge);
    buckets.set(hash, bucket);
    edges.push(edge);
  });
  return edges;
}

/** Hashes of the edges of a shape as it uses them; the same edge has the same hash everywhere. */
export function edgeHashes(oc: Oc, shape: TopoDS_Shape): number[] {
  const hashes: number[] = [];
  each(oc, shape, oc.TopAbs_ShapeEnum.TopAbs_EDGE, (found) => hashes.push(oc.ReplicadShapeHasher.HashCode(found, 0x7fffffff)));
  return hashes;
}

export function countOf(oc: Oc, shape: TopoDS_Shape, kind: 'solid' | 'shell' | 'face'): number {
  const { TopAbs_SOLID, TopAbs_SHELL, TopAbs_FACE } = oc.TopAbs_ShapeEnum;
  let count = 0;
  each(oc, shape, kind === 'solid' ? TopAbs_SOLID : kind === 'shell' ? TopAbs_SHELL : TopAbs_FACE, () => count++);
  return count;
}

/** The only solid of a shape (a boolean hands back a compound), or null when there is none or several. */
export function onlySolid(oc: Oc, shape: TopoDS_Shape): TopoDS_Shape | null {
  const solids: TopoDS_Shape[] = [];
  each(oc, shape, oc.TopAbs_ShapeEnum.TopAbs_SOLID, (found) => solids.push(oc.TopoDS.Solid(found)));
  const [first, ...rest] = solids;
  if (first !== undefined && rest.length === 0) return first;
  for (const solid of solids) solid.delete();
  return null;
}

export type FaceKind = 'plane' | 'cylinder' | 'cone' | 'sphere' | 'torus' | 'swept' | 'other';

const kindNames: Readonly<Record<string, FaceKind>> = {
  GeomAbs_Plane: 'plane',
  GeomAbs_Cylinder: 'cylinder',
  GeomAbs_Cone: 'cone',
  GeomAbs_Sphere: 'sphere',
  GeomAbs_Torus: 'torus',
  GeomAbs_SurfaceOfExtrusion: 'swept',
};

export const faceKind = (oc: Oc, face: TopoDS_Face): FaceKind =>
  scoped((keep) => kindNames[keep(new oc.BRepAdaptor_Surface(face, false)).GetType() as string] ?? 'other');

/** A plane by its unit normal out of the metal and its distance from the origin along it; null for a curved face. */
export function planeOf(oc: Oc, face: TopoDS_Face): { readonly normal: Vec3; readonly distance: number } | null {
  return scoped((keep) => {
    const surface = keep(new oc.BRepAdaptor_Surface(face, false));
    if (surface.GetType() !== oc.GeomAbs_SurfaceType.GeomAbs_Plane) return null;
    const plane = keep(surface.Plane());
    const direction = keep(keep(plane.Axis()).Direction());
    const place = keep(plane.Location());
    const side = (face.Orientation() === oc.TopAbs_Orientation.TopAbs_REVERSED ? -1 : 1) * (plane.Direct() ? 1 : -1);
    const normal: Vec3 = [side * direction.X(), side * direction.Y(), side * direction.Z()];
    return { normal, distance: normal[0] * place.X() + normal[1] * place.Y() + normal[2] * place.Z() };
  });
}
