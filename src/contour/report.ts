/**
 * From a finished curve and its readings to the figures a person judges it by. Plane of the section, mm.
 * Residuals are true distances to the nearest point of the curve. The band is the 95 % posterior interval (G. Wahba,
 * J. R. Statist. Soc. B 45 (1983) 133), which holds for the average over the curve, not at its sharpest bend; Student's
 * factor where the reading error is estimated.
 * Stops being true: a systematic error of the gauge is in no figure here.
 */
import { normalQuantile, studentQuantile } from '../maths/distributions.ts';
import { evaluate, footFrom, nearestOn, pieceAt, type Piecewise } from '../maths/piecewise.ts';
import type { Vec2 } from '../maths/vec.ts';
import type { ContourReport, Residual } from './contour.ts';
import { basisAt } from './design.ts';
import type { Course, Smooth } from './smooth.ts';
import { median } from './travel.ts';
import type { Screened } from './screen.ts';

/** A curve with the parameter of each reading and of each corner. */
export interface Drawn {
  readonly curve: Piecewise;
  readonly t: Float64Array;
  readonly corners: readonly number[];
}

/** Signed distance of a point from the curve, positive on its left, and where. */
interface Miss {
  readonly distance: number;
  readonly foot: Vec2;
}

/** The miss of a point whose foot is near parameter `start`. Looks on both sides of a corner. */
export function missOf({ curve, corners }: Drawn, at: Vec2, start: number, work: Float64Array): Miss {
  const first = curve.breaks[0]!;
  const last = curve.breaks.at(-1)!;
  const stretch = corners.filter((c) => c <= start).length;
  const from = corners[stretch - 1] ?? first;
  const to = corners[stretch] ?? last;
  const look = (a: number, b: number): Miss => {
    footFrom(curve, at[0], at[1], start, a, b, work);
    const dx = at[0] - work[0]!;
    const dz = at[1] - work[1]!;
    const size = Math.sqrt(dx * dx + dz * dz);
    return { distance: work[2]! * dz - work[3]! * dx < 0 ? -size : size, foot: [work[0]!, work[1]!] };
  };
  let best = look(from, to);
  const better = (other: Miss): void => {
    if (Math.abs(other.distance) < Math.abs(best.distance)) best = other;
  };
  if (stretch > 0) better(look(corners[stretch - 2] ?? first, from));
  if (stretch < corners.length) better(look(to, corners[stretch + 1] ?? last));
  return best;
}

/** `index[i]` is the place in the table of reading i of the course. */
export function residualsOf(drawn: Drawn, course: Course, index: readonly number[], final: Smooth, screened: Screened, reference: number): Residual[] {
  const work = new Float64Array(6);
  const b = new Float64Array(4);
  const { rows } = final.fit;
  return course.points.map((at, i) => {
    const { distance, foot } = missOf(drawn, at, drawn.t[i]!, work);
    basisAt(rows.plan, rows.piece[i]!, rows.t[i]!, b);
    const leverage = Math.min(1, course.weight[i]! * final.certainty.variance(rows.piece[i]!, b));
    return { index: index[i]!, at, foot, distance, error: reference / Math.sqrt(course.weight[i]!), studentised: screened.studentised[i]!, leverage, used: true };
  });
}

/** A reading that was left out, against the finished curve. */
export function leftOutResidual(drawn: Drawn, index: number, at: Vec2, error: number): Residual {
  const near = nearestOn(drawn.curve, at);
  const { distance, foot } = missOf(drawn, at, near.u, new Float64Array(6));
  return { index, at, foot, distance, error, studentised: null, leverage: 0, used: false };
}

const bandPlaces = 101;

/** The 95 % band at even steps along the curve. `error` is one sigma of a reading of weight one, on `behind` degrees of freedom. */
export function bandOf(drawn: Drawn, final: Smooth, error: number, behind: number): ContourReport['band'] {
  const factor = behind === Infinity ? normalQuantile(0.975) : studentQuantile(0.975, behind);
  const { plan } = final.fit.rows;
  const b = new Float64Array(4);
  const work = new Float64Array(6);
  const from = drawn.curve.breaks[0]!;
  const to = drawn.curve.breaks.at(-1)!;
  const start = plan.breaks[0]!;
  const scale = (plan.breaks.at(-1)! - start) / (to - from);
  return Array.from({ length: bandPlaces }, (_, k) => {
    const u = from + ((to - from) * k) / (bandPlaces - 1);
    evaluate(drawn.curve, u, work);
    const t = start + (u - from) * scale;
    const piece = pieceAt(plan.breaks, t);
    basisAt(plan, piece, t, b);
    return { at: [work[0]!, work[1]!] as const, half: factor * error * Math.sqrt(final.certainty.variance(piece, b)) };
  });
}

/** Depth below which a bend is not told from a straight line: the middle half width of the band. */
export const bendDepth = (band: ContourReport['band']): number => median(band.map((place) => place.half));

/** Largest distance from one curve to another that runs beside it; both know the same readings. Looked for between readings and at them. */
export function largestDeparture(from: Drawn, to: Drawn): number {
  const work = new Float64Array(6);
  const foot = new Float64Array(6);
  const steps = from.t.length > 2000 ? 2 : 6;
  const [first, last] = [to.curve.breaks[0]!, to.curve.breaks.at(-1)!];
  let largest = 0;
  for (let i = 0; i < from.t.length; i++) {
    const on = Math.min(i + 1, from.t.length - 1);
    for (let k = 0; k < steps; k++) {
      const share = k / steps;
      evaluate(from.curve, from.t[i]! + share * (from.t[on]! - from.t[i]!), work);
      footFrom(to.curve, work[0]!, work[1]!, to.t[i]! + share * (to.t[on]! - to.t[i]!), first, last, foot);
      largest = Math.max(largest, (work[0]! - foot[0]!) ** 2 + (work[1]! - foot[1]!) ** 2);
    }
  }
  return Math.sqrt(largest);
}

