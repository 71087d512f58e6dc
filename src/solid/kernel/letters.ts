/**
 * Text carved without a boolean: the walls of each letter stand between two swept faces, the one it is cut in and the one
 * that is its floor, and where they meet is known exactly (trace.ts). A line of text takes a tenth of a second so, and
 * seconds by booleans. Right only for letters that stand clear of each other and of everything else on their face; what
 * is in doubt throws KernelFailure, and the caller goes the long way.
 */
import type { TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Vertex, TopoDS_Wire } from 'replicad-opencascadejs';
import type { BSplineCurve } from '../../maths/bspline.ts';
import { tolerance } from '../../maths/tolerance.ts';
import type { Vec2, Vec3 } from '../../maths/vec.ts';
import { heightAt } from '../heights.ts';
import { bezier } from '../trace.ts';
import { withWires } from './drillFlat.ts';
import type { Ink } from './glyphs.ts';
import { isValid } from './measure.ts';
import { guarded, KernelFailure, type Oc } from './oc.ts';
import { endOf, flattened, turnedTo, type Outline } from '../outline.ts';
import { direction, point, splineOf, vector } from './profile.ts';
import { scoped, type Keep } from './scope.ts';
import { boundsHold, edgeAlong, sweptFrom, turnedUp, type PlanBox, type Swept } from './sweptFaces.ts';
import { countOf, facesOf, wiresOf } from './topology.ts';

/** down: pockets in the metal below the face. up: the hollow grows into the metal above it. */
export type CarveWay = 'down' | 'up';

/** mm of plan kept clear round each piece of ink. */
const clear = 0.05;

/** One letter's outline gone round with its ink on the left as seen from above. */
interface Loop {
  readonly outline: Outline;
  readonly edges: readonly { readonly host: TopoDS_Edge; readonly floor: TopoDS_Edge; readonly post: TopoDS_Edge }[];
}

/** `solid` with the letters carved into its face over `curves`; `floors` are the curves their floors are swept from. */
export function carveLetters(oc: Oc, solid: TopoDS_Shape, curves: readonly BSplineCurve[], floors: readonly BSplineCurve[], inks: readonly Ink[], way: CarveWay): TopoDS_Shape {
  return guarded(oc, 'letters', () =>
    scoped((keep) => {
      if (countOf(oc, solid, 'solid') !== 1) throw new KernelFailure('letters: not one solid');
      const boxes = inks.map(boxOf);
      if (boxes.some((box, i) => boxes.some((other, j) => j > i && meet(box, other)))) throw new KernelFailure('letters: they run into each other');
      const whole: PlanBox = { x: [Math.min(...boxes.map((box) => box.x[0])), Math.max(...boxes.map((box) => box.x[1]))], y: [Math.min(...boxes.map((box) => box.y[0])), Math.max(...boxes.map((box) => box.y[1]))] };
      const [host, ...others] = sweptFrom(oc, keep, solid, curves).filter((one) => boundsHold(oc, one, whole));
      if (host === undefined || others.length > 0 || !isPlain(oc, keep, host.face, [whole])) throw new KernelFailure('letters: no plain face under all of them');
      const floor = floorUnder(oc, keep, floors, whole);
      const made = inks.map((ink) => carveInk(oc, keep, host, floor, ink, way));
      const faces = made.flatMap((one) => one.faces);
      if (!faces.every((face) => isValid(oc, face))) throw new KernelFailure('letters: walls that do not fit');
      return withFaces(oc, keep, solid, host.face, made.flatMap((one) => one.wires), faces);
    }),
  );
}

function boxOf({ rim }: Ink): PlanBox {
  const points = flattened(rim);
  const [xs, ys] = [points.map((p) => p[0]), points.map((p) => p[1])];
  return { x: [Math.min(...xs) - clear, Math.max(...xs) + clear], y: [Math.min(...ys) - clear, Math.max(...ys) + clear] };
}

export const meet = (a: PlanBox, b: PlanBox): boolean => a.x[0] < b.x[1] && b.x[0] < a.x[1] && a.y[0] < b.y[1] && b.y[0] < a.y[1];

/** Whether no wire of a face comes near any of these rectangles of the plan but one that goes all round it. */
export function isPlain(oc: Oc, keep: Keep, face: TopoDS_Face, boxes: readonly PlanBox[]): boolean {
  return wiresOf(oc, face).map(keep).every((wire) => {
    const own = planBoxOf(oc, wire);
    return boxes.every((box) => (own.x[0] < box.x[0] && own.x[1] > box.x[1] && own.y[0] < box.y[0] && own.y[1] > box.y[1]) || !meet(own, box));
  });
}

/** Bounds of a shape in plan. */
export function planBoxOf(oc: Oc, shape: TopoDS_Shape): PlanBox {
  return scoped((brief) => {
    const bounds = brief(new oc.Bnd_Box());
    oc.BRepBndLib.AddOptimal(shape, bounds, false, false);
    return { x: [bounds.GetXMin(), bounds.GetXMax()], y: [bounds.GetYMin(), bounds.GetYMax()] };
  });
}

