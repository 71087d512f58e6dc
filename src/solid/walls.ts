/**
 * The four walls as frames: `u` runs along the wall (Y on front and back, X on left and right), `v` out of the metal.
 * The outer face stands at v = 0. Part frame, mm.
 */
import type { WallName } from '../job/schema.ts';
import type { Vec2, Vec3 } from '../maths/vec.ts';
import { firstPoint, heightsOf, lastPoint } from './heights.ts';
import type { BodyPlan } from './plan.ts';

export interface WallFrame {
  readonly wall: WallName;
  /** Plan position of (u, v). */
  readonly plan: (u: number, v: number) => Vec2;
  readonly along: Vec3;
  readonly out: Vec3;
  /** Size along u. */
  readonly length: number;
  readonly thickness: number;
  readonly exists: boolean;
  /** Where along u the outer face is flat: clear of the rounded upright corners. */
  readonly flat: readonly [from: number, to: number];
  /** Height of the foot at u, and of the contour above the outer face at u. */
  readonly foot: (u: number) => number;
  readonly top: (u: number) => number;
}

export function wallFrame(body: BodyPlan, wall: WallName): WallFrame {
  const { length, width, outsideRadius } = body;
  const ends = { leftCorner: body.left.closed ? outsideRadius : 0, rightCorner: body.right.closed ? outsideRadius : 0 };
  if (wall === 'front' || wall === 'back') {
    const front = wall === 'front';
    return {
      wall,
      plan: (u, v) => [front ? -v : length + v, u],
      along: [0, 1, 0],
      out: [front ? -1 : 1, 0, 0],
      length: width,
      thickness: body.wall,
      exists: true,
      flat: [ends.leftCorner, width - ends.rightCorner],
      foot: () => (front ? body.frontFoot : body.backFoot),
      top: () => (front ? firstPoint(body.top) : lastPoint(body.top))[1],
    };
  }
  const left = wall === 'left';
  const top = heightsOf(body.top);
  const end = left ? body.left : body.right;
  return {
    wall,
    plan: (u, v) => [u, left ? -v : width + v],
    along: [1, 0, 0],
    out: [0, left ? -1 : 1, 0],
    length,
    thickness: end.thickness,
    exists: end.closed,
    flat: [outsideRadius, length - outsideRadius],
    foot: (u) => footAt(body, u),
    top: top.at,
  };
}

/** The highest foot beside a boss: over the whole width of its round. */
export const footBeside = (body: BodyPlan, boss: { readonly x: number; readonly diameter: number }): number =>
  Math.max(footAt(body, boss.x - boss.diameter / 2), footAt(body, boss.x + boss.diameter / 2));

/** Foot height of the end walls at a station. */
export const footAt = (body: BodyPlan, x: number): number => (x < body.stepAt ? body.frontFoot : body.backFoot);
