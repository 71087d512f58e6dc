/**
 * Flat outlines: lines, arcs and B-splines joined at shared vertices, as one planar face. `place` takes an outline's own
 * two coordinates to the part frame and must be rigid, so poles can be carried over as they are.
 */
import type { Geom_Curve, TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Vertex } from 'replicad-opencascadejs';
import type { BSplineCurve } from '../../maths/bspline.ts';
import type { Vec2, Vec3 } from '../../maths/vec.ts';
import { endOf, type Outline, type Stroke } from '../outline.ts';
import { KernelFailure, type Oc } from './oc.ts';
import { scoped, type Keep } from './scope.ts';

export type Place = (p: Vec2) => Vec3;

export const point = (oc: Oc, keep: Keep, at: Vec3): InstanceType<Oc['gp_Pnt']> => keep(new oc.gp_Pnt(at[0], at[1], at[2]));
export const vector = (oc: Oc, keep: Keep, v: Vec3): InstanceType<Oc['gp_Vec']> => keep(new oc.gp_Vec(v[0], v[1], v[2]));
export const direction = (oc: Oc, keep: Keep, v: Vec3): InstanceType<Oc['gp_Dir']> => keep(new oc.gp_Dir(v[0], v[1], v[2]));

/** Edges and vertices of an outline in order: edge i runs from vertex i to vertex i + 1. Kept by the caller's scope. */
export interface Wired {
  readonly face: TopoDS_Face;
  readonly edges: readonly TopoDS_Edge[];
  readonly vertices: readonly TopoDS_Vertex[];
}

/** One planar face bounded by `outer`, with `holes` in it. */
export function planarFace(oc: Oc, keep: Keep, outer: Outline, place: Place, holes: readonly Outline[] = []): Wired {
  const rim = wireOf(oc, keep, outer, place);
  const maker = keep(new oc.BRepBuilderAPI_MakeFace(rim.wire, true));
  if (!maker.IsDone()) throw new KernelFailure('outline: no flat face');
  for (const hole of holes) maker.Add(wireOf(oc, keep, hole, place).wire);
  return { face: keep(maker.Face()), edges: rim.edges, vertices: rim.vertices };
}

function wireOf(oc: Oc, keep: Keep, outline: Outline, place: Place) {
  const ends = outline.strokes.map(endOf);
  const corners = [outline.from, ...ends.slice(0, -1)];
  const vertices = corners.map((corner) => {
    const maker = keep(new oc.BRepBuilderAPI_MakeVertex(point(oc, keep, place(corner))));
    return keep(maker.Vertex());
  });
  const wire = keep(new oc.BRepBuilderAPI_MakeWire());
  const edges = outline.strokes.map((stroke, i) => {
    const from = vertices[i] as TopoDS_Vertex;
    const to = vertices[(i + 1) % vertices.length] as TopoDS_Vertex;
    const edge = edgeOf(oc, keep, stroke, place, corners[i] as Vec2, from, to);
    wire.Add(edge);
    return edge;
  });
  if (!wire.IsDone()) throw new KernelFailure('outline: its strokes do not join');
  return { wire: keep(wire.Wire()), edges, vertices };
}

function edgeOf(oc: Oc, keep: Keep, stroke: Stroke, place: Place, start: Vec2, from: TopoDS_Vertex, to: TopoDS_Vertex): TopoDS_Edge {
  if (stroke.kind === 'line') {
    const maker = keep(new oc.BRepBuilderAPI_MakeEdge(from, to));
    if (!maker.IsDone()) throw new KernelFailure('outline: a line of no length');
    return keep(maker.Edge());
  }
  const curve = curveOf(oc, keep, stroke, place, start);
  const maker = keep(new oc.BRepBuilderAPI_MakeEdge(curve, from, to));
  if (!maker.IsDone()) throw new KernelFailure('outline: a curve that does not meet its ends');
  return keep(maker.Edge());
}

function curveOf(oc: Oc, keep: Keep, stroke: Exclude<Stroke, { kind: 'line' }>, place: Place, start: Vec2): Geom_Curve {
  if (stroke.kind === 'curve') return splineOf(oc, keep, stroke.curve, place);
  if (stroke.kind === 'arc') {
    const [a, b, c] = [start, stroke.by, stroke.to].map((p) => point(oc, keep, place(p)));
    const maker = keep(new oc.GC_MakeArcOfCircle(a as never, b as never, c as never));
    return keep(maker.Value());
  }
  const poles = [start, ...stroke.inner, stroke.to];
  const array = keep(new oc.NCollection_Array1_gp_Pnt(1, poles.length));
  poles.forEach((pole, i) => array.SetValue(i + 1, point(oc, keep, place(pole))));
  return keep(new oc.Geom_BezierCurve(array));
}

/** The same curve in the kernel: pole for pole, knot for knot. */
export function splineOf(oc: Oc, keep: Keep, curve: BSplineCurve, place: Place): InstanceType<Oc['Geom_BSplineCurve']> {
  return keep(
    scoped((brief) => {
      const poles = brief(new oc.NCollection_Array1_gp_Pnt(1, curve.poles.length));
      curve.poles.forEach((pole, i) => poles.SetValue(i + 1, point(oc, brief, place(pole))));
      const distinct = [...new Set(curve.knots)];
      const knots = brief(new oc.NCollection_Array1_double(1, distinct.length));
      const times = brief(new oc.NCollection_Array1_int(1, distinct.length));
      distinct.forEach((knot, i) => {
        knots.SetValue(i + 1, knot);
        times.SetValue(i + 1, curve.knots.filter((other) => other === knot).length);
      });
      return new oc.Geom_BSplineCurve(poles, knots, times, curve.degree, false);
    }),
  );
}

/** The face swept along `way`; the prism maker is kept so that its history can be asked. */
export const sweep = (oc: Oc, keep: Keep, face: TopoDS_Shape, way: Vec3): InstanceType<Oc['BRepPrimAPI_MakePrism']> =>
  keep(new oc.BRepPrimAPI_MakePrism(face, vector(oc, keep, way), false, true));
