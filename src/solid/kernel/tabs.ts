/** TabPlan -> the solid of a tab: the block, its root along the wall, and its carry-on behind the wall's face. */
import type { TopoDS_Edge, TopoDS_Shape } from 'replicad-opencascadejs';
import { tolerance } from '../../maths/tolerance.ts';
import type { Vec2 } from '../../maths/vec.ts';
import type { BodyPlan, TabPlan } from '../plan.ts';
import { wallFrame, type WallFrame } from '../walls.ts';
import { combine } from './boolean.ts';
import type { KeptFaces } from './keptFaces.ts';
import type { Oc } from './oc.ts';
import { planarFace, sweep, type Outline, type Place, type Stroke } from './profile.ts';
import { chamfer } from './rounding.ts';
import { deleteAll, scoped } from './scope.ts';
import { sweptOutline } from './tools.ts';
import { copyOf } from './topology.ts';

/** One solid, without its hole. It stays the keeper's: a tab that did not change is not made again. */
export function tabSolid(oc: Oc, kept: KeptFaces, body: BodyPlan, tab: TabPlan): TopoDS_Shape {
  const frame = wallFrame(body, tab.wall);
  const { name: _name, at: _at, hole: _hole, ...figures } = tab;
  return kept.tool(['tab', figures, frame.plan(0, 0), frame.length], () => {
    const parts = [block(oc, tab, frame)];
    try {
      if (tab.rootRadius > 0) parts.push(root(oc, tab, frame));
      if (tab.inset !== null) parts.push(inset(oc, tab, frame, tab.inset));
      return parts.length === 1 ? copyOf(parts[0]!) : combine(oc, 'fuse', parts.slice(0, 1), parts.slice(1), { simplify: true });
    } finally {
      deleteAll(parts);
    }
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

function block(oc: Oc, tab: TabPlan, frame: WallFrame): TopoDS_Shape {
  return scoped((keep) => {
    const place: Place = ([u, v]) => [...frame.plan(u, v), tab.seat];
    const wired = planarFace(oc, keep, planOutline(tab), place);
    const prism = sweep(oc, keep, wired.face, [0, 0, tab.thickness]);
    const solid = prism.Shape();
    if (tab.edgeBreak <= 0) return solid;
    keep(solid);
    // Every upper edge but the first, which lies against the wall.
    const upper = wired.edges.slice(1).map((edge): TopoDS_Edge => keep(oc.TopoDS.Edge(keep(prism.LastShape(edge)))));
    return chamfer(oc, solid, upper, tab.edgeBreak);
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
