/**
 * DXF entities -> drawn pieces in the file's unit. LINE, ARC, LWPOLYLINE, POLYLINE with its VERTEX entities, SPLINE; group
 * codes after the public DXF reference (from memory).
 */
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2 } from '../maths/vec.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import type { DrawnPiece } from './chains.ts';
import { arc, bulgeArc, line, mapped, nurbs, type Piece } from './curves.ts';
import type { Entity } from './dxfGroups.ts';

// A file with this many damaged entities is not read to its end.
export const mostIssues = 1000;

export interface ReadEntities {
  readonly drawn: readonly DrawnPiece[];
  /** Kinds of entity passed over, with how many. */
  readonly ignored: ReadonlyMap<string, number>;
  readonly issues: readonly Issue[];
}

export function readEntities(entities: readonly Entity[]): ReadEntities {
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

/** How far drawn things reach out of the XY plane, in the file's unit. */
export function depthOf(entities: readonly Entity[]): number {
  let [low, high] = [Infinity, -Infinity];
  for (const entity of entities) {
    if (!['LINE', 'ARC', 'VERTEX', 'SPLINE'].includes(entity.type)) continue;
    for (const z of [...all(entity, 30), ...all(entity, 31)]) [low, high] = [Math.min(low, z), Math.max(high, z)];
  }
  return high > low ? high - low : 0;
}
