/**
 * Mesh -> line drawing seen from any side: edges between faces and the outline of round ones, each drawn as seen or as
 * hidden. Orthographic; right of the drawing is `right`, up is `up`, mm true to size.
 * Method: edges are cut into short runs and each run is looked at along a ray towards the eye.
 */
import type { TriangleTree } from '../maths/bvh.ts';
import { anyHit } from '../maths/rays.ts';
import { tolerance } from '../maths/tolerance.ts';
import { add3, cross3, dot3, scale3, sub3, unit3, type Vec2, type Vec3 } from '../maths/vec.ts';
import { meshBox, nodeAt, type WeldedMesh } from '../solid/mesh.ts';
import { chains, edgesOfMesh, featureEdges, type MeshEdges } from '../solid/meshEdges.ts';
import { polyline, type Drawing, type Mark } from './drawing.ts';

export interface ViewPoint {
  /** From the part towards the eye, unit. */
  readonly towards: Vec3;
  /** To the right in the drawing, unit, square to `towards`. */
  readonly right: Vec3;
}

const iso = (x: number, y: number, z: number): ViewPoint => {
  const towards = unit3([x, y, z]);
  return { towards, right: unit3(cross3([0, 0, 1], towards)) };
};

/** Standard views by name. Plan and front as the eye stands: above, before the front wall, at the left end. */
export const viewPoints = {
  above: { towards: [0, 0, 1], right: [1, 0, 0] },
  below: { towards: [0, 0, -1], right: [1, 0, 0] },
  left: { towards: [0, -1, 0], right: [1, 0, 0] },
  right: { towards: [0, 1, 0], right: [-1, 0, 0] },
  front: { towards: [-1, 0, 0], right: [0, -1, 0] },
  back: { towards: [1, 0, 0], right: [0, 1, 0] },
  outside: iso(-0.6, -1, 0.75),
  inside: iso(-0.6, -1, -0.9),
} as const satisfies Record<string, ViewPoint>;

export type ViewName = keyof typeof viewPoints;

export interface ViewOptions {
  /** Draw hidden edges dashed; left out of the picture otherwise. */
  readonly hidden: boolean;
  /** mm: edges are judged in runs of about this length. */
  readonly step?: number;
}

/** A part that can be looked at from any side; what all views share is found once. */
export type Viewer = (view: ViewPoint, options: ViewOptions) => Drawing;

export const viewDrawing = (mesh: WeldedMesh, tree: TriangleTree, view: ViewPoint, options: ViewOptions): Drawing => viewerOf(mesh, tree)(view, options);

export function viewerOf(mesh: WeldedMesh, tree: TriangleTree): Viewer {
  const size = extent(mesh);
  const meshEdges = edgesOfMesh(mesh);
  const edges = featureEdges(mesh, tolerance.smoothEdge, meshEdges);
  return (view, options) => {
    const up = cross3(view.towards, view.right);
    const step = options.step ?? size / 250;
    const flat = (p: Vec3): Vec2 => [dot3(p, view.right), dot3(p, up)];
    const sharp = [...edges.filter((edge) => edge.kind !== 'smooth').map((edge) => edge.points), ...outlines(mesh, meshEdges, tree.normals, view.towards)];
    const runs = (points: readonly Vec3[]): Run[] => runsOf(points, step, (p) => seen(tree, p, view.towards, size));
    const marks: Mark[] = [];
    // Where a radius runs out into a face there is nothing to feel; a thin line still helps the eye.
    if (!options.hidden) {
      for (const edge of edges) {
        if (edge.kind === 'smooth') for (const run of runs(edge.points)) if (run.seen) marks.push(polyline('construction', run.points.map(flat)));
      }
    }
    for (const points of sharp) {
      for (const run of runs(points)) if (run.seen || options.hidden) marks.push(polyline(run.seen ? 'outline' : 'hidden', run.points.map(flat)));
    }
    return { marks };
  };
}

function extent(mesh: WeldedMesh): number {
  const { least, most } = meshBox(mesh);
  return Math.max(Math.hypot(most[0] - least[0], most[1] - least[1], most[2] - least[2]), 1);
}

