/** Face meshes welded: closed, of the right volume, with the edges a hand would feel. Held against manifold-3d. */
import initManifold from 'manifold-3d';
import { describe, expect, test } from 'vitest';
import { tolerance } from '../../src/maths/tolerance.ts';
import { unwrap } from '../../src/result.ts';
import type { FaceMesh, Mesh } from '../../src/solid/door.ts';
import { meshGap, meshVolume, weld } from '../../src/solid/mesh.ts';
import { featureEdges } from '../../src/solid/meshEdges.ts';
import { crowned, flat, planOf, sharedKernel, sharp, tryMesh, type Doc } from './part.ts';

const full: Doc = {
  body: { width: 90 },
  tabs: [{ wall: 'front', at: 30 }, { wall: 'back', at: 60, hole: { screw: 'M5', head: 'countersink' } }],
  bosses: [{ x: 60, y: 30, endHeight: 8, thread: 'M5', holeDepth: 14, rootRadius: 2 }, { x: 120, y: 50 }],
  notches: [{ wall: 'right', at: 100, radius: 2 }],
};

const face = (id: number, corners: readonly (readonly [number, number, number])[]): FaceMesh => ({
  id,
  kind: 'plane',
  positions: Float32Array.from(corners.flat()),
  normals: new Float32Array(3 * corners.length),
  triangles: Uint32Array.from(corners.length === 4 ? [0, 1, 2, 0, 2, 3] : [0, 1, 2]),
});

/** A cube of side 2 with one face per side, outwards. */
const cube: Mesh = {
  quality: { deviation: 1, angle: 1 },
  faces: [
    face(1, [[0, 0, 0], [0, 2, 0], [2, 2, 0], [2, 0, 0]]),
    face(2, [[0, 0, 2], [2, 0, 2], [2, 2, 2], [0, 2, 2]]),
    face(3, [[0, 0, 0], [2, 0, 0], [2, 0, 2], [0, 0, 2]]),
    face(4, [[0, 2, 0], [-0, 2, 2], [2, 2, 2], [2, 2, 0]]),
    face(5, [[0, 0, 0], [0, 0, 2], [0, 2, 2], [0, 2, 0]]),
    face(6, [[2, 0, 0], [2, 2, 0], [2, 2, 2], [2, 0, 2]]),
  ],
};

describe('a cube by hand', () => {
  const welded = weld(cube);
  test('welds to eight nodes and twelve triangles', () => {
    expect(welded.positions.length / 3).toBe(8);
    expect(welded.triangles.length / 3).toBe(12);
    expect(meshVolume(welded)).toBeCloseTo(8, 12);
    expect(meshGap(welded)).toEqual({ open: 0, crowded: 0, turned: 0 });
  });
  test('has twelve convex edges of a quarter turn', () => {
    const edges = featureEdges(welded);
    expect(edges).toHaveLength(12);
    for (const edge of edges) {
      expect(edge).toMatchObject({ kind: 'convex', closed: false });
      expect(edge.turn).toBeCloseTo(Math.PI / 2, 9);
      expect(edge.points).toHaveLength(2);
    }
  });
  test('shows a missing side and a turned one', () => {
    expect(meshGap(weld({ ...cube, faces: cube.faces.slice(1) })).open).toBe(4);
    const turned = { ...cube.faces[0]!, triangles: Uint32Array.from([0, 2, 1, 0, 3, 2]) };
    expect(meshGap(weld({ ...cube, faces: [turned, ...cube.faces.slice(1)] })).turned).toBe(4);
  });
});

