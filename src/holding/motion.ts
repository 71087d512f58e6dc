/** Rigid motions in plain numbers: x' = R x + t. mm. */
import { add3, dot3, type Vec2, type Vec3 } from '../maths/vec.ts';
import type { RigidMotion } from '../solid/door.ts';
import type { WeldedMesh } from '../solid/mesh.ts';
import type { Box } from './holding.ts';

export const turned = ({ rotation: [a, b, c] }: Pick<RigidMotion, 'rotation'>, p: Vec3): Vec3 => [dot3(a, p), dot3(b, p), dot3(c, p)];

export const moved = (motion: RigidMotion, p: Vec3): Vec3 => add3(turned(motion, p), motion.shift);

/** The motion that takes `zero` to the origin after turning. */
export function toOrigin(rotation: RigidMotion['rotation'], zero: Vec3): RigidMotion {
  const [x, y, z] = turned({ rotation }, zero);
  // 0 - x rather than -x, which would be -0 for 0.
  return { rotation, shift: [0 - x, 0 - y, 0 - z] };
}

/** The box round a moved box; its edges stay along the axes in every motion of this room. */
export function movedBox(motion: RigidMotion, { least, most }: Box): Box {
  const [a, b] = [moved(motion, least), moved(motion, most)];
  const sorted = (pick: (x: number, y: number) => number): Vec3 => [pick(a[0], b[0]), pick(a[1], b[1]), pick(a[2], b[2])];
  return { least: sorted(Math.min), most: sorted(Math.max) };
}

/** The whole motion taken back. */
export function inverse({ rotation: [a, b, c], shift }: RigidMotion): RigidMotion {
  const rotation = [[a[0], b[0], c[0]], [a[1], b[1], c[1]], [a[2], b[2], c[2]]] as const;
  return toOrigin(rotation, shift);
}

export const flat = ([x, y]: Vec3): Vec2 => [x, y];

/** The same facets as they lie after the motion. */
export function movedMesh(mesh: WeldedMesh, motion: RigidMotion): WeldedMesh {
  const turn = (values: Float64Array | Float32Array, to: (p: Vec3) => Vec3): void => {
    for (let i = 0; i < values.length; i += 3) values.set(to([values[i]!, values[i + 1]!, values[i + 2]!]), i);
  };
  const positions = mesh.positions.slice();
  turn(positions, (p) => moved(motion, p));
  if (mesh.normals === undefined) return { ...mesh, positions };
  const normals = mesh.normals.slice();
  turn(normals, (n) => turned(motion, n));
  return { ...mesh, positions, normals };
}
