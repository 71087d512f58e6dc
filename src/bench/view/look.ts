/** What a view of the part shows and says back: named sides, cuts, picks, what stands round it. Part frame, Z up, mm. */
import type { Vec3 } from '../../maths/vec.ts';
import type { FaceMesh } from '../../solid/door.ts';
import type { WeldedMesh } from '../../solid/mesh.ts';

/** Names as on a drawing sheet; the eye's direction from the part. */
export const standardViews = {
  Outside: [-0.55, -1, 0.75],
  Above: [0, -0.0001, 1],
  Below: [0, -0.0001, -1],
  Front: [-1, 0, 0.0001],
  Back: [1, 0, 0.0001],
  Left: [0, -1, 0.0001],
  Right: [0, 1, 0.0001],
  Inside: [-0.55, -1, -0.8],
} as const satisfies Record<string, Vec3>;
export type StandardView = keyof typeof standardViews;

export interface CutAt {
  readonly axis: 'x' | 'y' | 'z';
  /** mm along the axis. */
  readonly at: number;
}

export interface Picked {
  readonly point: Vec3;
  /** What was hit: a corner or edge of the mesh within a few px, else the face. */
  readonly on: 'corner' | 'edge' | 'face';
  readonly face: number;
  readonly kind: FaceMesh['kind'];
  readonly normal: Vec3;
}

export interface View {
  /** Faces now shown, in full; the ones not yet held come with it. */
  show(faces: readonly number[], fresh: readonly FaceMesh[]): void;
  readonly held: readonly number[];
  look(view: StandardView): void;
  fit(): void;
  cut(at: CutAt | null): void;
  /** Colour by thickness; null for plain metal. */
  thickness(byFace: ReadonlyMap<number, Float32Array> | null, range: readonly [number, number]): void;
  mark(points: readonly Vec3[]): void;
  /** Bodies round the part, each moved by its own lift, and how far the part itself is lifted. Null for the part alone. */
  surround(scene: Surroundings | null): void;
  /** Another solid laid over this one, see-through; null takes it away. */
  beside(mesh: WeldedMesh | null): void;
  /** Called with what was hit when picking is on. */
  onPick(listener: ((picked: Picked | null) => void) | null): void;
  box(): { readonly least: Vec3; readonly most: Vec3 } | null;
  recolour(): void;
}

/** What stands round the part, mm, part frame; `upsideDown` shows it all turned over about X or Y. */
export interface Surroundings {
  readonly bodies: readonly { readonly colour: string; readonly faces: readonly FaceMesh[]; readonly lift: number; readonly seeThrough?: boolean }[];
  readonly lift: number;
  readonly upsideDown: 'about X' | 'about Y' | null;
}
