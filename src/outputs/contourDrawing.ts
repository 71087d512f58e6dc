/**
 * Contour -> drawing: the curve true to size, its readings, and, enlarged by stated factors, how far each reading misses
 * it, its 95 % band and its curvature comb. Stations as typed, mm.
 */
import type { FairedContour } from '../contour/contour.ts';
import { curvatureAt, domainOf, pointAt, tangentAt } from '../maths/bspline.ts';
import type { Vec2 } from '../maths/vec.ts';
import { tolerance } from '../maths/tolerance.ts';
import { boundsOf, curvePath, label, polyline, type Drawing, type Mark, type Pen } from './drawing.ts';

/** The largest of 1, 2, 5, 10 ... that keeps `value` times it within `room`. */
export function roundFactor(value: number, room: number): number {
  if (!(value > 0)) return 1;
  const power = 10 ** Math.floor(Math.log10(room / value));
  const left = room / value / power;
  return power * (left >= 5 ? 5 : left >= 2 ? 2 : 1);
}

/** Room for whiskers and comb, as shares of the length. */
const whiskerRoom = 0.03;
const combRoom = 0.06;

export interface ContourDrawing extends Drawing {
  /** How many times the misses and the band are enlarged. */
  readonly missFactor: number;
}

/**
 * `caption`: whether the drawing itself says what is enlarged; a board says it beside the drawing. `besides`: another curve
 * whose comb is drawn to the same scale, cut off where it grows out of hand.
 */
export function contourDrawing({ spans, report }: FairedContour, caption = true, besides: FairedContour['spans'] = []): ContourDrawing {
  const length = Math.max(report.length, 1);
  const text = length / 80;
  const missFactor = Math.max(1, roundFactor(Math.abs(report.largest.distance), length * whiskerRoom));
  const odd = new Set(report.outliers.map((o) => o.index));
  const marks: Mark[] = [];
  if (report.band.length > 1) {
    const side = (sign: number): Vec2[] => report.band.map(({ at, half }, i): Vec2 => {
      const n = bandNormal(report.band.map((b) => b.at), i);
      return [at[0] + n[0] * half * missFactor * sign, at[1] + n[1] * half * missFactor * sign];
    });
    marks.push(polyline('band', [...side(1), ...side(-1).reverse()], true, true));
  }
  const most = sharpest(spans);
  marks.push(...comb(besides, length * combRoom, most, 'warning'), ...comb(spans, length * combRoom, most, 'construction'));
  marks.push(curvePath('accent', spans));
  for (const residual of report.residuals) {
    const { at, foot, distance, index, used } = residual;
    const reach = Math.abs(distance);
    const n: Vec2 = reach > 0 ? [(at[0] - foot[0]) / reach, (at[1] - foot[1]) / reach] : [0, 1];
    const tip: Vec2 = [foot[0] + n[0] * reach * missFactor, foot[1] + n[1] * reach * missFactor];
    const pen = odd.has(index) ? 'warning' : used ? 'reading' : 'construction';
    marks.push(polyline(pen, [foot, tip]), { kind: 'circle', pen, centre: tip, radius: text * 0.22, fill: used });
    if (odd.has(index)) marks.push(label([tip[0], tip[1] + text * 0.8], `${index + 1}`, text, 'middle', 'warning'));
  }
  for (const [x, z] of report.inflections) marks.push(polyline('centre', [[x, z - text * 2], [x, z + text * 2]]), label([x, z - text * 3.4], 'bend changes', text * 0.9));
  const first = spans[0] ? pointAt(spans[0], domainOf(spans[0])[0]) : ([0, 0] as const);
  if (caption) marks.push(label([first[0], boundsOf({ marks }).least[1] - text * 2], `Misses and 95 % band enlarged x${missFactor}; comb shows curvature.`, text, 'start'));
  return { marks, missFactor };
}

function bandNormal(points: readonly Vec2[], i: number): Vec2 {
  const a = points[Math.max(0, i - 1)] as Vec2;
  const b = points[Math.min(points.length - 1, i + 1)] as Vec2;
  const size = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
  return [-(b[1] - a[1]) / size, (b[0] - a[0]) / size];
}

/** Teeth of a comb on each span. */
const teethPerSpan = 61;
/** A tooth of another curve is drawn no longer than this many times the longest of its own. */
const longest = 2;

function teethOf(spans: FairedContour['spans']) {
  return spans.map((curve) => {
    const [from, to] = domainOf(curve);
    return Array.from({ length: teethPerSpan }, (_, i) => {
      const u = from + ((to - from) * i) / (teethPerSpan - 1);
      const [tx, tz] = tangentAt(curve, u);
      return { at: pointAt(curve, u), normal: [-tz, tx] as Vec2, bend: curvatureAt(curve, u) };
    });
  });
}

const sharpest = (spans: FairedContour['spans']): number => Math.max(...teethOf(spans).flat().map((t) => Math.abs(t.bend)), tolerance.straightBend);

/** Curvature drawn square to the curve on its outer side; a bend of `most` makes a tooth `room` mm long. */
function comb(spans: FairedContour['spans'], room: number, most: number, pen: Pen): Mark[] {
  // Crowns bend clockwise, negative curvature; their teeth stand up, out of the part.
  const tip = ({ at, normal, bend }: ReturnType<typeof teethOf>[number][number]): Vec2 => {
    const tooth = Math.max(-longest, Math.min(longest, bend / most)) * room;
    return [at[0] - normal[0] * tooth, at[1] - normal[1] * tooth];
  };
  return teethOf(spans).flatMap((span) => [...span.map((t) => polyline(pen, [t.at, tip(t)])), polyline(pen, span.map(tip))]);
}
