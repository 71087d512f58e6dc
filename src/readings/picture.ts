/**
 * What is known in a photo or flatbed scan -> its scale: pixel to station and height in mm, with the error of a picked point.
 *
 * Four points of a known rectangle take out any tilt of the camera (a rectangle's corners fix the one projective map of its
 * plane). Two rulers, one along and one upright, fix a flatbed's two scales; in a photo they only hold if the camera looked
 * square. A profile that stands h nearer the camera than the known points, at distance H, is seen too large by H / (H - h):
 * it is shrunk about the point straight under the camera. Where zero is tapped on the profile's own plane that centre drops
 * out of every reading; else its uncertainty is part of the error. Picking error, digits of the typed sizes (rectangular,
 * GUM 4.3.7), H and the lens's place are propagated. Pixels and axes: pictureMap.ts, which says where it stops being true.
 */
import { inverted, mapped, normalisedAt, type Homography, type Quad } from '../maths/homography.ts';
import { tolerance } from '../maths/tolerance.ts';
import { cross2, distance2, sub2, type Vec2 } from '../maths/vec.ts';
import { readLength, type Quantity, type Units } from '../job/quantity.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import { sayNumber } from './reading.ts';
import { meanSigma, pointError, type MovedMaps, type PointError } from './pictureError.ts';
import { cameraFoot, framedMap, offPlaneMap, rectangleMap, rulersMap, type Ruler } from './pictureMap.ts';

type Typed = string | number;

/** Points in px; sizes as typed, so that their digits tell how well they are known. */
export type KnownPoints =
  /** Corners from the lower left on, counter-clockwise as seen; the first side is the width. `orderCorners` brings taps into this order. */
  | { readonly kind: 'rectangle'; readonly corners: Quad; readonly width: Typed; readonly height: Typed }
  | { readonly kind: 'rulers'; readonly along: Ruler; readonly alongLength: Typed; readonly upright: Ruler; readonly uprightLength: Typed };

export interface PictureSetup {
  /** px, width and height of the whole picture. */
  readonly size: Vec2;
  readonly known: KnownPoints;
  /** Station 0, height 0, and another point of height 0 that X runs towards. Without it zero is the first known point. */
  readonly zero?: { readonly at: Vec2; readonly towards: Vec2 };
  /** `off`: how far the profile's plane stands nearer the camera than the known points; negative when farther. `distance`: from the known points' plane to the lens. */
  readonly offPlane?: { readonly off: Typed; readonly distance: Typed };
  /** px, one sigma of a picked point in each direction. */
  readonly pickingError: number;
}

export interface PictureScale {
  /** Pixel to mm, W = 1 in the middle of the known points. */
  readonly matrix: Homography;
  /** Station and height, mm; null beyond the horizon of the plane or farther than any part. */
  readonly toMm: (px: Vec2) => Vec2 | null;
  readonly toPx: (mm: Vec2) => Vec2 | null;
  readonly errorAt: (px: Vec2) => PointError | null;
  /** How the scale was found, one sentence for the provenance. */
  readonly words: string;
}

const issue = (code: string, at: string, message: string, hint: string): Issue => ({ code, at, message, hint });

