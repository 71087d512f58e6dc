/**
 * Bosses put into the hollow without a boolean. Where side and roof meet is known exactly (ring.ts), so the few faces of a
 * boss are made by themselves, its root rounded on them alone, and the roof gets one more wire. A boss costs a tenth of
 * what the boolean costs, is more exact (the boolean only finds the meeting curve to 1e-5), and one that did not change
 * is not made again. Right only for bosses that stand clear (isEasyBoss).
 */
import type { Geom_Surface, TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Vertex, TopoDS_Wire } from 'replicad-opencascadejs';
import type { BSplineCurve } from '../../maths/bspline.ts';
import { tolerance } from '../../maths/tolerance.ts';
import { heightAt, parameterFinder } from '../heights.ts';
import type { BossPlan } from '../plan.ts';
import { ringOn } from '../ring.ts';
import type { KeptFaces } from './keptFaces.ts';
import { isValid } from './measure.ts';
import { guarded, KernelFailure, type Oc } from './oc.ts';
import { fillet } from './rounding.ts';
import { scoped, type Keep } from './scope.ts';
import { cylinder } from './tools.ts';
import { copyOf, edgesOf, faceKind, facesOf, planeOf, wiresOf } from './topology.ts';

/** A roof face of the hollow with the curve it is swept from, and how its second parameter runs: y = base + way * v. */
export interface Roof {
  readonly face: TopoDS_Face;
  readonly curve: BSplineCurve;
  readonly base: number;
  readonly way: number;
}

/** Roof faces of a hollow, one per curve at most; a curve whose roof is in pieces is left out. Faces are kept by the scope. */
export function roofsOf(oc: Oc, keep: Keep, hollow: TopoDS_Shape, curves: readonly BSplineCurve[]): Roof[] {
  const swept = facesOf(oc, hollow).map(keep).filter((face) => faceKind(oc, face) === 'swept');
  return curves.flatMap((curve) => {
    const own = swept.map((face) => roofOn(oc, face, curve)).filter((roof) => roof !== null);
    return own.length === 1 ? own : [];
  });
}

function roofOn(oc: Oc, face: TopoDS_Face, curve: BSplineCurve): Roof | null {
  return scoped((keep) => {
    const surface = keep(oc.BRep_Tool.Surface(face) as Geom_Surface);
    const start = curve.knots[0]!;
    const [at, next] = [0, 1].map((v) => keep(surface.EvalD0(start, v)));
    const [x, z] = curve.poles[0]!;
    const onCurve = Math.hypot(at!.X() - x, at!.Z() - z) < tolerance.point && Math.hypot(next!.X() - x, next!.Z() - z) < tolerance.point;
    return onCurve ? { face, curve, base: at!.Y(), way: next!.Y() - at!.Y() } : null;
  });
}

/** Whether a round of this radius lies inside the bounds of the roof face, short of its rounded rims. */
export function roofHolds(oc: Oc, { face, curve, base, way }: Roof, x: number, y: number, radius: number): boolean {
  const [first, last] = [curve.poles[0]![0], curve.poles.at(-1)![0]];
  if (x - radius <= first || x + radius >= last) return false;
  const parameter = parameterFinder(curve);
  const bounds = oc.BRepTools.UVBounds(face, 0, 0, 0, 0);
  const [v0, v1] = [(y - radius - base) / way, (y + radius - base) / way].sort((a, b) => a - b) as [number, number];
  const slack = tolerance.point;
  return parameter(x - radius) > bounds.UMin + slack && parameter(x + radius) < bounds.UMax - slack && v0 > bounds.VMin + slack && v1 < bounds.VMax - slack;
}

/** What a boss brings: its own faces as the hollow sees them, and the wires the roof and, for a flush boss, the foot get. */
export interface BossFaces {
  readonly faces: readonly TopoDS_Face[];
  readonly roofWire: TopoDS_Wire;
  /** The round in the foot of a flush boss. */
  readonly footWire: TopoDS_Wire | null;
}

