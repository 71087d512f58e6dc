/**
 * A DXF drawing of the side profile -> readings in document form. x of the drawing is the station, y the height.
 *
 * Reads LINE, ARC, LWPOLYLINE, POLYLINE (bulges) and SPLINE (weights included) of model space, joined end to end into one
 * open path. What else is drawn is named, not read. Group codes and units follow the public DXF reference (from memory);
 * bulge = tan(angle / 4) was seen on a secondary page. Drawings on tilted planes, blocks and text are not read.
 */
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2 } from '../maths/vec.ts';
import { mmPerInch, type Units } from '../job/quantity.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import { chooseChain, samplePath, withoutDoubles, type ChooseOptions, type DrawnPiece } from './chains.ts';
import { arc, bulgeArc, line, mapped, nurbs, type Piece } from './curves.ts';
import { readContent, type Entity } from './dxfGroups.ts';
import { mmPerFileUnit, sayList, sayNumber, typedNumber, type FileUnit, type Readings, type Remark } from './reading.ts';
import { cleanText } from './text.ts';

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

// $INSUNITS codes a part is drawn in; others (miles, light years) are refused by number.
const unitCodes: ReadonlyMap<number, FileUnit> = new Map([[1, 'in'], [2, 'ft'], [4, 'mm'], [5, 'cm'], [6, 'm'], [9, 'thou'], [13, 'um'], [14, 'dm']]);

/** Reads a DXF. Refuses with every damaged entity named, and asks where the unit or the path is open. */
export function readDxf(text: string, options: DrawingOptions): Result<Readings> {
  const clean = cleanText(text, 'DXF');
  if (!clean.ok) return clean;
  const content = readContent(clean.value);
  if (!content.ok) return content;
  const read = readEntities(content.value.entities);
  if (read.issues.length > 0) return refuse(...nameFew(read.issues));
  if (read.drawn.length === 0) {
    return refuse({ code: 'nothing-drawn', at: '', message: `Expected lines, arcs, polylines or splines; the drawing has ${read.ignored.size === 0 ? 'none' : `only ${sayIgnored(read.ignored)}`}.`, hint: 'Explode blocks and draw the side profile with lines, arcs, polylines or splines.' });
  }
  const depth = depthOf(content.value.entities);
  if (depth > tolerance.point && extent(read.drawn)[1] <= tolerance.point) {
    return refuse({ code: 'drawn-upright', at: '', message: `Expected the profile in the XY plane; everything lies at one Y and spans ${sayNumber(depth)} in Z.`, hint: 'Turn the drawing into the XY plane, station along X and height along Y.' });
  }
  const unit = decideUnit(content.value.unitCode, read.drawn, options);
  if (!unit.ok) return unit;
  const flattened: Remark = { code: 'depth-dropped', at: '', points: [], message: `The drawing also spans ${sayNumber(depth)} in Z, which was dropped.`, hint: 'Right if X is the station and Y the height; otherwise turn the drawing.' };
  const remarks = [...unit.value.remarks, ...(depth > tolerance.point ? [flattened] : []), ...ignoredRemark(read.ignored)];
  return finishDrawing('DXF', 'layer', read.drawn, unit.value, remarks, options);
}

/** How far drawn things reach out of the XY plane, in the file's unit. */
function depthOf(entities: readonly Entity[]): number {
  let [low, high] = [Infinity, -Infinity];
  for (const entity of entities) {
    if (!['LINE', 'ARC', 'VERTEX', 'SPLINE'].includes(entity.type)) continue;
    for (const z of [...all(entity, 30), ...all(entity, 31)]) [low, high] = [Math.min(low, z), Math.max(high, z)];
  }
  return high > low ? high - low : 0;
}

export interface DecidedUnit {
  readonly unit: FileUnit;
  /** In words, for the provenance. */
  readonly words: string;
  readonly remarks: readonly Remark[];
}