/** Finds the scale, or says everything that is wrong with what is known. `units`: what a bare typed number means. */
export function scalePicture(setup: PictureSetup, units: Units): Result<PictureScale> {
  const { known, offPlane, pickingError } = setup;
  const issues: Issue[] = [];
  const size = (typed: Typed, at: string, name: string): Quantity => {
    const read = readLength(typed, units);
    if (!read.ok) issues.push(...read.issues.map((i) => ({ ...i, at, message: `${name}: ${i.message}` })));
    return read.ok ? read.value : { mm: 1, typed, impliedError: 0 };
  };
  const above = (q: Quantity, at: string, name: string): Quantity => {
    if (!(q.mm > 0 && q.mm <= tolerance.largestPart)) issues.push(issue('picture-size', at, `${name}: expected a length above 0 and up to ${tolerance.largestPart} mm, got ${sayNumber(q.mm)} mm.`, 'Type the measured length.'));
    return q;
  };
  if (!(pickingError > 0 && pickingError <= 100)) issues.push(issue('picking-error', 'pickingError', `Picking error: expected above 0 and up to 100 px, got ${Number.isFinite(pickingError) ? sayNumber(pickingError) : 'no number'}.`, 'About 1 px for a sharp edge, 2 to 3 for a soft one.'));
  const names = known.kind === 'rectangle' ? (['width', 'height', 'Width', 'Height'] as const) : (['along', 'upright', 'Length along', 'Length upright'] as const);
  const [first, second] = known.kind === 'rectangle' ? [known.width, known.height] : [known.alongLength, known.uprightLength];
  const sizes = [above(size(first, names[0], names[2]), names[0], names[2]), above(size(second, names[1], names[3]), names[1], names[3])] as const;
  const off = offPlane && size(offPlane.off, 'off', 'Off the plane');
  const far = offPlane && above(size(offPlane.distance, 'distance', 'Camera distance'), 'distance', 'Camera distance');
  if (off && far && issues.length === 0 && Math.abs(off.mm) > tolerance.offPlane * far.mm) {
    issues.push(issue('off-plane-too-far', 'off', `The profile is said to stand ${sayNumber(off.mm)} mm off the known points with the camera ${sayNumber(far.mm)} mm away; expected at most half that.`, 'Check both lengths and their units.'));
  }
  issues.push(...placeIssues(setup));
  if (issues.length > 0) return refuse(...issues);

  const inputs = inputsOf(setup, sizes, off, far);
  const build = (values: readonly number[]): Homography | null => buildMap(setup, values);
  const map = build(inputs.map((i) => i.value));
  if (map === null) return refuse(known.kind === 'rulers' && rulersOnly(setup, sizes) === null ? rulersDisagree() : distanceCannotBe());
  const moved: MovedMaps[] = [];
  inputs.forEach(({ sigma }, k) => {
    const [up, down] = [1, -1].map((way) => build(inputs.map(({ value }, i) => (i === k ? value + way * sigma : value))));
    if (up && down) moved.push([up, down]);
    else issues.push(issue('picture-unsure', '', `The known points stand too near together for a picking error of ${sayNumber(pickingError)} px.`, 'Use points farther apart or enlarge the picture while tapping.'));
  });
  if (issues[0]) return refuse(issues[0]);
  return ok(scaleFrom(setup, map, moved));
}

function scaleFrom(setup: PictureSetup, map: Homography, moved: readonly MovedMaps[]): PictureScale {
  const matrix = normalisedAt(map, middleOf(pointsOf(setup.known)));
  const back = inverted(matrix);
  const toMm = (px: Vec2): Vec2 | null => {
    const p = mapped(matrix, px);
    return p !== null && Math.hypot(...p) <= tolerance.largestPart ? p : null;
  };
  const errorAt = (px: Vec2): PointError | null => pointError(matrix, moved, setup.pickingError, px);
  return { matrix, toMm, toPx: (mm) => mapped(back, mm), errorAt, words: sayScale(setup, errorAt) };
}

interface Input {
  readonly value: number;
  /** One sigma. */
  readonly sigma: number;
}

/** Everything the map rests on, in the order `buildMap` reads it. A typed size is anywhere within its last digit. */
function inputsOf(setup: PictureSetup, sizes: readonly Quantity[], off: Quantity | undefined, far: Quantity | undefined): readonly Input[] {
  const picked = (points: readonly Vec2[]): Input[] => points.flat().map((value) => ({ value, sigma: setup.pickingError }));
  const typed = (q: Quantity): Input => ({ value: q.mm, sigma: q.impliedError / Math.sqrt(3) });
  return [
    ...picked(pointsOf(setup.known)),
    ...sizes.map(typed),
    ...(setup.zero ? picked([setup.zero.at, setup.zero.towards]) : []),
    ...(off && far ? [typed(off), { value: far.mm, sigma: Math.hypot(typed(far).sigma, tolerance.lensPlace) }, ...setup.size.map((side) => ({ value: side / 2, sigma: tolerance.opticalCentre * Math.max(...setup.size) }))] : []),
  ];
}

