/**
 * Work on closed meshes in plain numbers, for what is printed: meshes and plain bodies joined, cut, kept in common, placed
 * and relieved at the bed, step after step. mm. Exact to the mesh, so as far from the solid as the mesh is; the machine's
 * files never come from here but from the solid itself.
 */
import type { Vec2, Vec3 } from '../maths/vec.ts';
import type { WeldedMesh } from './mesh.ts';
import type { Form } from './recipe.ts';

export type MeshForm = Extract<Form, { kind: 'box' | 'prism' | 'letters' }> | { readonly kind: 'mesh'; readonly mesh: WeldedMesh };

/** p' = rows p + shift; may stretch and shear, not mirror. */
export interface Affine {
  readonly rows: readonly [Vec3, Vec3, Vec3];
  readonly shift: Vec3;
}

export type MeshStep =
  | { readonly do: 'fuse' | 'cut' | 'common'; readonly with: readonly MeshForm[] }
  | { readonly do: 'place'; readonly by: Affine }
  /** The lowest `height` mm drawn `inset` mm inside its own outline, all round. */
  | { readonly do: 'relieve'; readonly inset: number; readonly height: number };

export interface MeshRecipe {
  /** What it is, for messages: `rib 2`. */
  readonly name: string;
  /** Path into the job a refusal points at. */
  readonly at: string;
  /** Path of whatever its letters come from. */
  readonly lettersAt: string;
  /** Joined when there are several. */
  readonly start: readonly MeshForm[];
  readonly steps: readonly MeshStep[];
}

export interface Carved {
  readonly mesh: WeldedMesh;
  /** mm3 */
  readonly volume: number;
  /** Outlines of it as seen from above: rims counter-clockwise, what is seen through clockwise. */
  readonly shadow: readonly (readonly Vec2[])[];
}

export const applyAffine = ({ rows, shift }: Affine, [x, y, z]: Vec3): Vec3 =>
  rows.map(([a, b, c], i) => a * x + b * y + c * z + shift[i]!) as unknown as Vec3;

/** First `first`, then `then`. */
export function afterwards(first: Affine, then: Affine): Affine {
  const column = (k: 0 | 1 | 2): Vec3 => [first.rows[0][k], first.rows[1][k], first.rows[2][k]];
  const rows = then.rows.map((row) => [0, 1, 2].map((k) => row[0] * column(k as 0)[0] + row[1] * column(k as 0)[1] + row[2] * column(k as 0)[2])) as unknown as Affine['rows'];
  return { rows, shift: applyAffine(then, first.shift) };
}
