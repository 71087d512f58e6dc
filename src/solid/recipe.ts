/**
 * Solids beside the cover (stock, fixtures, print pieces) in plain numbers: plain bodies and solids the kernel already
 * holds, fused, cut and kept in common, step after step. Part frame unless a frame says otherwise; mm, degrees.
 */
import type { Outline } from './outline.ts';
import type { RigidMotion, SolidRef } from './door.ts';
import type { Vec2, Vec3 } from '../maths/vec.ts';

/** A plane with its own coordinates: a point (a, b) stands at origin + a x + b y. `x` and `y` are unit and square. */
export interface Frame {
  readonly origin: Vec3;
  readonly x: Vec3;
  readonly y: Vec3;
}

/** (X, Y) of the part, looking down. */
export const planFrame: Frame = { origin: [0, 0, 0], x: [1, 0, 0], y: [0, 1, 0] };

export type Form =
  | { readonly kind: 'box'; readonly least: Vec3; readonly most: Vec3 }
  /** An outline in its frame, thick from `from` to `to` along x cross y. */
  | { readonly kind: 'prism'; readonly outline: Outline; readonly holes?: readonly Outline[]; readonly frame: Frame; readonly from: number; readonly to: number }
  /** A profile turned about an axis: (radius, distance along the axis), closed along the axis from last point to first. */
  | { readonly kind: 'turned'; readonly from: Vec3; readonly axis: Vec3; readonly profile: readonly Vec2[] }
  /** The letters of one line, their middle at the frame's origin, reading along x; thick like a prism. */
  | { readonly kind: 'letters'; readonly text: string; readonly height: number; readonly frame: Frame; readonly from: number; readonly to: number }
  /** A solid the kernel holds, as it stands or moved. */
  | { readonly kind: 'solid'; readonly solid: SolidRef; readonly placed?: RigidMotion };

export type Prism = Extract<Form, { kind: 'prism' }>;

/** A round upright column on a level face of the solid at height `from`. */
export interface Post {
  readonly at: Vec2;
  readonly radius: number;
  readonly from: number;
  readonly top: number;
}

/** An upright drill in steps, from the lowest up: each reaches from the end of the one below to `to`. Open where it comes out in a level face. */
export interface Bore {
  readonly at: Vec2;
  readonly from: number;
  readonly steps: readonly { readonly radius: number; readonly to: number }[];
  readonly open: { readonly below: boolean; readonly above: boolean };
}

export type RecipeStep =
  /** sink: letters whose upper ends lie in a level face of the solid, cut into it; quick where they stand clear of its edges. */
  | { readonly do: 'fuse' | 'cut' | 'common' | 'sink'; readonly with: readonly Form[] }
  /** Posts, each wholly on its face and clear of everything else there. */
  | { readonly do: 'stand'; readonly posts: readonly Post[] }
  /** Bores, each wholly inside the faces it comes out in, that meet nothing else of the solid. */
  | { readonly do: 'drill'; readonly bores: readonly Bore[] };

export interface Recipe {
  /** What it is, for messages: `fixture`, `piece 2`. */
  readonly name: string;
  /** Path into the job a refusal points at. */
  readonly at: string;
  /** Fused when there are several. */
  readonly start: readonly Form[];
  readonly steps: readonly RecipeStep[];
}

/** An outline on the plan, standing from one height to another. */
export const standing = (outline: Outline, from: number, to: number, holes: readonly Outline[] = []): Prism => ({ kind: 'prism', outline, holes, frame: planFrame, from, to });

/** An outline of the section (X, Z), swept along Y. */
export const alongY = (outline: Outline, from: number, to: number, holes: readonly Outline[] = []): Prism => ({
  kind: 'prism',
  outline,
  holes,
  frame: { origin: [0, 0, 0], x: [1, 0, 0], y: [0, 0, 1] },
  // x cross y of this frame looks to -Y.
  from: -from,
  to: -to,
});

/** A round bar or drill, square ended. */
export const rod = (foot: Vec3, axis: Vec3, radius: number, height: number): Form => ({
  kind: 'turned',
  from: foot,
  axis,
  profile: [[0, 0], [radius, 0], [radius, height], [0, height]],
});