/** The faces of a boss; kept by the scope. Throws KernelFailure where the kernel cannot make them. */
export function bossFaces(oc: Oc, keep: Keep, kept: KeptFaces, roof: Roof, boss: BossPlan, flush: boolean): BossFaces {
  const figures = [boss.x, boss.y, boss.diameter, boss.endHeight, boss.rootRadius, flush];
  const shell = kept.made([roof.face], () => guarded(oc, boss.name, () => makeShell(oc, roof, boss, flush)), JSON.stringify(figures));
  const all = facesOf(oc, shell).map(keep);
  const under = all.find((face) => faceKind(oc, face) === 'swept');
  if (under === undefined) throw new KernelFailure(`${boss.name}: no roof about it`);
  const faces = all.filter((face) => face !== under);
  return { faces, roofWire: innerWire(oc, keep, under), footWire: flush ? lowestRing(oc, keep, faces, boss) : null };
}

/** A small open shell: a square of roof about the boss, its root, its side and its end. */
function makeShell(oc: Oc, roof: Roof, boss: BossPlan, flush: boolean): TopoDS_Shape {
  return scoped((keep) => {
    const radius = boss.diameter / 2;
    const top = heightAt([roof.curve], boss.x + radius);
    const column = keep(cylinder(oc, [boss.x, boss.y, boss.endHeight], [0, 0, 1], radius, top - boss.endHeight));
    const parts = facesOf(oc, column).map(keep);
    const plain = parts.find((face) => faceKind(oc, face) === 'cylinder')!;
    const end = parts.find((face) => planeOf(oc, face)?.normal[2] === -1)!;
    const loop = sideLoop(oc, keep, plain, top);
    const ring = ringEdge(oc, keep, roof, boss, loop.vertex);
    const side = sideUpTo(oc, keep, plain, loop, ring);
    const build = keep(new oc.TopoDS_Builder());
    const shell = keep(new oc.TopoDS_Shell());
    build.MakeShell(shell);
    build.Add(shell, roofSquare(oc, keep, roof, boss, ring));
    build.Add(shell, keep(side.Reversed()));
    if (!flush) build.Add(shell, keep(end.Reversed()));
    const result = boss.rootRadius > 0 ? fillet(oc, shell, [{ edge: ring, radius: boss.rootRadius }]) : copyOf(shell);
    if (isValid(oc, result)) return result;
    result.delete();
    throw new KernelFailure(`${boss.name}: its faces do not fit the roof`);
  });
}

interface SideLoop {
  /** Bottom ring, seam up, top ring, seam down: the side's wire from edge to edge. */
  readonly bottom: TopoDS_Edge;
  readonly up: TopoDS_Edge;
  readonly top: TopoDS_Edge;
  readonly down: TopoDS_Edge;
  /** Where the seam meets the top ring. */
  readonly vertex: TopoDS_Vertex;
}

function sideLoop(oc: Oc, keep: Keep, side: TopoDS_Face, height: number): SideLoop {
  const edges = edgesInOrder(oc, keep, side);
  const forward = (edge: TopoDS_Edge): boolean => edge.Orientation() === oc.TopAbs_Orientation.TopAbs_FORWARD;
  const seams = edges.filter((edge) => oc.BRep_Tool.IsClosed(edge, side));
  const rings = edges.filter((edge) => !seams.includes(edge));
  const isTop = (edge: TopoDS_Edge): boolean => Math.abs(keep(oc.BRep_Tool.Pnt(vertexOf(oc, keep, edge))).Z() - height) < tolerance.point;
  const [top, bottom] = [rings.find(isTop), rings.find((edge) => !isTop(edge))];
  const [up, down] = [seams.find(forward), seams.find((edge) => !forward(edge))];
  if (!top || !bottom || !up || !down) throw new KernelFailure('a cylinder of an unknown make');
  return { top, bottom, up, down, vertex: vertexOf(oc, keep, top) };
}

