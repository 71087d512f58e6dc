/**
 * Outside and hollow -> the thin solid, without a boolean of solids: the faces of the outside, the faces of the hollow
 * turned inside out, and in the planes where they touch the difference of their flat faces.
 *
 * Right only when the hollow lies inside the outside; a wrong one passes every check of validity. Whoever calls this
 * proves that first (guards.ts) or afterwards (inside.ts), or cuts instead.
 */
import type { TopoDS_Face, TopoDS_Shape } from 'replicad-opencascadejs';
import { combine } from './boolean.ts';
import { splitFaces, type ContactPlane } from './contact.ts';
import type { KeptFaces } from './keptFaces.ts';
import { guarded, type Oc } from './oc.ts';
import { scoped } from './scope.ts';
import { facesOf } from './topology.ts';

export function assemble(oc: Oc, kept: KeptFaces, positive: TopoDS_Shape, negative: TopoDS_Shape, planes: readonly ContactPlane[]): TopoDS_Shape {
  return guarded(oc, 'assembly', () =>
    scoped((keep) => {
      const keepAll = (faces: readonly TopoDS_Face[]): readonly TopoDS_Face[] => faces.map(keep);
      const outside = splitFaces(oc, positive, planes);
      const inside = splitFaces(oc, negative, planes);
      [outside.touching, outside.free, inside.touching, inside.free].forEach(keepAll);
      const rims = kept.made([...outside.touching, ...inside.touching], () => combine(oc, 'cut', outside.touching, inside.touching));
      const build = keep(new oc.TopoDS_Builder());
      const shell = keep(new oc.TopoDS_Shell());
      build.MakeShell(shell);
      for (const face of outside.free) build.Add(shell, face);
      for (const face of inside.free) build.Add(shell, keep(face.Reversed()));
      for (const face of keepAll(facesOf(oc, rims))) build.Add(shell, face);
      shell.Closed(true);
      return keep(new oc.BRepBuilderAPI_MakeSolid(shell)).Solid();
    }),
  );
}
