/**
 * Offsets -> the causes that explain them: shift, turn, scale, skew, single holes. mm; turns in rad, scales as ratios.
 * Method: every combination of causes is fitted by weighted least squares about the middle of the holes, single holes are
 * set aside one after another; each cause has to lower the weighted squares by more than noise would once in two hundred
 * times (chi-square with the cause's own freedom, the reading error being known; a single hole pays for having been picked
 * from n). The combination with the least squares plus such dues is taken. Stops being true: turns beyond a degree or so
 * (linear), offsets whose error was stated far too small (see `unexplained`).
 */
import { leastSquares } from '../maths/dense.ts';
import { chiSquareQuantile, chiSquareTail } from '../maths/tails.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2 } from '../maths/vec.ts';
import type { Offset } from './offsets.ts';

export type CauseKind = 'shift' | 'turn' | 'scale' | 'scale X' | 'scale Y' | 'skew';

/** How a cause moves a hole that stands at p from the middle, per unit. */
const columnsOf: Readonly<Record<CauseKind, readonly ((p: Vec2) => Vec2)[]>> = {
  shift: [() => [1, 0], () => [0, 1]],
  turn: [([x, y]) => [-y, x]],
  scale: [(p) => p],
  'scale X': [([x]) => [x, 0]],
  'scale Y': [([, y]) => [0, y]],
  skew: [([, y]) => [y, 0]],
};

export interface CauseFit {
  readonly kind: CauseKind;
  /** mm for a shift (X, Y); rad for turn and skew; ratio for scales. */
  readonly amount: readonly number[];
  /** One sigma of each. */
  readonly error: readonly number[];
  /** The chance that noise alone would show this much, the other causes being there. */
  readonly chance: number;
}

export interface CausesFit {
  readonly middle: Vec2;
  readonly causes: readonly CauseFit[];
  /** Holes that stand apart from the others: index, what is left at them, its error and the chance of noise doing that. */
  readonly alone: readonly { readonly index: number; readonly left: Vec2; readonly error: number; readonly chance: number }[];
  /** Where the common causes put each hole. */
  readonly explained: readonly Vec2[];
  readonly squares: number;
  readonly freedom: number;
  /** Squares plus dues: less is better. */
  readonly cost: number;
}

const due = 0.005;

interface Model {
  readonly kinds: readonly CauseKind[];
  readonly aside: ReadonlySet<number>;
}

interface ModelFit extends Model {
  readonly coefficients: readonly number[];
  readonly spread: readonly (readonly number[])[];
  readonly squares: number;
  readonly full: boolean;
  readonly freedom: number;
}

export function fitCauses(offsets: readonly Offset[], free: readonly CauseKind[] = []): { readonly best: CausesFit; readonly rivals: readonly CausesFit[] } {
  const middle = middleOf(offsets);
  const places = offsets.map(({ hole }): Vec2 => [hole.at[0] - middle[0], hole.at[1] - middle[1]]);
  const models = commonModels(free).flatMap((kinds) => withSingles(offsets, places, kinds));
  const judged = models.filter((fit) => fit.full).map((fit) => ({ fit, cost: costOf(fit, offsets, free) })).sort((a, b) => a.cost - b.cost);
  // Too little was read to take a shift and a turn for granted: then they have to earn their place like the others.
  if (judged.length === 0) return fitCauses(offsets);
  const best = judged[0]!;
  const close = judged.slice(1).filter(({ cost }) => cost - best.cost < rivalMargin);
  return { best: tell(best.fit, best.cost, offsets, places, middle), rivals: close.slice(0, 3).map(({ fit, cost }) => tell(fit, cost, offsets, places, middle)) };
}

/** Odds of about five to one in squares. */
const rivalMargin = 3.2;

function middleOf(offsets: readonly Offset[]): Vec2 {
  const n = offsets.length;
  return [offsets.reduce((sum, o) => sum + o.hole.at[0], 0) / n, offsets.reduce((sum, o) => sum + o.hole.at[1], 0) / n];
}

