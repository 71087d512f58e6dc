/**
 * SVG transforms, lengths and view boxes -> plane maps and scales. SVG 1.1 chapter 7 and CSS absolute lengths (1 in = 96 px
 * = 72 pt = 6 pc = 101.6 Q), from memory.
 */
import type { Vec2 } from '../maths/vec.ts';
import { mmPerInch } from '../job/quantity.ts';

/** x' = a x + c y + e, y' = b x + d y + f: the six numbers of matrix(a b c d e f). */
export type PlaneMap = readonly [number, number, number, number, number, number];

export const unmoved: PlaneMap = [1, 0, 0, 1, 0, 0];

export const apply = ([a, b, c, d, e, f]: PlaneMap, [x, y]: Vec2): Vec2 => [a * x + c * y + e, b * x + d * y + f];

/** First `inner`, then `outer`. */
export const compose = (outer: PlaneMap, inner: PlaneMap): PlaneMap => {
  const [a, b, c, d, e, f] = outer;
  const [A, B, C, D, E, F] = inner;
  return [a * A + c * B, b * A + d * B, a * C + c * D, b * C + d * D, a * E + c * F + e, b * E + d * F + f];
};

const numberWord = String.raw`[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:e[+-]?\d+)?`;
const call = new RegExp(String.raw`\s*,?\s*(matrix|translate|scale|rotate|skewX|skewY)\s*\(\s*(${numberWord}(?:(?:\s*,\s*|\s+|(?=[+-]))${numberWord})*)\s*\)\s*`, 'iy');
const rad = Math.PI / 180;
// Characters. No honest transform, length or view box is longer.
const longestAttribute = 2000;

/** A `transform` attribute; null when any part of it cannot be read. Text with units or 3D functions is not SVG's own grammar. */
export function readTransform(text: string): PlaneMap | null {
  if (text.length > longestAttribute) return null;
  let map = unmoved;
  call.lastIndex = 0;
  for (let at = 0; at < text.length && text.slice(at).trim() !== ''; at = call.lastIndex) {
    call.lastIndex = at;
    const found = call.exec(text);
    if (found === null) return null;
    const one = readCall(found[1] as string, (found[2] as string).match(new RegExp(numberWord, 'gi'))?.map(Number) ?? []);
    if (one === null || !one.every(Number.isFinite)) return null;
    map = compose(map, one);
  }
  return map;
}

function readCall(name: string, n: readonly number[]): PlaneMap | null {
  const [a = 0, b = 0, c = 0] = n;
  switch (name.toLowerCase()) {
    case 'matrix':
      return n.length === 6 ? (n as unknown as PlaneMap) : null;
    case 'translate':
      return n.length === 1 || n.length === 2 ? [1, 0, 0, 1, a, b] : null;
    case 'scale':
      return n.length === 1 || n.length === 2 ? [a, 0, 0, n.length === 2 ? b : a, 0, 0] : null;
    case 'rotate': {
      const turn: PlaneMap = [Math.cos(a * rad), Math.sin(a * rad), -Math.sin(a * rad), Math.cos(a * rad), 0, 0];
      if (n.length === 1) return turn;
      return n.length === 3 ? compose(compose([1, 0, 0, 1, b, c], turn), [1, 0, 0, 1, -b, -c]) : null;
    }
    case 'skewx':
      return n.length === 1 ? [1, 0, Math.tan(a * rad), 1, 0, 0] : null;
    default:
      return n.length === 1 ? [1, Math.tan(a * rad), 0, 1, 0, 0] : null;
  }
}

const mmPerCssUnit: ReadonlyMap<string, number> = new Map([
  ['mm', 1], ['cm', 10], ['q', 0.25], ['in', mmPerInch], ['pt', mmPerInch / 72], ['pc', mmPerInch / 6],
]);

/** A `width` or `height` of the outermost svg: mm where its unit is a true length, px where it is not; null otherwise (percent, none). */
export function readSize(text: string | undefined): { readonly mm: number } | { readonly px: number } | null {
  if (text === undefined || text.length > longestAttribute) return null;
  const found = new RegExp(`^\\s*(${numberWord})\\s*([a-z%]*)\\s*$`, 'i').exec(text);
  const value = Number(found?.[1]);
  if (found === null || !(value > 0) || !Number.isFinite(value)) return null;
  const unit = (found[2] ?? '').toLowerCase();
  if (unit === '' || unit === 'px') return { px: value };
  const mm = mmPerCssUnit.get(unit);
  return mm === undefined ? null : { mm: value * mm };
}

/** Four numbers, the last two above 0; null when missing or wrong. */
export function readViewBox(text: string | undefined): readonly [number, number, number, number] | null {
  if (text === undefined || text.length > longestAttribute) return null;
  const words = text.trim().split(/\s*,\s*|\s+/);
  const n = words.map(Number);
  if (words.length !== 4 || words.includes('') || !n.every(Number.isFinite)) return null;
  const [x, y, width, height] = n as [number, number, number, number];
  return width > 0 && height > 0 ? [x, y, width, height] : null;
}
