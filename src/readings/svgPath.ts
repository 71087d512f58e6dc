/**
 * SVG shapes -> drawn pieces in the user unit of the shape, y still down. The path grammar is read by svgpath; arcs are
 * kept as arcs (SVG 1.1 appendix F.6.5, endpoint to centre form, from memory) instead of being turned into cubics, whose
 * error of about 0.03 % of the radius would be a reading error of its own.
 */
import svgpath from 'svgpath';
import type { Vec2 } from '../maths/vec.ts';
import { ok, refuse, type Result } from '../result.ts';
import { bezier, ellipticArc, line, type Piece } from './curves.ts';

const badShape = (at: string, message: string): ReturnType<typeof refuse> => refuse({ code: 'shape-damaged', at, message, hint: 'Draw it again, or take it out of the file.' });

/** Pieces of a path's `d`, one list for each part begun with M. */
export function piecesOfPath(d: string, at: string): Result<readonly (readonly Piece[])[]> {
  const path = svgpath(d);
  // Not in its types: what the grammar found wrong, empty when nothing.
  const wrong = (path as unknown as { readonly err: string }).err;
  if (wrong !== '') return badShape(at, `The path cannot be read: ${wrong.replace(/^SvgPath:\s*/, '').slice(0, 120)}.`);
  const parts: Piece[][] = [];
  let here: Vec2 = [0, 0];
  let begun: Vec2 = [0, 0];
  let closedLast = false;
  const draw = (piece: Piece): void => {
    (parts.at(-1) as Piece[]).push(piece);
    here = piece.to;
  };
  path.abs().unshort().iterate((segment) => {
    const numbers = segment.slice(1) as number[];
    const point = (i: number): Vec2 => [numbers[i] as number, numbers[i + 1] as number];
    // After Z a new part starts where the last one did.
    if (segment[0] !== 'M' && parts.length > 0 && closedLast) parts.push([]);
    closedLast = false;
    switch (segment[0]) {
      case 'M':
        parts.push([]);
        here = begun = point(0);
        break;
      case 'L':
        draw(line(here, point(0)));
        break;
      case 'H':
        draw(line(here, [numbers[0] as number, here[1]]));
        break;
      case 'V':
        draw(line(here, [here[0], numbers[0] as number]));
        break;
      case 'C':
        draw(bezier([here, point(0), point(2), point(4)]));
        break;
      case 'Q':
        draw(bezier([here, point(0), point(2)]));
        break;
      case 'A':
        draw(endpointArc(here, numbers, point(5)));
        break;
      default:
        if (here[0] !== begun[0] || here[1] !== begun[1]) draw(line(here, begun));
        here = begun;
        closedLast = true;
    }
  });
  return finite(parts, at);
}

/** SVG 1.1 F.6.5 and F.6.6: from end points, radii, turn and flags to centre, half axes and sweep. */
function endpointArc(from: Vec2, [rx = 0, ry = 0, turn = 0, large = 0, sweepFlag = 0]: readonly number[], to: Vec2): Piece {
  if (rx === 0 || ry === 0 || (from[0] === to[0] && from[1] === to[1])) return line(from, to);
  const phi = (turn * Math.PI) / 180;
  const [cos, sin] = [Math.cos(phi), Math.sin(phi)];
  const [dx, dy] = [(from[0] - to[0]) / 2, (from[1] - to[1]) / 2];
  const [x1, y1] = [cos * dx + sin * dy, -sin * dx + cos * dy];
  let [a, b] = [Math.abs(rx), Math.abs(ry)];
  // Radii too small to reach are grown until they do.
  const reach = Math.hypot(x1 / a, y1 / b);
  if (reach > 1) [a, b] = [a * reach, b * reach];
  const rest = Math.max(0, 1 / ((x1 / a) ** 2 + (y1 / b) ** 2) - 1);
  const side = (large === sweepFlag ? -1 : 1) * Math.sqrt(rest);
  const [cx, cy] = [(side * a * y1) / b, (-side * b * x1) / a];
  const start = Math.atan2((y1 - cy) / b, (x1 - cx) / a);
  const end = Math.atan2((-y1 - cy) / b, (-x1 - cx) / a);
  let sweep = end - start;
  if (sweepFlag !== 0 && sweep < 0) sweep += 2 * Math.PI;
  if (sweepFlag === 0 && sweep > 0) sweep -= 2 * Math.PI;
  const centre: Vec2 = [cos * cx - sin * cy + (from[0] + to[0]) / 2, sin * cx + cos * cy + (from[1] + to[1]) / 2];
  return ellipticArc(centre, [a * cos, a * sin], [-b * sin, b * cos], start, sweep, [from, to]);
}

/** Pieces of a `points` attribute. */
export function piecesOfPoints(points: string, closed: boolean, at: string): Result<readonly (readonly Piece[])[]> {
  const words = points.trim() === '' ? [] : points.trim().split(/\s*,\s*|\s+/);
  const numbers = words.map((word) => (/^[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:e[+-]?\d+)?$/i.test(word) ? Number(word) : NaN));
  if (numbers.some(Number.isNaN) || numbers.length % 2 !== 0) return badShape(at, 'Expected pairs of numbers in "points".');
  const corners = Array.from({ length: numbers.length / 2 }, (_, i): Vec2 => [numbers[2 * i] as number, numbers[2 * i + 1] as number]);
  const count = closed ? corners.length : corners.length - 1;
  return finite([Array.from({ length: Math.max(0, count) }, (_, i) => line(corners[i] as Vec2, corners[(i + 1) % corners.length] as Vec2))], at);
}

function finite(parts: readonly (readonly Piece[])[], at: string): Result<readonly (readonly Piece[])[]> {
  const fine = parts.every((part) => part.every((piece) => [piece.from, piece.to, piece.at(0.5)].every(([x, y]) => Number.isFinite(x) && Number.isFinite(y))));
  return fine ? ok(parts) : badShape(at, 'A coordinate is out of range.');
}
