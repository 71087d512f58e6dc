/**
 * An SVG drawing of the side profile -> readings in document form. x is the station, height counts up from the lower edge
 * of the view box (SVG's own y runs down).
 *
 * Reads path, line, polyline and polygon, through nested transforms, with the size of a user unit from width, height and
 * viewBox. The file is data: read as a stream of tags, never built into a page; scripts, styles and text are passed over;
 * a document type that declares entities is refused. Shapes are SVG 1.1; nested svg, use and CSS transforms are not read.
 */
import { SaxesParser, type SaxesTagPlain } from 'saxes';
import type { Vec2 } from '../maths/vec.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import type { DrawnPiece } from './chains.ts';
import { line, mapped, type Piece } from './curves.ts';
import { finishDrawing, ignoredRemarks, sayIgnored, type DecidedUnit, type DrawingOptions } from './drawing.ts';
import { mmPerFileUnit, sayNumber, type Readings, type Remark } from './reading.ts';
import { apply, compose, readSize, readTransform, readViewBox, unmoved, type PlaneMap } from './svgFrame.ts';
import { piecesOfPath, piecesOfPoints } from './svgPath.ts';
import { cleanText } from './text.ts';

// Drawings nest groups a few deep; this deep is an attack or a broken writer.
const deepestTag = 256;
const mostIssues = 20;

/** Reads an SVG. Refuses with every damaged shape named, and asks where the unit or the path is open. */
export function readSvg(text: string, options: DrawingOptions): Result<Readings> {
  const clean = cleanText(text, 'SVG');
  if (!clean.ok) return clean;
  const shapes = readShapes(clean.value);
  if (!shapes.ok) return shapes;
  const { root, drawn, ignored } = shapes.value;
  if (drawn.length === 0) {
    return refuse({ code: 'nothing-drawn', at: '', message: `Expected a path, line, polyline or polygon; the drawing has ${ignored.size === 0 ? 'none' : `only ${sayIgnored(ignored)}`}.`, hint: 'Turn text and shapes into paths and save again.' });
  }
  const frame = decideFrame(root, options);
  if (!frame.ok) return frame;
  const placed = drawn.map(({ piece, name }) => ({ name, piece: mapped(piece, (p) => apply(frame.value.map, p)) }));
  return finishDrawing('SVG', 'id', placed, frame.value, [...frame.value.remarks, ...ignoredRemarks(ignored, 'turn them into paths')], options);
}

interface Root {
  readonly width: string | undefined;
  readonly height: string | undefined;
  readonly viewBox: string | undefined;
  readonly aspect: string | undefined;
}

interface Shapes {
  readonly root: Root;
  /** In user units of the outermost svg, y down. */
  readonly drawn: readonly DrawnPiece[];
  readonly ignored: ReadonlyMap<string, number>;
}

// What is inside these is not drawn where it stands, or not drawn at all.
const unseen = new Set(['defs', 'symbol', 'clipPath', 'mask', 'pattern', 'marker', 'metadata', 'script', 'style', 'title', 'desc', 'foreignObject', 'text', 'switch']);
// Drawn, but not a side profile; named so that nobody wonders.
const notRead = new Set(['rect', 'circle', 'ellipse', 'image', 'use', 'text', 'svg', 'foreignObject']);

interface Level {
  readonly map: PlaneMap;
  readonly seen: boolean;
}

