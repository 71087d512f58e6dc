/**
 * The hollow in plan and how much room there is in it. Distances are signed, mm: negative in the metal. The walls are
 * taken at their inner faces with the upright inside corners round; open ends bound nothing.
 */
import type { Vec2 } from '../maths/vec.ts';
import { heightsOf } from '../solid/heights.ts';
import type { BodyPlan } from '../solid/plan.ts';

export interface Hollow {
  /** Inner faces of the walls; at an open end, the end itself. */
  readonly least: Vec2;
  readonly most: Vec2;
  /** From a point to the nearest inner wall face, open ends left out. */
  readonly toWalls: (at: Vec2) => number;
  /** Lowest the roof comes over a round place, its rounding at the walls taken off where that reaches in. */
  readonly roofOver: (at: Vec2, radius: number) => number;
}

export function hollowOf(body: BodyPlan): Hollow {
  const { length, width, wall, left, right, insideCornerRadius, insideRoofRadius } = body;
  const least: Vec2 = [wall, left.thickness];
  const most: Vec2 = [length - wall, width - right.thickness];
  const roof = heightsOf(body.roof);
  const toWalls = ([x, y]: Vec2): number => {
    const dx = Math.min(x - least[0], most[0] - x);
    const dy = Math.min(left.closed ? y - least[1] : Infinity, right.closed ? most[1] - y : Infinity);
    // In an inside corner the metal is the outside of the fillet.
    if (dx < insideCornerRadius && dy < insideCornerRadius) return insideCornerRadius - Math.hypot(insideCornerRadius - dx, insideCornerRadius - dy);
    return Math.min(dx, dy);
  };
  const roofOver = (at: Vec2, radius: number): number => {
    const { least: lowest } = roof.range(Math.max(least[0], at[0] - radius), Math.min(most[0], at[0] + radius), 0.5);
    return lowest - Math.max(0, insideRoofRadius - Math.max(0, toWalls(at) - radius));
  };
  return { least, most, toWalls, roofOver };
}
