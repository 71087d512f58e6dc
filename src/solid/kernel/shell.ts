/**
 * The two nested skins of the cover, each a section outline swept along Y and rounded: `outerSkin`, the outside without
 * tabs, and `innerSkin`, the hollow. Both stand on the same feet, and both run to the very end of an open end: that is
 * where they touch.
 */
import type { TopoDS_Edge, TopoDS_Shape } from 'replicad-opencascadejs';
import type { BSplineCurve } from '../../maths/bspline.ts';
import type { Vec2 } from '../../maths/vec.ts';
import { firstPoint } from '../heights.ts';
import type { BodyPlan } from '../plan.ts';
import { contactPlanes, splitFaces, type ContactPlane } from './contact.ts';
import type { Oc } from './oc.ts';
import type { Outline, Stroke } from '../outline.ts';
import { planarFace, sweep, type Place } from './profile.ts';
import { chamfer, fillet, type RoundedEdge } from './rounding.ts';
import { scoped, type Keep } from './scope.ts';
import { copyOf, edgesOf, planeOf } from './topology.ts';

interface Skin {
  /** Stations of the front and the back face. */
  readonly from: number;
  readonly to: number;
  readonly curves: readonly BSplineCurve[];
  /** Along Y. */
  readonly y: readonly [from: number, to: number];
  readonly closed: readonly [left: boolean, right: boolean];
  readonly cornerRadius: number;
  readonly topRadius: number;
  readonly footBreak: number;
}

export function outerSkin(oc: Oc, body: BodyPlan): TopoDS_Shape {
  return roundedSkin(oc, body, {
    from: 0,
    to: body.length,
    curves: body.top,
    y: [0, body.width],
    closed: [body.left.closed, body.right.closed],
    cornerRadius: body.outsideRadius,
    topRadius: body.outsideRadius,
    footBreak: body.feetBreak,
  });
}

export function innerSkin(oc: Oc, body: BodyPlan): TopoDS_Shape {
  return roundedSkin(oc, body, {
    from: body.wall,
    to: body.length - body.wall,
    curves: body.roof,
    y: [body.left.thickness, body.width - body.right.thickness],
    closed: [body.left.closed, body.right.closed],
    cornerRadius: body.insideCornerRadius,
    topRadius: body.insideRoofRadius,
    footBreak: 0,
  });
}

/** Front face up, along the curve, back face down, and home along the feet. */
function outlineOf(body: BodyPlan, skin: Skin): Outline {
  const { frontFoot, backFoot, stepAt } = body;
  const start: Vec2 = [skin.from, frontFoot];
  const strokes: Stroke[] = [
    { kind: 'line', to: firstPoint(skin.curves) },
    ...skin.curves.map((curve): Stroke => ({ kind: 'curve', curve })),
    { kind: 'line', to: [skin.to, backFoot] },
  ];
  if (frontFoot !== backFoot) strokes.push({ kind: 'line', to: [stepAt, backFoot] }, { kind: 'line', to: [stepAt, frontFoot] });
  strokes.push({ kind: 'line', to: start });
  return { from: start, strokes };
}

function roundedSkin(oc: Oc, body: BodyPlan, skin: Skin): TopoDS_Shape {
  return scoped((keep) => {
    const place: Place = ([x, z]) => [x, skin.y[0], z];
    const wired = planarFace(oc, keep, outlineOf(body, skin), place);
    const prism = sweep(oc, keep, wired.face, [0, skin.y[1] - skin.y[0], 0]);
    const spans = skin.curves.length;
    const edge = (shape: TopoDS_Shape): TopoDS_Edge => keep(oc.TopoDS.Edge(keep(shape)));
    const swept = (corner: number): TopoDS_Edge => {
      const made = keep(prism.Generated(wired.vertices[corner] as never));
      return edge(made.First());
    };
    const atEnds = (stroke: number): TopoDS_Edge[] => {
      const own = wired.edges[stroke] as TopoDS_Edge;
      const both = [skin.closed[0] ? prism.FirstShape(own) : null, skin.closed[1] ? prism.LastShape(own) : null];
      return both.filter((found) => found !== null).map(edge);
    };
    const round = (edges: readonly TopoDS_Edge[], radius: number): RoundedEdge[] => (radius > 0 ? edges.map((one) => ({ edge: one, radius })) : []);
    const curveStrokes = skin.curves.map((_, i) => i + 1);
    const along = [swept(1), swept(spans + 1), ...curveStrokes.flatMap(atEnds)];
    const upright = [...atEnds(0), ...atEnds(spans + 1)];
    const edges = [...round(along, skin.topRadius), ...round(upright, skin.cornerRadius)];
    const sharp = keep(prism.Shape());
    const rounded = edges.length === 0 ? copyOf(sharp) : fillet(oc, sharp, edges);
    if (skin.footBreak <= 0) return rounded;
    keep(rounded);
    return chamfer(oc, rounded, outerRims(oc, keep, rounded, contactPlanes(body)), skin.footBreak);
  });
}

/** Edges round the feet that lead up an outer wall: those of a foot that no other contact face shares. */
function outerRims(oc: Oc, keep: Keep, solid: TopoDS_Shape, planes: readonly ContactPlane[]): TopoDS_Edge[] {
  const { touching, free } = splitFaces(oc, solid, planes);
  [...touching, ...free].forEach(keep);
  const rims = touching.map((face) => edgesOf(oc, face).map(keep));
  return touching.flatMap((face, i) => {
    if ((planeOf(oc, face)?.normal[2] ?? 0) > -0.5) return [];
    return rims[i]!.filter((edge) => !rims.some((other, j) => j !== i && other.some((one) => one.IsSame(edge))));
  });
}
