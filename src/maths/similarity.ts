/**
 * Two lists of plane points -> the turn, shift and, where wished, scale that bring the first nearest to the second in least
 * squares. Points in one unit; the turn in radians. A mirror image is never taken, however well it would fit.
 * Method: closed form in the plane, the same answer as S. Umeyama, IEEE PAMI 13 (1991) 376, with its proper-turn rule.
 * Stops being true: points of the first list all on one spot have no turn (0 is answered).
 */
import type { Vec2 } from './vec.ts';

export interface Similarity {
  readonly turn: number;
  readonly scale: number;
  readonly shift: Vec2;
  /** Mean of the squared distances left. */
  readonly meanSquare: number;
}

/** Least mean |b - (scale R(turn) a + shift)|^2. Throws when the lists differ in length or are empty. */
export function similarityFit(a: readonly Vec2[], b: readonly Vec2[], withScale: boolean): Similarity {
  const n = a.length;
  if (n === 0 || b.length !== n) throw new Error('similarityFit: two lists of one length');
  const mean = (points: readonly Vec2[]): Vec2 => [points.reduce((sum, p) => sum + p[0], 0) / n, points.reduce((sum, p) => sum + p[1], 0) / n];
  const [ma, mb] = [mean(a), mean(b)];
  let [dot, cross, size] = [0, 0, 0];
  a.forEach((p, i) => {
    const [ax, ay, bx, by] = [p[0] - ma[0], p[1] - ma[1], b[i]![0] - mb[0], b[i]![1] - mb[1]];
    dot += ax * bx + ay * by;
    cross += ax * by - ay * bx;
    size += ax * ax + ay * ay;
  });
  const turn = size > 0 ? Math.atan2(cross, dot) : 0;
  const scale = withScale && size > 0 ? Math.hypot(dot, cross) / size : 1;
  const [c, s] = [scale * Math.cos(turn), scale * Math.sin(turn)];
  const shift: Vec2 = [mb[0] - c * ma[0] + s * ma[1], mb[1] - s * ma[0] - c * ma[1]];
  const fit = { turn, scale, shift };
  return { ...fit, meanSquare: a.reduce((sum, p, i) => sum + distanceLeft(fit, p, b[i]!) ** 2, 0) / n };
}

/** Where the fit puts a point. */
export function place({ turn, scale, shift }: Pick<Similarity, 'turn' | 'scale' | 'shift'>, [x, y]: Vec2): Vec2 {
  const [c, s] = [scale * Math.cos(turn), scale * Math.sin(turn)];
  return [c * x - s * y + shift[0], s * x + c * y + shift[1]];
}

function distanceLeft(fit: Pick<Similarity, 'turn' | 'scale' | 'shift'>, from: Vec2, to: Vec2): number {
  const at = place(fit, from);
  return Math.hypot(to[0] - at[0], to[1] - at[1]);
}
