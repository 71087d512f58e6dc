/** A part cut to the bed in a grid of cells: seams across X and across Y, each cell short enough for its side of the bed. mm. */
import type { Vec2 } from '../maths/vec.ts';
import { ok, refuse, type Result } from '../result.ts';
import { refusal, type ProofShop } from './proofPlan.ts';
import { seamsFor, type Kept } from './seams.ts';

export interface Grid {
  readonly x: readonly number[];
  readonly y: readonly number[];
}

export interface Cell {
  /** Column along X and row along Y. */
  readonly column: number;
  readonly row: number;
  /** Seam to seam; infinite at the ends of the part. */
  readonly least: Vec2;
  readonly most: Vec2;
}

export interface GridTask {
  readonly from: Vec2;
  readonly to: Vec2;
  /** How far a lap sticks out of a piece. */
  readonly lap: number;
  readonly kept: (axis: 'x' | 'y') => readonly Kept[];
  /** For messages: `part`, `tab ring`. */
  readonly name: string;
  readonly at: string;
}

/** The grid of fewest pieces; refused when no seams do. */
export function gridFor({ bed, stretch, job, say }: ProofShop, task: GridTask): Result<Grid> {
  const size: Vec2 = [task.to[0] - task.from[0], task.to[1] - task.from[1]];
  const sizeText = `${say(size[0])} by ${say(size[1])}`;
  const bedText = `${say(bed.x)} by ${say(bed.y)} inside its margin`;
  if (!job.proof.split) {
    return refuse(refusal('proof-larger-than-bed', 'proof.split', `The ${task.name} is ${sizeText} and the bed ${bedText}: it does not fit, and splitting is off.`, `Turn proof.split on, state a larger bed, or leave it out (${task.at}).`));
  }
  const ways = [[bed.x, bed.y], [bed.y, bed.x]].flatMap(([along, across]): Grid[] => {
    const side = (k: 0 | 1, longest: number): number[] | null => seamsFor({ from: task.from[k], to: task.to[k], longest: longest / stretch, lap: task.lap, kept: task.kept(k === 0 ? 'x' : 'y') });
    const [x, y] = [side(0, along!), side(1, across!)];
    return x === null || y === null ? [] : [{ x, y }];
  });
  const cells = ({ x, y }: Grid): number => (x.length + 1) * (y.length + 1);
  if (ways.length > 0) return ok(ways.reduce((a, b) => (cells(b) < cells(a) ? b : a)));
  return refuse(refusal('proof-no-seam', 'proof.bedX', `The ${task.name} is ${sizeText} and the bed ${bedText}: no seams clear of holes, bosses and tabs cut it small enough.`, `State a larger bed, a shorter proof.lap, or leave it out (${task.at}).`));
}

export function cellsOf({ x, y }: Grid): Cell[] {
  const ends = (seams: readonly number[], i: number): Vec2 => [seams[i - 1] ?? -Infinity, seams[i] ?? Infinity];
  return Array.from({ length: y.length + 1 }, (_, row) =>
    Array.from({ length: x.length + 1 }, (__, column): Cell => {
      const [cx, cy] = [ends(x, column), ends(y, row)];
      return { column, row, least: [cx[0], cy[0]], most: [cx[1], cy[1]] };
    }),
  ).flat();
}
