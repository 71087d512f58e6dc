/**
 * Grooves and engraved text, carved. Their floor follows the contour at an even depth square to it:
 * a tool is what stands above (on the top) or below (on the underside) the moved contour.
 */
import type { TopoDS_Shape } from 'replicad-opencascadejs';
import type { BSplineCurve } from '../../maths/bspline.ts';
import type { Vec2 } from '../../maths/vec.ts';
import { firstPoint, lastPoint } from '../heights.ts';
import type { BodyPlan, EngravingPlan, GroovePlan } from '../plan.ts';
import { combine } from './boolean.ts';
import { inkOf, missingLetters, type Font, type Ink } from './glyphs.ts';
import { withTools } from './holes.ts';
import { carveLetters } from './letters.ts';
import { KernelFailure, type Oc } from './oc.ts';
import { flattened, polygonOutline, type Outline, type Stroke } from '../outline.ts';
import { deleteAll } from './scope.ts';
import { sweptOutline } from './tools.ts';

/** mm a tool stands clear of the part. */
const overrun = 1;

/** The poles of a B-spline stand no lower and no deeper than its curve. */
const highest = (curves: readonly BSplineCurve[]): number => Math.max(...curves.flatMap((curve) => curve.poles.map((pole) => pole[1])));
const lowest = (curves: readonly BSplineCurve[]): number => Math.min(...curves.flatMap((curve) => curve.poles.map((pole) => pole[1])));

/** Everything between a curve and a level line above or below it. */
function between(curves: readonly BSplineCurve[], level: number): Outline {
  const [first, last] = [firstPoint(curves), lastPoint(curves)];
  const strokes: Stroke[] = [
    ...curves.map((curve): Stroke => ({ kind: 'curve', curve })),
    { kind: 'line', to: [last[0], level] },
    { kind: 'line', to: [first[0], level] },
    { kind: 'line', to: first },
  ];
  return { from: first, strokes };
}

const slab = (oc: Oc, curves: readonly BSplineCurve[], level: number, from: number, to: number): TopoDS_Shape =>
  sweptOutline(oc, between(curves, level), ([x, z]) => [x, from, z], [0, to - from, 0]);

export function grooveTool(oc: Oc, body: BodyPlan, groove: GroovePlan): TopoDS_Shape {
  const half = groove.width / 2;
  if (groove.run === 'along') return slab(oc, groove.floor, highest(body.top) + overrun, groove.middle - half, groove.middle + half);
  const { at, tangent: t } = groove.across!;
  const high = groove.width + overrun;
  const corner = (a: number, b: number): Vec2 => [at[0] + a * t[0] - b * t[1], at[1] + a * t[1] + b * t[0]];
  const corners = [corner(-half, -groove.depth), corner(half, -groove.depth), corner(half, high), corner(-half, high)];
  return sweptOutline(oc, polygonOutline(corners), ([x, z]) => [x, groove.from, z], [0, groove.to - groove.from, 0]);
}

/** Outlines of an engraving laid out on the plan, (X, Y). From below, up is to the right of the reading direction. */
export function layOut(font: Font, text: EngravingPlan): Ink[] {
  const angle = (text.angle * Math.PI) / 180;
  const along: Vec2 = [Math.cos(angle), Math.sin(angle)];
  const up: Vec2 = text.on === 'top' ? [-along[1], along[0]] : [along[1], -along[0]];
  const place = ([a, b]: Vec2): Vec2 => [text.centre[0] + a * along[0] + b * up[0], text.centre[1] + a * along[1] + b * up[1]];
  const placed = (outline: Outline): Outline => ({
    from: place(outline.from),
    strokes: outline.strokes.map((stroke): Stroke => {
      if (stroke.kind === 'line') return { kind: 'line', to: place(stroke.to) };
      if (stroke.kind === 'bezier') return { kind: 'bezier', inner: stroke.inner.map(place), to: place(stroke.to) };
      throw new Error('a letter of an unknown stroke');
    }),
  });
  return inkOf(font, text.text, text.height).map(({ rim, holes }) => ({ rim: placed(rim), holes: holes.map(placed) }));
}

/** What is cut for an engraving, laid out and checked. Throws KernelFailure when the text cannot stand there. */
export function inkFor(body: BodyPlan, font: Font | null, text: EngravingPlan): Ink[] {
  if (font === null) throw new KernelFailure('no font was given to cut text with');
  const missing = missingLetters(font, text.text);
  if (missing.length > 0) throw new KernelFailure(`the font has no ${missing.join(' ')}`);
  const ink = layOut(font, text);
  const room = roomFor(body, text);
  const box = boxOf(ink);
  if (box.x[0]! < room.x[0]! || box.x[1]! > room.x[1]! || box.y[0]! < room.y[0]! || box.y[1]! > room.y[1]!) {
    throw new KernelFailure(`it runs X ${sayRange(box.x)}, Y ${sayRange(box.y)}, past ${text.on === 'top' ? 'the top' : 'the roof'}, X ${sayRange(room.x)}, Y ${sayRange(room.y)}`);
  }
  return ink;
}

const roomFor = (body: BodyPlan, text: EngravingPlan) =>
  text.on === 'top'
    ? { x: [0, body.length], y: [0, body.width] }
    : { x: [body.wall, body.length - body.wall], y: [body.left.thickness, body.width - body.right.thickness] };

function boxOf(ink: readonly Ink[]): { readonly x: readonly number[]; readonly y: readonly number[] } {
  const points = ink.flatMap(({ rim }) => flattened(rim));
  const [xs, ys] = [points.map((p) => p[0]), points.map((p) => p[1])];
  return { x: [Math.min(...xs), Math.max(...xs)], y: [Math.min(...ys), Math.max(...ys)] };
}

/** `solid` with a text carved into it: by hand where the letters stand clear, else by booleans. */
export function engrave(oc: Oc, body: BodyPlan, solid: TopoDS_Shape, ink: readonly Ink[], text: EngravingPlan): TopoDS_Shape {
  const top = text.on === 'top';
  try {
    return carveLetters(oc, solid, top ? body.top : body.roof, text.floor, ink, top ? 'down' : 'up');
  } catch (error) {
    if (!(error instanceof KernelFailure)) throw error;
    return withTools(oc, top ? 'cut' : 'fuse', solid, [letterTool(oc, body, ink, text)]);
  }
}

/** The letters as one solid, as deep as they are cut. */
function letterTool(oc: Oc, body: BodyPlan, ink: readonly Ink[], text: EngravingPlan): TopoDS_Shape {
  const top = text.on === 'top';
  const box = boxOf(ink);
  const [high, foot] = [highest(body.top) + overrun, Math.max(body.frontFoot, body.backFoot)];
  // Letters start in the metal below the floor (top) or in the hollow (underside) and run out of the part.
  const low = top ? lowest(text.floor) - overrun : (foot + lowest(body.roof)) / 2;
  const letters = ink.map(({ rim, holes }) => sweptOutline(oc, rim, ([x, y]) => [x, y, low], [0, 0, high - low], holes));
  const keep = slab(oc, text.floor, top ? high + overrun : low - overrun / 2, box.y[0]! - overrun, box.y[1]! + overrun);
  try {
    return combine(oc, 'common', letters, [keep]);
  } finally {
    deleteAll([...letters, keep]);
  }
}

const sayRange = (range: readonly number[]): string => range.map((end) => end.toFixed(1)).join(' to ');