describe('a whole part', () => {
  test('is closed, and manifold-3d finds the same volume', async () => {
    const { mesh, meshed, measured } = await tryMesh(full, crowned);
    expect(meshGap(mesh)).toEqual({ open: 0, crowded: 0, turned: 0 });
    const manifold = await initManifold();
    manifold.setup();
    const solid = new manifold.Manifold(new manifold.Mesh({ numProp: 3, vertProperties: Float32Array.from(mesh.positions), triVerts: mesh.triangles }));
    expect(solid.status()).toBe('NoError');
    expect(Math.abs(solid.volume() / meshed - 1)).toBeLessThan(1e-6);
    expect(Math.abs(meshed / measured.volume - 1)).toBeLessThan(3e-3);
    expect(solid.decompose().length).toBe(1);
    solid.delete();
  });

  test('normals are unit and stand out of the metal', async () => {
    const door = await sharedKernel();
    const { solid } = unwrap(door.build(unwrap(planOf(full, crowned))));
    for (const { positions: p, normals: n, triangles } of door.mesh(solid, { deviation: 0.1, angle: 0.3 }).faces) {
      for (let i = 0; i < n.length; i += 3) expect(Math.abs(Math.hypot(n[i]!, n[i + 1]!, n[i + 2]!) - 1)).toBeLessThan(1e-5);
      let agree = 0;
      for (let t = 0; t < triangles.length; t += 3) {
        const [a, b, c] = [0, 1, 2].map((k) => 3 * triangles[t + k]!) as [number, number, number];
        const u = [0, 1, 2].map((k) => p[b + k]! - p[a + k]!);
        const v = [0, 1, 2].map((k) => p[c + k]! - p[a + k]!);
        agree += (u[1]! * v[2]! - u[2]! * v[1]!) * n[a]! + (u[2]! * v[0]! - u[0]! * v[2]!) * n[a + 1]! + (u[0]! * v[1]! - u[1]! * v[0]!) * n[a + 2]!;
      }
      expect(agree).toBeGreaterThan(0);
    }
    door.release(solid);
  });

  test('holds the stated deviation when the quality changes, finer or coarser', async () => {
    const door = await sharedKernel();
    const { solid } = unwrap(door.build(unwrap(planOf(full, crowned))));
    const count = (deviation: number, angle: number): number => weld(door.mesh(solid, { deviation, angle })).triangles.length / 3;
    const coarse = count(0.2, 0.5);
    const fine = count(0.02, 0.15);
    expect(fine).toBeGreaterThan(2 * coarse);
    expect(count(0.2, 0.5)).toBe(coarse);
    expect(count(0.02, 0.15)).toBe(fine);
    door.release(solid);
  });

  test('an edit keeps the faces it does not touch, and the mesh stays closed', async () => {
    const door = await sharedKernel();
    const quality = { deviation: 0.1, angle: 0.3 };
    const idsOf = (mesh: Mesh): Set<number> => new Set(mesh.faces.map((one) => one.id));
    const first = unwrap(door.build(unwrap(planOf(full, crowned))));
    const before = idsOf(door.mesh(first.solid, quality));
    const moved: Doc = { ...full, bosses: [{ ...full.bosses![0]!, holeDepth: 12 }, full.bosses![1]!] };
    const second = unwrap(door.build(unwrap(planOf(moved, crowned))));
    const mesh = door.mesh(second.solid, quality);
    const fresh = [...idsOf(mesh)].filter((id) => !before.has(id));
    expect(idsOf(mesh).size).toBe(mesh.faces.length);
    expect(fresh.length).toBeLessThan(mesh.faces.length / 3);
    expect(meshGap(weld(mesh))).toEqual({ open: 0, crowded: 0, turned: 0 });
    const tabMoved: Doc = { ...moved, tabs: [{ ...full.tabs![0]!, holeAlong: 2 }, full.tabs![1]!] };
    const third = unwrap(door.build(unwrap(planOf(tabMoved, crowned))));
    expect(meshGap(weld(door.mesh(third.solid, quality)))).toEqual({ open: 0, crowded: 0, turned: 0 });
    for (const { solid } of [first, second, third]) door.release(solid);
  });

  test('edges of a sharp shell: 12 outside, 4 at the rim inside, 8 hollow ones', async () => {
    const { mesh } = await tryMesh({ body: sharp });
    const kinds = featureEdges(mesh).map((edge) => edge.kind);
    expect(kinds.filter((kind) => kind === 'convex')).toHaveLength(12 + 4);
    expect(kinds.filter((kind) => kind === 'concave')).toHaveLength(8);
    expect(kinds).toHaveLength(24);
    const total = featureEdges(mesh).filter((edge) => edge.kind === 'convex').reduce((sum, edge) => sum + edge.points.slice(1).reduce((run, p, i) => run + Math.hypot(...p.map((x, k) => x - edge.points[i]![k]!)), 0), 0);
    const inside = 2 * (flat.length - 2 * flat.wall + flat.width - 2 * flat.wall);
    expect(total).toBeCloseTo(4 * (flat.length + flat.width + flat.height) + inside, 3);
  });

  test('tangent roundings leave no felt edge round the top', async () => {
    const { mesh } = await tryMesh({ body: { width: 90 } }, crowned, { deviation: tolerance.meshDeviation, angle: tolerance.meshAngle });
    const felt = featureEdges(mesh).filter((edge) => edge.kind === 'convex');
    for (const edge of felt) for (const [, , z] of edge.points) expect(z).toBeLessThan(1e-6);
  });
});
