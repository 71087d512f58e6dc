/**
 * Hole fields of the job -> ThroughHole: sizes from the tables, axis, how far the drill goes. Free holes go through the
 * skin (straight down, on through a boss that hangs there) or through a wall (square to it). mm, degrees.
 */
import type { FreeHole, HoleSpec, Job } from '../job/schema.ts';
import { unit3, type Vec3 } from '../maths/vec.ts';
import type { Issue } from '../result.ts';
import { headRoom } from '../standards/screws.ts';
import { clearanceHole } from '../standards/threads.ts';
import { heightsOf } from './heights.ts';
import type { BodyPlan, HeadPlan, ThroughHole } from './plan.ts';
import { footAt, wallFrame } from './walls.ts';
import { say } from './planBody.ts';

/** mm the drill runs past where it is through, in air. */
const overrun = 1;

/** Diameter of a hole by the job, from the screw's clearance row or as given; null when neither is there. */
export const holeDiameter = (hole: HoleSpec): number | null => hole.diameter ?? (hole.screw === undefined ? null : clearanceHole(hole.screw, hole.fit));

/** Head room by the job; refuses a head without a size or no larger than its hole. */
export function planHead(hole: HoleSpec, diameter: number, at: string, issues: Issue[]): HeadPlan {
  if (hole.head === 'none') return { kind: 'none' };
  const room = hole.screw === undefined ? null : headRoom(hole.screw);
  const headDiameter = hole.headDiameter ?? (hole.head === 'counterbore' ? room?.counterbore.diameter : room?.countersink.diameter);
  const depth = hole.headDepth ?? room?.counterbore.depth;
  if (headDiameter === undefined || (hole.head === 'counterbore' && depth === undefined)) {
    issues.push({
      code: 'head-without-size',
      at: `${at}.head`,
      message: `Expected a screw, or the ${hole.head === 'counterbore' ? 'diameter and depth' : 'diameter'} of the ${hole.head}; got neither.`,
      hint: 'Name the screw, or give headDiameter and headDepth.',
    });
    return { kind: 'none' };
  }
  if (headDiameter <= diameter) {
    issues.push({
      code: 'head-too-small',
      at: `${at}.headDiameter`,
      message: `The ${hole.head} is ${say(headDiameter)} across, no larger than its hole of ${say(diameter)}.`,
      hint: 'Give a larger head diameter, or no head.',
    });
    return { kind: 'none' };
  }
  return hole.head === 'counterbore'
    ? { kind: 'counterbore', diameter: headDiameter, depth: depth as number }
    : { kind: 'countersink', diameter: headDiameter, angle: room?.countersink.angle ?? 90 };
}

export function planFreeHoles(job: Job, body: BodyPlan, issues: Issue[]): ThroughHole[] {
  return job.holes.flatMap((hole, index) => {
    const at = `holes[${index}]`;
    const diameter = holeDiameter(hole);
    if (diameter === null) {
      issues.push({ code: 'hole-without-size', at, message: 'Expected a screw or a diameter; got neither.', hint: 'Give screw: "M5" or diameter: 5.5.' });
      return [];
    }
    const head = planHead(hole, diameter, at, issues);
    const shared = { name: hole.name ?? `H${index + 1}`, at, diameter, slot: hole.slot, head, mouthBreak: 0 };
    return [hole.in === 'skin' ? throughSkin(job, body, hole, shared) : throughWall(body, hole, shared, issues)].filter((made) => made !== null);
  });
}

type Shared = Pick<ThroughHole, 'name' | 'at' | 'diameter' | 'slot' | 'head' | 'mouthBreak'>;

/** Half the largest size of the hole in plan, head included. */
const spread = (shared: Shared): number => Math.max(shared.diameter, shared.head.kind === 'none' ? 0 : shared.head.diameter) / 2 + shared.slot / 2;

function throughSkin(job: Job, body: BodyPlan, hole: FreeHole, shared: Shared): ThroughHole {
  const { x, y } = hole;
  const top = heightsOf(body.top);
  const z = top.at(x);
  const half = spread(shared);
  const inside = [Math.max(body.wall, x - half), Math.min(body.length - body.wall, x + half)] as const;
  const roof = inside[0] < inside[1] ? heightsOf(body.roof).range(inside[0], inside[1], 0.5).least : z - body.skin;
  const boss = job.bosses.find((other) => Math.hypot(other.x - x, other.y - y) < other.diameter / 2);
  const foot = footAt(body, x);
  // Below the roof is air, unless a boss hangs there: then the drill goes on through the boss.
  const bottom = boss === undefined ? roof - Math.min(overrun, (roof - foot) / 2) : boss.endHeight - overrun;
  const angle = (hole.slotAngle * Math.PI) / 180;
  return {
    ...shared,
    entry: [x, y, z],
    axis: [0, 0, -1],
    depth: z - bottom,
    clearAbove: top.range(Math.max(0, x - half), Math.min(body.length, x + half), 0.5).most - z + overrun,
    flares: true,
    clearBelow: 0,
    slotAlong: [Math.cos(angle), Math.sin(angle), 0],
  };
}

function throughWall(body: BodyPlan, hole: FreeHole, shared: Shared, issues: Issue[]): ThroughHole | null {
  const frame = wallFrame(body, hole.in as 'front');
  if (!frame.exists) {
    issues.push({ code: 'no-wall', at: `${shared.at}.in`, message: `The ${hole.in} end is open: there is no wall to drill.`, hint: 'Close that end or move the hole to another wall.' });
    return null;
  }
  const u = hole.in === 'front' || hole.in === 'back' ? hole.y : hole.x;
  const [x, y] = frame.plan(u, 0);
  const half = spread(shared);
  const [cos, sin] = [Math.cos((hole.slotAngle * Math.PI) / 180), Math.sin((hole.slotAngle * Math.PI) / 180)];
  const axis: Vec3 = [-frame.out[0], -frame.out[1], -frame.out[2]];
  return {
    ...shared,
    entry: [x, y, hole.z],
    axis,
    depth: frame.thickness + roundingsBehind(body, frame.length, u, hole.z, half),
    clearAbove: overrun,
    flares: false,
    clearBelow: Math.min(overrun, body.wall),
    slotAlong: unit3([cos * frame.along[0], cos * frame.along[1], sin]),
  };
}

/** Extra metal behind a wall where the hole runs into an inside radius: the radius itself, or 0 on the flat. */
export function roundingsBehind(body: BodyPlan, length: number, u: number, z: number, half: number): number {
  const lowestRoof = Math.min(...body.roof.flatMap((curve) => curve.poles.map((pole) => pole[1])));
  const nearRoof = z + half > lowestRoof - body.insideRoofRadius;
  const margin = Math.max(body.wall, body.left.thickness, body.right.thickness) + body.insideCornerRadius;
  const nearCorner = u - half < margin || u + half > length - margin;
  return Math.max(nearRoof ? body.insideRoofRadius : 0, nearCorner ? body.insideCornerRadius : 0);
}
