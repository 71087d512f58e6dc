/**
 * A span moved square to itself towards the inside of the part (to the right of travel): c(u) - distance * n(u), n the
 * left-hand unit normal. Beyond its ends the offset runs on straight, so that every station has a point.
 * Millimetres; x right, z up; x rises along a span.
 * Stops being true: where a crown is no rounder than `distance` the offset folds back; `foldOf` finds that.
 */
import { evaluate, pieceAt, type Piecewise } from '../maths/piecewise.ts';
import { brentLeast, brentRoot } from '../maths/roots.ts';
import { tolerance } from '../maths/tolerance.ts';

export interface Offset {
  readonly curve: Piecewise;
  readonly distance: number;
}

/** A point of an offset: s is the parameter of its span, or mm beyond an end. */
export interface OffsetPoint {
  readonly x: number;
  readonly z: number;
  /** Unit tangent in the direction of travel. */
  readonly tx: number;
  readonly tz: number;
}

export const firstOf = (o: Offset): number => o.curve.breaks[0]!;
export const lastOf = (o: Offset): number => o.curve.breaks.at(-1)!;

export function offsetAt(o: Offset, s: number, work = new Float64Array(6)): OffsetPoint {
  const u = Math.min(lastOf(o), Math.max(firstOf(o), s));
  evaluate(o.curve, u, work);
  const speed = Math.sqrt(work[2]! * work[2]! + work[3]! * work[3]!);
  const tx = work[2]! / speed;
  const tz = work[3]! / speed;
  const beyond = s - u;
  return { x: work[0]! + o.distance * tz + beyond * tx, z: work[1]! - o.distance * tx + beyond * tz, tx, tz };
}

const looks = 4;

/** Rising parameters that look at every piece of a span, ends included. */
function places(curve: Piecewise, per = looks): number[] {
  const out: number[] = [];
  for (let i = 0; i + 1 < curve.breaks.length; i++) {
    for (let j = 0; j < per; j++) out.push(curve.breaks[i]! + ((curve.breaks[i + 1]! - curve.breaks[i]!) * j) / per);
  }
  out.push(curve.breaks.at(-1)!);
  return out;
}

/**
 * Parameter at which the offset stands at `station`. `from` says from which end to look where a fold makes more than one:
 * 'front' gives the last place before which it was short of the station, 'back' the first after which it is beyond.
 */
export function atStation(o: Offset, station: number, from: 'front' | 'back'): number {
  const work = new Float64Array(6);
  const over = (s: number): number => offsetAt(o, s, work).x - station;
  const list = places(o.curve);
  const start = offsetAt(o, list[0]!, work);
  const end = offsetAt(o, list.at(-1)!, work);
  if (start.x >= station && from === 'back') return list[0]! - (start.x - station) / start.tx;
  if (end.x <= station && from === 'front') return list.at(-1)! + (station - end.x) / end.tx;
  if (from === 'front') {
    for (let i = list.length - 2; i >= 0; i--) if (over(list[i]!) < 0) return brentRoot(over, list[i]!, list[i + 1]!);
    return list[0]! - (start.x - station) / start.tx;
  }
  for (let i = 1; i < list.length; i++) if (over(list[i]!) > 0) return brentRoot(over, list[i - 1]!, list[i]!);
  return list.at(-1)! + (station - end.x) / end.tx;
}

/** The tightest crown between two parameters: its radius (Infinity when there is none) and parameter. */
export function tightestCrown(curve: Piecewise, from: number, to: number): { radius: number; u: number } {
  const work = new Float64Array(6);
  const first = Math.max(from, curve.breaks[0]!);
  const last = Math.min(to, curve.breaks.at(-1)!);
  const signed = (u: number): number => {
    const i = pieceAt(curve.breaks, u);
    evaluate(curve, u, work, i);
    return (work[2]! * work[5]! - work[3]! * work[4]!) / (work[2]! * work[2]! + work[3]! * work[3]!) ** 1.5;
  };
  const list = [first, ...places(curve, 2 * looks).filter((u) => u > first && u < last), last];
  let best = 0;
  list.forEach((u, i) => {
    if (signed(u) < signed(list[best]!)) best = i;
  });
  const a = list[Math.max(0, best - 1)]!;
  const b = list[Math.min(list.length - 1, best + 1)]!;
  const u = [brentLeast(signed, a, b, tolerance.root * Math.max(1, b)), list[best]!].reduce((x, y) => (signed(y) < signed(x) ? y : x));
  const bend = signed(u);
  return bend < 0 ? { radius: -1 / bend, u } : { radius: Infinity, u };
}

/**
 * Distance of a point from a span lengthened straight at both ends, positive to the right of travel (towards the inside).
 * `start` is a parameter near the foot.
 */
export function distanceInside(curve: Piecewise, x: number, z: number, foot: number, work: Float64Array): number {
  evaluate(curve, foot, work);
  const dx = x - work[0]!;
  const dz = z - work[1]!;
  const speed = Math.sqrt(work[2]! * work[2]! + work[3]! * work[3]!);
  const across = (work[3]! * dx - work[2]! * dz) / speed;
  const along = (work[2]! * dx + work[3]! * dz) / speed;
  const first = foot === curve.breaks[0]!;
  const last = foot === curve.breaks.at(-1)!;
  if ((first && along < 0) || (last && along > 0)) return across;
  return Math.sign(across) * Math.sqrt(dx * dx + dz * dz);
}
