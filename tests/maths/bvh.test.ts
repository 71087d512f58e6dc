import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { BufferAttribute, BufferGeometry, Ray, Vector3, DoubleSide } from 'three';
import { MeshBVH } from 'three-mesh-bvh';
import { triangleTree } from '../../src/maths/bvh.ts';
import { nearestOnSurface } from '../../src/maths/nearest.ts';
import { firstHit } from '../../src/maths/rays.ts';
import type { Vec3 } from '../../src/maths/vec.ts';

// Hundredths of a millimetre: the scale of real parts, without numbers too small to square.
const coordinate = fc.integer({ min: -5000, max: 5000 }).map((n) => n / 100);
const vector = fc.tuple(coordinate, coordinate, coordinate);
const soup = fc.array(fc.tuple(vector, vector, vector), { minLength: 1, maxLength: 60 });

function meshOf(triangles: readonly (readonly [Vec3, Vec3, Vec3])[]) {
  const positions = Float64Array.from(triangles.flat(2));
  return { positions, triangles: Uint32Array.from({ length: triangles.length * 3 }, (_, i) => i) };
}

// The other opinion is three-mesh-bvh, a general-purpose library, in single precision: hence the loose figures.
function rival(triangles: readonly (readonly [Vec3, Vec3, Vec3])[]): MeshBVH {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(triangles.flat(2)), 3));
  return new MeshBVH(geometry);
}

describe('triangle tree against three-mesh-bvh', () => {
  test('nearest point', () => {
    fc.assert(
      fc.property(soup, vector, (triangles, point) => {
        const { positions, triangles: index } = meshOf(triangles);
        const ours = nearestOnSurface(triangleTree(positions, index), point, 1e9);
        const theirs = rival(triangles).closestPointToPoint(new Vector3(...point));
        expect(ours).not.toBeNull();
        expect(ours?.distance).toBeCloseTo(theirs?.distance ?? -1, 2);
      }),
      { numRuns: 200 },
    );
  });

  test('first hit', () => {
    fc.assert(
      fc.property(soup, vector, vector, (triangles, origin, direction) => {
        fc.pre(Math.hypot(...direction) > 1);
        const { positions, triangles: index } = meshOf(triangles);
        const ours = firstHit(triangleTree(positions, index), origin, direction, 0, 1e9);
        const size = Math.hypot(...direction);
        const theirs = rival(triangles).raycastFirst(new Ray(new Vector3(...origin), new Vector3(...direction).normalize()), DoubleSide);
        // Grazing hits may differ between single and double precision; a hit both see must be at the same place.
        if (ours && theirs) expect(Math.abs(ours.t * size - theirs.distance)).toBeLessThan(0.05 + 0.01 * theirs.distance);
      }),
      { numRuns: 200 },
    );
  });

  test('a ray lying in the plane of a box side still finds the triangle', () => {
    const { positions, triangles } = meshOf([[[0, 0, 0], [10, 0, 0], [0, 10, 0]]]);
    expect(firstHit(triangleTree(positions, triangles), [0.5, 0, 5], [0, 0, -1], 0, 100)?.t).toBeCloseTo(5, 12);
  });

  test('nothing there', () => {
    const tree = triangleTree(new Float64Array(), new Uint32Array());
    expect(firstHit(tree, [0, 0, 0], [0, 0, 1], 0, 1)).toBeNull();
    expect(nearestOnSurface(tree, [0, 0, 0], 1)).toBeNull();
  });
});
