/**
 * Drawn pieces in any order and direction -> open paths, end to end, and the one a person means. Used by DXF and SVG alike.
 * Pieces and points in mm, x right, z up. Ends nearer than `tolerance.drawingJoin` are taken to meet.
 */
import { tolerance } from '../maths/tolerance.ts';
import { distance2, type Vec2 } from '../maths/vec.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import { lengthOf, pointsAlong, reversed, type Piece } from './curves.ts';
import { mostReadings, sayNumber, type Remark } from './reading.ts';

export interface DrawnPiece {
  readonly piece: Piece;
  /** Layer or id it belongs to. */
  readonly name: string;
}

/** Pieces end to end. */
export interface Chain {
  readonly pieces: readonly Piece[];
  /** Layers or ids, in order, each once. */
  readonly names: readonly string[];
  readonly closed: boolean;
  /** mm along it, to about 0.1 %. */
  readonly length: number;
  readonly from: Vec2;
  readonly to: Vec2;
}

interface End {
  readonly piece: number;
  readonly side: 'from' | 'to';
}

/** Groups ends that meet: a square grid of the joining distance, each end looked up in its cell and the eight around. */
function meetings(drawn: readonly DrawnPiece[], within: number): readonly (readonly [number, number])[] {
  const places: Vec2[] = [];
  const grid = new Map<string, number[]>();
  const placeOf = (p: Vec2): number => {
    const [column, row] = [Math.floor(p[0] / within), Math.floor(p[1] / within)];
    for (let i = -1; i <= 1; i++) {
      for (let j = -1; j <= 1; j++) {
        for (const place of grid.get(`${column + i},${row + j}`) ?? []) {
          const [x, z] = places[place] as Vec2;
          if (Math.hypot(p[0] - x, p[1] - z) <= within) return place;
        }
      }
    }
    const key = `${column},${row}`;
    grid.set(key, [...(grid.get(key) ?? []), places.length]);
    return places.push(p) - 1;
  };
  return drawn.map(({ piece }) => [placeOf(piece.from), placeOf(piece.to)] as const);
}

/** Joins pieces where exactly two ends meet; a place where three or more meet ends the paths that come to it. */
export function chainsOf(drawn: readonly DrawnPiece[], within: number = tolerance.drawingJoin): readonly Chain[] {
  const places = meetings(drawn, within);
  const at = new Map<number, End[]>();
  const arrive = (place: number, end: End): void => {
    const ends = at.get(place);
    if (ends === undefined) at.set(place, [end]);
    else ends.push(end);
  };
  places.forEach(([from, to], piece) => {
    arrive(from, { piece, side: 'from' });
    arrive(to, { piece, side: 'to' });
  });
  const used = new Set<number>();
  const chains: Chain[] = [];
  const walk = (first: End): void => {
    const pieces: Piece[] = [];
    const names = new Set<string>();
    let end: End | undefined = first;
    let place = NaN;
    while (end !== undefined && !used.has(end.piece)) {
      const { piece, side }: End = end;
      used.add(piece);
      const { piece: shape, name } = drawn[piece] as DrawnPiece;
      pieces.push(side === 'from' ? shape : reversed(shape));
      names.add(name);
      const [a, b] = places[piece] as readonly [number, number];
      place = side === 'from' ? b : a;
      const here: readonly End[] = at.get(place) ?? [];
      end = here.length === 2 ? here.find((other) => other.piece !== piece) : undefined;
    }
    const [a, b] = places[first.piece] as readonly [number, number];
    const begun = first.side === 'from' ? a : b;
    chains.push(finish(pieces, [...names], place === begun));
  };
  // Open ends and branchings first, then what is left: closed rings.
  for (const ends of at.values()) if (ends.length !== 2) for (const end of ends) if (!used.has(end.piece)) walk(end);
  drawn.forEach((_, piece) => {
    if (!used.has(piece)) walk({ piece, side: 'from' });
  });
  return chains.sort((a, b) => b.length - a.length);
}

function finish(pieces: readonly Piece[], names: readonly string[], closed: boolean): Chain {
  const length = pieces.reduce((sum, piece) => sum + lengthOf(piece), 0);
  return { pieces, names, closed, length, from: (pieces[0] as Piece).from, to: (pieces.at(-1) as Piece).to };
}

export interface ChooseOptions {
  /** Only pieces of this layer or id. */
  readonly name?: string;
  /** Which of several paths, from 1, in the order an earlier refusal listed them. */
  readonly which?: number;
  /** mm. Ends nearer than this meet. */
  readonly joinWithin?: number;
}

/** Whether names are layers or ids, for messages. */
export type NameKind = 'layer' | 'id';

/** The one open path meant, walked towards larger stations; or every path there is, named with its length. */
export function chooseChain(drawn: readonly DrawnPiece[], options: ChooseOptions, kind: NameKind): Result<Chain> {
  const names = [...new Set(drawn.map(({ name }) => name))];
  const wanted = options.name === undefined ? drawn : drawn.filter(({ name }) => name === options.name);
  if (wanted.length === 0) {
    return refuse({ code: 'nothing-drawn', at: options.name ?? '', message: `Expected something drawn with ${kind} "${options.name ?? ''}"; there are ${names.slice(0, 10).map((name) => `"${name}"`).join(', ')}.`, hint: `Choose one of these.` });
  }
  const within = options.joinWithin ?? tolerance.drawingJoin;
  const chains = chainsOf(wanted, within);
  const chain = options.which === undefined ? (chains.length === 1 ? chains[0] : undefined) : chains[options.which - 1];
  if (chain === undefined) return refuse(severalPaths(chains, options, kind));
  if (chain.closed) {
    return refuse({ code: 'path-closed', at: chain.names.join(', '), message: `The path with ${kind} ${sayNames(chain)} is closed, ${sayNumber(chain.length)} mm round; expected the side profile from front to back as an open path.`, hint: 'Open it where the front and back walls begin, and leave only the top.' });
  }
  return ok(chain.from[0] <= chain.to[0] ? chain : turned(chain));
}