function edgesInOrder(oc: Oc, keep: Keep, face: TopoDS_Face): TopoDS_Edge[] {
  const walk = keep(new oc.TopExp_Explorer(face, oc.TopAbs_ShapeEnum.TopAbs_EDGE));
  const edges: TopoDS_Edge[] = [];
  for (; walk.More(); walk.Next()) edges.push(keep(oc.TopoDS.Edge(keep(walk.Current()))));
  return edges;
}

function vertexOf(oc: Oc, keep: Keep, edge: TopoDS_Edge): TopoDS_Vertex {
  const walk = keep(new oc.TopExp_Explorer(edge, oc.TopAbs_ShapeEnum.TopAbs_VERTEX));
  return keep(oc.TopoDS.Vertex(keep(walk.Current())));
}

/** The meeting curve as an edge on the roof, from the seam round to the seam. */
function ringEdge(oc: Oc, keep: Keep, roof: Roof, boss: BossPlan, vertex: TopoDS_Vertex): TopoDS_Edge {
  const ring = ringOn(roof.curve, boss.x, boss.y, boss.diameter / 2);
  const surface = keep(oc.BRep_Tool.Surface(roof.face) as Geom_Surface);
  const poles = keep(new oc.NCollection_Array1_gp_Pnt2d(1, ring.poles.length));
  ring.poles.forEach(([u, y], i) => poles.SetValue(i + 1, keep(new oc.gp_Pnt2d(u, (y - roof.base) / roof.way))));
  const distinct = [...new Set(ring.knots)];
  const knots = keep(new oc.NCollection_Array1_double(1, distinct.length));
  const times = keep(new oc.NCollection_Array1_int(1, distinct.length));
  distinct.forEach((knot, i) => {
    knots.SetValue(i + 1, knot);
    times.SetValue(i + 1, i === 0 || i === distinct.length - 1 ? ring.degree + 1 : 1);
  });
  const curve = keep(new oc.Geom2d_BSplineCurve(poles, knots, times, ring.degree, false));
  const { TopAbs_FORWARD, TopAbs_REVERSED } = oc.TopAbs_Orientation;
  const ends = [TopAbs_FORWARD, TopAbs_REVERSED].map((way) => keep(oc.TopoDS.Vertex(keep(vertex.Oriented(way)))));
  const maker = keep(new oc.BRepBuilderAPI_MakeEdge(curve, surface, ends[0]!, ends[1]!, distinct[0]!, distinct.at(-1)!));
  if (!maker.IsDone()) throw new KernelFailure(`${boss.name}: no edge where it meets the roof`);
  const edge = keep(maker.Edge());
  if (!oc.BRepLib.BuildCurve3d(edge, tolerance.point, oc.GeomAbs_Shape.GeomAbs_C1, 14, 400)) throw new KernelFailure(`${boss.name}: no curve where it meets the roof`);
  return edge;
}

/** The side of the column with the ring for its top; the ring gets its place on the cylinder worked out. */
function sideUpTo(oc: Oc, keep: Keep, plain: TopoDS_Face, loop: SideLoop, ring: TopoDS_Edge): TopoDS_Face {
  const build = keep(new oc.TopoDS_Builder());
  const side = keep(oc.TopoDS.Face(keep(plain.EmptyCopied())));
  const wire = keep(new oc.TopoDS_Wire());
  build.MakeWire(wire);
  for (const edge of [loop.bottom, loop.up, keep(ring.Oriented(loop.top.Orientation())), loop.down]) build.Add(wire, edge);
  wire.Closed(true);
  build.Add(side, wire);
  keep(new oc.ShapeFix_Wire(wire, side, tolerance.point)).FixEdgeCurves();
  oc.BRepLib.SameParameter(ring, tolerance.point);
  return side;
}

