/**
 * The section as cut at mid width, radii included: one closed thin outline, counter-clockwise with x right and z up.
 * The outside radius is an arc tangent to the wall and to the top, the inside roof radius one tangent to the wall's inner
 * face and to the roof; a circle of radius R touches a curve where the curve's offset by R has the circle's centre, so each
 * arc is one root. The curves are cut at the touching points by knot insertion, otherwise untouched. Millimetres.
 * Stops being true: an arc must find room on the first (last) span before a corner and above the foot.
 */
import { domainOf, snappedToKnot, splitAt, type BSplineCurve } from '../maths/bspline.ts';
import { evaluate, piecewiseOf } from '../maths/piecewise.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2 } from '../maths/vec.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import { atStation, firstOf, lastOf, offsetAt, tightestCrown } from './offset.ts';
import type { Loop, Section, Segment } from './section.ts';

/** An arc between an upright face and a curve: where it leaves each. */
interface CornerArc {
  readonly centre: Vec2;
  readonly radius: number;
  readonly onFace: Vec2;
  readonly onCurve: Vec2;
  /** Parameter of the curve at `onCurve`. */
  readonly u: number;
  /** Direction from the centre to `onCurve`, rad. */
  readonly angle: number;
}

type End = 'front' | 'back';

/** The arc of radius `radius` between the face at station `face` and the span that starts (or ends) there; null when there is no room. */
function cornerArc(span: BSplineCurve, end: End, face: number, radius: number, foot: number): CornerArc | null {
  const offset = { curve: piecewiseOf(span), distance: radius };
  const station = end === 'front' ? face + radius : face - radius;
  const u = atStation(offset, station, end === 'front' ? 'back' : 'front');
  if (!(u > firstOf(offset) && u < lastOf(offset))) return null;
  const own = end === 'front' ? tightestCrown(offset.curve, firstOf(offset), u) : tightestCrown(offset.curve, u, lastOf(offset));
  if (own.radius < radius) return null;
  const centre = offsetAt(offset, u);
  if (!(centre.z > foot)) return null;
  const work = new Float64Array(6);
  evaluate(offset.curve, u, work);
  const onCurve: Vec2 = [work[0]!, work[1]!];
  return { centre: [station, centre.z], radius, onFace: [face, centre.z], onCurve, u, angle: Math.atan2(centre.tx, -centre.tz) };
}

/** Front and back arcs of a chain of spans, or the largest radius that has room. */
interface Rounded {
  /** The chain between the arcs. */
  readonly spans: readonly BSplineCurve[];
  readonly front: CornerArc | null;
  readonly back: CornerArc | null;
}

function rounded(spans: readonly BSplineCurve[], faces: readonly [number, number], feet: readonly [number, number], radius: number): Rounded | null {
  if (radius === 0) return { spans, front: null, back: null };
  const last = spans.length - 1;
  const front = cornerArc(spans[0]!, 'front', faces[0], radius, feet[0]);
  const back = cornerArc(spans[last]!, 'back', faces[1], radius, feet[1]);
  if (!front || !back) return null;
  if (last === 0 && !(back.u - front.u > tolerance.point)) return null;
  const out = [...spans];
  const cut = (span: BSplineCurve, u: number, side: 0 | 1): BSplineCurve => {
    const at = snappedToKnot(span.knots, u);
    const [from, to] = domainOf(span);
    return at > from && at < to ? splitAt(span, at)[side] : span;
  };
  out[last] = cut(out[last]!, back.u, 0);
  out[0] = cut(out[0]!, front.u, 1);
  return { spans: out, front, back };
}

/** Directions looked at across a corner. */
const cornerLooks = 32;

/** Least metal between an outside arc and the inside corner behind it, mm; negative where the arc cuts into the cavity. */
function cornerMetal(outside: CornerArc | null, inside: CornerArc | null, corner: Vec2): number {
  if (!outside) return Infinity;
  const { centre, radius } = outside;
  const facing = outside.onFace[0] < centre[0] ? Math.PI : 0;
  let least = Infinity;
  const look = (p: Vec2): void => {
    const angle = Math.atan2(p[1] - centre[1], p[0] - centre[0]);
    if (angle < Math.min(facing, outside.angle) || angle > Math.max(facing, outside.angle)) return;
    least = Math.min(least, radius - Math.hypot(p[0] - centre[0], p[1] - centre[1]));
  };
  if (!inside) look(corner);
  else {
    for (let i = 0; i <= cornerLooks; i++) {
      const angle = facing + ((inside.angle - facing) * i) / cornerLooks;
      look([inside.centre[0] + inside.radius * Math.cos(angle), inside.centre[1] + inside.radius * Math.sin(angle)]);
    }
  }
  return least;
}

