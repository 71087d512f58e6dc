/** Hollow minus bosses, with their roots rounded; and the blind holes that go back into the hollow. */
import type { TopoDS_Edge, TopoDS_Face, TopoDS_Shape } from 'replicad-opencascadejs';
import { tolerance } from '../../maths/tolerance.ts';
import type { BodyPlan, BossPlan } from '../plan.ts';
import { footAt } from '../walls.ts';
import { combine } from './boolean.ts';
import { KernelFailure, type Oc } from './oc.ts';
import { fillet } from './rounding.ts';
import { deleteAll, scoped, type Keep } from './scope.ts';
import { cylinder } from './tools.ts';
import { edgesOf, facesOf } from './topology.ts';

/** mm a boss is carried on past the roof, and a flush one past the foot, so that no faces coincide. */
const overrun = 1;

/** The column a boss takes out of the hollow. */
export function bossColumn(oc: Oc, body: BodyPlan, boss: BossPlan): TopoDS_Shape {
  const foot = footAt(body, boss.x);
  const bottom = boss.endHeight <= foot + tolerance.point ? Math.min(boss.endHeight, foot) - overrun : boss.endHeight;
  // The poles of a B-spline stand no lower than the curve.
  const top = Math.max(...body.top.flatMap((curve) => curve.poles.map((pole) => pole[1]))) + overrun;
  return cylinder(oc, [boss.x, boss.y, bottom], [0, 0, 1], boss.diameter / 2, top - bottom);
}

/** What a boss that reaches below its foot adds outside the hollow: from its end to a little above the foot. */
export function standingBoss(oc: Oc, body: BodyPlan, boss: BossPlan): TopoDS_Shape {
  const top = footAt(body, boss.x) + overrun;
  return cylinder(oc, [boss.x, boss.y, boss.endHeight], [0, 0, 1], boss.diameter / 2, top - boss.endHeight);
}

export function cutBosses(oc: Oc, body: BodyPlan, hollow: TopoDS_Shape, bosses: readonly BossPlan[]): TopoDS_Shape {
  const columns = bosses.map((boss) => bossColumn(oc, body, boss));
  try {
    let result = combine(oc, 'cut', [hollow], columns);
    for (const boss of bosses.filter((one) => one.rootRadius > 0)) {
      const before = result;
      try {
        result = roundRoot(oc, before, boss);
      } finally {
        before.delete();
      }
    }
    return result;
  } finally {
    deleteAll(columns);
  }
}

/** Rounds the edge between a boss and what it hangs from: every edge of its side that is neither its end, its seam, nor level. */
export function roundRoot(oc: Oc, hollow: TopoDS_Shape, boss: BossPlan): TopoDS_Shape {
  return scoped((keep) => {
    const sides = facesOf(oc, hollow).map(keep).filter((face) => isSideOf(oc, face, boss));
    const edges = sides.flatMap((side) => rootEdges(oc, keep, side, boss));
    if (edges.length === 0) throw new KernelFailure(`${boss.name}: no edge between boss and roof`);
    return fillet(oc, hollow, edges.map((edge) => ({ edge, radius: boss.rootRadius })));
  });
}

function isSideOf(oc: Oc, face: TopoDS_Face, boss: BossPlan): boolean {
  return scoped((keep) => {
    const surface = keep(new oc.BRepAdaptor_Surface(face, false));
    if (surface.GetType() !== oc.GeomAbs_SurfaceType.GeomAbs_Cylinder) return false;
    const round = keep(surface.Cylinder());
    const at = keep(round.Location());
    return Math.abs(round.Radius() - boss.diameter / 2) < tolerance.point && Math.hypot(at.X() - boss.x, at.Y() - boss.y) < tolerance.point;
  });
}

function rootEdges(oc: Oc, keep: Keep, side: TopoDS_Face, boss: BossPlan): TopoDS_Edge[] {
  return edgesOf(oc, side).map(keep).filter((edge) => {
    if (oc.BRep_Tool.IsClosed(edge, side)) return false;
    return scoped((brief) => {
      const bounds = brief(new oc.Bnd_Box());
      oc.BRepBndLib.AddOptimal(edge, bounds, false, false);
      const level = bounds.GetZMax() - bounds.GetZMin() < tolerance.point;
      return !(level && Math.abs(bounds.GetZMax() - boss.endHeight) < tolerance.point);
    });
  });
}
