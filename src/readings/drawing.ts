/**
 * Drawn pieces of either file kind -> readings in document form: scaled to mm, doubles taken out, the one path chosen,
 * points taken along it.
 */
import type { Units } from '../job/quantity.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2 } from '../maths/vec.ts';
import { ok, refuse, type Result } from '../result.ts';
import { chooseChain, samplePath, withoutDoubles, type ChooseOptions, type DrawnPiece, type NameKind } from './chains.ts';
import { mapped } from './curves.ts';
import { mmPerFileUnit, sayList, sayNumber, typedNumber, type FileUnit, type Readings, type Remark } from './reading.ts';
import { screenSize } from './screen.ts';

/** What drawings of either kind are read with. */
export interface DrawingOptions extends ChooseOptions {
  /** Units of the job the readings go into. */
  readonly units: Units;
  readonly file?: string;
  /** Unit of the drawing where the file does not state one, or states a wrong one. */
  readonly fileUnit?: FileUnit;
  /** mm. Largest distance between a curve and the chords of the points taken from it. */
  readonly chord?: number;
  /** mm. Largest distance between points. */
  readonly spacing?: number;
}

export interface DecidedUnit {
  readonly unit: FileUnit;
  /** In words, for the provenance. */
  readonly words: string;
  readonly remarks: readonly Remark[];
}

/** Width and height of everything drawn, to about a hundredth of it. */
export function extent(drawn: readonly DrawnPiece[]): readonly [number, number] {
  let [left, right, low, high] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const { piece } of drawn) {
    for (const t of [0, 0.25, 0.5, 0.75, 1]) {
      const [x, y] = piece.at(t);
      [left, right, low, high] = [Math.min(left, x), Math.max(right, x), Math.min(low, y), Math.max(high, y)];
    }
  }
  return [right - left, high - low];
}

/** From pieces in the file's unit to readings; shared with SVG. */
export function finishDrawing(kind: 'DXF' | 'SVG', names: NameKind, drawn: readonly DrawnPiece[], unit: DecidedUnit, remarks: readonly Remark[], options: DrawingOptions): Result<Readings> {
  const scale = mmPerFileUnit[unit.unit];
  const [width, height] = extent(drawn);
  if (Math.max(width, height) * scale > tolerance.largestPart) {
    return refuse({ code: 'drawing-too-large', at: '', message: `Expected a part of at most ${sayNumber(tolerance.largestPart)} mm, the drawing measures ${sayNumber(width * scale)} by ${sayNumber(height * scale)} mm in ${unit.unit}.`, hint: 'Check the unit of the drawing, and take away what is not the part.' });
  }
  const inMm = drawn.map(({ piece, name }) => ({ name, piece: mapped(piece, (p: Vec2): Vec2 => [p[0] * scale, p[1] * scale]) }));
  const single = withoutDoubles(inMm, names);
  const chain = chooseChain(single.drawn, options, names);
  if (!chain.ok) return chain;
  const sampled = samplePath(chain.value, options.chord, options.spacing);
  if (!sampled.ok) return sampled;
  const asDrawn = sampled.value.points.map(([x, z]) => [tidy(x / scale), tidy(z / scale)] as const);
  const points = asDrawn.map(([x, z]) => ({ x: typedNumber(x, unit.unit, options.units), z: typedNumber(z, unit.unit, options.units) }));
  const from = chain.value.names.slice(0, 3).map((name) => `"${name}"`).join(', ');
  const words = `${options.file ?? `Pasted ${kind}`}; ${kind} path with ${names} ${from}, ${sayNumber(chain.value.length)} mm; ${points.length} readings: ${sampled.value.how}; unit ${unit.words}.`;
  const mm = asDrawn.map(([x, z]) => ({ x: x * scale, z: z * scale }));
  return ok({
    points,
    mm,
    remarks: [...remarks, ...single.remarks, ...screenSize(mm, { units: options.units })],
    provenance: { file: options.file ?? '', kind, count: points.length, units: unit.words, words },
  });
}

/** Twelve digits: a drawn 20 that went through inches and back is 20 again, and nothing a shop can measure is lost. */
const tidy = (value: number): number => Number(value.toPrecision(12)) + 0;

/** `2 TEXT and 1 INSERT`. */
export const sayIgnored = (ignored: ReadonlyMap<string, number>): string => sayList([...ignored].map(([type, count]) => `${count} ${type.slice(0, 40)}`), 8);

/** What was drawn but not read, and how to have it read. */
export const ignoredRemarks = (ignored: ReadonlyMap<string, number>, cure: string): readonly Remark[] =>
  ignored.size === 0 ? [] : [{ code: 'not-read', at: '', points: [], message: `Not read: ${sayIgnored(ignored)}.`, hint: `Right if they are not part of the side profile; otherwise ${cure}.` }];
