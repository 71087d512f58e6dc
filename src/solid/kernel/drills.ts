/** Holes -> the solids a drill takes away. One closed tool per hole: shank, head room and broken mouths in one profile. */
import type { TopoDS_Shape } from 'replicad-opencascadejs';
import { add3, scale3, type Vec2, type Vec3 } from '../../maths/vec.ts';
import { polygonOutline } from '../outline.ts';
import type { BlindHole, BossPlan, ThroughHole } from '../plan.ts';
import type { Oc } from './oc.ts';
import { combine } from './boolean.ts';
import { deleteAll } from './scope.ts';
import { squareTo, sweptOutline, turned } from './tools.ts';

/** Half profile of a through hole, (radius, distance below entry), top to bottom, starting and ending on the axis. */
export function throughProfile(hole: ThroughHole): Vec2[] {
  const { depth, head, mouthBreak: c } = hole;
  const r = hole.diameter / 2;
  const [top, bottom] = [-hole.clearAbove, depth + hole.clearBelow];
  const points: Vec2[] = [];
  const mouth = (radius: number) => {
    if (c > 0) points.push([radius + c, top], [radius + c, 0], [radius, c]);
    else points.push([radius, top]);
  };
  if (head.kind === 'counterbore') {
    const R = head.diameter / 2;
    const floor = Math.min(head.depth, bottom);
    mouth(R);
    points.push([R, floor], [r, floor]);
  } else if (head.kind === 'countersink') {
    const R = head.diameter / 2;
    const spread = Math.tan(((head.angle / 2) * Math.PI) / 180);
    // On a face that slopes the cone goes on above, as the cutter does: ending it there would graze the face.
    if (hole.flares) points.push([R - top * spread, top], [r, (R - r) / spread]);
    else points.push([R, top], [R, 0], [r, (R - r) / spread]);
  } else {
    mouth(r);
  }
  if (c > 0) points.push([r, depth - c], [r + c, depth], [r + c, bottom]);
  else points.push([r, bottom]);
  return withoutRepeats([[0, top], ...points, [0, bottom]]);
}

/** Half profile of a blind hole going up from the end of its boss, (radius, height above the end). */
export function blindProfile(hole: BlindHole): Vec2[] {
  const r = hole.diameter / 2;
  const c = hole.mouthBreak;
  const point = hole.pointAngle >= 180 ? 0 : r / Math.tan(((hole.pointAngle / 2) * Math.PI) / 180);
  const mouth: Vec2[] = c > 0 ? [[r + c, 0], [r, c]] : [[r, 0]];
  return withoutRepeats([[0, 0], ...mouth, [r, hole.depth], [0, hole.depth + point]]);
}

/** A drill that starts or ends exactly in its face has no length of air there. */
const withoutRepeats = (points: readonly Vec2[]): Vec2[] => points.filter((p, i) => i === 0 || p[0] !== points[i - 1]![0] || p[1] !== points[i - 1]![1]);

export const throughDrill = (oc: Oc, hole: ThroughHole): TopoDS_Shape =>
  hole.slot > 0 ? slotDrill(oc, hole) : turned(oc, hole.entry, hole.axis, squareTo(hole.axis), throughProfile(hole));

/** Starts exactly in the end of its boss: behind a boss sunk in a wall there is metal below it too. */
export const blindDrill = (oc: Oc, boss: BossPlan, hole: BlindHole): TopoDS_Shape => turned(oc, [boss.x, boss.y, boss.endHeight], [0, 0, 1], [1, 0, 0], blindProfile(hole));

/** A slot: half a turn at either end and the straight between, joined into one solid. */
function slotDrill(oc: Oc, hole: ThroughHole): TopoDS_Shape {
  const { entry, axis, slot, slotAlong: along } = hole;
  const half = throughProfile(hole);
  const [a, b] = [add3(entry, scale3(along, -slot / 2)), add3(entry, scale3(along, slot / 2))];
  const side: Vec3 = [axis[1] * along[2] - axis[2] * along[1], axis[2] * along[0] - axis[0] * along[2], axis[0] * along[1] - axis[1] * along[0]];
  const mirrored = half.slice(1, -1).reverse().map(([r, d]): Vec2 => [-r, d]);
  const whole = [...half.slice(1, -1), ...mirrored];
  const parts = [
    turned(oc, a, axis, side, half, Math.PI),
    turned(oc, b, axis, scale3(side, -1), half, Math.PI),
    sweptOutline(
      oc,
      polygonOutline(whole),
      ([r, d]) => add3(a, add3(scale3(side, r), scale3(axis, d))),
      scale3(along, slot),
    ),
  ];
  try {
    return combine(oc, 'fuse', parts.slice(0, 1), parts.slice(1), { simplify: true });
  } finally {
    deleteAll(parts);
  }
}
