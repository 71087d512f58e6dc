/** Faces drawn in by what they grow by: exact on plain bodies. */
import { describe, expect, test } from 'vitest';
import { drawnIn } from '../../src/proof/grown.ts';
import { printLaw, type PrintLaw } from '../../src/proof/law.ts';
import { lying, standingOn } from '../../src/proof/proofPlan.ts';
import { meshBox, meshVolume, type WeldedMesh } from '../../src/solid/mesh.ts';

const block: WeldedMesh = {
  positions: Float64Array.from([0, 0, 0, 20, 0, 0, 20, 10, 0, 0, 10, 0, 0, 0, 5, 20, 0, 5, 20, 10, 5, 0, 10, 5]),
  triangles: Uint32Array.from([0, 2, 1, 0, 3, 2, 4, 5, 6, 4, 6, 7, 0, 1, 5, 0, 5, 4, 1, 2, 6, 1, 6, 5, 2, 3, 7, 2, 7, 6, 3, 0, 4, 3, 4, 7]),
  faceOf: Uint32Array.from([0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 5, 5]),
};

const law = (x: number, y: number, z: number): PrintLaw => ({ ...printLaw(null), growth: { x, y, z } });

const sizes = (mesh: WeldedMesh): number[] => {
  const { least, most } = meshBox(mesh);
  return [0, 1, 2].map((k) => most[k]! - least[k]!);
};

/** An upright cylinder of many facets, true normals given. */
function cylinder(radius: number, height: number, n: number): WeldedMesh {
  const ring = (z: number): number[] => Array.from({ length: n }, (_, i) => [radius * Math.cos((2 * Math.PI * i) / n), radius * Math.sin((2 * Math.PI * i) / n), z]).flat();
  const triangles: number[] = [];
  const normals: number[] = [];
  const out = (i: number): number[] => [Math.cos((2 * Math.PI * i) / n), Math.sin((2 * Math.PI * i) / n), 0];
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n;
    triangles.push(i, j, n + j, i, n + j, n + i, 2 * n, j, i, 2 * n + 1, n + i, n + j);
    normals.push(...out(i), ...out(j), ...out(j), ...out(i), ...out(j), ...out(i), 0, 0, -1, 0, 0, -1, 0, 0, -1, 0, 0, 1, 0, 0, 1, 0, 0, 1);
  }
  return { positions: Float64Array.from([...ring(0), ...ring(height), 0, 0, 0, 0, 0, height]), triangles: Uint32Array.from(triangles), faceOf: new Uint32Array(4 * n), normals: Float32Array.from(normals) };
}

describe('faces drawn in', () => {
  test('a block becomes smaller by just its growth, its bed side where it was', () => {
    const drawn = drawnIn(block, standingOn(0), law(0.2, -0.1, 0.06));
    sizes(drawn).forEach((size, k) => expect(size).toBeCloseTo([19.8, 10.1, 4.94][k]!, 4));
    expect(meshBox(drawn).least[2]).toBeCloseTo(0, 5);
    expect(meshVolume(drawn)).toBeCloseTo(19.8 * 10.1 * 4.94, 1);
  });

  test('turned a quarter it is the other way round; lying, Z of the part lies along Y of the bed', () => {
    sizes(drawnIn(block, standingOn(90), law(0.2, 0, 0))).forEach((size, k) => expect(size).toBeCloseTo([20, 9.8, 5][k]!, 4));
    sizes(drawnIn(block, lying, law(0, 0.2, 0))).forEach((size, k) => expect(size).toBeCloseTo([20, 10, 4.8][k]!, 4));
  });

  test('a round body loses its growth in diameter, all round', () => {
    const drawn = drawnIn(cylinder(10, 8, 90), standingOn(0), law(0.2, 0.2, 0));
    for (let i = 0; i < 180; i++) expect(Math.hypot(drawn.positions[3 * i]!, drawn.positions[3 * i + 1]!)).toBeCloseTo(9.9, 4);
  });

  test('no growth, no change', () => expect(drawnIn(block, standingOn(0), law(0, 0, 0))).toBe(block));
});
