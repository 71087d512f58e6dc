/** What is drawn over a picture while it is scaled and tapped: known sizes, zero, the readings and the curve as the camera would see them. Units of the board: the picture's px, y up. */
import type { BSplineCurve } from '../../maths/bspline.ts';
import { sampleCurve } from '../../maths/bspline.ts';
import type { Quad } from '../../maths/homography.ts';
import { distance2, type Vec2 } from '../../maths/vec.ts';
import { centreCross, label, polyline, type Mark } from '../../outputs/drawing.ts';
import { orderCorners, type PictureScale } from '../../readings/picture.ts';
import type { UnderlayState } from './underlayState.ts';

/** Between the picture's px, y down, and the board's units. */
export const flip = ([x, y]: Vec2): Vec2 => [x, -y];

/** mm. Chord error of the curve laid over the picture: out of sight however near one looks. */
const curveChord = 0.005;
/** Height of lettering, of a picture's longer side. */
const textShare = 1 / 90;

/** `dots`: readings to show that cannot be taken hold of now, px. */
export function underlayMarks(state: UnderlayState, [width, height]: Vec2, dots: readonly Vec2[]): readonly Mark[] {
  const text = Math.max(width, height) * textShare;
  const drawn: Mark[] = [polyline('construction', [[0, 0], [width, 0], [width, -height], [0, -height]], true)];
  if (state.method === 'rectangle' && state.corners.length === 4) {
    const corners = orderCorners(state.corners as unknown as Quad);
    const said = [`width ${state.width}`, `height ${state.height}`, '', ''];
    corners.forEach((p, i) => drawn.push(...namedLine(p, corners[(i + 1) % 4]!, said[i]!, text)));
  }
  if (state.method === 'rulers') {
    const [a, b, c, d] = state.rulers;
    if (a && b) drawn.push(...namedLine(a, b, `along ${state.along}`, text));
    if (c && d) drawn.push(...namedLine(c, d, `upright ${state.upright}`, text));
  }
  const [zero, level] = state.zero;
  if (zero && level) drawn.push(polyline('centre', [flip(zero), flip(level)]));
  if (zero) drawn.push(...centreCross(flip(zero), text * 0.6), label([zero[0], -zero[1] - text * 2.4], '0', text, 'middle', 'accent'));
  for (const px of dots) drawn.push({ kind: 'circle', pen: 'reading', centre: flip(px), radius: text * 0.2, fill: true });
  return drawn;
}

/** A line with its name beside it, to the right of the way from a to b: outside a rectangle gone round counter-clockwise. */
function namedLine(a: Vec2, b: Vec2, said: string, text: number): Mark[] {
  const way = polyline('accent', [flip(a), flip(b)]);
  if (said === '') return [way];
  const far = distance2(a, b) || 1;
  const [nx, ny] = [-(b[1] - a[1]) / far, -(b[0] - a[0]) / far];
  const level = Math.abs(ny) > Math.abs(nx);
  // Lettering stands on its point: below a line it needs its own height more, beside one half of it.
  const at: Vec2 = [(a[0] + b[0]) / 2 + nx * text, -(a[1] + b[1]) / 2 + ny * text * (ny < 0 ? 2.2 : 1) - (level ? 0 : text / 2)];
  return [way, label(at, said.trim(), text, level ? 'middle' : nx > 0 ? 'start' : 'end', 'accent')];
}

/** A curve in mm as the camera would see it; a span that passes the horizon is left away. */
export function seenCurve(spans: readonly BSplineCurve[], by: PictureScale): readonly Mark[] {
  return spans.flatMap((span) => {
    const seen = sampleCurve(span, curveChord).map((mm) => by.toPx(mm));
    return seen.every((px) => px !== null) ? [polyline('accent', seen.map((px) => flip(px as Vec2)))] : [];
  });
}