function buildMap({ known, zero, offPlane }: PictureSetup, values: readonly number[]): Homography | null {
  let next = 0;
  const number = (): number => values[next++] as number;
  const point = (): Vec2 => [number(), number()];
  const points: Quad = [point(), point(), point(), point()];
  const [first, second] = [number(), number()];
  let map = known.kind === 'rectangle' ? rectangleMap(points, first, second) : rulersMap({ from: points[0], to: points[1] }, first, { from: points[2], to: points[3] }, second);
  const [zeroAt, level] = zero ? [point(), point()] : [null, null];
  if (map !== null && offPlane) {
    const [off, distance] = [number(), number()];
    const foot = cameraFoot(map, point(), distance);
    map = foot && offPlaneMap(map, foot, off, distance);
  }
  if (map !== null && zeroAt && level) map = framedMap(map, zeroAt, level);
  return map !== null && map.every(Number.isFinite) ? map : null;
}

const pointsOf = (known: KnownPoints): Quad => (known.kind === 'rectangle' ? known.corners : [known.along.from, known.along.to, known.upright.from, known.upright.to]);
const middleOf = (points: readonly Vec2[]): Vec2 => [points.reduce((sum, p) => sum + p[0], 0) / points.length, points.reduce((sum, p) => sum + p[1], 0) / points.length];

/** Points that are repeated, in line or crossed, all named. */
function placeIssues({ known, zero, pickingError }: PictureSetup): Issue[] {
  const apart = tolerance.knownPointsApart * pickingError;
  const near = (a: Vec2, b: Vec2): boolean => !(distance2(a, b) > apart);
  const issues: Issue[] = [];
  const both = (a: Vec2, b: Vec2, at: string, words: string): void => {
    if (near(a, b)) issues.push(issue('points-repeated', at, `${words} stand ${sayNumber(distance2(a, b))} px apart; expected more than ${sayNumber(apart)} px, ${tolerance.knownPointsApart} times the picking error.`, 'Tap points that stand farther apart, or enlarge the picture.'));
  };
  if (known.kind === 'rectangle') issues.push(...cornerIssues(known.corners, apart, both));
  else {
    both(known.along.from, known.along.to, 'along', 'The two points of the ruler along');
    both(known.upright.from, known.upright.to, 'upright', 'The two points of the upright ruler');
    const [a, b] = [sub2(known.along.to, known.along.from), sub2(known.upright.to, known.upright.from)];
    // Leaning the same way to the left and to the right is the same to the two equations, so directions are compared folded.
    const spread = Math.abs(Math.abs(a[0] * b[1]) - Math.abs(a[1] * b[0])) / Math.max(Math.hypot(...a), Math.hypot(...b), 1);
    if (issues.length === 0 && !(spread > apart)) issues.push(issue('rulers-alike', 'upright', 'Both rulers lie at the same tilt to the edge of the picture; expected one along and one upright.', 'Lay the second ruler across the first.'));
  }
  if (zero) both(zero.at, zero.towards, 'zero', 'Zero and the second point of the seat plane');
  return issues;
}

