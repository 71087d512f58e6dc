/** How many faces of a solid lie on its outer top. */
import type { TopoDS_Shape } from 'replicad-opencascadejs';
import { tolerance } from '../../maths/tolerance.ts';
import { heightsOf } from '../heights.ts';
import type { BodyPlan } from '../plan.ts';
import type { Oc } from './oc.ts';
import { scoped } from './scope.ts';
import { facesOf } from './topology.ts';

/** A swept face is a piece of the top when its surface runs along the contour wherever it is asked. */
export function countTops(oc: Oc, shape: TopoDS_Shape, body: BodyPlan): number {
  const top = heightsOf(body.top);
  return scoped((keep) =>
    facesOf(oc, shape).map(keep).filter((face) =>
      scoped((brief) => {
        const surface = brief(new oc.BRepAdaptor_Surface(face, true));
        if (surface.GetType() !== oc.GeomAbs_SurfaceType.GeomAbs_SurfaceOfExtrusion) return false;
        const [u0, u1, v] = [surface.FirstUParameter(), surface.LastUParameter(), surface.FirstVParameter()];
        return [0.1, 0.4, 0.8].every((share) => {
          const at = brief(surface.EvalD0(u0 + share * (u1 - u0), v));
          return at.X() >= 0 && at.X() <= body.length && Math.abs(at.Z() - top.at(at.X())) < tolerance.point;
        });
      }),
    ).length,
  );
}
