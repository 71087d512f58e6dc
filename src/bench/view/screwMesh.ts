/** A cap screw as facets for looking at: head, shank, both plain cylinders. Part frame, mm; the head is below. */
import type { FaceMesh } from '../../solid/door.ts';
import type { Vec2 } from '../../maths/vec.ts';

const sides = 24;

export interface ScrewShape {
  readonly at: Vec2;
  /** Height of the underside of the head, where the shank begins. */
  readonly seat: number;
  readonly length: number;
  readonly shank: number;
  readonly head: { readonly radius: number; readonly height: number };
}

export const screwFaces = ({ at, seat, length, shank, head }: ScrewShape): FaceMesh[] => [bar(at, head.radius, seat - head.height, seat), bar(at, shank, seat, seat + length)];

/** A closed cylinder standing upright. */
function bar([x, y]: Vec2, radius: number, from: number, to: number): FaceMesh {
  const positions: number[] = [];
  const normals: number[] = [];
  const triangles: number[] = [];
  const ring = (z: number, normal: (angle: number) => readonly [number, number, number]): number => {
    const first = positions.length / 3;
    for (let i = 0; i <= sides; i += 1) {
      const angle = (2 * Math.PI * i) / sides;
      positions.push(x + radius * Math.cos(angle), y + radius * Math.sin(angle), z);
      normals.push(...normal(angle));
    }
    return first;
  };
  const round = (angle: number) => [Math.cos(angle), Math.sin(angle), 0] as const;
  const [low, high] = [ring(from, round), ring(to, round)];
  for (let i = 0; i < sides; i += 1) triangles.push(low + i, low + i + 1, high + i + 1, low + i, high + i + 1, high + i);
  for (const [z, way] of [[from, -1], [to, 1]] as const) {
    const rim = ring(z, () => [0, 0, way]);
    const middle = positions.length / 3;
    positions.push(x, y, z);
    normals.push(0, 0, way);
    for (let i = 0; i < sides; i += 1) triangles.push(...(way > 0 ? [middle, rim + i, rim + i + 1] : [middle, rim + i + 1, rim + i]));
  }
  return { id: -1, kind: 'cylinder', positions: Float32Array.from(positions), normals: Float32Array.from(normals), triangles: Uint32Array.from(triangles) };
}