function readShapes(text: string): Result<Shapes> {
  const parser = new SaxesParser<{ xmlns: false }>({ xmlns: false });
  const issues: Issue[] = [];
  const levels: Level[] = [];
  const drawn: DrawnPiece[] = [];
  const ignored = new Map<string, number>();
  const roots: Root[] = [];
  // The first fault of the file itself ends the reading: what follows it cannot be trusted.
  const faults: Issue[] = [];
  let unnamed = 0;
  const stop = (issue: Issue): void => void faults.push(issue);
  parser.on('error', (error) => stop({ code: 'not-svg', at: `line ${parser.line}`, message: `Expected well-formed XML: ${error.message.replace(/^\d+:\d+:\s*/, '').slice(0, 120)}`, hint: 'Save the drawing again as plain SVG.' }));
  parser.on('doctype', (doctype) => {
    if (doctype.includes('[') || /<!ENTITY/i.test(doctype)) stop({ code: 'entities-refused', at: `line ${parser.line}`, message: 'The file declares entities in its document type; these are refused unread.', hint: 'Save the drawing again as plain SVG.' });
  });
  parser.on('opentag', (tag) => {
    if (faults.length > 0 || issues.length >= mostIssues) return;
    const name = tag.name.replace(/^svg:/, '');
    if (levels.length >= deepestTag) return stop({ code: 'nested-too-deep', at: `line ${parser.line}`, message: `Expected tags nested at most ${deepestTag} deep.`, hint: 'Ungroup the drawing and save it again.' });
    const above = levels.at(-1);
    if (above === undefined) {
      if (name !== 'svg') return stop({ code: 'not-svg', at: `line ${parser.line}`, message: `Expected an SVG drawing, got <${name.slice(0, 40)}>.`, hint: 'Choose an SVG file.' });
      const { width, height, viewBox, preserveAspectRatio } = attributes(tag);
      roots.push({ width, height, viewBox, aspect: preserveAspectRatio });
      levels.push({ map: unmoved, seen: true });
      return;
    }
    const level = levelOf(tag, name, above);
    if (!level.ok) issues.push(...level.issues);
    levels.push(level.ok ? level.value : { ...above, seen: false });
    if (!level.ok || !above.seen || hidden(tag)) return;
    if (notRead.has(name)) ignored.set(name, (ignored.get(name) ?? 0) + 1);
    if (!level.value.seen) return;
    const id = attributes(tag)['id'] ?? '';
    const shape = shapeOf(tag, name, id === '' ? `line ${parser.line}` : id);
    if (shape === null) return;
    if (!shape.ok) issues.push(...shape.issues);
    else {
      const label = id === '' ? `unnamed ${++unnamed}` : id;
      const parts = shape.value.filter((part) => part.length > 0);
      parts.forEach((part, i) => {
        for (const piece of part) if (!isPoint(piece)) drawn.push({ piece: mapped(piece, (p) => apply(level.value.map, p)), name: parts.length === 1 ? label : `${label} part ${i + 1}` });
      });
    }
  });
  parser.on('closetag', () => {
    if (faults.length === 0) levels.pop();
  });
  parser.write(text).close();
  const [fault] = faults;
  if (fault !== undefined) return refuse(fault);
  if (issues.length > 0) return refuse(...issues);
  const [root] = roots;
  if (root === undefined) return refuse({ code: 'not-svg', at: '', message: 'Expected an SVG drawing, got no <svg> tag.', hint: 'Choose an SVG file.' });
  return ok({ root, drawn, ignored });
}

const attributes = (tag: SaxesTagPlain): Readonly<Record<string, string | undefined>> => tag.attributes;

const hidden = (tag: SaxesTagPlain): boolean => {
  const { display, visibility, style = '' } = attributes(tag);
  return display === 'none' || visibility === 'hidden' || /(?:^|;)\s*(?:display\s*:\s*none|visibility\s*:\s*hidden)/i.test(style);
};

function levelOf(tag: SaxesTagPlain, name: string, above: Level): Result<Level> {
  const { transform = '', style = '' } = attributes(tag);
  const at = attributes(tag)['id'] ?? name;
  const seen = above.seen && !unseen.has(name) && name !== 'svg' && !hidden(tag);
  if (!seen) return ok({ map: above.map, seen });
  if (/(?:^|;)\s*transform\s*:/i.test(style)) {
    return refuse({ code: 'transform-not-read', at, message: 'It is moved by a CSS transform in its style; only the transform attribute is read.', hint: 'Save as plain SVG, or apply the transform to the path.' });
  }
  const own = readTransform(transform);
  if (own === null) {
    return refuse({ code: 'transform-not-read', at, message: `Expected a transform such as "translate(10 5)", got "${transform.slice(0, 60)}".`, hint: 'Save as plain SVG, or apply the transform to the path.' });
  }
  return ok({ map: compose(above.map, own), seen });
}

const isPoint = (piece: Piece): boolean => piece.kind === 'line' && piece.from[0] === piece.to[0] && piece.from[1] === piece.to[1];

