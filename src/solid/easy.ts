/**
 * Which holes stand clear of everything but the flat faces they open in, so that they can be put in without a boolean.
 * By figures alone, and strict: a hole in doubt is not easy. Part frame, mm.
 */
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2 } from '../maths/vec.ts';
import type { BodyPlan, BossPlan, EngravingPlan, SolidPlan, TabPlan, ThroughHole } from './plan.ts';
import { heightsOf } from './heights.ts';
import { footAt, footBeside, wallFrame, type WallFrame } from './walls.ts';

/** mm a mouth keeps from the rim of its face. */
const clear = 10 * tolerance.point;

/** Radius of the hole where it is widest, broken mouths included. */
export const widest = (hole: ThroughHole): number => Math.max(hole.diameter, hole.head.kind === 'none' ? 0 : hole.head.diameter) / 2 + hole.mouthBreak;

/** Tab hole, round or slotted, wholly on its own tab, clear of wall, root, broken edges and every other tab. */
export function isEasyTabHole({ body, tabs, bosses }: SolidPlan, tab: TabPlan): boolean {
  const { hole } = tab;
  if (hole === null || !keepsItsLength(hole)) return false;
  const r = widest(hole) + clear;
  const frame = wallFrame(body, tab.wall);
  const half = tab.length / 2 - tab.edgeBreak;
  const out = tab.reach - tab.edgeBreak;
  const corner = Math.max(0, tab.cornerRadius - tab.edgeBreak);
  // The face is convex, so a slot is on it when both its ends are.
  const ends = [-1, 1].map((side): Vec2 => [hole.entry[0] + (side * hole.slot * hole.slotAlong[0]) / 2, hole.entry[1] + (side * hole.slot * hole.slotAlong[1]) / 2]);
  const onFace = ends.every((end) => {
    const [u, v] = wallPoint(frame, end);
    const du = Math.abs(u - tab.middle);
    if (du + r > half || v + r > out || v - r < tab.rootRadius) return false;
    const [overU, overV] = [du - (half - corner), v - (out - corner)];
    return !(overU > 0 && overV > 0 && Math.hypot(overU, overV) + r > corner);
  });
  if (!onFace) return false;
  // A boss that stands below its foot may reach out under a tab.
  if (bosses.some((boss) => boss.endHeight < footBeside(body, boss))) return false;
  return tabs.every((other) => other === tab || farFromTab(body, other, [hole.entry[0], hole.entry[1]], r + hole.slot / 2));
}

/** A head as deep as the metal, or breaks that meet, change the mouths. */
function keepsItsLength(hole: ThroughHole): boolean {
  const { head, depth, mouthBreak } = hole;
  const cone = head.kind === 'countersink' ? (head.diameter - hole.diameter) / 2 / Math.tan(((head.angle / 2) * Math.PI) / 180) : 0;
  const taken = (head.kind === 'counterbore' ? head.depth : cone) + (head.kind === 'countersink' ? 1 : 2) * mouthBreak;
  return taken < depth - clear;
}

/** A plan position along and out from a wall. */
function wallPoint(frame: WallFrame, at: Vec2): Vec2 {
  const [x0, y0] = frame.plan(0, 0);
  const [dx, dy] = [at[0] - x0, at[1] - y0];
  return [dx * frame.along[0] + dy * frame.along[1], dx * frame.out[0] + dy * frame.out[1]];
}

function farFromTab(body: BodyPlan, tab: TabPlan, at: Vec2, r: number): boolean {
  const frame = wallFrame(body, tab.wall);
  const [a, b] = [frame.plan(tab.middle - tab.length / 2, 0), frame.plan(tab.middle + tab.length / 2, tab.reach)];
  const apart = [0, 1].map((axis) => Math.max(Math.min(a[axis]!, b[axis]!) - at[axis]!, at[axis]! - Math.max(a[axis]!, b[axis]!), 0));
  return Math.hypot(apart[0]!, apart[1]!) > r;
}

/**
 * Boss that stands free in the hollow: clear of walls, of other bosses and of carved text, its end below the roof all
 * round with room for its root. Whether the roof's own rounded rim is clear too is known only to the kernel.
 */
export function isEasyBoss({ body, bosses, engravings }: SolidPlan, boss: BossPlan): boolean {
  const r = boss.diameter / 2 + rootSpread * boss.rootRadius + clear;
  const corner = body.insideCornerRadius;
  const roomX = Math.min(boss.x - body.wall, body.length - body.wall - boss.x);
  const roomY = Math.min(boss.y - body.left.thickness, body.width - body.right.thickness - boss.y);
  if (roomX < r || roomY < r) return false;
  if (roomX < corner && roomY < corner && Math.hypot(corner - roomX, corner - roomY) + r > corner) return false;
  if (engravings.some((text) => text.on === 'underside' && Math.hypot(text.centre[0] - boss.x, text.centre[1] - boss.y) < r + textReach(text))) return false;
  if (boss.endHeight < footBeside(body, boss) || footAt(body, boss.x - r) !== footAt(body, boss.x + r)) return false;
  if (heightsOf(body.roof).range(boss.x - r, boss.x + r, boss.diameter / 16).least - boss.endHeight < rootSpread * boss.rootRadius + clear) return false;
  return bosses.every((other) => other === boss || Math.hypot(other.x - boss.x, other.y - boss.y) > r + other.diameter / 2 + rootSpread * other.rootRadius);
}

/** mm from the middle of a text within which all of it lies: no letter of a plain font is wider than one and a half capitals are high. */
const textReach = (text: EngravingPlan): number => text.height * (0.75 * text.text.length + 1);

/** A boss whose end is the foot itself. */
export const isFlush = (body: BodyPlan, boss: BossPlan): boolean => Math.abs(boss.endHeight - footBeside(body, boss)) < tolerance.point;

/** How far a root runs out on roof or side, in radii: more than one where the roof slopes, three at 53 degrees. */
const rootSpread = 3;

/** Blind hole in a boss whose round end stands free in the hollow, above the foot or flush with it. */
export function isEasyBlindHole({ body, bosses }: SolidPlan, boss: BossPlan): boolean {
  if (boss.hole === null) return false;
  const r = boss.diameter / 2 + clear;
  const corner = body.insideCornerRadius;
  const [x0, x1, y0, y1] = [body.wall, body.length - body.wall, body.left.thickness, body.width - body.right.thickness];
  if ((boss.endHeight - footBeside(body, boss) < clear && !isFlush(body, boss)) || boss.hole.depth <= boss.hole.mouthBreak + clear) return false;
  const roomX = Math.min(boss.x - x0, x1 - boss.x);
  const roomY = Math.min(boss.y - y0, y1 - boss.y);
  if (roomX < r || roomY < r) return false;
  if (roomX < corner && roomY < corner && Math.hypot(corner - roomX, corner - roomY) + r > corner) return false;
  // The end has to stand below the roof and its rounding all round; the roof's rounding starts within its radius of a wall.
  if ((roomX - r < body.insideRoofRadius || roomY - r < body.insideRoofRadius) && boss.endHeight > lowestRoof(body) - body.insideRoofRadius) return false;
  return bosses.every((other) => other === boss || Math.hypot(other.x - boss.x, other.y - boss.y) > r + other.diameter / 2 + Math.max(0, other.rootRadius));
}

const lowestRoof = (body: BodyPlan): number => Math.min(...body.roof.flatMap((curve) => curve.poles.map((pole) => pole[1])));
