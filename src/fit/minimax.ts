/**
 * Holes and their slack -> the rigid move of the part that makes the worst hole as good as it can be. mm, rad.
 *
 * margin(hole) = slack - distance from the screw's axis to the middle of its hole (for a slot: to its middle line). The move
 * sought maximises the smallest margin; every screw enters when that is not negative. In shift and turn (small, about the
 * middle) each distance is convex, so the problem is: one valley. Method: Newton's steps on log(sum(exp(k (distance -
 * slack)))) / k for growing k (S. Boyd and L. Vandenberghe, Convex Optimization, 3.1.5). The weights of the last sum are a
 * proof: no move does better than the weighted mean, and `gap` is how far the answer is from it.
 * Stops being true: turns beyond a degree or so, which the slack of screws does not allow anyway.
 */
import { tolerance } from '../maths/tolerance.ts';

/** Numbers of one pattern, packed for speed: one entry per hole, about the middle of the pattern. */
export interface Packed {
  readonly n: number;
  /** Places of our holes and half lengths and directions of their slots. */
  readonly px: Float64Array;
  readonly py: Float64Array;
  readonly half: Float64Array;
  readonly sx: Float64Array;
  readonly sy: Float64Array;
  /** Radial slack: (hole - screw) / 2. */
  readonly slack: Float64Array;
  /** mm per radian in the solver's own unit of turn. */
  readonly reach: number;
}

export interface Seated {
  /** Shift, and turn in rad times reach. */
  readonly move: Float64Array;
  /** Weight of each hole in the proof; 0 for those that do not press. */
  readonly weight: Float64Array;
  /** Smallest margin at that move. */
  margin: number;
  /** How far the margin may be from the best there is. */
  gap: number;
}

export const emptySeat = (n: number): Seated => ({ move: new Float64Array(3), weight: new Float64Array(n), margin: 0, gap: Infinity });

/** Distance less slack of hole i at move (tx, ty, w): its value and gradient, into `out` as [f, gx, gy, gw, hxx, hxy, hyy] with the curvature in the plane. */
function lack(p: Packed, dx: Float64Array, dy: Float64Array, i: number, tx: number, ty: number, w: number, out: Float64Array): void {
  // Where our hole stands against its screw.
  let ex = dx[i]! + tx - (w * p.py[i]!) / p.reach;
  let ey = dy[i]! + ty + (w * p.px[i]!) / p.reach;
  const h = p.half[i]!;
  let flat = false;
  if (h > 0) {
    const along = ex * p.sx[i]! + ey * p.sy[i]!;
    const take = along > h ? h : along < -h ? -h : along;
    flat = take === along;
    ex -= take * p.sx[i]!;
    ey -= take * p.sy[i]!;
  }
  // Rounded at the very middle, where the distance has a corner; far below any margin.
  const d = Math.sqrt(ex * ex + ey * ey + rounding * rounding);
  const gx = ex / d;
  const gy = ey / d;
  out[0] = d - p.slack[i]!;
  out[1] = gx;
  out[2] = gy;
  out[3] = (-gx * p.py[i]! + gy * p.px[i]!) / p.reach;
  if (flat) {
    // Along the straight of a slot nothing changes.
    const nx = -p.sy[i]!;
    const ny = p.sx[i]!;
    const bend = (rounding * rounding) / (d * d * d);
    out[4] = bend * nx * nx;
    out[5] = bend * nx * ny;
    out[6] = bend * ny * ny;
  } else {
    out[4] = (1 - gx * gx) / d;
    out[5] = (-gx * gy) / d;
    out[6] = (1 - gy * gy) / d;
  }
}

/** mm */
const rounding = tolerance.boltUp / 10;

/** Stages of sharpness k, 1/mm: rough to a micron or so for trials, fine where a proof is wanted. */
const roughStages = [40, 400, 4000];
const fineStages = [20, 100, 600, 4000, 30_000, 2e5, 1.5e6, 1e7, 8e7];
const mostSteps = 40;
/** Share of the curvature added so that a flat direction still has a step. */
const lift = 1e-9;
/** Share of a step below which it is given up. */
const leastShare = 1e-6;
/** Share of 1/k by which a step must still promise to lower the sum, on the way and at the end. */
const onTheWay = 0.2;
const atTheEnd = 2e-3;

/**
 * Finds the move. `dx`, `dy`: where our holes stand less where their screws stand, before the move. Rough is good to about
 * ln(holes) / 4 microns; fine to tolerance.boltUp. `enough`: a margin at which the search may stop early, since all that is
 * asked is whether it is reached. Writes into `seat`; nothing is made new.
 */
export function seatPattern(p: Packed, dx: Float64Array, dy: Float64Array, seat: Seated, work: Float64Array, fine = false, enough = Infinity): void {
  let [tx, ty, w] = centreStart(p, dx, dy);
  const stages = fine ? fineStages : roughStages;
  for (let stage = 0; stage < stages.length; stage++) {
    const k = stages[stage]!;
    const still = (stage === stages.length - 1 ? atTheEnd : onTheWay) / k;
    let now = smooth(p, dx, dy, tx, ty, w, k, seat, work);
    if (-work[20]! >= enough) break;
    for (let step = 0; step < mostSteps; step++) {
      newton(work);
      const [a, b, c, slope] = [work[17]!, work[18]!, work[19]!, work[21]!];
      if (!(-slope > still)) break;
      let t = 1;
      let then = smooth(p, dx, dy, tx + a, ty + b, w + c, k, seat, work);
      while (t > leastShare && !(then <= now + 0.1 * t * slope)) {
        t *= 0.35;
        then = smooth(p, dx, dy, tx + t * a, ty + t * b, w + t * c, k, seat, work);
      }
      if (!(then < now)) {
        smooth(p, dx, dy, tx, ty, w, k, seat, work);
        break;
      }
      tx += t * a;
      ty += t * b;
      w += t * c;
      now = then;
    }
  }
  // The last sum was taken at this move: its worst and its weighted mean.
  seat.move[0] = tx;
  seat.move[1] = ty;
  seat.move[2] = w;
  seat.margin = -work[20]!;
  seat.gap = work[20]! - work[22]!;
}

