/**
 * The rival of the speed table: the same part made the plain way, one wrapper call after another, as a newcomer to the
 * library would write it. Only the top curve is the exact one, so that both make the same part.
 */
import { assembleWire, basicFaceExtrusion, cast, drawRoundedRectangle, getOC, makeCylinder, makeFace, makeLine, Vector, type Edge, type Shape3D } from 'replicad';
import type { BSplineCurve } from '../../src/maths/bspline.ts';
import type { BodyPlan, SolidPlan } from '../../src/solid/plan.ts';
import { wallFrame } from '../../src/solid/walls.ts';

type Oc = ReturnType<typeof getOC>;

function curveEdge(oc: Oc, curve: BSplineCurve, y: number): Edge {
  const poles = new oc.NCollection_Array1_gp_Pnt(1, curve.poles.length);
  curve.poles.forEach(([x, z], i) => poles.SetValue(i + 1, new oc.gp_Pnt(x, y, z)));
  const distinct = [...new Set(curve.knots)];
  const knots = new oc.NCollection_Array1_double(1, distinct.length);
  const counts = new oc.NCollection_Array1_int(1, distinct.length);
  distinct.forEach((knot, i) => {
    knots.SetValue(i + 1, knot);
    counts.SetValue(i + 1, curve.knots.filter((k) => k === knot).length);
  });
  const geometry = new oc.Geom_BSplineCurve(poles, knots, counts, curve.degree, false);
  return cast(new oc.BRepBuilderAPI_MakeEdge(geometry).Edge()) as Edge;
}

function sweep(oc: Oc, curves: readonly BSplineCurve[], y: number, width: number): Shape3D {
  const first = curves[0]!.poles[0]!;
  const last = curves.at(-1)!.poles.at(-1)!;
  const edges = [
    makeLine([first[0], y, 0], [first[0], y, first[1]]),
    ...curves.map((curve) => curveEdge(oc, curve, y)),
    makeLine([last[0], y, last[1]], [last[0], y, 0]),
    makeLine([last[0], y, 0], [first[0], y, 0]),
  ];
  return basicFaceExtrusion(makeFace(assembleWire(edges)), new Vector([0, width, 0])) as Shape3D;
}

/** The body with tabs, bosses and their holes. Everything cut and fused one at a time. */
export function plainBuild(plan: SolidPlan): Shape3D {
  const oc = getOC();
  const { body } = plan;
  let part = filleted(sweep(oc, body.top, 0, body.width), body.outsideRadius);
  const cavity = filleted(sweep(oc, body.roof, body.left.thickness, body.width - body.left.thickness - body.right.thickness), Math.min(body.insideRoofRadius, body.insideCornerRadius));
  part = part.cut(cavity) as Shape3D;
  for (const tab of plan.tabs) {
    part = part.fuse(tabSolid(body, tab)) as Shape3D;
    if (tab.hole) part = part.cut(makeCylinder(tab.hole.diameter / 2, tab.thickness * 3, [tab.hole.entry[0], tab.hole.entry[1], tab.seat - tab.thickness], [0, 0, 1])) as Shape3D;
  }
  for (const boss of plan.bosses) {
    // Up to half way into the skin, as one would by eye.
    const roof = heightOver(body.roof, boss.x) + body.skin / 2;
    part = part.fuse(makeCylinder(boss.diameter / 2, roof - boss.endHeight, [boss.x, boss.y, boss.endHeight], [0, 0, 1])) as Shape3D;
    if (boss.hole) part = part.cut(makeCylinder(boss.hole.diameter / 2, boss.hole.depth, [boss.x, boss.y, boss.endHeight], [0, 0, 1])) as Shape3D;
  }
  return part;
}

/** Every edge that is not at the foot. */
const filleted = (solid: Shape3D, radius: number): Shape3D => solid.fillet(radius, (edge) => edge.not((foot) => foot.inPlane('XY', 0))) as Shape3D;

function tabSolid(body: BodyPlan, tab: SolidPlan['tabs'][number]): Shape3D {
  const frame = wallFrame(body, tab.wall);
  const inset = body.wall / 2;
  const [x, y] = frame.plan(tab.middle, (tab.reach - inset) / 2);
  const [along, out] = [tab.length, tab.reach + inset];
  const upright = tab.wall === 'front' || tab.wall === 'back';
  return drawRoundedRectangle(upright ? out : along, upright ? along : out, 0.01)
    .translate(x, y)
    .sketchOnPlane('XY', tab.seat)
    .extrude(tab.thickness) as Shape3D;
}

function heightOver(curves: readonly BSplineCurve[], x: number): number {
  const poles = curves.flatMap((c) => c.poles);
  const next = poles.findIndex((p) => p[0] >= x);
  const [a, b] = [poles[Math.max(0, next - 1)]!, poles[Math.max(next, 1)]!];
  return a[1] + ((b[1] - a[1]) * (x - a[0])) / (b[0] - a[0] || 1);
}