function shapeOf(tag: SaxesTagPlain, name: string, at: string): Result<readonly (readonly Piece[])[]> | null {
  const { d = '', points = '', x1 = '0', y1 = '0', x2 = '0', y2 = '0' } = attributes(tag);
  if (name === 'path') return d.trim() === '' || d.trim() === 'none' ? ok([]) : piecesOfPath(d, at);
  if (name === 'polyline' || name === 'polygon') return piecesOfPoints(points, name === 'polygon', at);
  if (name !== 'line') return null;
  const [from, to]: [Vec2, Vec2] = [[Number(x1), Number(y1)], [Number(x2), Number(y2)]];
  if (![...from, ...to].every(Number.isFinite)) return refuse({ code: 'shape-damaged', at, message: 'Expected plain numbers for the ends of the line.', hint: 'Draw it again, or take it out of the file.' });
  return ok([[line(from, to)]]);
}

interface Frame extends DecidedUnit {
  /** User units, y down -> the decided unit, y up from the lower edge. */
  readonly map: PlaneMap;
}

/** How large a user unit is, from width, height and viewBox; px must be confirmed, since 96 to the inch is only CSS's word. */
function decideFrame(root: Root, { fileUnit }: DrawingOptions): Result<Frame> {
  const box = readViewBox(root.viewBox);
  const [width, height] = [readSize(root.width), readSize(root.height)];
  const left = box?.[0] ?? 0;
  const bottom = box !== null ? box[1] + box[3] : height !== null && 'px' in height ? height.px : 0;
  const flipped = (sx: number, sy: number): PlaneMap => [sx, 0, 0, -sy, -sx * left, sy * bottom];
  if (fileUnit !== undefined) {
    const words = fileUnit === 'px' ? 'px, 96 to the inch, as stated on reading' : `one user unit is one ${fileUnit}, as stated on reading`;
    return ok({ unit: fileUnit, words, remarks: [], map: flipped(1, 1) });
  }
  if (box !== null && width !== null && height !== null && 'mm' in width && 'mm' in height) {
    return ok(trueSize(width.mm / box[2], height.mm / box[3], root, flipped));
  }
  if (box !== null && ((width !== null && 'mm' in width && height === null) || (height !== null && 'mm' in height && width === null))) {
    const scale = width !== null && 'mm' in width ? width.mm / box[2] : (height as { readonly mm: number }).mm / box[3];
    return ok(trueSize(scale, scale, root, flipped));
  }
  const span = box?.[2] ?? (width !== null && 'px' in width ? width.px : null);
  const size = span === null ? '' : ` The drawing is ${sayNumber(span)} units wide: ${sayNumber(span * mmPerFileUnit.px)} mm at 96 px to the inch, ${sayNumber(span)} mm if a unit is a millimetre.`;
  return refuse({
    code: 'unit-not-stated',
    at: '',
    message: `The SVG does not say how large it is: width is "${(root.width ?? 'missing').slice(0, 30)}", viewBox "${(root.viewBox ?? 'missing').slice(0, 40)}".${size}`,
    hint: 'State the unit: px for 96 to the inch, or mm or in for one user unit. Or save it with width and height in mm and a viewBox.',
  });
}

// Parts in a thousand by which width and height may disagree on the scale before it is said.
const scaleDiffers = 1e-3;

function trueSize(sx: number, sy: number, root: Root, flipped: (sx: number, sy: number) => PlaneMap): Frame {
  const free = root.aspect?.trim().startsWith('none') ?? false;
  const scale = (root.aspect ?? '').includes('slice') ? Math.max(sx, sy) : Math.min(sx, sy);
  const [ux, uy] = free ? [sx, sy] : [scale, scale];
  const differ = Math.abs(sx / sy - 1) > scaleDiffers;
  const remark: Remark = { code: 'scale-differs', at: '', points: [], message: `Width and height give a user unit of ${sayNumber(sx)} mm across and ${sayNumber(sy)} mm up; ${free ? 'each is used for its own axis' : `${sayNumber(scale)} mm is used for both, as preserveAspectRatio asks`}.`, hint: 'Check a known length against the readings.' };
  return { unit: 'mm', words: `mm by width, height and viewBox, ${sayNumber(ux)} mm to the user unit`, remarks: differ ? [remark] : [], map: flipped(ux, uy) };
}
