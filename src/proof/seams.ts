/**
 * Where a long piece is cut: as few seams as the bed allows, none on a feature, the lengths as even as can be. mm.
 * Method: dynamic programming over every whole millimetre a seam may stand on.
 */

/** Along one axis, a stretch no seam may stand in. */
export interface Kept {
  readonly from: number;
  readonly to: number;
}

export interface SeamTask {
  readonly from: number;
  readonly to: number;
  /** Longest piece, a lap that sticks out of it included. */
  readonly longest: number;
  /** How far the lap sticks out past the seam, on all pieces but the last. */
  readonly lap: number;
  readonly kept: readonly Kept[];
}

/** More pieces than this are no longer a test print. */
const mostPieces = 12;
const step = 1;

/** Stations of the seams, none when it is short enough whole; null when no seams do. */
export function seamsFor({ from, to, longest, lap, kept }: SeamTask): number[] | null {
  if (to - from <= longest) return [];
  const free: number[] = [];
  for (let c = Math.ceil(from) + step; c < to; c += step) if (!kept.some((one) => c > one.from && c < one.to)) free.push(c);
  for (let pieces = 2; pieces <= mostPieces; pieces++) {
    const even = (to - from) / pieces;
    // best[i]: least uneven way to have seam number k at free[i].
    let best = free.map((c) => (c - from + lap <= longest ? { cost: (c - from - even) ** 2, seams: [c] } : null));
    for (let k = 1; k < pieces - 1; k++) best = free.map((c, i) => cheapest(best.slice(0, i), c, even, longest - lap));
    const last = cheapest(best, to, even, longest);
    if (last !== null) return last.seams.slice(0, -1);
  }
  return null;
}

interface Way {
  readonly cost: number;
  readonly seams: number[];
}

function cheapest(before: readonly (Way | null)[], at: number, even: number, longest: number): Way | null {
  let found: Way | null = null;
  for (const way of before) {
    if (way === null) continue;
    const length = at - way.seams.at(-1)!;
    if (length <= 0 || length > longest) continue;
    const cost = way.cost + (length - even) ** 2;
    if (found === null || cost < found.cost) found = { cost, seams: [...way.seams, at] };
  }
  return found;
}