/** Edges within one smooth stretch of surface where it turns from facing the eye to facing away. */
function outlines(mesh: WeldedMesh, { count, low, high, first, second, uses }: MeshEdges, normals: Float64Array, towards: Vec3): Vec3[][] {
  const facing = new Float64Array(normals.length / 3);
  for (let t = 0; t < facing.length; t += 1) facing[t] = normals[3 * t]! * towards[0] + normals[3 * t + 1]! * towards[1] + normals[3 * t + 2]! * towards[2];
  const most = 2 * Math.sin(tolerance.smoothEdge);
  const found: { a: number; b: number; turn: number }[] = [];
  for (let i = 0; i < count; i += 1) {
    const [one, other] = [facing[first[i]!]!, facing[second[i]!]!];
    // Exactly edge-on facets (upright walls seen from above) count as facing away, so that their rim is drawn once, as an edge.
    if (uses[i] === 2 && one > 1e-9 !== other > 1e-9 && Math.abs(one - other) < most) found.push({ a: low[i]!, b: high[i]!, turn: 0 });
  }
  return chains(found).map(({ nodes }) => nodes.map((node) => nodeAt(mesh, node)));
}

function seen(tree: TriangleTree, p: Vec3, towards: Vec3, size: number): boolean {
  // Off the surface by more than the facets stand off their faces, so that an edge does not hide itself.
  return !anyHit(tree, add3(p, scale3(towards, size * 1e-3)), towards, 0, size * 2);
}

interface Run {
  readonly seen: boolean;
  readonly points: Vec3[];
}

/** Steps looked at at once: where both ends of a stretch are seen, or neither is, what lies between is taken to be so too. */
const stretch = 5;

/** A polyline cut where it passes from seen to hidden, to about `step`. Something narrower than a few steps may be missed. */
function runsOf(points: readonly Vec3[], step: number, isSeen: (p: Vec3) => boolean): Run[] {
  const pieces = piecesOf(points, step);
  const known = seenOf(pieces, step, isSeen);
  const runs: Run[] = [];
  pieces.forEach(({ from, to, inner }, i) => {
    const last = runs.at(-1);
    if (last !== undefined && last.seen === known[i]) {
      // Pieces of one straight edge are one line.
      if (inner) last.points.pop();
      last.points.push(to);
    } else runs.push({ seen: known[i]!, points: [from, to] });
  });
  return runs;
}

interface Piece {
  readonly from: Vec3;
  readonly to: Vec3;
  readonly length: number;
  /** Goes on straight from the piece before. */
  readonly inner: boolean;
}

function piecesOf(points: readonly Vec3[], step: number): Piece[] {
  const pieces: Piece[] = [];
  for (let i = 1; i < points.length; i += 1) {
    const [a, b] = [points[i - 1] as Vec3, points[i] as Vec3];
    const way = sub3(b, a);
    const far = Math.hypot(...way);
    const count = Math.max(1, Math.ceil(far / step));
    for (let k = 0; k < count; k += 1) pieces.push({ from: add3(a, scale3(way, k / count)), to: add3(a, scale3(way, (k + 1) / count)), length: far / count, inner: k > 0 });
  }
  return pieces;
}

/** Whether each piece is seen: looked at in stretches, halved where the two ends of one differ. */
function seenOf(pieces: readonly Piece[], step: number, isSeen: (p: Vec3) => boolean): boolean[] {
  const known: (boolean | undefined)[] = Array.from({ length: pieces.length });
  const look = (i: number): boolean => (known[i] ??= isSeen(scale3(add3(pieces[i]!.from, pieces[i]!.to), 0.5)));
  const settle = (low: number, high: number): void => {
    if (high - low < 2) return;
    if (look(low) === look(high)) known.fill(look(low), low + 1, high);
    else {
      const middle = (low + high) >> 1;
      look(middle);
      settle(low, middle);
      settle(middle, high);
    }
  };
  for (let low = 0; low < pieces.length; ) {
    let high = low;
    for (let far = 0; high < pieces.length - 1 && far < stretch * step; ) far += pieces[++high]!.length;
    look(low);
    look(high);
    settle(low, high);
    low = high === low ? low + 1 : high;
    if (high === pieces.length - 1) break;
  }
  return known as boolean[];
}