/** A square of the roof with the ring cut out of it, seen as the hollow sees it. */
function roofSquare(oc: Oc, keep: Keep, { face, curve, base, way }: Roof, boss: BossPlan, ring: TopoDS_Edge): TopoDS_Face {
  // Wide enough for the root to run out on; how wide beyond that does not matter.
  const half = 0.75 * boss.diameter + 3 * boss.rootRadius + 1;
  const parameter = parameterFinder(curve);
  const [v0, v1] = [(boss.y - half - base) / way, (boss.y + half - base) / way].sort((a, b) => a - b) as [number, number];
  const surface = keep(oc.BRep_Tool.Surface(face) as Geom_Surface);
  const square = keep(new oc.BRepBuilderAPI_MakeFace(surface, parameter(boss.x - half), parameter(boss.x + half), v0, v1, tolerance.kernel));
  if (!square.IsDone()) throw new KernelFailure(`${boss.name}: no room on the roof`);
  const bare = keep(square.Face());
  // Seen from the metal above, the ring runs clockwise round the hole it bounds.
  const looksUp = facesUp(oc, bare);
  const standing = keep(oc.TopoDS.Face(looksUp ? keep(bare.Oriented(bare.Orientation())) : keep(bare.Reversed())));
  const build = keep(new oc.TopoDS_Builder());
  const wire = keep(new oc.TopoDS_Wire());
  build.MakeWire(wire);
  build.Add(wire, ring);
  wire.Closed(true);
  const maker = keep(new oc.BRepBuilderAPI_MakeFace(standing));
  maker.Add(keep(oc.TopoDS.Wire(keep(wire.Reversed()))));
  return keep(maker.Face());
}

/** Whether a swept face, as it stands, has its outside above. */
function facesUp(oc: Oc, face: TopoDS_Face): boolean {
  return scoped((keep) => {
    const surface = keep(new oc.BRepAdaptor_Surface(face, true));
    const [u, v] = [(surface.FirstUParameter() + surface.LastUParameter()) / 2, (surface.FirstVParameter() + surface.LastVParameter()) / 2];
    const step = 1e-3 * (surface.LastUParameter() - surface.FirstUParameter());
    const [at, alongU, alongV] = [keep(surface.EvalD0(u, v)), keep(surface.EvalD0(u + step, v)), keep(surface.EvalD0(u, v + step))];
    const up = (alongU.X() - at.X()) * (alongV.Y() - at.Y()) - (alongU.Y() - at.Y()) * (alongV.X() - at.X());
    return up > 0 === (face.Orientation() === oc.TopAbs_Orientation.TopAbs_FORWARD);
  });
}

/** The wire of the roof square that is not its rim, as a hole of the roof: the smaller one. (The kernel's own answer goes by loose bounds.) */
function innerWire(oc: Oc, keep: Keep, face: TopoDS_Face): TopoDS_Wire {
  const wires = wiresOf(oc, face).map(keep);
  if (wires.length !== 2) throw new KernelFailure('a roof without the ring of its boss');
  const [a, b] = wires.map((wire) => extent(oc, wire)) as [number, number];
  return a < b ? wires[0]! : wires[1]!;
}

const extent = (oc: Oc, wire: TopoDS_Wire): number =>
  scoped((keep) => {
    const bounds = keep(new oc.Bnd_Box());
    oc.BRepBndLib.AddOptimal(wire, bounds, false, false);
    return bounds.SquareExtent();
  });

/** The bottom ring of a flush boss as a wire: counter-clockwise from above, clockwise as the foot looks, which is how a hole runs. */
function lowestRing(oc: Oc, keep: Keep, faces: readonly TopoDS_Face[], boss: BossPlan): TopoDS_Wire {
  const side = faces.find((face) => faceKind(oc, face) === 'cylinder')!;
  const ring = edgesOf(oc, side).map(keep).find((edge) => !oc.BRep_Tool.IsClosed(edge, side) && Math.abs(keep(oc.BRep_Tool.Pnt(vertexOf(oc, keep, edge))).Z() - boss.endHeight) < tolerance.point);
  if (ring === undefined) throw new KernelFailure(`${boss.name}: no ring at its foot`);
  const build = keep(new oc.TopoDS_Builder());
  const wire = keep(new oc.TopoDS_Wire());
  build.MakeWire(wire);
  build.Add(wire, keep(ring.Oriented(oc.TopAbs_Orientation.TopAbs_FORWARD)));
  wire.Closed(true);
  return wire;
}