/** Every combination of common causes; one scale or two, never both. */
function commonModels(free: readonly CauseKind[]): CauseKind[][] {
  const scales: CauseKind[][] = [[], ['scale'], ['scale X'], ['scale Y'], ['scale X', 'scale Y']];
  const out: CauseKind[][] = [];
  for (const shift of free.includes('shift') ? [true] : [false, true]) for (const turn of free.includes('turn') ? [true] : [false, true]) for (const scale of scales) for (const skew of [false, true]) {
    out.push([...(shift ? ['shift' as const] : []), ...(turn ? ['turn' as const] : []), ...scale, ...(skew ? ['skew' as const] : [])]);
  }
  return out;
}

/** The model alone, and with single holes set aside, each time the one whose going helps most. */
function withSingles(offsets: readonly Offset[], places: readonly Vec2[], kinds: readonly CauseKind[]): ModelFit[] {
  const n = offsets.length;
  const most = Math.max(0, Math.min(Math.floor(n / 3), n - 3));
  let now = fitModel(offsets, places, { kinds, aside: new Set() });
  const out = [now];
  while (now.aside.size < most) {
    let best: ModelFit | null = null;
    for (let i = 0; i < n; i++) {
      if (now.aside.has(i)) continue;
      const fit = fitModel(offsets, places, { kinds, aside: new Set([...now.aside, i]) });
      if (fit.full && (best === null || fit.squares < best.squares)) best = fit;
    }
    if (best === null) break;
    now = best;
    out.push(now);
  }
  return out;
}

const rowsOfOffset = (offset: Offset): number => (offset.vector === null ? 1 : 2);

function costOf(fit: ModelFit, offsets: readonly Offset[], free: readonly CauseKind[]): number {
  const paid = fit.kinds.filter((kind) => !free.includes(kind)).reduce((sum, kind) => sum + chiSquareQuantile(due, columnsOf[kind].length), 0);
  const singles = [...fit.aside].reduce((sum, i) => sum + chiSquareQuantile(due / offsets.length, rowsOfOffset(offsets[i]!)), 0);
  return fit.squares + paid + singles;
}

const columns = (kinds: readonly CauseKind[]): ((p: Vec2) => Vec2)[] => kinds.flatMap((kind) => columnsOf[kind]);

const moveOf = (fs: readonly ((p: Vec2) => Vec2)[], c: readonly number[], p: Vec2): Vec2 => {
  let [x, y] = [0, 0];
  fs.forEach((f, k) => {
    const [fx, fy] = f(p);
    x += c[k]! * fx;
    y += c[k]! * fy;
  });
  return [x, y];
};

const directions = 8;
const roughRounds = 4;
const mostRounds = 40;

/** Fits one model. Distances without direction are taken along the way the model itself moves the hole, round by round. */
function fitModel(offsets: readonly Offset[], places: readonly Vec2[], model: Model): ModelFit {
  const fs = columns(model.kinds);
  const used = offsets.map((_, i) => i).filter((i) => !model.aside.has(i));
  const blind = used.some((i) => offsets[i]!.vector === null);
  if (fs.length === 0) {
    const squares = used.reduce((sum, i) => sum + (offsets[i]!.distance / offsets[i]!.error) ** 2, 0);
    return { ...model, coefficients: [], spread: [], squares, full: true, freedom: used.reduce((sum, i) => sum + rowsOfOffset(offsets[i]!), 0) };
  }
  if (!blind) return solveOnce(offsets, places, model, fs, used, () => [1, 0]);
  let best: ModelFit | null = null;
  for (let k = 0; k < directions; k++) {
    const t = (2 * Math.PI * k) / directions;
    const first = solveOnce(offsets, places, model, fs, used, () => [Math.cos(t), Math.sin(t)]);
    const fit = follow(offsets, places, model, fs, used, first, roughRounds);
    if (best === null || fit.squares < best.squares) best = fit;
  }
  return best!.full ? follow(offsets, places, model, fs, used, best!, mostRounds) : best!;
}

