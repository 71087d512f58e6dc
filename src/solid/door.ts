/**
 * The kernel door: everything the house asks of a solid modeller, as types. Solids never leave the kernel's scope; what
 * crosses is a plan going in, and meshes, figures and bytes coming out. Part frame, mm, degrees.
 */
import type { Result } from '../result.ts';
import type { Vec3 } from '../maths/vec.ts';
import type { WeldedMesh } from './mesh.ts';
import type { SolidPlan } from './plan.ts';
import type { Carved, MeshRecipe } from './meshRecipe.ts';
import type { Recipe } from './recipe.ts';

/** A solid held by the kernel. Good until released, or until the kernel closes. */
export interface SolidRef {
  readonly id: number;
}

/**
 * The chain of the build; each stage is keyed by exactly what it reads, so an edit redoes only what it touches.
 * outer, cavity: the two rounded skins. engraving: grooves and text in either. positive: outer with tabs. negative: cavity
 * round the bosses. tab holes, boss holes: drilled into those. proof: negative inside positive. final: put together.
 * openings: notches and free holes cut through. check: valid, closed, one solid.
 */
export type StageName =
  | 'outer'
  | 'cavity'
  | 'engraving'
  | 'positive'
  | 'negative'
  | 'tab holes'
  | 'boss holes'
  | 'proof'
  | 'final'
  | 'openings'
  | 'check'
  | 'mesh';

export interface StageTime {
  readonly stage: StageName;
  /** ms; 0 when the stage was taken from the cache. */
  readonly ms: number;
  readonly cached: boolean;
}

export interface Built {
  readonly solid: SolidRef;
  /** assembled: shell put together without a boolean, cavity proven inside. cut: one final boolean. */
  readonly route: 'assembled' | 'cut';
  /** Why the final cut was needed; empty when assembled. */
  readonly routeReason: string;
  /** How the cavity is known to be inside the body: by meshes, by the analytic guards alone, or not needed (cut). */
  readonly proof: 'meshes' | 'guards' | 'cut';
  readonly stages: readonly StageTime[];
}

export interface Measured {
  /** mm3, by the kernel's adaptive integration. */
  readonly volume: number;
  /** mm2. */
  readonly area: number;
  readonly box: { readonly least: Vec3; readonly most: Vec3 };
  readonly faces: number;
  /** How many of its faces are curved tops: one for a contour without corners. */
  readonly topFaces: number;
  readonly valid: boolean;
  readonly solids: number;
  readonly closed: boolean;
}

export interface MeshQuality {
  /** mm, largest distance between a facet and the face it stands for. */
  readonly deviation: number;
  /** rad, largest turn between neighbouring facets. */
  readonly angle: number;
}

/** The facets of one face of the solid. Right-handed triangles seen from outside the metal. */
export interface FaceMesh {
  /** Stays the same from build to build as long as the face itself is unchanged. */
  readonly id: number;
  readonly kind: 'plane' | 'cylinder' | 'cone' | 'sphere' | 'torus' | 'swept' | 'other';
  /** x, y, z of each node; nodes on a shared edge have the very same coordinates on both faces. */
  readonly positions: Float32Array;
  /** Unit normals out of the metal, per node. */
  readonly normals: Float32Array;
  readonly triangles: Uint32Array;
}

export interface Mesh {
  readonly faces: readonly FaceMesh[];
  readonly quality: MeshQuality;
}

/** One named body of a STEP file. */
export interface StepPart {
  readonly solid: SolidRef;
  readonly name: string;
  /** #rrggbb. */
  readonly colour: string;
  /** Where it stands in the assembly; the identity when left out. */
  readonly placed?: RigidMotion;
}

/** A solid as it stands or moved. */
export interface Placed {
  readonly solid: SolidRef;
  readonly placed?: RigidMotion;
}

/** x' = R x + t, R row by row. */
export interface RigidMotion {
  readonly rotation: readonly [Vec3, Vec3, Vec3];
  readonly shift: Vec3;
}

export interface StepHeader {
  readonly schema: 'AP242' | 'AP214';
  readonly units: 'mm' | 'inch';
  readonly fileName: string;
  readonly description: string;
  readonly author: string;
  /** ISO 8601, handed in so that the same job gives the same bytes. */
  readonly date: string;
  /**
   * Leaves out the curves of edges in the parameters of their faces, which readers find again: half the size and time.
   */
  readonly lean?: boolean;
}

export type Progress = (stage: StageName, done: number) => void;

export interface BuildOptions {
  readonly progress?: Progress;
  /** ms clock for the stage times; all times are 0 without one. */
  readonly now?: () => number;
  /**
   * now (when left out): the cavity is proven inside the body by their meshes before anything is released. guards: while
   * editing, the analytic guards are enough where they hold; where one does not, the mesh proof is run all the same.
   */
  readonly prove?: 'now' | 'guards';
  /** Mesh used for the proof and the check; the same as the next mesh asked for saves doing it twice. Coarse, or that of editing, when left out. */
  readonly proofQuality?: MeshQuality;
  /** cut: the final boolean even where assembling would do, to hold one route against the other. */
  readonly route?: 'cut';
  /** Builds that may be spent on finding which parameter is to blame for a refusal; 32 when left out. Fewer answer sooner and name the largest size less closely. */
  readonly tries?: number;
  /** False leaves engraved text out of the solid, for the live view: a line costs a few tenths of a second, seconds where letters touch something. */
  readonly engraving?: boolean;
}

export interface Kernel {
  /**
   * A solid beside the cover, from plain bodies and solids already held. Refused when what comes out is not one valid closed
   * solid. `closedBy`: mesh it is shown to be closed by; the same as the next mesh asked for saves doing it twice.
   */
  form(recipe: Recipe, closedBy?: MeshQuality): Result<SolidRef>;
  /**
   * Closed meshes worked on as meshes: for prints, never for the machine. Each is refused on its own when nothing closed comes
   * out of it; a mesh that several start from is taken over once.
   */
  carve(recipes: readonly MeshRecipe[], done?: (share: number) => void): readonly Result<Carved>[];
  /** mm3 that two solids share, each as placed; 0 where they only touch. Exact geometry, not meshes. */
  overlap(a: Placed, b: Placed): number;
  /** Builds (or takes from its stage cache) the solid of a plan. A refusal names the parameter and the largest value that works. */
  build(plan: SolidPlan, options?: BuildOptions): Result<Built>;
  /** What a plan takes away from below: the hollow round its bosses, with their holes. From the stages of its last build. */
  hollow(plan: SolidPlan): Result<SolidRef>;
  measure(solid: SolidRef): Measured;
  mesh(solid: SolidRef, quality: MeshQuality): Mesh;
  /** Least distance between two closed meshes, exact for the meshes; no farther than `upTo` is looked. Null when one is not closed. */
  gap(a: WeldedMesh, b: WeldedMesh, upTo: number): number | null;
  step(parts: readonly StepPart[], header: StepHeader): Uint8Array;
  release(solid: SolidRef): void;
  /** The font it was opened with, for paper; null when none was given. */
  readonly font: Uint8Array | null;
  /** Bytes of the kernel's memory in use; grows only. */
  heap(): number;
  close(): void;
}
