/**
 * Booleans of solids, built once. (A wrapper's two-shape constructor builds and its Build() builds again; and a boolean
 * deleted without Clear() keeps its working memory for good.)
 */
import type { TopoDS_Shape } from 'replicad-opencascadejs';
import { guarded, KernelFailure, type Oc } from './oc.ts';
import { scoped } from './scope.ts';

export type BooleanKind = 'cut' | 'fuse' | 'common';

export interface BooleanOptions {
  /** Join coplanar neighbours and collinear edges of the result. Off: seams between the arguments stay. */
  readonly simplify?: boolean;
  /** mm. Faces and edges this near are taken to touch; for arguments that graze each other. */
  readonly fuzzy?: number;
}

/** `subjects` with all `tools` cut, fused or kept in common, in one operation. The result belongs to the caller. */
export function combine(oc: Oc, kind: BooleanKind, subjects: readonly TopoDS_Shape[], tools: readonly TopoDS_Shape[], options: BooleanOptions = {}): TopoDS_Shape {
  return guarded(oc, kind, () =>
    scoped((keep) => {
      const work = kind === 'cut' ? new oc.BRepAlgoAPI_Cut() : kind === 'fuse' ? new oc.BRepAlgoAPI_Fuse() : new oc.BRepAlgoAPI_Common();
      try {
        work.SetArguments(keep(listOf(oc, subjects)));
        work.SetTools(keep(listOf(oc, tools)));
        work.SetUseOBB(true);
        if (options.fuzzy) work.SetFuzzyValue(options.fuzzy);
        work.Build();
        if (work.HasErrors()) throw new KernelFailure(`${kind}: the kernel reports an error`);
        if (options.simplify) work.SimplifyResult(true, true, 1e-9);
        return work.Shape();
      } finally {
        work.Clear();
        work.delete();
      }
    }),
  );
}

function listOf(oc: Oc, shapes: readonly TopoDS_Shape[]): InstanceType<Oc['NCollection_List_TopoDS_Shape']> {
  const list = new oc.NCollection_List_TopoDS_Shape();
  for (const shape of shapes) (list.Append(shape) as TopoDS_Shape | undefined)?.delete();
  return list;
}