function decideUnit(code: number | null, drawn: readonly DrawnPiece[], { fileUnit }: DrawingOptions): Result<DecidedUnit> {
  const stated = code === null ? undefined : unitCodes.get(code);
  if (fileUnit === 'px') return refuse({ code: 'unit-not-fit', at: '', message: 'Expected a unit of length for a DXF, got px.', hint: 'State mm, in, cm, m, ft or thou.' });
  if (fileUnit !== undefined) {
    const over = stated !== undefined && stated !== fileUnit;
    const remark: Remark = { code: 'unit-overridden', at: '', points: [], message: `The file says its unit is ${stated}; read in ${fileUnit} as asked.`, hint: 'Leave the unit out to take the one in the file.' };
    return ok({ unit: fileUnit, words: `${fileUnit}, as stated on reading`, remarks: over ? [remark] : [] });
  }
  if (stated !== undefined) return ok({ unit: stated, words: `${stated} by $INSUNITS`, remarks: [] });
  const [width, height] = extent(drawn);
  const why = code === null || code === 0 ? 'does not state its unit' : `states unit ${code}, which is not one for parts`;
  return refuse({
    code: 'unit-not-stated',
    at: '',
    message: `The DXF ${why}. It measures ${sayNumber(width)} by ${sayNumber(height)}: ${sayNumber(width)} mm if in mm, ${sayNumber(width * mmPerInch)} mm if in inches.`,
    hint: 'State the unit of the drawing.',
  });
}

