/** TabPlan -> the solid of a tab: the block, its root along the wall, and its carry-on behind the wall's face. */
import type { TopoDS_Edge, TopoDS_Shape } from 'replicad-opencascadejs';
import { tolerance } from '../../maths/tolerance.ts';
import type { Vec2 } from '../../maths/vec.ts';
import type { BodyPlan, TabPlan } from '../plan.ts';
import { wallFrame, type WallFrame } from '../walls.ts';
import { combine } from './boolean.ts';
import type { KeptFaces } from './keptFaces.ts';
import type { Oc } from './oc.ts';
import type { Outline, Stroke } from '../outline.ts';
import type { Place } from './profile.ts';
import { chamfer } from './rounding.ts';
import { scoped, type Keep } from './scope.ts';
import { sweptOutline } from './tools.ts';
import { copyOf, edgesOf, facesOf } from './topology.ts';

/** One solid, without its hole. It stays the keeper's: a tab that did not change is not made again. */
export function tabSolid(oc: Oc, kept: KeptFaces, body: BodyPlan, tab: TabPlan): TopoDS_Shape {
  const frame = wallFrame(body, tab.wall);
  const { name: _name, at: _at, hole: _hole, ...figures } = tab;
  return kept.tool(['tab', figures, frame.plan(0, 0), frame.length], () =>
    scoped((keep) => {
      const block = keep(sweptOutline(oc, planOutline(tab), ([u, v]) => [...frame.plan(u, v), tab.seat], [0, 0, tab.thickness]));
      const rooted = tab.rootRadius > 0 ? keep(combine(oc, 'fuse', [block], [keep(root(oc, tab, frame))], { simplify: true })) : block;
      const broken = tab.edgeBreak > 0 ? keep(chamfer(oc, rooted, upperEdges(oc, keep, tab, frame, rooted), tab.edgeBreak)) : rooted;
      return tab.inset === null ? copyOf(broken) : combine(oc, 'fuse', [broken], [keep(inset(oc, tab, frame, tab.inset))], { simplify: true });
    }),
  );
}

/** Edges between the upper side of a tab, its root among it, and its sides; not those against the wall. */
function upperEdges(oc: Oc, keep: Keep, tab: TabPlan, frame: WallFrame, solid: TopoDS_Shape): TopoDS_Edge[] {
  const top = tab.seat + tab.thickness;
  const upper = facesOf(oc, solid).map(keep).filter((face) => heights(oc, face)[0] > top - tolerance.point);
  const edges = upper.map((face) => edgesOf(oc, face).map(keep));
  const [x, y] = frame.plan(0, 0);
  const onWall = (edge: TopoDS_Edge): boolean =>
    scoped((brief) => {
      const bounds = brief(new oc.Bnd_Box());
      oc.BRepBndLib.AddOptimal(edge, bounds, false, false);
      const along = [0, 1].map((axis) => [bounds.GetXMin(), bounds.GetYMin()][axis]! + [bounds.GetXMax(), bounds.GetYMax()][axis]!);
      const width = Math.abs((bounds.GetXMax() - bounds.GetXMin()) * frame.out[0] + (bounds.GetYMax() - bounds.GetYMin()) * frame.out[1]);
      const middle = (along[0]! / 2 - x) * frame.out[0] + (along[1]! / 2 - y) * frame.out[1];
      return width < tolerance.grazing && Math.abs(middle) < tolerance.grazing;
    });
  return edges.flatMap((own, i) => own.filter((edge) => !onWall(edge) && !edges.some((other, j) => j !== i && other.some((one) => one.IsSame(edge)))));
}

/** Least and most Z of a face. */
function heights(oc: Oc, face: TopoDS_Shape): readonly [number, number] {
  return scoped((keep) => {
    const bounds = keep(new oc.Bnd_Box());
    oc.BRepBndLib.AddOptimal(face, bounds, false, false);
    return [bounds.GetZMin(), bounds.GetZMax()];
  });
}

/** Plan outline: along the wall, out, round the two outer corners, back in. Own coordinates (u, v). */
function planOutline(tab: TabPlan): Outline {
  const [left, right, out, r] = [tab.middle - tab.length / 2, tab.middle + tab.length / 2, tab.reach, tab.cornerRadius];
  if (r <= tolerance.point) {
    return { from: [left, 0], strokes: [[right, 0], [right, out], [left, out], [left, 0]].map((to) => ({ kind: 'line', to: to as unknown as Vec2 })) };
  }
  const q = r * (1 - Math.SQRT1_2);
  const strokes: Stroke[] = [
    { kind: 'line', to: [right, 0] },
    { kind: 'line', to: [right, out - r] },
    { kind: 'arc', by: [right - q, out - q], to: [right - r, out] },
    { kind: 'line', to: [left + r, out] },
    { kind: 'arc', by: [left + q, out - q], to: [left, out - r] },
    { kind: 'line', to: [left, 0] },
  ];
  return { from: [left, 0], strokes: withoutEmpty([left, 0], strokes) };
}

/** Drops lines of no length: a corner radius may use up a whole side. */
function withoutEmpty(from: Vec2, strokes: readonly Stroke[]): Stroke[] {
  let at = from;
  return strokes.filter((stroke) => {
    if (stroke.kind === 'curve') return true;
    const empty = stroke.kind === 'line' && Math.hypot(stroke.to[0] - at[0], stroke.to[1] - at[1]) <= tolerance.point;
    if (!empty) at = stroke.to;
    return !empty;
  });
}

/** The hollow quarter round between the top of the tab and the wall, as long as the tab. */
function root(oc: Oc, tab: TabPlan, frame: WallFrame): TopoDS_Shape {
  const [top, r] = [tab.seat + tab.thickness, tab.rootRadius];
  const left = tab.middle - tab.length / 2;
  const place: Place = ([v, z]) => [...frame.plan(left, v), z];
  const q = r * (1 - Math.SQRT1_2);
  const outline: Outline = {
    from: [0, top],
    strokes: [
      { kind: 'line', to: [r, top] },
      { kind: 'arc', by: [q, top + q], to: [0, top + r] },
      { kind: 'line', to: [0, top] },
    ],
  };
  const [x, y] = frame.along;
  return sweptOutline(oc, outline, place, [x * tab.length, y * tab.length, 0]);
}

function inset(oc: Oc, tab: TabPlan, frame: WallFrame, to: NonNullable<TabPlan['inset']>): TopoDS_Shape {
  const [left, right] = [Math.max(0, tab.middle - tab.length / 2), Math.min(frame.length, tab.middle + tab.length / 2)];
  const corners: Vec2[] = [[left, 0], [right, 0], [right, -to.depth], [left, -to.depth]];
  const outline: Outline = { from: corners[0] as Vec2, strokes: [...corners.slice(1), corners[0] as Vec2].map((p) => ({ kind: 'line', to: p })) };
  return sweptOutline(oc, outline, ([u, v]) => [...frame.plan(u, v), to.from], [0, 0, to.to - to.from]);
}