function largestRadius(works: (radius: number) => boolean, below: number): number {
  let good = 0;
  let bad = Math.ceil(below * 10);
  while (bad - good > 1) {
    const middle = (good + bad) >> 1;
    if (works(middle / 10)) good = middle;
    else bad = middle;
  }
  return good / 10;
}

export type OutlineInput = Pick<Section, 'top' | 'roof' | 'length' | 'wall' | 'frontFoot' | 'backFoot'> & {
  readonly outsideRadius: number;
  readonly insideRoofRadius: number;
};

export function outlineOf(input: OutlineInput): Result<Loop> {
  const { length, wall, frontFoot, backFoot } = input;
  const feet = [frontFoot, backFoot] as const;
  const faces = [0, length] as const;
  const inner = [wall, length - wall] as const;
  const top = rounded(input.top, faces, feet, input.outsideRadius);
  const roof = rounded(input.roof, inner, feet, input.insideRoofRadius);
  const issues: Issue[] = [];
  const tooLarge = (at: string, what: string, got: number, works: (radius: number) => boolean): Issue => {
    const most = largestRadius(works, got);
    return {
      code: 'radius-has-no-room',
      at,
      message: `The ${what} of ${got} mm has no room between the walls and the curve; expected ${most > 0 ? `${most} mm or less` : 'a sharp edge'}.`,
      hint: most > 0 ? `Set it to ${most} mm or less; 0 leaves the edge sharp.` : 'Set it to 0.',
    };
  };
  if (!top) issues.push(tooLarge('body.outsideRadius', 'outside radius', input.outsideRadius, (r) => rounded(input.top, faces, feet, r) !== null));
  if (!roof) issues.push(tooLarge('body.insideRoofRadius', 'inside roof radius', input.insideRoofRadius, (r) => rounded(input.roof, inner, feet, r) !== null));
  if (!top || !roof) return refuse(...issues);
  const metal = (outside: Rounded): number =>
    Math.min(cornerMetal(outside.front, roof.front, input.roof[0]!.poles[0]!), cornerMetal(outside.back, roof.back, input.roof.at(-1)!.poles.at(-1)!));
  if (metal(top) < tolerance.leastCorner) {
    const works = (r: number): boolean => {
      const tried = rounded(input.top, faces, feet, r);
      return tried !== null && metal(tried) >= tolerance.leastCorner;
    };
    const most = largestRadius(works, input.outsideRadius);
    return refuse({
      code: 'corner-cut-through',
      at: 'body.outsideRadius',
      message: `The outside radius of ${input.outsideRadius} mm cuts through into the cavity where wall and top meet (metal left: ${metal(top).toFixed(2)} mm); expected ${most} mm or less with this inside roof radius.`,
      hint: `Set it to ${most} mm or less, or make the inside roof radius larger.`,
    });
  }
  const pen = new Pen([0, frontFoot]);
  pen.line([wall, frontFoot]);
  pen.line(roof.front?.onFace ?? roof.spans[0]!.poles[0]!);
  if (roof.front) pen.arc(roof.front.onCurve, roof.front, roof.front.angle - Math.PI);
  for (const span of roof.spans) pen.cubic(span, false);
  if (roof.back) pen.arc(roof.back.onFace, roof.back, -roof.back.angle);
  pen.line([length - wall, backFoot]);
  pen.line([length, backFoot]);
  pen.line(top.back?.onFace ?? top.spans.at(-1)!.poles.at(-1)!);
  if (top.back) pen.arc(top.back.onCurve, top.back, top.back.angle);
  for (const span of [...top.spans].reverse()) pen.cubic(span, true);
  if (top.front) pen.arc(top.front.onFace, top.front, Math.PI - top.front.angle);
  pen.line([0, frontFoot]);
  return ok({ segments: pen.segments });
}

/** Lays segments end to end; curves end where they end, so ends agree to rounding and are made to agree to the bit. */
class Pen {
  readonly segments: Segment[] = [];
  private at: Vec2;
  constructor(start: Vec2) {
    this.at = start;
  }
  line(to: Vec2): void {
    if (Math.hypot(to[0] - this.at[0], to[1] - this.at[1]) === 0) return;
    this.segments.push({ kind: 'line', from: this.at, to });
    this.at = to;
  }
  arc(to: Vec2, { centre, radius }: CornerArc, sweep: number): void {
    this.segments.push({ kind: 'arc', from: this.at, to, centre, radius, sweep });
    this.at = to;
  }
  cubic(span: BSplineCurve, backwards: boolean): void {
    const poles = [...span.poles];
    poles[backwards ? poles.length - 1 : 0] = this.at;
    const curve = { ...span, poles };
    this.segments.push({ kind: 'cubic', curve, reversed: backwards });
    this.at = backwards ? poles[0]! : poles.at(-1)!;
  }
}
