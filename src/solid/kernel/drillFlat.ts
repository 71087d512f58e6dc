/**
 * Holes drilled square into flat faces, without a boolean: the flat face gets the mouth of the drill as one more wire, and
 * the drill's own walls close the shell. Right only where the mouth lies wholly inside one flat face and the drill meets
 * nothing else of the solid (see easy.ts); a hundred times quicker than a boolean there.
 */
import type { TopoDS_Face, TopoDS_Shape, TopoDS_Wire } from 'replicad-opencascadejs';
import { tolerance } from '../../maths/tolerance.ts';
import type { Vec3 } from '../../maths/vec.ts';
import type { KeptFaces } from './keptFaces.ts';
import { compoundOf } from './measure.ts';
import { guarded, KernelFailure, type Oc } from './oc.ts';
import { scoped } from './scope.ts';
import { copyOf, countOf, facesOf, planeOf } from './topology.ts';

/** A drill as a closed solid whose end faces stand exactly in the faces it enters and, when it goes through, leaves. */
export interface FlatDrill {
  readonly solid: TopoDS_Shape;
  /**
   * Mouths by the flat face of the part they open in: its normal out of the part's metal, and a point on the axis. Without
   * any the drill stands by itself, a piece of hollow of its own.
   */
  readonly mouths: readonly { readonly normal: Vec3; readonly at: Vec3; readonly radius: number }[];
}

/**
 * `solid` with the drills taken away (`remove`), or with them added: to a hollow, or as posts. Throws KernelFailure when a
 * mouth finds no face of its own: none, or several. `nested`: of several the smallest is taken, where one may lie in a hole
 * of another; whoever says so checks that the result is valid.
 */
export function drillFlat(oc: Oc, kept: KeptFaces, solid: TopoDS_Shape, drills: readonly FlatDrill[], remove: boolean, nested = false): TopoDS_Shape {
  return guarded(oc, 'hole', () => scoped((keep) => {
    if (countOf(oc, solid, 'solid') !== 1) throw new KernelFailure('hole: not one solid');
    const faces = facesOf(oc, solid).map(keep).map((face) => ({ face, plane: planeOf(oc, face), wires: [] as TopoDS_Wire[] }));
    const walls: TopoDS_Shape[] = [];
    for (const drill of drills.filter((one) => one.mouths.length > 0)) {
      for (const face of facesOf(oc, drill.solid).map(keep)) {
        const mouth = mouthOf(oc, face, drill);
        if (mouth === null) {
          walls.push(remove ? keep(face.Reversed()) : face);
          continue;
        }
        const hosts = faces.filter(({ face: host, plane }) => plane !== null && inPlane(plane, mouth) && holds(oc, host, mouth));
        if (hosts.length === 0 || (hosts.length > 1 && !nested)) throw new KernelFailure(`hole: ${hosts.length} faces for its mouth`);
        if (hosts.length > 1) hosts.sort((a, b) => spread(oc, a.face) - spread(oc, b.face));
        const rim = keep(oc.BRepTools.OuterWire(face));
        // Mouth and host look the same way when metal is removed, opposite ways when a hollow grows.
        hosts[0]!.wires.push(remove ? keep(oc.TopoDS.Wire(keep(rim.Reversed()))) : rim);
      }
    }
    const build = keep(new oc.TopoDS_Builder());
    const shell = keep(new oc.TopoDS_Shell());
    build.MakeShell(shell);
    for (const { face, wires } of faces) build.Add(shell, wires.length === 0 ? face : kept.made([face, ...wires], () => withWires(oc, face, wires)));
    for (const wall of walls) build.Add(shell, wall);
    shell.Closed(true);
    const drilled = keep(new oc.BRepBuilderAPI_MakeSolid(shell)).Solid();
    const loose = drills.filter((drill) => drill.mouths.length === 0).map((drill) => drill.solid);
    return loose.length === 0 ? drilled : copyOf(compoundOf(oc, keep, [keep(drilled), ...loose]));
  }));
}

/** A face with more wires in it. */
export function withWires(oc: Oc, face: TopoDS_Face, wires: readonly TopoDS_Wire[]): TopoDS_Face {
  return scoped((keep) => {
    const maker = keep(new oc.BRepBuilderAPI_MakeFace(face));
    for (const wire of wires) maker.Add(wire);
    return maker.Face();
  });
}

type Mouth = FlatDrill['mouths'][number];
interface Plane {
  readonly normal: Vec3;
  readonly distance: number;
}

const along = (normal: Vec3, at: Vec3): number => normal[0] * at[0] + normal[1] * at[1] + normal[2] * at[2];

const inPlane = (plane: Plane, mouth: Mouth): boolean =>
  along(plane.normal, mouth.normal) > 1 - tolerance.angle && Math.abs(plane.distance - along(plane.normal, mouth.at)) < tolerance.point;

/** The mouth a face of the drill stands in, whichever way it looks; null for a wall of the hole. */
function mouthOf(oc: Oc, face: TopoDS_Face, drill: FlatDrill): Mouth | null {
  const plane = planeOf(oc, face);
  if (plane === null) return null;
  return drill.mouths.find((mouth) => Math.abs(along(plane.normal, mouth.normal)) > 1 - tolerance.angle && Math.abs(plane.distance - along(plane.normal, mouth.at)) < tolerance.point) ?? null;
}

/** mm, diagonal of the box round a face. */
function spread(oc: Oc, face: TopoDS_Face): number {
  return scoped((keep) => {
    const bounds = keep(new oc.Bnd_Box());
    oc.BRepBndLib.Add(face, bounds, false);
    return Math.sqrt(bounds.SquareExtent());
  });
}

/** Whether the mouth lies inside the bounds of a face. Which face it is beyond that is known from the plan. */
function holds(oc: Oc, face: TopoDS_Face, mouth: Mouth): boolean {
  return scoped((keep) => {
    const bounds = keep(new oc.Bnd_Box());
    oc.BRepBndLib.Add(face, bounds, false);
    const { at, normal, radius } = mouth;
    const reach = [0, 1, 2].map((axis) => radius * Math.sqrt(Math.max(0, 1 - normal[axis]! ** 2)));
    const low = [bounds.GetXMin(), bounds.GetYMin(), bounds.GetZMin()];
    const high = [bounds.GetXMax(), bounds.GetYMax(), bounds.GetZMax()];
    return [0, 1, 2].every((axis) => at[axis]! - reach[axis]! >= low[axis]! - tolerance.point && at[axis]! + reach[axis]! <= high[axis]! + tolerance.point);
  });
}
