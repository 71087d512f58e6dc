/** Faces swept from a known curve along Y, and edges laid on them by their own parameters. */
import type { Geom_Surface, TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Vertex } from 'replicad-opencascadejs';
import type { BSplineCurve } from '../../maths/bspline.ts';
import { tolerance } from '../../maths/tolerance.ts';
import { parameterFinder } from '../heights.ts';
import { traceOn, type Path } from '../trace.ts';
import { KernelFailure, type Oc } from './oc.ts';
import { scoped, type Keep } from './scope.ts';
import { faceKind, facesOf } from './topology.ts';

/** A swept face with its curve, and how its second parameter runs: y = base + way * v. */
export interface Swept {
  readonly face: TopoDS_Face;
  readonly curve: BSplineCurve;
  readonly base: number;
  readonly way: number;
}

/** A rectangle of the plan. */
export interface PlanBox {
  readonly x: readonly [least: number, most: number];
  readonly y: readonly [least: number, most: number];
}

/** Every face of a shape that is swept from one of the curves. Faces are kept by the scope. */
export function sweptFrom(oc: Oc, keep: Keep, shape: TopoDS_Shape, curves: readonly BSplineCurve[]): Swept[] {
  const swept = facesOf(oc, shape).map(keep).filter((face) => faceKind(oc, face) === 'swept');
  return swept.flatMap((face) => curves.map((curve) => onCurve(oc, face, curve)).filter((found) => found !== null));
}

function onCurve(oc: Oc, face: TopoDS_Face, curve: BSplineCurve): Swept | null {
  return scoped((keep) => {
    const surface = keep(surfaceOf(oc, face));
    const start = curve.knots[0]!;
    const [at, next] = [keep(surface.EvalD0(start, 0)), keep(surface.EvalD0(start, 1))];
    const [x, z] = curve.poles[0]!;
    const same = Math.hypot(at.X() - x, at.Z() - z) < tolerance.point && Math.hypot(next.X() - x, next.Z() - z) < tolerance.point;
    return same ? { face, curve, base: at.Y(), way: next.Y() - at.Y() } : null;
  });
}

export const surfaceOf = (oc: Oc, face: TopoDS_Face): Geom_Surface => oc.BRep_Tool.Surface(face) as Geom_Surface;

/** Whether a rectangle of the plan lies within the bounds of the face, short of its rims. */
export function boundsHold(oc: Oc, { face, curve, base, way }: Swept, { x, y }: PlanBox): boolean {
  if (x[0] <= curve.poles[0]![0] || x[1] >= curve.poles.at(-1)![0]) return false;
  const parameter = parameterFinder(curve);
  const bounds = oc.BRepTools.UVBounds(face, 0, 0, 0, 0);
  const [v0, v1] = y.map((one) => (one - base) / way).sort((a, b) => a - b) as [number, number];
  const slack = tolerance.point;
  return parameter(x[0]) > bounds.UMin + slack && parameter(x[1]) < bounds.UMax - slack && v0 > bounds.VMin + slack && v1 < bounds.VMax - slack;
}

/** The edge of a face that runs above or below a path of the plan, from one vertex to another. */
export function edgeAlong(oc: Oc, keep: Keep, swept: Swept, path: Path, from: number, to: number, first: TopoDS_Vertex, last: TopoDS_Vertex): TopoDS_Edge {
  const trace = traceOn(swept.curve, path, from, to);
  const surface = keep(surfaceOf(oc, swept.face));
  return scoped((brief) => {
    const poles = brief(new oc.NCollection_Array1_gp_Pnt2d(1, trace.poles.length));
    trace.poles.forEach(([u, y], i) => poles.SetValue(i + 1, brief(new oc.gp_Pnt2d(u, (y - swept.base) / swept.way))));
    const distinct = [...new Set(trace.knots)];
    const knots = brief(new oc.NCollection_Array1_double(1, distinct.length));
    const times = brief(new oc.NCollection_Array1_int(1, distinct.length));
    distinct.forEach((knot, i) => {
      knots.SetValue(i + 1, knot);
      times.SetValue(i + 1, i === 0 || i === distinct.length - 1 ? trace.degree + 1 : 1);
    });
    const curve = brief(new oc.Geom2d_BSplineCurve(poles, knots, times, trace.degree, false));
    const { TopAbs_FORWARD, TopAbs_REVERSED } = oc.TopAbs_Orientation;
    const start = brief(oc.TopoDS.Vertex(brief(first.Oriented(TopAbs_FORWARD))));
    const end = brief(oc.TopoDS.Vertex(brief(last.Oriented(TopAbs_REVERSED))));
    const maker = brief(new oc.BRepBuilderAPI_MakeEdge(curve, surface, start, end, from, to));
    if (!maker.IsDone()) throw new KernelFailure('no edge along a swept face');
    const edge = keep(maker.Edge());
    if (!oc.BRepLib.BuildCurve3d(edge, tolerance.trace, oc.GeomAbs_Shape.GeomAbs_C1, 14, 400)) throw new KernelFailure('no curve along a swept face');
    return edge;
  });
}

/** Whether a swept face, as it stands, has its outside above. */
export function facesUp(oc: Oc, face: TopoDS_Face): boolean {
  return scoped((keep) => {
    const surface = keep(new oc.BRepAdaptor_Surface(face, true));
    const [u, v] = [(surface.FirstUParameter() + surface.LastUParameter()) / 2, (surface.FirstVParameter() + surface.LastVParameter()) / 2];
    const step = 1e-3 * (surface.LastUParameter() - surface.FirstUParameter());
    const [at, alongU, alongV] = [keep(surface.EvalD0(u, v)), keep(surface.EvalD0(u + step, v)), keep(surface.EvalD0(u, v + step))];
    const up = (alongU.X() - at.X()) * (alongV.Y() - at.Y()) - (alongU.Y() - at.Y()) * (alongV.X() - at.X());
    return up > 0 === (face.Orientation() === oc.TopAbs_Orientation.TopAbs_FORWARD);
  });
}

/** The face, turned if need be so that its outside is above. */
export const turnedUp = (oc: Oc, keep: Keep, face: TopoDS_Face): TopoDS_Face => (facesUp(oc, face) ? face : keep(oc.TopoDS.Face(keep(face.Reversed()))));