function cornerIssues(corners: Quad, apart: number, both: (a: Vec2, b: Vec2, at: string, words: string) => void): Issue[] {
  let repeated = false;
  corners.forEach((a, i) => corners.slice(i + 1).forEach((b, k) => {
    both(a, b, 'corners', `Corners ${i + 1} and ${i + k + 2}`);
    repeated ||= !(distance2(a, b) > apart);
  }));
  if (repeated) return [];
  // How far each corner stands out of the line through its neighbours; positive when the way round is as promised.
  const out = corners.map((p, i) => {
    const [before, next] = [corners[(i + 3) % 4] as Vec2, corners[(i + 1) % 4] as Vec2];
    return -cross2(sub2(p, before), sub2(next, p)) / Math.max(distance2(before, next), tolerance.point);
  });
  const flat = out.findIndex((o) => Math.abs(o) <= apart);
  if (flat >= 0) return [issue('corners-in-line', 'corners', `Corner ${flat + 1} stands ${sayNumber(Math.abs(out[flat] as number))} px out of the line through its neighbours; expected more than ${sayNumber(apart)} px.`, 'Tap the four corners of a rectangle seen from well above its plane.')];
  const wrong = out.filter((o) => o < 0).length;
  if (wrong === 4) return [issue('corners-turned', 'corners', 'The corners run clockwise; expected from the lower left counter-clockwise.', 'Is the picture mirrored? Put the corners in order.')];
  if (wrong === 2) return [issue('corners-crossed', 'corners', 'The sides between the corners cross each other; expected the corners in order round the rectangle.', 'Tap them one after the other round the rectangle.')];
  if (wrong > 0) return [issue('corners-dented', 'corners', 'One corner stands inside the triangle of the other three; no rectangle is ever seen so.', 'Tap the corner that is wrong again.')];
  return [];
}

const rulersOnly = ({ known }: PictureSetup, sizes: readonly [Quantity, Quantity]): Homography | null => (known.kind === 'rulers' ? rulersMap(known.along, sizes[0].mm, known.upright, sizes[1].mm) : null);
const rulersDisagree = (): Issue => issue('rulers-disagree', 'upright', 'No scales along and upright give both lengths between the points tapped.', 'Check the two lengths, and that one ruler lies along and the other upright.');
const distanceCannotBe = (): Issue => issue('camera-distance', 'distance', 'The tilt seen in the picture cannot be with the camera at that distance.', 'Measure from the plane of the known points to the lens, and use the whole picture, not a cropped one.');

/** Four taps in any order -> the order `KnownPoints` wants: round, starting so that the first side is the lower one that runs most level. */
export function orderCorners(taps: Quad): Quad {
  const [mx, my] = middleOf(taps);
  // Screen y runs down, so falling angles run counter-clockwise as seen.
  const round = [...taps].sort((a, b) => Math.atan2(b[1] - my, b[0] - mx) - Math.atan2(a[1] - my, a[0] - mx));
  const lowerness = (i: number): number => {
    const [a, b] = [round[i] as Vec2, round[(i + 1) % 4] as Vec2];
    return (b[0] - a[0]) / (distance2(a, b) || 1);
  };
  const start = [0, 1, 2, 3].reduce((best, i) => (lowerness(i) > lowerness(best) ? i : best), 0);
  return [0, 1, 2, 3].map((k) => round[(start + k) % 4]) as unknown as Quad;
}

function sayScale(setup: PictureSetup, errorAt: PictureScale['errorAt']): string {
  const { known, zero, offPlane, pickingError } = setup;
  const how = known.kind === 'rectangle' ? `four corners of a rectangle ${known.width} x ${known.height}` : `rulers of ${known.alongLength} along and ${known.uprightLength} upright`;
  const middle = errorAt(middleOf(pointsOf(known)));
  return [
    `scaled by ${how}`,
    zero ? 'zero and level tapped on the seat plane' : 'zero at the first known point',
    offPlane ? `profile ${offPlane.off} nearer the camera than these, camera ${offPlane.distance} away` : 'profile in the plane of these',
    `picking error ${sayNumber(pickingError)} px`,
    middle ? `one sigma in the middle ${sayNumber(Number(meanSigma(middle.own).toPrecision(2)))} mm of a point by itself, ${sayNumber(Number(meanSigma(middle.common).toPrecision(2)))} mm of all together` : '',
  ].filter(Boolean).join('; ');
}
