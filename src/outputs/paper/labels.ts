/** Names beside round features, each put where it covers no other name, no feature and stays inside its room. Paper mm. */
import type { Vec2 } from '../../maths/vec.ts';
import { label, polyline, textCorners, type Bounds, type Mark } from '../drawing.ts';

export interface LabelWish {
  readonly at: Vec2;
  /** mm about `at` to keep clear of. */
  readonly radius: number;
  readonly text: string;
  /** A number in a ring instead of a bare name. */
  readonly balloon?: boolean;
}

interface Rect {
  readonly least: Vec2;
  readonly most: Vec2;
}

const ways: readonly Vec2[] = [[1, 1], [-1, 1], [1, -1], [-1, -1], [1, 0], [-1, 0], [0, 1], [0, -1]];

/** Marks of the names, the first free place of each: near ones first, then farther out on a leader. */
export function labelMarks(wishes: readonly LabelWish[], taken: readonly Bounds[], room: Bounds, height: number): Mark[] {
  const busy: Rect[] = [...taken, ...wishes.map(({ at, radius }) => ({ least: [at[0] - radius, at[1] - radius] as Vec2, most: [at[0] + radius, at[1] + radius] as Vec2 }))];
  return wishes.flatMap((wish) => {
    const ring = wish.balloon ? height * 1.15 : 0;
    for (const out of [0.6, 1.6, 3, 5, 8, 12, 18, 26, 36]) {
      for (const way of ways) {
        const found = tryPlace(wish, way, out * height, ring, height);
        if (!inside(found.box, room) || busy.some((other) => meets(found.box, other))) continue;
        busy.push(found.box);
        const leader = out > 1 || wish.balloon ? [polyline('dimension', [toward(wish.at, found.middle, wish.radius), leaderEnd(wish.at, found, ring)])] : [];
        return [...leader, ...found.marks];
      }
    }
    const last = tryPlace(wish, [1, 1], 0.6 * height, ring, height);
    return [...last.marks];
  });
}

/** Boxes of the texts among marks, for names to keep off. */
export const textBoxes = (marks: readonly Mark[]): Bounds[] => marks.flatMap((mark) => (mark.kind === 'text' ? [boxOf(textCorners(mark))] : []));

const boxOf = (corners: readonly Vec2[]): Rect => ({
  least: [Math.min(...corners.map((c) => c[0])), Math.min(...corners.map((c) => c[1]))],
  most: [Math.max(...corners.map((c) => c[0])), Math.max(...corners.map((c) => c[1]))],
});

interface Placed {
  readonly marks: readonly Mark[];
  readonly box: Rect;
  readonly middle: Vec2;
}

function tryPlace({ at, radius, text, balloon }: LabelWish, [wx, wy]: Vec2, out: number, ring: number, height: number): Placed {
  const far = radius + out;
  const size = wx !== 0 && wy !== 0 ? Math.SQRT1_2 : 1;
  const p: Vec2 = [at[0] + wx * size * far, at[1] + wy * size * far];
  if (balloon) {
    const middle: Vec2 = [p[0] + wx * ring, p[1] + wy * ring];
    const marks: Mark[] = [{ kind: 'circle', pen: 'accent', centre: middle, radius: ring }, label([middle[0], middle[1] - height / 2], text, height, 'middle', 'accent')];
    return { marks, middle, box: { least: [middle[0] - ring, middle[1] - ring], most: [middle[0] + ring, middle[1] + ring] } };
  }
  const anchor = wx > 0 ? 'start' : wx < 0 ? 'end' : 'middle';
  const mark = label([p[0], p[1] - height / 2 + (wy * height) / 2], text, height, anchor) as Extract<Mark, { kind: 'text' }>;
  const box = boxOf(textCorners(mark));
  return { marks: [mark], box, middle: [(box.least[0] + box.most[0]) / 2, (box.least[1] + box.most[1]) / 2] };
}

function toward(from: Vec2, to: Vec2, far: number): Vec2 {
  const size = Math.hypot(to[0] - from[0], to[1] - from[1]) || 1;
  return [from[0] + ((to[0] - from[0]) * far) / size, from[1] + ((to[1] - from[1]) * far) / size];
}

/** Where a leader meets the ring, or the near side of a name. */
function leaderEnd(at: Vec2, { middle, box }: Placed, ring: number): Vec2 {
  if (ring > 0) return toward(middle, at, ring);
  const near = (axis: 0 | 1): number => Math.min(box.most[axis], Math.max(box.least[axis], at[axis]));
  return [near(0), near(1)];
}

const meets = (a: Rect, b: Rect): boolean => a.least[0] < b.most[0] && b.least[0] < a.most[0] && a.least[1] < b.most[1] && b.least[1] < a.most[1];
const inside = (a: Rect, room: Bounds): boolean => a.least[0] >= room.least[0] && a.most[0] <= room.most[0] && a.least[1] >= room.least[1] && a.most[1] <= room.most[1];