/** A face swept from the floor curve that reaches under all letters. */
function floorUnder(oc: Oc, keep: Keep, floors: readonly BSplineCurve[], { x, y }: PlanBox): Swept {
  const curve = floors.find((one) => one.poles[0]![0] < x[0] && one.poles.at(-1)![0] > x[1]);
  if (curve === undefined) throw new KernelFailure('letters: they stand across a corner of the contour');
  const edge = keep(keep(new oc.BRepBuilderAPI_MakeEdge(splineOf(oc, keep, curve, (p) => [p[0], y[0], p[1]]))).Edge());
  const prism = keep(new oc.BRepPrimAPI_MakePrism(edge, vector(oc, keep, [0, y[1] - y[0], 0]), false, false));
  const [floor] = sweptFrom(oc, keep, keep(prism.Shape()), [curve]);
  if (floor === undefined) throw new KernelFailure('letters: no floor');
  return floor;
}

/** Faces one piece of ink brings, as the solid sees them, and the wires its face gets. */
function carveInk(oc: Oc, keep: Keep, host: Swept, floor: Swept, ink: Ink, way: CarveWay): { readonly faces: TopoDS_Face[]; readonly wires: TopoDS_Wire[] } {
  const rim = loopOf(oc, keep, host, floor, turnedTo(ink.rim, 1));
  const holes = ink.holes.map((hole) => loopOf(oc, keep, host, floor, turnedTo(hole, -1)));
  const loops = [rim, ...holes];
  const walls = loops.flatMap((loop) => loop.edges.map((_, i) => wall(oc, keep, loop, i, way)));
  const base = faceOn(oc, keep, floor, [wireOf(oc, keep, rim, 'floor'), ...holes.map((hole) => wireOf(oc, keep, hole, 'floor'))]);
  // What a counter leaves standing is a face of its own, level with the rest.
  const islands = holes.map((hole) => faceOn(oc, keep, host, [reversed(oc, keep, wireOf(oc, keep, hole, 'host'))]));
  return { faces: [...walls, base, ...islands], wires: [reversed(oc, keep, wireOf(oc, keep, rim, 'host'))] };
}

/** Edges of an outline on both faces, and the posts between them at its corners; edge i runs from corner i to corner i + 1. */
function loopOf(oc: Oc, keep: Keep, host: Swept, floor: Swept, outline: Outline): Loop {
  const corners = [outline.from, ...outline.strokes.slice(0, -1).map(endOf)];
  const vertexOn = (swept: Swept, [x, y]: Vec2): TopoDS_Vertex =>
    keep(keep(new oc.BRepBuilderAPI_MakeVertex(point(oc, keep, [x, y, heightAt([swept.curve], x)]))).Vertex());
  const ends = corners.map((corner) => ({ host: vertexOn(host, corner), floor: vertexOn(floor, corner) }));
  const edges = outline.strokes.map((stroke, i) => {
    if (stroke.kind !== 'line' && stroke.kind !== 'bezier') throw new KernelFailure('letters: an unknown stroke');
    const [from, to] = [ends[i]!, ends[(i + 1) % ends.length]!];
    const path = bezier([corners[i]!, ...(stroke.kind === 'bezier' ? stroke.inner : []), stroke.to]);
    const post = keep(keep(new oc.BRepBuilderAPI_MakeEdge(from.floor, from.host)).Edge());
    return { host: edgeAlong(oc, keep, host, path, 0, 1, from.host, to.host), floor: edgeAlong(oc, keep, floor, path, 0, 1, from.floor, to.floor), post };
  });
  return { outline, edges };
}

/** The wall under one stroke, seen from inside a pocket, from outside the ink where the hollow grows. */
function wall(oc: Oc, keep: Keep, { outline, edges }: Loop, i: number, way: CarveWay): TopoDS_Face {
  const { TopAbs_FORWARD, TopAbs_REVERSED } = oc.TopAbs_Orientation;
  const [own, next] = [edges[i]!, edges[(i + 1) % edges.length]!];
  const build = keep(new oc.TopoDS_Builder());
  const wire = keep(new oc.TopoDS_Wire());
  build.MakeWire(wire);
  for (const [edge, turn] of [[own.host, TopAbs_FORWARD], [next.post, TopAbs_REVERSED], [own.floor, TopAbs_REVERSED], [own.post, TopAbs_FORWARD]] as const) build.Add(wire, keep(edge.Oriented(turn)));
  wire.Closed(true);
  const stroke = outline.strokes[i]!;
  const from: Vec2 = i === 0 ? outline.from : endOf(outline.strokes[i - 1]!);
  const to = endOf(stroke);
  if (stroke.kind === 'line') {
    // To the left of travel lies the ink.
    const left: Vec3 = [-(to[1] - from[1]), to[0] - from[0], 0];
    const normal: Vec3 = way === 'down' ? left : [-left[0], -left[1], 0];
    const plane = keep(new oc.gp_Pln(point(oc, keep, [from[0], from[1], 0]), direction(oc, keep, normal)));
    const maker = keep(new oc.BRepBuilderAPI_MakeFace(plane, wire, false));
    if (!maker.IsDone()) throw new KernelFailure('letters: no flat wall');
    return keep(maker.Face());
  }
  if (stroke.kind !== 'bezier') throw new KernelFailure('letters: an unknown stroke');
  return curvedWall(oc, keep, [from, ...stroke.inner, to], wire, way);
}

