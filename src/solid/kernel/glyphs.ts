/**
 * Text -> outlines of its letters, with the font's own quadratic and cubic curves kept exact. Own coordinates, mm: x along
 * the line of text, y up, the middle of the line of capitals at the origin.
 */
import { parse, type Font, type PathCommand } from 'opentype.js';
import { insidePolygon } from '../../maths/polygon.ts';
import { tolerance } from '../../maths/tolerance.ts';
import { cross2, sub2, type Vec2 } from '../../maths/vec.ts';
import { endOf, flattened, type Outline, type Stroke } from '../outline.ts';
import { KernelFailure } from './oc.ts';

export type { Font } from 'opentype.js';

/** One piece of ink: its rim and the holes in it. */
export interface Ink {
  readonly rim: Outline;
  readonly holes: readonly Outline[];
}

export function readFont(bytes: ArrayBuffer | Uint8Array): Font {
  return parse(bytes instanceof Uint8Array ? (bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength) as ArrayBuffer) : bytes);
}

/** Characters of `text` the font has no letter for. */
export const missingLetters = (font: Font, text: string): string[] => [...new Set([...text].filter((letter) => letter.trim() !== '' && font.charToGlyphIndex(letter) === 0))];

/** The ink of a line of text whose capitals are `height` mm high. */
export function inkOf(font: Font, text: string, height: number): Ink[] {
  const capital = font.charToGlyph('H').getBoundingBox().y2;
  const size = (height * font.unitsPerEm) / capital;
  const outlines = outlinesOf(font.getPath(text, 0, 0, size).commands);
  const xs = outlines.flatMap((outline) => flattened(outline).map((p) => p[0]));
  const middle: Vec2 = [(Math.min(...xs) + Math.max(...xs)) / 2, height / 2];
  return nested(outlines.map((outline) => shifted(outline, middle)));
}

/** The same, failing by name where there is no font or no letter. */
export function inkFor(font: Font | null, text: string, height: number): Ink[] {
  if (font === null) throw new KernelFailure('no font was given to cut text with');
  const missing = missingLetters(font, text);
  if (missing.length > 0) throw new KernelFailure(`the font has no ${missing.join(' ')}`);
  return inkOf(font, text, height);
}

/** Closed outlines of a glyph path, y turned up, strokes of no length left out. */
function outlinesOf(commands: readonly PathCommand[]): Outline[] {
  const outlines: Outline[] = [];
  let from: Vec2 = [0, 0];
  let at: Vec2 = from;
  let strokes: Stroke[] = [];
  const close = (): void => {
    if (apart(at, from)) strokes.push({ kind: 'line', to: from });
    else if (strokes.length > 0) strokes.push(endingAt(strokes.pop()!, from));
    if (strokes.length > 1) outlines.push({ from, strokes });
    strokes = [];
  };
  const add = (stroke: Stroke): void => {
    const to = endOf(stroke);
    if (apart(at, to)) {
      strokes.push(stroke.kind === 'bezier' && isStraight(at, stroke.inner, to) ? { kind: 'line', to } : stroke);
      at = to;
    }
  };
  for (const command of commands) {
    if (command.type === 'M') {
      close();
      from = at = [command.x, -command.y];
    } else if (command.type === 'L') add({ kind: 'line', to: [command.x, -command.y] });
    else if (command.type === 'Q') add({ kind: 'bezier', inner: [[command.x1, -command.y1]], to: [command.x, -command.y] });
    else if (command.type === 'C') add({ kind: 'bezier', inner: [[command.x1, -command.y1], [command.x2, -command.y2]], to: [command.x, -command.y] });
  }
  close();
  return outlines;
}

const apart = (a: Vec2, b: Vec2): boolean => Math.hypot(a[0] - b[0], a[1] - b[1]) > tolerance.letterPoint;

const endingAt = (stroke: Stroke, to: Vec2): Stroke => (stroke.kind === 'curve' ? stroke : { ...stroke, to });

const isStraight = (from: Vec2, inner: readonly Vec2[], to: Vec2): boolean =>
  inner.every((p) => Math.abs(cross2(sub2(p, from), sub2(to, from))) < tolerance.letterPoint * Math.hypot(to[0] - from[0], to[1] - from[1]));

function shifted(outline: Outline, by: Vec2): Outline {
  const move = (p: Vec2): Vec2 => sub2(p, by);
  const strokes = outline.strokes.map((stroke): Stroke => {
    if (stroke.kind === 'line') return { kind: 'line', to: move(stroke.to) };
    if (stroke.kind === 'bezier') return { kind: 'bezier', inner: stroke.inner.map(move), to: move(stroke.to) };
    return stroke;
  });
  return { from: move(outline.from), strokes };
}

/** Rims with the holes that lie directly in them: an outline inside an odd number of others is a hole. */
function nested(outlines: readonly Outline[]): Ink[] {
  const shapes = outlines.map((outline) => ({ outline, points: flattened(outline) }));
  const around = shapes.map(({ points }, i) => shapes.filter((other, j) => j !== i && insidePolygon(other.points, points[0]!)));
  return shapes.flatMap(({ outline }, i) => {
    if (around[i]!.length % 2 === 1) return [];
    const holes = shapes.filter((_, j) => around[j]!.length === around[i]!.length + 1 && around[j]!.some((one) => one.outline === outline));
    return [{ rim: outline, holes: holes.map((hole) => hole.outline) }];
  });
}
