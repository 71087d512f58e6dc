/**
 * Which holes stand clear of everything but the flat faces they open in, so that they can be put in without a boolean.
 * By figures alone, and strict: a hole in doubt is not easy. Part frame, mm.
 */
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2 } from '../maths/vec.ts';
import type { BodyPlan, BossPlan, SolidPlan, TabPlan, ThroughHole } from './plan.ts';
import { footAt, wallFrame } from './walls.ts';

/** mm a mouth keeps from the rim of its face. */
const clear = 10 * tolerance.point;

/** Radius of the hole where it is widest, broken mouths included. */
export const widest = (hole: ThroughHole): number => Math.max(hole.diameter, hole.head.kind === 'none' ? 0 : hole.head.diameter) / 2 + hole.mouthBreak;

/** Plain round tab hole, wholly on its own tab, clear of wall, root, broken edges and every other tab. */
export function isEasyTabHole({ body, tabs, bosses }: SolidPlan, tab: TabPlan): boolean {
  const { hole } = tab;
  if (hole === null || hole.slot > 0 || !keepsItsLength(hole)) return false;
  const r = widest(hole) + clear;
  const frame = wallFrame(body, tab.wall);
  const [u, v] = wallPoint(body, tab, hole);
  const half = tab.length / 2 - tab.edgeBreak;
  const out = tab.reach - tab.edgeBreak;
  const corner = Math.max(0, tab.cornerRadius - tab.edgeBreak);
  const du = Math.abs(u - tab.middle);
  if (du + r > half || v + r > out || v - r < tab.rootRadius) return false;
  const [overU, overV] = [du - (half - corner), v - (out - corner)];
  if (overU > 0 && overV > 0 && Math.hypot(overU, overV) + r > corner) return false;
  const at: Vec2 = [hole.entry[0], hole.entry[1]];
  // A boss that stands below its foot may reach out under a tab.
  if (bosses.some((boss) => boss.endHeight < footAt(body, boss.x))) return false;
  return tabs.every((other) => other === tab || farFromTab(body, other, at, r)) && v - r > (frame.exists ? 0 : Infinity);
}

/** A head as deep as the metal, or breaks that meet, change the mouths. */
function keepsItsLength(hole: ThroughHole): boolean {
  const { head, depth, mouthBreak } = hole;
  const cone = head.kind === 'countersink' ? (head.diameter - hole.diameter) / 2 / Math.tan(((head.angle / 2) * Math.PI) / 180) : 0;
  const taken = (head.kind === 'counterbore' ? head.depth : cone) + (head.kind === 'countersink' ? 1 : 2) * mouthBreak;
  return taken < depth - clear;
}

/** Hole centre along and out from the wall of its tab. */
function wallPoint(body: BodyPlan, tab: TabPlan, hole: ThroughHole): Vec2 {
  const frame = wallFrame(body, tab.wall);
  const [x0, y0] = frame.plan(0, 0);
  const [dx, dy] = [hole.entry[0] - x0, hole.entry[1] - y0];
  return [dx * frame.along[0] + dy * frame.along[1], dx * frame.out[0] + dy * frame.out[1]];
}

function farFromTab(body: BodyPlan, tab: TabPlan, at: Vec2, r: number): boolean {
  const frame = wallFrame(body, tab.wall);
  const [a, b] = [frame.plan(tab.middle - tab.length / 2, 0), frame.plan(tab.middle + tab.length / 2, tab.reach)];
  const apart = [0, 1].map((axis) => Math.max(Math.min(a[axis]!, b[axis]!) - at[axis]!, at[axis]! - Math.max(a[axis]!, b[axis]!), 0));
  return Math.hypot(apart[0]!, apart[1]!) > r;
}

/** Blind hole in a boss whose round end stands free in the hollow, above the foot. */
export function isEasyBlindHole({ body, bosses }: SolidPlan, boss: BossPlan): boolean {
  if (boss.hole === null) return false;
  const r = boss.diameter / 2 + clear;
  const corner = body.insideCornerRadius;
  const [x0, x1, y0, y1] = [body.wall, body.length - body.wall, body.left.thickness, body.width - body.right.thickness];
  if (boss.endHeight - Math.max(body.frontFoot, body.backFoot) < clear || boss.hole.depth <= boss.hole.mouthBreak + clear) return false;
  const roomX = Math.min(boss.x - x0, x1 - boss.x);
  const roomY = Math.min(boss.y - y0, y1 - boss.y);
  if (roomX < r || roomY < r) return false;
  if (roomX < corner && roomY < corner && Math.hypot(corner - roomX, corner - roomY) + r > corner) return false;
  // The end has to stand below the roof and its rounding all round; the roof's rounding starts within its radius of a wall.
  if ((roomX - r < body.insideRoofRadius || roomY - r < body.insideRoofRadius) && boss.endHeight > lowestRoof(body) - body.insideRoofRadius) return false;
  return bosses.every((other) => other === boss || Math.hypot(other.x - boss.x, other.y - boss.y) > r + other.diameter / 2 + Math.max(0, other.rootRadius));
}

const lowestRoof = (body: BodyPlan): number => Math.min(...body.roof.flatMap((curve) => curve.poles.map((pole) => pole[1])));
