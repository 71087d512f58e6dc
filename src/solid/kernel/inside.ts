/**
 * Proof that the hollow lies inside the outside: how much of its mesh sticks out of the outside's mesh, by exact mesh
 * booleans (manifold-3d). The only safeguard against an assembled solid that crosses itself, which no validity check sees.
 */
import initManifold from 'manifold-3d';
import type { Manifold, ManifoldToplevel } from 'manifold-3d';
import type { WeldedMesh } from '../mesh.ts';

export type Manifolds = ManifoldToplevel;

export async function startManifolds(wasm?: string | URL): Promise<Manifolds> {
  const module = await (initManifold as (options?: { locateFile: () => string }) => Promise<Manifolds>)(wasm === undefined ? undefined : { locateFile: () => String(wasm) });
  module.setup();
  return module;
}

/** Least distance between two meshes, up to `upTo`; null when either is not closed. */
export function gapBetween(manifolds: Manifolds, a: WeldedMesh, b: WeldedMesh, upTo: number): number | null {
  return withManifolds(manifolds, [a, b], ([one, other]) => one!.minGap(other!, upTo));
}

/** mm3 of `inner` outside `outer`; null when either mesh is not closed, so that nothing can be said. */
export function volumeOutside(manifolds: Manifolds, inner: WeldedMesh, outer: WeldedMesh): number | null {
  return withManifolds(manifolds, [inner, outer], ([one, other], keep) => keep(one!.subtract(other!)).volume());
}

/** Frees everything that was made, also where it fails. */
function withManifolds<T>(manifolds: Manifolds, meshes: readonly WeldedMesh[], work: (made: readonly Manifold[], keep: (one: Manifold) => Manifold) => T): T | null {
  const made: Manifold[] = [];
  const keep = (one: Manifold): Manifold => {
    made.push(one);
    return one;
  };
  try {
    return work(meshes.map((mesh) => keep(manifoldOf(manifolds, mesh))), keep);
  } catch (error) {
    if (error instanceof Error && /manifold/i.test(`${error.name} ${error.message}`)) return null;
    throw error;
  } finally {
    for (const one of made) one.delete();
  }
}

export function manifoldOf(manifolds: Manifolds, mesh: WeldedMesh): Manifold {
  const input = new manifolds.Mesh({ numProp: 3, vertProperties: Float32Array.from(mesh.positions), triVerts: mesh.triangles });
  return new manifolds.Manifold(input);
}