const turned = (chain: Chain): Chain => ({ ...chain, pieces: [...chain.pieces].reverse().map(reversed), from: chain.to, to: chain.from });

const sayNames = (chain: Chain): string => chain.names.slice(0, 3).map((name) => `"${name}"`).join(', ') + (chain.names.length > 3 ? ` and ${chain.names.length - 3} more` : '');
const sayPoint = (p: Vec2): string => `(${sayNumber(p[0])}, ${sayNumber(p[1])})`;

// Written out in a message; the rest are counted.
const pathsNamed = 8;

function severalPaths(chains: readonly Chain[], options: ChooseOptions, kind: NameKind): Issue {
  const named = chains.slice(0, pathsNamed).map((chain, i) => `${i + 1}: ${kind} ${sayNames(chain)}, ${sayNumber(chain.length)} mm ${chain.closed ? 'round' : `from ${sayPoint(chain.from)} to ${sayPoint(chain.to)}`}`);
  const rest = chains.length > pathsNamed ? `; and ${chains.length - pathsNamed} shorter` : '';
  const gap = leastGap(chains.slice(0, pathsNamed));
  const join = gap === null ? '' : ` If they are one, close the gap of ${sayNumber(gap)} mm or state a larger joining distance.`;
  return options.which === undefined
    ? { code: 'several-paths', at: '', message: `Expected one path, got ${chains.length}: ${named.join('; ')}${rest}.`, hint: `State the ${kind} or the number of the one meant.${join}` }
    : { code: 'several-paths', at: '', message: `Expected a path number from 1 to ${chains.length}, got ${options.which}: ${named.join('; ')}${rest}.`, hint: 'State one of these numbers.' };
}

/** mm. Least distance between ends of different open paths. */
function leastGap(chains: readonly Chain[]): number | null {
  const open = chains.filter((chain) => !chain.closed);
  let least: number | null = null;
  open.forEach((a, i) => {
    for (const b of open.slice(i + 1)) {
      for (const p of [a.from, a.to]) for (const q of [b.from, b.to]) least = Math.min(least ?? Infinity, distance2(p, q));
    }
  });
  return least;
}

export interface Sampled {
  readonly points: readonly Vec2[];
  /** In words, for the provenance. */
  readonly how: string;
}

// Without a stated distance, a drawn path gives at least this many points along its length.
const pointsPerPath = 60;

/**
 * Points to be faired. A path of straight strokes only is taken corner by corner: its corners are the readings, and points
 * between them would lie on chords, not on the part. Any other path is walked so that no chord leaves it by more than
 * `chord` mm and none is longer than `spacing` mm.
 */
export function samplePath(chain: Chain, chord: number = tolerance.drawingChord, spacing: number = chain.length / pointsPerPath): Result<Sampled> {
  const straight = chain.pieces.every((piece) => piece.kind === 'line');
  const points: Vec2[] = [chain.from];
  for (const piece of chain.pieces) {
    const [start, ...rest] = pointsAlong(piece, chord, straight ? Infinity : spacing);
    // Where a gap was closed on request both its ends are readings; a joint is one.
    if (start !== undefined && distance2(start, points.at(-1) as Vec2) > tolerance.drawingJoin) points.push(start);
    for (const p of rest) points.push(p);
    if (points.length > mostReadings) {
      return refuse({ code: 'too-many-readings', at: '', message: `Expected at most ${mostReadings} points, the path gives more.`, hint: 'State a larger chord distance or spacing.' });
    }
  }
  const distinct = points.filter((p, i) => i === 0 || distance2(p, points[i - 1] as Vec2) > tolerance.point);
  const how = straight ? 'the corners of the path, nothing between them' : `points no further than ${sayNumber(chord)} mm from chord to curve and ${sayNumber(spacing)} mm apart`;
  return ok({ points: distinct, how });
}

/** Drawn more than once: pieces with the same ends and middle, either way round. */
export function withoutDoubles(drawn: readonly DrawnPiece[], kind: NameKind): { readonly drawn: readonly DrawnPiece[]; readonly remarks: readonly Remark[] } {
  const seen = new Set<string>();
  const key = (p: Vec2): string => `${Math.round(p[0] / tolerance.point)},${Math.round(p[1] / tolerance.point)}`;
  const kept = drawn.filter(({ piece }) => {
    const ends = [key(piece.from), key(piece.to)].sort().join(' ');
    const name = `${ends} ${key(piece.at(0.5))}`;
    if (seen.has(name)) return false;
    seen.add(name);
    return true;
  });
  const count = drawn.length - kept.length;
  const remark: Remark = { code: 'drawn-twice', at: '', points: [], message: `${count} ${count === 1 ? 'stroke is' : 'strokes are'} drawn twice in the same place; taken once.`, hint: `Check that no ${kind} was copied onto another.` };
  return { drawn: kept, remarks: count === 0 ? [] : [remark] };
}
