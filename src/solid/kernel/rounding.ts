/**
 * Fillets and chamfers on chosen edges of a solid, all in one build. The kernel does not always manage; a failure says
 * so as KernelFailure and never hands back a broken shape.
 */
import type { TopoDS_Edge, TopoDS_Shape } from 'replicad-opencascadejs';
import { guarded, KernelFailure, type Oc } from './oc.ts';
import { scoped } from './scope.ts';

export interface RoundedEdge {
  readonly edge: TopoDS_Edge;
  readonly radius: number;
}

export function fillet(oc: Oc, solid: TopoDS_Shape, edges: readonly RoundedEdge[]): TopoDS_Shape {
  return guarded(oc, 'fillet', () =>
    scoped((keep) => {
      const maker = keep(new oc.BRepFilletAPI_MakeFillet(solid));
      for (const { edge, radius } of edges) maker.Add(radius, edge);
      maker.Build();
      if (!maker.IsDone()) throw new KernelFailure(`fillet: ${maker.NbFaultyContours()} of ${maker.NbContours()} edge runs failed`);
      return maker.Shape();
    }),
  );
}

export function chamfer(oc: Oc, solid: TopoDS_Shape, edges: readonly TopoDS_Edge[], size: number): TopoDS_Shape {
  return guarded(oc, 'chamfer', () =>
    scoped((keep) => {
      const maker = keep(new oc.BRepFilletAPI_MakeChamfer(solid));
      for (const edge of edges) maker.Add(size, edge);
      maker.Build();
      if (!maker.IsDone()) throw new KernelFailure('chamfer: the kernel reports no result');
      return maker.Shape();
    }),
  );
}
