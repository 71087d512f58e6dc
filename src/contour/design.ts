/**
 * What a contour fit is set up from: knots and their polynomial pieces, and the readings laid on them, worked into the banded
 * triangle of their least-squares problem once for every stiffness that will be tried. Lengths in mm.
 * Method: see penalised.ts. Linear time in readings and in knots.
 * Stops being true: sites must rise strictly.
 */
import { absorbRow, bandedOf, type Banded } from '../maths/banded.ts';
import { basisPolynomials, pieceAt } from '../maths/piecewise.ts';
import type { BSplineCurve } from '../maths/bspline.ts';

/** Half the band: a cubic B-spline meets three neighbours on either side. */
export const width = 4;

/** Where the curve may bend: the knot vector and the pieces it makes. */
export interface KnotPlan {
  readonly knots: Float64Array;
  readonly coefficients: number;
  /** Ends of the non-empty knot intervals. */
  readonly breaks: Float64Array;
  /** First coefficient that lives on each piece. */
  readonly first: Int32Array;
  /** Power coefficients of the four basis functions of each piece, 16 numbers per piece. */
  readonly basis: Float64Array;
  readonly order: Order;
  /** The triangle of the roughness integral. */
  readonly rough: Banded;
}

/** The derivative whose square is kept small. */
export type Order = 2 | 3;

/** Share of the second derivative, over the length, that goes with the third. */
const trace = 1e-4;

/** Plan for rising sites; `corners` are those sites at which the curve may turn sharply. */
export function knotPlan(sites: ArrayLike<number>, corners: ReadonlySet<number> = new Set(), order: Order = 2): KnotPlan {
  const n = sites.length;
  const list: number[] = [];
  for (let i = 0; i < n; i++) {
    const repeats = i === 0 || i === n - 1 ? 4 : corners.has(sites[i]!) ? 3 : 1;
    for (let k = 0; k < repeats; k++) list.push(sites[i]!);
  }
  const knots = Float64Array.from(list);
  const coefficients = knots.length - 4;
  const pieces = n - 1;
  const first = new Int32Array(pieces);
  const basis = new Float64Array(16 * pieces);
  const rough = bandedOf(coefficients, width);
  const none = new Float64Array(0);
  const row = new Float64Array(width);
  let piece = 0;
  for (let k = 3; k < coefficients; k++) {
    const h = knots[k + 1]! - knots[k]!;
    if (!(h > 0)) continue;
    first[piece] = k - 3;
    basisPolynomials(knots, k, basis, 16 * piece);
    const at = 16 * piece;
    if (order === 3) {
      for (let j = 0; j < 4; j++) row[j] = Math.sqrt(h) * 6 * basis[at + 4 * j + 3]!;
      absorbRow(rough, none, 0, k - 3, row, none);
    }
    // Two Gauss points are exact for the square of a straight line. Under order 3 a trace of it settles stretches too short
    // to say how they bend.
    const weight = Math.sqrt(h / 2) * (order === 2 ? 1 : trace / (sites[n - 1]! - sites[0]!));
    for (const share of [0.5 - Math.sqrt(1 / 12), 0.5 + Math.sqrt(1 / 12)]) {
      for (let j = 0; j < 4; j++) row[j] = weight * (2 * basis[at + 4 * j + 2]! + 6 * basis[at + 4 * j + 3]! * share * h);
      absorbRow(rough, none, 0, k - 3, row, none);
    }
    piece++;
  }
  return { knots, coefficients, breaks: Float64Array.from(sites), first, basis, rough, order };
}

/** Readings laid on a plan. */
export interface Rows {
  readonly plan: KnotPlan;
  readonly count: number;
  /** Parameter of each reading, and the piece it lies on. */
  readonly t: Float64Array;
  readonly piece: Int32Array;
  readonly columns: readonly Float64Array[];
  /** Relative weight of each reading; 0 takes it out. */
  readonly weight: Float64Array;
  /** Number of readings with weight. */
  readonly weighted: number;
  /** Readings sorted by piece. */
  readonly order: Int32Array;
  /** Triangle and right-hand sides of the readings alone, and their Gram matrix. */
  readonly triangle: Banded;
  readonly right: Float64Array;
  readonly gram: Banded;
}