/** Solves again along the ways the last answer moved the holes, until nothing changes. */
function follow(offsets: readonly Offset[], places: readonly Vec2[], model: Model, fs: readonly ((p: Vec2) => Vec2)[], used: readonly number[], start: ModelFit, rounds: number): ModelFit {
  let fit = start;
  for (let round = 0; round < rounds && fit.full; round++) {
    const { coefficients, squares } = fit;
    fit = solveOnce(offsets, places, model, fs, used, (i) => {
      const [x, y] = moveOf(fs, coefficients, places[i]!);
      const length = Math.hypot(x, y);
      return length > tolerance.point ? [x / length, y / length] : [1, 0];
    });
    if (Math.abs(squares - fit.squares) <= tolerance.root * (1 + squares)) break;
  }
  // What the distances really miss by, not their components.
  return fit.full ? { ...fit, squares: used.reduce((sum, i) => sum + missOf(offsets[i]!, moveOf(fs, fit.coefficients, places[i]!)), 0) } : fit;
}

function missOf({ vector, distance, error }: Offset, [x, y]: Vec2): number {
  const squared = vector === null ? (distance - Math.hypot(x, y)) ** 2 : (vector[0] - x) ** 2 + (vector[1] - y) ** 2;
  return squared / error ** 2;
}

function solveOnce(offsets: readonly Offset[], places: readonly Vec2[], model: Model, fs: readonly ((p: Vec2) => Vec2)[], used: readonly number[], way: (i: number) => Vec2): ModelFit {
  const rows: number[][] = [];
  const values: number[] = [];
  const weights: number[] = [];
  const put = (f: (move: Vec2) => number, value: number, i: number): void => {
    rows.push(fs.map((column) => f(column(places[i]!))));
    values.push(value);
    weights.push(offsets[i]!.error ** -2);
  };
  for (const i of used) {
    const { vector, distance } = offsets[i]!;
    if (vector !== null) {
      put((m) => m[0], vector[0], i);
      put((m) => m[1], vector[1], i);
    } else {
      const [ux, uy] = way(i);
      put((m) => m[0] * ux + m[1] * uy, distance, i);
    }
  }
  if (rows.length < fs.length) return { ...model, coefficients: fs.map(() => 0), spread: [], squares: Infinity, full: false, freedom: 0 };
  const solved = leastSquares(rows, values, weights);
  // Holes in one line leave what happens across it open to rounding.
  const worst = Math.max(...solved.spread.map((row, k) => row[k]!));
  return { ...model, coefficients: solved.coefficients, spread: solved.spread, squares: solved.squares, full: solved.rank === fs.length && Number.isFinite(worst), freedom: rows.length - solved.rank };
}

function tell(fit: ModelFit, cost: number, offsets: readonly Offset[], places: readonly Vec2[], middle: Vec2): CausesFit {
  const fs = columns(fit.kinds);
  let k = 0;
  const causes = fit.kinds.map((kind): CauseFit => {
    const from = k;
    k += columnsOf[kind].length;
    const without = fitModel(offsets, places, { kinds: fit.kinds.filter((other) => other !== kind), aside: fit.aside });
    return {
      kind,
      amount: fit.coefficients.slice(from, k),
      error: Array.from({ length: k - from }, (_, i) => Math.sqrt(fit.spread[from + i]?.[from + i] ?? 0)),
      chance: chiSquareTail(Math.max(0, without.squares - fit.squares), k - from),
    };
  });
  const explained = places.map((p) => moveOf(fs, fit.coefficients, p));
  const alone = [...fit.aside].sort((a, b) => a - b).map((index) => {
    const { vector, distance, error } = offsets[index]!;
    const [ex, ey] = explained[index]!;
    const left: Vec2 = vector === null ? [distance - Math.hypot(ex, ey), 0] : [vector[0] - ex, vector[1] - ey];
    const back = fitModel(offsets, places, { kinds: fit.kinds, aside: new Set([...fit.aside].filter((i) => i !== index)) });
    return { index, left, error, chance: Math.min(1, offsets.length * chiSquareTail(Math.max(0, back.squares - fit.squares), rowsOfOffset(offsets[index]!))) };
  });
  return { middle, causes, alone, explained, squares: fit.squares, freedom: fit.freedom, cost };
}