/** Mean shift and turn: near enough to start from. */
function centreStart(p: Packed, dx: Float64Array, dy: Float64Array): [number, number, number] {
  let [mx, my, turn, size] = [0, 0, 0, 0];
  for (let i = 0; i < p.n; i++) {
    mx += dx[i]! / p.n;
    my += dy[i]! / p.n;
    turn += p.px[i]! * dy[i]! - p.py[i]! * dx[i]!;
    size += p.px[i]! ** 2 + p.py[i]! ** 2;
  }
  return [-mx, -my, size > 0 ? (-turn / size) * p.reach : 0];
}

/** Value of the smoothed worst lack; weights into seat, gradient into work[8..10], curvature into work[11..16], worst and weighted mean into work[20] and work[22]. */
function smooth(p: Packed, dx: Float64Array, dy: Float64Array, tx: number, ty: number, w: number, k: number, seat: Seated, work: Float64Array): number {
  const { n } = p;
  const base = 24;
  let worst = -Infinity;
  for (let i = 0; i < n; i++) {
    lack(p, dx, dy, i, tx, ty, w, work);
    const at = base + 7 * i;
    for (let m = 0; m < 7; m++) work[at + m] = work[m]!;
    if (work[0]! > worst) worst = work[0]!;
  }
  let sum = 0;
  for (let i = 0; i < n; i++) sum += seat.weight[i] = Math.exp(k * (work[base + 7 * i]! - worst));
  let ga = 0;
  let gb = 0;
  let gc = 0;
  let haa = 0;
  let hab = 0;
  let hac = 0;
  let hbb = 0;
  let hbc = 0;
  let hcc = 0;
  let mean = 0;
  for (let i = 0; i < n; i++) {
    const weight = (seat.weight[i]! /= sum);
    if (weight < tolerance.negligible) continue;
    const at = base + 7 * i;
    mean += weight * work[at]!;
    const a = work[at + 1]!;
    const b = work[at + 2]!;
    const c = work[at + 3]!;
    ga += weight * a;
    gb += weight * b;
    gc += weight * c;
    const ux = -p.py[i]! / p.reach;
    const uy = p.px[i]! / p.reach;
    const xx = work[at + 4]!;
    const xy = work[at + 5]!;
    const yy = work[at + 6]!;
    haa += weight * (k * a * a + xx);
    hab += weight * (k * a * b + xy);
    hbb += weight * (k * b * b + yy);
    hac += weight * (k * a * c + xx * ux + xy * uy);
    hbc += weight * (k * b * c + xy * ux + yy * uy);
    hcc += weight * (k * c * c + xx * ux * ux + 2 * xy * ux * uy + yy * uy * uy);
  }
  work[8] = ga;
  work[9] = gb;
  work[10] = gc;
  work[11] = haa - k * ga * ga;
  work[12] = hab - k * ga * gb;
  work[13] = hac - k * ga * gc;
  work[14] = hbb - k * gb * gb;
  work[15] = hbc - k * gb * gc;
  work[16] = hcc - k * gc * gc;
  work[20] = worst;
  work[22] = mean;
  return worst + Math.log(sum) / k;
}

/** -H^-1 g by Cholesky with a little damping, for three unknowns, into work[17..19]; the slope along it into work[21]. */
function newton(work: Float64Array): void {
  const damp = lift * (work[11]! + work[14]! + work[16]!) + tolerance.negligible;
  const a = Math.sqrt(Math.max(damp, work[11]! + damp));
  const b = work[12]! / a;
  const c = work[13]! / a;
  const d = Math.sqrt(Math.max(damp, work[14]! + damp - b * b));
  const e = (work[15]! - b * c) / d;
  const f = Math.sqrt(Math.max(damp, work[16]! + damp - c * c - e * e));
  const y0 = -work[8]! / a;
  const y1 = (-work[9]! - b * y0) / d;
  const y2 = (-work[10]! - c * y0 - e * y1) / f;
  const z = y2 / f;
  const y = (y1 - e * z) / d;
  const x = (y0 - b * y - c * z) / a;
  work[17] = x;
  work[18] = y;
  work[19] = z;
  work[21] = x * work[8]! + y * work[9]! + z * work[10]!;
}

/** Room for `seatPattern` to work in. */
export const workFor = (n: number): Float64Array => new Float64Array(24 + 7 * n);

/** The margin of each hole at a move: the verifier, written out anew with the turn taken exactly. */
export function marginsAt(p: Packed, dx: Float64Array, dy: Float64Array, move: Float64Array): number[] {
  const turn = move[2]! / p.reach;
  const [c, s] = [Math.cos(turn) - 1, Math.sin(turn)];
  return Array.from({ length: p.n }, (_, i) => {
    const ex = dx[i]! + move[0]! + c * p.px[i]! - s * p.py[i]!;
    const ey = dy[i]! + move[1]! + s * p.px[i]! + c * p.py[i]!;
    const along = Math.max(-p.half[i]!, Math.min(p.half[i]!, ex * p.sx[i]! + ey * p.sy[i]!));
    return p.slack[i]! - Math.hypot(ex - along * p.sx[i]!, ey - along * p.sy[i]!);
  });
}
