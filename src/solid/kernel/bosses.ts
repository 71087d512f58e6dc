/** Hollow minus bosses, with their roots rounded. */
import type { TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Wire } from 'replicad-opencascadejs';
import { tolerance } from '../../maths/tolerance.ts';
import { isEasyBoss, isFlush } from '../easy.ts';
import type { BodyPlan, BossPlan, SolidPlan } from '../plan.ts';
import { footAt, footBeside } from '../walls.ts';
import { combine } from './boolean.ts';
import { bossFaces } from './bossPatch.ts';
import { withWires } from './drillFlat.ts';
import type { KeptFaces } from './keptFaces.ts';
import { KernelFailure, type Oc } from './oc.ts';
import { fillet } from './rounding.ts';
import { deleteAll, scoped, type Keep } from './scope.ts';
import { boundsHold, sweptFrom, type PlanBox, type Swept } from './sweptFaces.ts';
import { cylinder } from './tools.ts';
import { copyOf, countOf, edgesOf, facesOf, planeOf } from './topology.ts';

/** mm a boss is carried on past the roof, and a flush one past the foot, so that no faces coincide. */
const overrun = 1;

/** The column a boss takes out of the hollow. */
export function bossColumn(oc: Oc, body: BodyPlan, boss: BossPlan): TopoDS_Shape {
  // Across the step of the feet it hangs free on the lower side, whatever it does on the other.
  const lower = Math.min(footAt(body, boss.x - boss.diameter / 2), footAt(body, boss.x + boss.diameter / 2));
  // There its end lies in one plane with that of the column outside the hollow, and a cut along such a plane may never end: it is kept off by less than can be made.
  const across = lower < footBeside(body, boss) - tolerance.point;
  const bottom = boss.endHeight <= lower + tolerance.point ? boss.endHeight - overrun : boss.endHeight - (across ? tolerance.grazing : 0);
  // The poles of a B-spline stand no lower than the curve.
  const top = Math.max(...body.top.flatMap((curve) => curve.poles.map((pole) => pole[1]))) + overrun;
  return cylinder(oc, [boss.x, boss.y, bottom], [0, 0, 1], boss.diameter / 2, top - bottom);
}

/** What a boss that reaches below its foot adds outside the hollow: from its end to a little above the foot. */
export function standingBoss(oc: Oc, kept: KeptFaces, body: BodyPlan, boss: BossPlan): TopoDS_Shape {
  const top = footBeside(body, boss) + overrun;
  return kept.tool(['standing', boss.x, boss.y, boss.endHeight, boss.diameter, top], () => cylinder(oc, [boss.x, boss.y, boss.endHeight], [0, 0, 1], boss.diameter / 2, top - boss.endHeight));
}

/** The hollow round all bosses: those that stand clear by hand, the rest by a boolean. */
export function cutBosses(oc: Oc, kept: KeptFaces, plan: SolidPlan, hollow: TopoDS_Shape): TopoDS_Shape {
  const easy = plan.bosses.filter((boss) => isEasyBoss(plan, boss));
  const other = plan.bosses.filter((boss) => !easy.includes(boss));
  const start = other.length === 0 ? copyOf(hollow) : cutByBoolean(oc, plan.body, hollow, other);
  try {
    const { shape, left } = standByHand(oc, kept, plan.body, start, easy);
    if (left.length === 0) return shape;
    try {
      return cutByBoolean(oc, plan.body, shape, left);
    } finally {
      shape.delete();
    }
  } finally {
    start.delete();
  }
}

/** Puts in what bosses it can by hand; `left` are those whose faces could not be made or have no room on the flat of the roof. */
function standByHand(oc: Oc, kept: KeptFaces, body: BodyPlan, hollow: TopoDS_Shape, bosses: readonly BossPlan[]): { readonly shape: TopoDS_Shape; readonly left: readonly BossPlan[] } {
  return scoped((keep) => {
    const left: BossPlan[] = [];
    const hosts = new Map<TopoDS_Face, TopoDS_Wire[]>();
    const added: TopoDS_Face[] = [];
    const roofs = countOf(oc, hollow, 'solid') === 1 ? sweptFrom(oc, keep, hollow, body.roof) : [];
    const feet = facesOf(oc, hollow).map(keep).filter((face) => planeOf(oc, face)?.normal[2] === -1);
    for (const boss of bosses) {
      const made = tryFaces(oc, keep, kept, roofs, feet, body, boss);
      if (made === null) left.push(boss);
      else {
        added.push(...made.faces);
        for (const [host, wire] of made.wires) hosts.set(host, [...(hosts.get(host) ?? []), wire]);
      }
    }
    return { shape: added.length === 0 ? copyOf(hollow) : rebuilt(oc, keep, kept, hollow, hosts, added), left };
  });
}

function tryFaces(oc: Oc, keep: Keep, kept: KeptFaces, roofs: readonly Swept[], feet: readonly TopoDS_Face[], body: BodyPlan, boss: BossPlan) {
  const reach = boss.diameter / 2 + boss.rootRadius;
  const round: PlanBox = { x: [boss.x - reach, boss.x + reach], y: [boss.y - reach, boss.y + reach] };
  const [roof, ...others] = roofs.filter((one) => boundsHold(oc, one, round));
  const flush = isFlush(body, boss);
  const foot = flush ? feet.filter((face) => Math.abs((planeOf(oc, face)?.distance ?? Infinity) + boss.endHeight) < tolerance.point) : [];
  if (roof === undefined || others.length > 0 || (flush && foot.length !== 1)) return null;
  try {
    const { faces, roofWire, footWire } = bossFaces(oc, keep, kept, roof, boss, flush);
    const wires: (readonly [TopoDS_Face, TopoDS_Wire])[] = [[roof.face, roofWire]];
    if (footWire !== null) wires.push([foot[0]!, footWire]);
    return { faces, wires };
  } catch (error) {
    if (error instanceof KernelFailure) return null;
    throw error;
  }
}

/** The solid again, some faces with more wires in them, and new faces. */
function rebuilt(oc: Oc, keep: Keep, kept: KeptFaces, solid: TopoDS_Shape, hosts: ReadonlyMap<TopoDS_Face, readonly TopoDS_Wire[]>, added: readonly TopoDS_Face[]): TopoDS_Shape {
  const build = keep(new oc.TopoDS_Builder());
  const shell = keep(new oc.TopoDS_Shell());
  build.MakeShell(shell);
  for (const face of facesOf(oc, solid).map(keep)) {
    const wires = [...hosts].find(([host]) => host.IsSame(face))?.[1];
    build.Add(shell, wires === undefined ? face : kept.made([face, ...wires], () => withWires(oc, face, wires)));
  }
  for (const face of added) build.Add(shell, face);
  shell.Closed(true);
  return keep(new oc.BRepBuilderAPI_MakeSolid(shell)).Solid();
}

function cutByBoolean(oc: Oc, body: BodyPlan, hollow: TopoDS_Shape, bosses: readonly BossPlan[]): TopoDS_Shape {
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
