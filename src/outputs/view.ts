/**
 * Mesh -> line drawing seen from any side: edges between faces and the outline of round ones, each drawn as seen or as
 * hidden. Orthographic; right of the drawing is `right`, up is `up`, mm true to size.
 * Method: edges are cut into short runs and each run is looked at along a ray towards the eye.
 */
import { firstHit, type TriangleTree } from '../maths/bvh.ts';
import { tolerance } from '../maths/tolerance.ts';
import { add3, cross3, dot3, scale3, sub3, unit3, type Vec2, type Vec3 } from '../maths/vec.ts';
import { chains, facetNormal, featureEdges, meshBox, nodeAt, type WeldedMesh } from '../solid/mesh.ts';
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

export function viewDrawing(mesh: WeldedMesh, tree: TriangleTree, view: ViewPoint, options: ViewOptions): Drawing {
  const up = cross3(view.towards, view.right);
  const size = extent(mesh);
  const step = options.step ?? size / 250;
  const flat = (p: Vec3): Vec2 => [dot3(p, view.right), dot3(p, up)];
  const edges = featureEdges(mesh);
  const sharp = [...edges.filter((edge) => edge.kind !== 'smooth').map((edge) => edge.points), ...outlines(mesh, view.towards)];
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
}

function extent(mesh: WeldedMesh): number {
  const { least, most } = meshBox(mesh);
  return Math.max(Math.hypot(most[0] - least[0], most[1] - least[1], most[2] - least[2]), 1);
}

/** Edges within one smooth stretch of surface where it turns from facing the eye to facing away. */
function outlines(mesh: WeldedMesh, towards: Vec3): Vec3[][] {
  const count = mesh.positions.length / 3;
  const facing = new Float64Array(mesh.triangles.length / 3);
  for (let t = 0; t < facing.length; t += 1) {
    const n = facetNormal(mesh, t);
    facing[t] = dot3(n, towards) / (Math.hypot(...n) || 1);
  }
  const first = new Map<number, number>();
  const found: { a: number; b: number; turn: number }[] = [];
  for (let t = 0; t < facing.length; t += 1) {
    for (let k = 0; k < 3; k += 1) {
      const [a, b] = [mesh.triangles[3 * t + k]!, mesh.triangles[3 * t + ((k + 1) % 3)]!];
      const key = Math.min(a, b) * count + Math.max(a, b);
      const other = first.get(key);
      if (other === undefined) first.set(key, t);
      // Exactly edge-on facets (upright walls seen from above) count as facing away, so that their rim is drawn once, as an edge.
      else if (facing[t]! > 1e-9 !== facing[other]! > 1e-9 && Math.abs(facing[t]! - facing[other]!) < 2 * Math.sin(tolerance.smoothEdge)) found.push({ a, b, turn: 0 });
    }
  }
  return chains(found).map(({ nodes }) => nodes.map((node) => nodeAt(mesh, node)));
}

function seen(tree: TriangleTree, p: Vec3, towards: Vec3, size: number): boolean {
  // Off the surface by more than the facets stand off their faces, so that an edge does not hide itself.
  return firstHit(tree, add3(p, scale3(towards, size * 1e-3)), towards, 0, size * 2) === null;
}

interface Run {
  readonly seen: boolean;
  readonly points: Vec3[];
}

/** A polyline cut where it passes from seen to hidden, to about `step`. */
function runsOf(points: readonly Vec3[], step: number, isSeen: (p: Vec3) => boolean): Run[] {
  const runs: Run[] = [];
  for (let i = 1; i < points.length; i += 1) {
    const [a, b] = [points[i - 1] as Vec3, points[i] as Vec3];
    const way = sub3(b, a);
    const count = Math.max(1, Math.ceil(Math.hypot(...way) / step));
    for (let k = 0; k < count; k += 1) {
      const from = add3(a, scale3(way, k / count));
      const to = add3(a, scale3(way, (k + 1) / count));
      const visible = isSeen(add3(a, scale3(way, (k + 0.5) / count)));
      const last = runs.at(-1);
      if (last !== undefined && last.seen === visible) {
        // Pieces of one straight edge are one line.
        if (k > 0) last.points.pop();
        last.points.push(to);
      } else runs.push({ seen: visible, points: [from, to] });
    }
  }
  return runs;
}
