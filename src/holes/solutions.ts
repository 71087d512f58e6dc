/**
 * Network -> every pattern that fits its readings about as well as the best one. mm.
 * Distances leave a pattern's mirror image open, and a part that hangs on two holes may stand folded over (B. Hendrickson,
 * SIAM J. Comput. 21, 1992). Method: solve from several starts; then fold every part over the two holes it hangs on, mirror
 * the whole, and solve again, until nothing new turns up. Not a proof that no other pattern exists: a few starts are tried.
 */
import { randomFrom } from '../maths/random.ts';
import { chiSquareTail } from '../maths/tails.ts';
import { isPair, type Network } from './network.ts';
import { solveFrom, type Fitted } from './solve.ts';
import { starts } from './start.ts';

/** How much worse, in squares, a pattern may fit and still be called as good: one chance in a thousand for one more freedom. */
export const asGood = 10.83;
const shakenStarts = 8;
const mostRounds = 3;

/** Distinct minima, best first. */
export function solutions(network: Network): Fitted[] {
  const found: Fitted[] = [];
  const few = network.ties.length - network.held.filter((held) => !held).length < network.holes.length;
  const freedom = network.ties.length - network.held.filter((held) => !held).length;
  const [first, image, ...shaken] = starts(network, shakenStarts, randomFrom(1));
  for (const start of [first!, image!]) keep(network, found, solveFrom(network, start));
  // A poor fit may be a slip or a wrong valley; only other starts can tell.
  const poor = found.length === 0 || (freedom > 0 && chiSquareTail(found[0]!.squares, freedom) < 1e-4);
  if (few || poor) for (const start of shaken) keep(network, found, solveFrom(network, start));
  for (let round = 0; round < mostRounds; round++) {
    const best = found[0];
    if (best === undefined) break;
    const before = found.length;
    for (const folded of foldings(network, best.x)) keep(network, found, solveFrom(network, folded));
    if (found.length === before) break;
  }
  return found;
}

function keep(network: Network, found: Fitted[], solved: Fitted): void {
  if (!solved.x.every(Number.isFinite)) return;
  const next = facing(network, solved);
  if (next === null) return;
  const near = closeness(network);
  if (found.some((other) => apart(network, other.x, next.x) < near)) return;
  found.push(next);
  found.sort((a, b) => a.squares - b.squares);
}

/** Holding a hole on the X axis leaves both ways along it open: turned half round where it stands behind the origin. */
function facing(network: Network, solved: Fitted): Fitted | null {
  const { gauge } = network;
  if (gauge.kind !== 'holes' || solved.x[2 * gauge.towards]! >= 0) return solved;
  // Edges whose direction is given do not turn along.
  if (network.edges.some((_, e) => network.held[network.edgeAt + 2 * e])) return null;
  const x = solved.x.map((value, i) => (i < 2 * network.holes.length ? -value + 0 : i >= network.edgeAt && (i - network.edgeAt) % 2 === 0 ? value + Math.PI : value));
  return { x, squares: solved.squares };
}

/** mm. Places nearer than a few reading errors are one solution. */
export const closeness = (network: Network): number => Math.max(...network.ties.map((tie) => tie.error)) * 2;

function apart(network: Network, a: readonly number[], b: readonly number[]): number {
  return Math.max(...network.holes.map((_, i) => Math.hypot(a[2 * i]! - b[2 * i]!, a[2 * i + 1]! - b[2 * i + 1]!)));
}

/** The largest difference between distances: 0 for a pattern and its mirror image. */
export function apartInDistance(network: Network, a: readonly number[], b: readonly number[]): { readonly most: number; readonly i: number; readonly j: number } {
  let worst = { most: 0, i: 0, j: 0 };
  for (let i = 0; i < network.holes.length; i++) for (let j = i + 1; j < network.holes.length; j++) {
    const most = Math.abs(distance(a, i, j) - distance(b, i, j));
    if (most > worst.most) worst = { most, i, j };
  }
  return worst;
}

const distance = (x: readonly number[], i: number, j: number): number => Math.hypot(x[2 * i]! - x[2 * j]!, x[2 * i + 1]! - x[2 * j + 1]!);

/** Starts got from x by folding parts over and by mirroring the whole. */
function foldings(network: Network, x: readonly number[]): number[][] {
  const n = network.holes.length;
  const neighbours = network.holes.map((_, i) => new Set(network.ties.flatMap((tie) => (!isPair(tie.kind) ? [] : tie.a === i ? [tie.b] : tie.b === i ? [tie.a] : []))));
  const out: number[][] = [mirrorOf(network, x)];
  for (let i = 0; i < n; i++) for (let j = i + 1; j < n; j++) {
    const parts = partsWithout(neighbours, n, i, j);
    if (parts.length > 1) for (const part of parts) out.push(folded(x, part, i, j));
  }
  for (let k = 0; k < n; k++) {
    const around = [...neighbours[k]!];
    if (around.length > 3) continue;
    for (const i of around) for (const j of around) if (i < j) out.push(folded(x, [k], i, j));
  }
  return out;
}

function partsWithout(neighbours: readonly ReadonlySet<number>[], n: number, i: number, j: number): number[][] {
  const seen = new Set([i, j]);
  const parts: number[][] = [];
  for (let k = 0; k < n; k++) {
    if (seen.has(k)) continue;
    const part = [k];
    seen.add(k);
    for (const at of part) for (const next of neighbours[at]!) {
      if (seen.has(next)) continue;
      seen.add(next);
      part.push(next);
    }
    parts.push(part);
  }
  return parts;
}

function folded(x: readonly number[], part: readonly number[], i: number, j: number): number[] {
  const out = [...x];
  const [ox, oy] = [x[2 * i]!, x[2 * i + 1]!];
  const [dx, dy] = [x[2 * j]! - ox, x[2 * j + 1]! - oy];
  const square = dx * dx + dy * dy || 1;
  for (const k of part) {
    const [px, py] = [x[2 * k]! - ox, x[2 * k + 1]! - oy];
    const along = (px * dx + py * dy) / square;
    out[2 * k] = ox + 2 * along * dx - px;
    out[2 * k + 1] = oy + 2 * along * dy - py;
  }
  return out;
}

function mirrorOf(network: Network, x: readonly number[]): number[] {
  const all = network.holes.map((_, i) => i);
  const { gauge } = network;
  if (gauge.kind === 'known') return folded(x, all, gauge.holes[0]!, gauge.holes[1]!);
  const out = [...x];
  const acrossX = gauge.kind === 'holes';
  for (const i of all) out[2 * i + (acrossX ? 1 : 0)]! *= -1;
  network.edges.forEach((_, e) => {
    const t = network.edgeAt + 2 * e;
    out[t] = acrossX ? Math.PI - x[t]! : -x[t]!;
  });
  return out;
}