function extent(drawn: readonly DrawnPiece[]): readonly [number, number] {
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
export function finishDrawing(kind: 'DXF' | 'SVG', names: 'layer' | 'id', drawn: readonly DrawnPiece[], unit: DecidedUnit, remarks: readonly Remark[], options: DrawingOptions): Result<Readings> {
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
  return ok({
    points,
    mm: asDrawn.map(([x, z]) => ({ x: x * scale, z: z * scale })),
    remarks: [...remarks, ...single.remarks],
    provenance: { file: options.file ?? '', kind, count: points.length, units: unit.words, words },
  });
}

/** Twelve digits: a drawn 20 that went through inches and back is 20 again, and nothing a shop can measure is lost. */
const tidy = (value: number): number => Number(value.toPrecision(12)) + 0;

// --- entities ----------------------------------------------------------------------------------------------------

interface ReadEntities {
  readonly drawn: readonly DrawnPiece[];
  /** Kinds of entity passed over, with how many. */
  readonly ignored: ReadonlyMap<string, number>;
  readonly issues: readonly Issue[];
}

function readEntities(entities: readonly Entity[]): ReadEntities {
  const drawn: DrawnPiece[] = [];
  const ignored = new Map<string, number>();
  const issues: Issue[] = [];
  const pass = (type: string): unknown => ignored.set(type, (ignored.get(type) ?? 0) + 1);
  for (let i = 0; i < entities.length && issues.length < mostIssues; i++) {
    const entity = entities[i] as Entity;
    if (entity.type === 'VERTEX' || entity.type === 'SEQEND') continue;
    if (number(entity, 67) === 1 || number(entity, 60) === 1) {
      pass(`hidden or paper ${entity.type}`);
      continue;
    }
    const vertices = entity.type === 'POLYLINE' ? verticesAfter(entities, i) : [];
    const read = readEntity(entity, vertices);
    if (read === null) pass(entity.type);
    else if (read.ok) {
      const name = text(entity, 8) ?? '0';
      for (const piece of read.value) if (!isPoint(piece)) drawn.push({ piece, name });
    } else issues.push(...read.issues);
  }
  return { drawn, ignored, issues };
}

const isPoint = (piece: Piece): boolean => piece.kind !== 'curve' && piece.from[0] === piece.to[0] && piece.from[1] === piece.to[1] && piece.at(0.5)[0] === piece.from[0];

/** The VERTEX entities that belong to a POLYLINE: those right behind it, up to SEQEND or anything else. */
function verticesAfter(entities: readonly Entity[], index: number): readonly Entity[] {
  const vertices: Entity[] = [];
  for (let i = index + 1; entities[i]?.type === 'VERTEX'; i++) vertices.push(entities[i] as Entity);
  return vertices;
}

const text = (entity: Entity, code: number): string | undefined => entity.groups.find((group) => group.code === code)?.value;
const all = (entity: Entity, code: number): readonly number[] => entity.groups.filter((group) => group.code === code).map((group) => Number(group.value || NaN));
const number = (entity: Entity, code: number, missing: number = 0): number => {
  const value = text(entity, code);
  return value === undefined ? missing : Number(value === '' ? NaN : value);
};

const damaged = (entity: Entity, what: string): ReturnType<typeof refuse> =>
  refuse({ code: 'entity-damaged', at: `line ${entity.line}`, message: `${entity.type} on layer "${(text(entity, 8) ?? '0').slice(0, 40)}": ${what}.`, hint: 'Draw it again, or take it out of the file.' });

/** Pieces of one entity; null for a kind that is not read. */
function readEntity(entity: Entity, vertices: readonly Entity[]): Result<readonly Piece[]> | null {
  const plane = planeOf(entity);
  switch (entity.type) {
    case 'LINE':
      return checked(entity, all(entity, 10).length === 1 && all(entity, 11).length === 1 ? [line([number(entity, 10), number(entity, 20, NaN)], [number(entity, 11), number(entity, 21, NaN)])] : []);
    case 'ARC':
      return plane === null ? tilted(entity) : placed(readArc(entity), plane);
    case 'LWPOLYLINE':
      return plane === null ? tilted(entity) : placed(readLight(entity), plane);
    case 'POLYLINE':
      if ((number(entity, 70) & (16 | 64)) !== 0) return null;
      return plane === null ? tilted(entity) : placed(readHeavy(entity, vertices), plane);
    case 'SPLINE':
      return readSpline(entity);
    default:
      return null;
  }
}

const tilted = (entity: Entity): Result<readonly Piece[]> => damaged(entity, 'it lies on a tilted plane; expected a flat drawing seen from above');

/** 1 for a drawing seen from above, -1 for one seen from below (its x is mirrored: an object's plane is given by its normal). */
function planeOf(entity: Entity): 1 | -1 | null {
  const [x, y, z] = [number(entity, 210), number(entity, 220), number(entity, 230, 1)];
  if (Math.hypot(x, y) > tolerance.point * Math.abs(z)) return null;
  return z > 0 ? 1 : z < 0 ? -1 : null;
}

function placed(read: Result<readonly Piece[]>, plane: 1 | -1): Result<readonly Piece[]> {
  if (!read.ok || plane === 1) return read;
  return ok(read.value.map((piece) => mapped(piece, (p: Vec2): Vec2 => [-p[0], p[1]])));
}

/** A finished entity: something in it, and only finite numbers. */
function checked(entity: Entity, pieces: readonly Piece[]): Result<readonly Piece[]> {
  if (pieces.length === 0) return damaged(entity, 'it has too few points');
  const finite = pieces.every((piece) => [piece.from, piece.to, piece.at(0.5)].every(([x, y]) => Number.isFinite(x) && Number.isFinite(y)));
  return finite ? ok(pieces) : damaged(entity, 'a coordinate is missing, not a number, or out of range');
}

const rad = Math.PI / 180;

function readArc(entity: Entity): Result<readonly Piece[]> {
  const radius = number(entity, 40, NaN);
  const [start, end] = [number(entity, 50, NaN), number(entity, 51, NaN)];
  if (!(radius > 0)) return damaged(entity, `expected a radius above 0, got ${text(entity, 40) ?? 'none'}`);
  // Always counter-clockwise from start to end.
  const sweep = (((end - start) % 360) + 360) % 360 || 360;
  return checked(entity, [arc([number(entity, 10, NaN), number(entity, 20, NaN)], radius, start * rad, sweep * rad)]);
}

interface Corner {
  readonly at: Vec2;
  readonly bulge: number;
}

function joined(corners: readonly Corner[], closed: boolean): readonly Piece[] {
  const count = closed ? corners.length : corners.length - 1;
  return Array.from({ length: Math.max(0, count) }, (_, i) => {
    const corner = corners[i] as Corner;
    return bulgeArc(corner.at, (corners[(i + 1) % corners.length] as Corner).at, corner.bulge);
  });
}

function readLight(entity: Entity): Result<readonly Piece[]> {
  const corners: { at: Vec2; bulge: number }[] = [];
  for (const { code, value } of entity.groups) {
    const last = corners.at(-1);
    if (code === 10) corners.push({ at: [Number(value || NaN), NaN], bulge: 0 });
    else if (code === 20 && last !== undefined) last.at = [last.at[0], Number(value || NaN)];
    else if (code === 42 && last !== undefined) last.bulge = Number(value || NaN);
  }
  return checked(entity, joined(corners, (number(entity, 70) & 1) !== 0));
}

function readHeavy(entity: Entity, vertices: readonly Entity[]): Result<readonly Piece[]> {
  // Frame points of a spline-fit polyline are not on it (flag 16).
  const corners = vertices.filter((vertex) => (number(vertex, 70) & 16) === 0).map((vertex) => ({ at: [number(vertex, 10, NaN), number(vertex, 20, NaN)] as const, bulge: number(vertex, 42) }));
  return checked(entity, joined(corners, (number(entity, 70) & 1) !== 0));
}

// Beyond this a file is broken, not smooth.
const highestDegree = 15;

function readSpline(entity: Entity): Result<readonly Piece[]> {
  const degree = number(entity, 71, NaN);
  const knots = all(entity, 40);
  const [xs, ys, given] = [all(entity, 10), all(entity, 20), all(entity, 41)];
  if (xs.length === 0 && all(entity, 11).length > 0) return damaged(entity, 'it has fit points only, which do not say what curve runs between them; expected control points');
  if (!Number.isInteger(degree) || degree < 1 || degree > highestDegree) return damaged(entity, `expected a degree from 1 to ${highestDegree}, got ${text(entity, 71) ?? 'none'}`);
  if (xs.length !== ys.length || xs.length <= degree) return damaged(entity, `expected more than ${degree} control points, got ${Math.min(xs.length, ys.length)}`);
  if (knots.length !== xs.length + degree + 1) return damaged(entity, `expected ${xs.length + degree + 1} knots for ${xs.length} control points, got ${knots.length}`);
  if (knots.some((knot, i) => !Number.isFinite(knot) || (i > 0 && knot < (knots[i - 1] as number))) || (knots[xs.length] as number) <= (knots[degree] as number)) return damaged(entity, 'expected knots that rise');
  if (given.length !== 0 && given.length !== xs.length) return damaged(entity, `expected ${xs.length} weights, got ${given.length}`);
  if (given.some((weight) => !(weight > 0))) return damaged(entity, 'expected weights above 0');
  const poles = xs.map((x, i): Vec2 => [x, ys[i] as number]);
  if (poles.some(([x, y]) => !Number.isFinite(x) || !Number.isFinite(y))) return damaged(entity, 'a coordinate is missing, not a number, or out of range');
  return checked(entity, [nurbs({ degree, knots, poles, weights: given.length === 0 ? xs.map(() => 1) : given })]);
}

// --- messages ----------------------------------------------------------------------------------------------------

const entitiesNamed = 20;
// A file with this many damaged entities is not read to its end.
const mostIssues = 1000;

const nameFew = (issues: readonly Issue[]): readonly Issue[] =>
  issues.length <= entitiesNamed ? issues : [...issues.slice(0, entitiesNamed), { code: 'entity-damaged', at: '', message: `${issues.length - entitiesNamed}${issues.length < mostIssues ? '' : ' or more'} further entities are damaged.`, hint: 'Save the drawing again from the program that made it.' }];

const sayIgnored = (ignored: ReadonlyMap<string, number>): string => sayList([...ignored].map(([type, count]) => `${count} ${type.slice(0, 40)}`), 8);

const ignoredRemark = (ignored: ReadonlyMap<string, number>): readonly Remark[] =>
  ignored.size === 0 ? [] : [{ code: 'not-read', at: '', points: [], message: `Not read: ${sayIgnored(ignored)}.`, hint: 'Right if they are not part of the side profile; otherwise explode or redraw them as lines, arcs, polylines or splines.' }];