/** A wall swept upright from a curve of the plan; the edges get their places on it worked out. */
function curvedWall(oc: Oc, keep: Keep, poles: readonly Vec2[], wire: TopoDS_Wire, way: CarveWay): TopoDS_Face {
  const array = keep(new oc.NCollection_Array1_gp_Pnt(1, poles.length));
  poles.forEach(([x, y], i) => array.SetValue(i + 1, point(oc, keep, [x, y, 0])));
  const edge = keep(keep(new oc.BRepBuilderAPI_MakeEdge(keep(new oc.Geom_BezierCurve(array)))).Edge());
  const swept = keep(oc.TopoDS.Face(keep(keep(new oc.BRepPrimAPI_MakePrism(edge, vector(oc, keep, [0, 0, 1]), false, false)).Shape())));
  const bare = keep(oc.TopoDS.Face(keep(swept.EmptyCopied())));
  // Travel times up points to the right of travel, away from the ink: the way a hollow that grows looks.
  const wanted = looksRight(oc, bare, poles) === (way === 'up') ? oc.TopAbs_Orientation.TopAbs_FORWARD : oc.TopAbs_Orientation.TopAbs_REVERSED;
  const face = keep(oc.TopoDS.Face(keep(bare.Oriented(wanted))));
  keep(new oc.TopoDS_Builder()).Add(face, wire);
  keep(new oc.ShapeFix_Wire(wire, face, tolerance.trace)).FixEdgeCurves();
  return face;
}

/** Whether the surface of a face looks to the right of travel along its curve at the start. */
function looksRight(oc: Oc, face: TopoDS_Face, poles: readonly Vec2[]): boolean {
  return scoped((keep) => {
    const surface = keep(new oc.BRepAdaptor_Surface(face, false));
    const [at, alongU, alongV] = [keep(surface.EvalD0(0, 0)), keep(surface.EvalD0(0.01, 0)), keep(surface.EvalD0(0, 0.01))];
    const [u, v] = [[alongU.X() - at.X(), alongU.Y() - at.Y()], alongV.Z() - at.Z()];
    // (ux, uy, 0) x (0, 0, v) = (uy v, -ux v, 0); to the right of travel is (dy, -dx).
    const travel = [poles[1]![0] - poles[0]![0], poles[1]![1] - poles[0]![1]];
    return (u as number[])[1]! * (v as number) * travel[1]! + (u as number[])[0]! * (v as number) * travel[0]! > 0;
  });
}

function wireOf(oc: Oc, keep: Keep, { edges }: Loop, on: 'host' | 'floor'): TopoDS_Wire {
  const build = keep(new oc.TopoDS_Builder());
  const wire = keep(new oc.TopoDS_Wire());
  build.MakeWire(wire);
  for (const edge of edges) build.Add(wire, keep(edge[on].Oriented(oc.TopAbs_Orientation.TopAbs_FORWARD)));
  wire.Closed(true);
  return wire;
}

const reversed = (oc: Oc, keep: Keep, wire: TopoDS_Wire): TopoDS_Wire => keep(oc.TopoDS.Wire(keep(wire.Reversed())));

/** A face on the surface of a swept one, looking up, bounded by these wires. */
function faceOn(oc: Oc, keep: Keep, { face }: Swept, wires: readonly TopoDS_Wire[]): TopoDS_Face {
  const up = turnedUp(oc, keep, face);
  const own = keep(oc.TopoDS.Face(keep(up.EmptyCopied())));
  const build = keep(new oc.TopoDS_Builder());
  for (const wire of wires) build.Add(own, wire);
  return own;
}

/** The solid again, one of its faces with more wires, and new faces. */
function withFaces(oc: Oc, keep: Keep, solid: TopoDS_Shape, host: TopoDS_Face, wires: readonly TopoDS_Wire[], added: readonly TopoDS_Face[]): TopoDS_Shape {
  const build = keep(new oc.TopoDS_Builder());
  const shell = keep(new oc.TopoDS_Shell());
  build.MakeShell(shell);
  for (const face of facesOf(oc, solid).map(keep)) build.Add(shell, face.IsSame(host) ? keep(withWires(oc, face, wires)) : face);
  for (const face of added) build.Add(shell, face);
  shell.Closed(true);
  return keep(new oc.BRepBuilderAPI_MakeSolid(shell)).Solid();
}
