/**
 * Points picked along a profile in a picture, px -> readings, each with its own error and its place in the picture as a
 * note, so that the file says where every reading was seen and the point can be found and moved again.
 */
import { mmPerInch, type Units } from '../job/quantity.ts';
import { sub2, type Vec2 } from '../maths/vec.ts';
import type { PictureScale } from './picture.ts';
import { sigmaAcross } from './pictureError.ts';
import type { TraceReading } from './reading.ts';

const noteOf = ([x, y]: Vec2): string => `at ${x.toFixed(1)}, ${y.toFixed(1)} px in the picture`;

/** px. Where a reading was seen in its picture; null when its note does not say. */
export function placeOf(note: string | undefined): Vec2 | null {
  const found = /^at (-?\d{1,6}\.\d), (-?\d{1,6}\.\d) px in the picture$/.exec(note ?? '');
  return found ? [Number(found[1]), Number(found[2])] : null;
}

/** A point as its note keeps it: to a tenth of a pixel. */
export const keptPlace = ([x, y]: Vec2): Vec2 => [Number(x.toFixed(1)), Number(y.toFixed(1))];

const leastTyped = { mm: 1e-3, inch: 1e-5 } as const;
/** Digits kept: a micrometre, well under any picking error. */
const typedLength = (mm: number, units: Units): number => (units === 'inch' ? Number((mm / mmPerInch).toFixed(5)) : Number(mm.toFixed(3))) + 0;

/**
 * Readings in order of station. The error carried is that of picking, square to the way the neighbours run: what moves all
 * points together is no scatter, and smoothing to it would flatten the profile. Points beyond the horizon are left away.
 */
export function pictureReadings(scale: PictureScale, places: readonly Vec2[], units: Units): readonly TraceReading[] {
  const points = places.flatMap((px) => {
    const kept = keptPlace(px);
    const [at, error] = [scale.toMm(kept), scale.errorAt(kept)];
    return at && error ? [{ px: kept, at, error }] : [];
  }).sort((a, b) => a.at[0] - b.at[0]);
  return points.map(({ px, at, error }, i) => {
    const way = sub2((points[i + 1] ?? points[i]!).at, (points[i - 1] ?? points[i]!).at);
    const sigma = sigmaAcross(error.own, Math.hypot(...way) > 0 ? way : [1, 0]);
    return { x: typedLength(at[0], units), z: typedLength(at[1], units), error: Math.max(typedLength(sigma, units), leastTyped[units]), note: noteOf(px) };
  });
}
