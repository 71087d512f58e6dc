/** Readings of a job that were tapped in a picture: found by the place in their note, and put in order among the others. */
import type { Units } from '../../job/quantity.ts';
import type { Vec2 } from '../../maths/vec.ts';
import type { PictureScale } from '../../readings/picture.ts';
import { pictureReadings, placeOf } from '../../readings/pictureReadings.ts';
import { millimetres, type TypedReading } from './readingsEdit.ts';

/** A reading that still says what was tapped; `index` into the job's readings. */
export interface Tapped {
  readonly index: number;
  readonly px: Vec2;
}

/** Readings that say exactly what `by` makes of the place in their note; one typed over since is a reading like any other. */
export function tappedIn(readings: readonly TypedReading[], by: PictureScale, units: Units): readonly Tapped[] {
  return readings.flatMap((reading, index) => {
    const px = placeOf(reading.note);
    const fresh = px && pictureReadings(by, [px], units)[0];
    return px && fresh?.x === reading.x && fresh.z === reading.z ? [{ index, px }] : [];
  });
}

/** `fresh`, in order of rising station, put among `others`, which keep their own order, rising or falling. */
export function putAmong(others: readonly TypedReading[], fresh: readonly TypedReading[], units: Units): readonly TypedReading[] {
  const station = (r: TypedReading): number => millimetres(r.x, units) ?? Infinity;
  const falling = others.length > 1 && station(others.at(-1)!) < station(others[0]!);
  const all = [...others];
  for (const reading of falling ? fresh.toReversed() : fresh) {
    const at = all.findIndex((other) => (falling ? station(other) < station(reading) : station(other) > station(reading)));
    all.splice(at < 0 ? all.length : at, 0, reading);
  }
  return all;
}
