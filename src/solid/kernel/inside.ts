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

/** mm3 of `inner` outside `outer`; null when either mesh is not closed, so that nothing can be said. */
export function volumeOutside(manifolds: Manifolds, inner: WeldedMesh, outer: WeldedMesh): number | null {
  const made: Manifold[] = [];
  try {
    for (const mesh of [inner, outer]) made.push(manifoldOf(manifolds, mesh));
    const difference = made[0]!.subtract(made[1]!);
    made.push(difference);
    return difference.volume();
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
