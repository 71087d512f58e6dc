/**
 * Bosses put into the hollow without a boolean. Where side and roof meet is known exactly (trace.ts), so the few faces of a
 * boss are made by themselves, its root rounded on them alone, and the roof gets one more wire. A boss costs a tenth of
 * what the boolean costs, is more exact (the boolean only finds the meeting curve to 1e-5), and one that did not change
 * is not made again. Right only for bosses that stand clear (isEasyBoss).
 */
import type { TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Vertex, TopoDS_Wire } from 'replicad-opencascadejs';
import { tolerance } from '../../maths/tolerance.ts';
import { heightAt, parameterFinder } from '../heights.ts';
import type { BossPlan } from '../plan.ts';
import { circle } from '../trace.ts';
import type { KeptFaces } from './keptFaces.ts';
import { isValid } from './measure.ts';
import { guarded, KernelFailure, type Oc } from './oc.ts';
import { fillet } from './rounding.ts';
import { scoped, type Keep } from './scope.ts';
import { edgeAlong, surfaceOf, turnedUp, type Swept } from './sweptFaces.ts';
import { cylinder } from './tools.ts';
import { copyOf, edgesOf, faceKind, facesOf, planeOf, wiresOf } from './topology.ts';

/** What a boss brings: its own faces as the hollow sees them, and the wires the roof and, for a flush boss, the foot get. */
export interface BossFaces {
  readonly faces: readonly TopoDS_Face[];
  readonly roofWire: TopoDS_Wire;
  /** The round in the foot of a flush boss. */
  readonly footWire: TopoDS_Wire | null;
}

/** The faces of a boss; kept by the scope. Throws KernelFailure where the kernel cannot make them. */
export function bossFaces(oc: Oc, keep: Keep, kept: KeptFaces, roof: Swept, boss: BossPlan, flush: boolean): BossFaces {
  const figures = [boss.x, boss.y, boss.diameter, boss.endHeight, boss.rootRadius, flush];
  const shell = kept.made([roof.face], () => guarded(oc, boss.name, () => makeShell(oc, roof, boss, flush)), JSON.stringify(figures));
  const all = facesOf(oc, shell).map(keep);
  const under = all.find((face) => faceKind(oc, face) === 'swept');
  if (under === undefined) throw new KernelFailure(`${boss.name}: no roof about it`);
  const faces = all.filter((face) => face !== under);
  return { faces, roofWire: innerWire(oc, keep, under), footWire: flush ? lowestRing(oc, keep, faces, boss) : null };
}

/** A small open shell: a square of roof about the boss, its root, its side and its end. */
function makeShell(oc: Oc, roof: Swept, boss: BossPlan, flush: boolean): TopoDS_Shape {
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
const ringEdge = (oc: Oc, keep: Keep, roof: Swept, boss: BossPlan, vertex: TopoDS_Vertex): TopoDS_Edge =>
  edgeAlong(oc, keep, roof, circle(boss.x, boss.y, boss.diameter / 2), 0, 2 * Math.PI, vertex, vertex);

/** The side of the column with the ring for its top; the ring gets its place on the cylinder worked out. */
function sideUpTo(oc: Oc, keep: Keep, plain: TopoDS_Face, loop: SideLoop, ring: TopoDS_Edge): TopoDS_Face {
  const build = keep(new oc.TopoDS_Builder());
  const side = keep(oc.TopoDS.Face(keep(plain.EmptyCopied())));
  const wire = keep(new oc.TopoDS_Wire());
  build.MakeWire(wire);
  for (const edge of [loop.bottom, loop.up, keep(ring.Oriented(loop.top.Orientation())), loop.down]) build.Add(wire, edge);
  wire.Closed(true);
  build.Add(side, wire);
  keep(new oc.ShapeFix_Wire(wire, side, tolerance.trace)).FixEdgeCurves();
  oc.BRepLib.SameParameter(ring, tolerance.trace);
  return side;
}

/** A square of the roof with the ring cut out of it, seen as the hollow sees it. */
function roofSquare(oc: Oc, keep: Keep, { face, curve, base, way }: Swept, boss: BossPlan, ring: TopoDS_Edge): TopoDS_Face {
  // Wide enough for the root to run out on; how wide beyond that does not matter.
  const half = 0.75 * boss.diameter + 3 * boss.rootRadius + 1;
  const parameter = parameterFinder(curve);
  const [v0, v1] = [(boss.y - half - base) / way, (boss.y + half - base) / way].sort((a, b) => a - b) as [number, number];
  const surface = keep(surfaceOf(oc, face));
  const square = keep(new oc.BRepBuilderAPI_MakeFace(surface, parameter(boss.x - half), parameter(boss.x + half), v0, v1, tolerance.kernel));
  if (!square.IsDone()) throw new KernelFailure(`${boss.name}: no room on the roof`);
  // Seen from the metal above, the ring runs clockwise round the hole it bounds.
  const standing = turnedUp(oc, keep, keep(square.Face()));
  const build = keep(new oc.TopoDS_Builder());
  const wire = keep(new oc.TopoDS_Wire());
  build.MakeWire(wire);
  build.Add(wire, ring);
  wire.Closed(true);
  const maker = keep(new oc.BRepBuilderAPI_MakeFace(standing));
  maker.Add(keep(oc.TopoDS.Wire(keep(wire.Reversed()))));
  return keep(maker.Face());
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