/** Lays readings on a plan. Order of the readings does not matter. */
export function rowsOn(plan: KnotPlan, t: Float64Array, columns: readonly Float64Array[], weight: Float64Array): Rows {
  const count = t.length;
  const pieces = plan.first.length;
  const piece = new Int32Array(count);
  const tally = new Int32Array(pieces + 1);
  for (let i = 0, near = 0; i < count; i++) {
    near = pieceAt(plan.breaks, t[i]!, near);
    piece[i] = near;
    tally[near + 1]!++;
  }
  for (let k = 0; k < pieces; k++) tally[k + 1]! += tally[k]!;
  const order = new Int32Array(count);
  for (let i = 0; i < count; i++) order[tally[piece[i]!]!++] = i;
  return worked({ plan, count, t, piece, columns, order, weight });
}

/** Works the rows into their triangle. */
function worked(rows: Omit<Rows, 'weighted' | 'triangle' | 'right' | 'gram'>): Rows {
  const { plan, t, piece, columns, order, count, weight } = rows;
  const size = plan.coefficients;
  const triangle = bandedOf(size, width);
  const right = new Float64Array(columns.length * size);
  const gram = bandedOf(size, width);
  const row = new Float64Array(width);
  const values = new Float64Array(columns.length);
  const b = new Float64Array(width);
  let weighted = 0;
  for (let k = 0; k < count; k++) {
    const i = order[k]!;
    const w = weight[i]!;
    if (w === 0) continue;
    weighted++;
    basisAt(plan, piece[i]!, t[i]!, b);
    const at = plan.first[piece[i]!]!;
    const root = Math.sqrt(w);
    for (let j = 0; j < width; j++) {
      row[j] = root * b[j]!;
      for (let l = j; l < width; l++) gram.data[(at + j) * width + l - j]! += w * b[j]! * b[l]!;
    }
    for (let c = 0; c < columns.length; c++) values[c] = root * columns[c]![i]!;
    absorbRow(triangle, right, columns.length, at, row, values);
  }
  return { ...rows, weighted, triangle, right, gram };
}

/** Values of the four basis functions of a piece at t. */
export function basisAt(plan: KnotPlan, piece: number, t: number, out: Float64Array): void {
  const s = t - plan.breaks[piece]!;
  const { basis } = plan;
  for (let j = 0, k = 16 * piece; j < 4; j++, k += 4) out[j] = basis[k]! + s * (basis[k + 1]! + s * (basis[k + 2]! + s * basis[k + 3]!));
}

/** Power coefficients of one column on every piece, four per piece. */
export function piecesOf(plan: KnotPlan, coefficients: Float64Array): Float64Array {
  const pieces = plan.first.length;
  const out = new Float64Array(4 * pieces);
  for (let i = 0; i < pieces; i++) {
    for (let j = 0; j < 4; j++) {
      const value = coefficients[plan.first[i]! + j]!;
      for (let c = 0; c < 4; c++) out[4 * i + c]! += value * plan.basis[16 * i + 4 * j + c]!;
    }
  }
  return out;
}

/** The curve of two columns as one clamped B-spline per stretch between sharp turns. */
export function curvesOf(plan: KnotPlan, x: Float64Array, z: Float64Array): BSplineCurve[] {
  const out: BSplineCurve[] = [];
  const { knots } = plan;
  const last = plan.coefficients;
  let from = 0;
  for (let i = 4; i <= last; i++) {
    const sharp = i < last && knots[i] === knots[i + 2];
    if (!sharp && i < last) continue;
    const to = i;
    const inner = Array.from(knots.subarray(from + 4, to));
    const start = knots[from + 3]!;
    const end = knots[to]!;
    out.push({
      degree: 3,
      knots: [start, start, start, start, ...inner, end, end, end, end],
      poles: Array.from({ length: to - from }, (_, k) => [x[from + k]!, z[from + k]!] as const),
    });
    from = to - 1;
    i += 2;
  }
  return out;
}
