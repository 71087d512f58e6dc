/**
 * The product of the plan of a proof: pieces in plain numbers, before any mesh is touched. A piece says what it is made from,
 * what is done to it in the part's own frame, how it is laid on the bed, and which sizes are to be read off it once printed.
 */
import { mmPerInch, type Units } from '../job/quantity.ts';
import type { Job } from '../job/schema.ts';
import type { Vec2, Vec3 } from '../maths/vec.ts';
import type { Issue } from '../result.ts';
import { heightsOf } from '../solid/heights.ts';
import type { Affine, MeshForm, MeshStep } from '../solid/meshRecipe.ts';
import type { SolidPlan } from '../solid/plan.ts';
import { degreesToRadians } from '../maths/angle.ts';
import type { Bed } from './bed.ts';
import type { JointSizes, Skin } from './joints.ts';
import { engravingDepth } from './labels.ts';
import type { PrintLaw } from './law.ts';

export type PieceKind = 'whole' | 'ring' | 'rib' | 'bar' | 'square';

/** One size to read off a piece, or off pieces once joined. Design sizes, part frame. */
export type WantedReading =
  | { readonly what: 'hole' | 'slot' | 'shaft'; readonly name: string; readonly size: number }
  /** Centre to centre, or mark to mark. */
  | { readonly what: 'centres'; readonly name: string; readonly from: Vec3; readonly to: Vec3 }
  /** Outer size along a direction (unit). */
  | { readonly what: 'outside'; readonly name: string; readonly along: Vec3; readonly size: number };

export interface PiecePlan {
  readonly kind: PieceKind;
  /** `Whole part, piece 1 of 3`. */
  readonly title: string;
  /** Path into the job that asked for it. */
  readonly at: string;
  /** What it is for, one line. */
  readonly purpose: string;
  /** From the part's mesh, or from bodies of its own. */
  readonly from: 'part' | readonly MeshForm[];
  /** False for what is drawn as it is, to measure the printer with. */
  readonly corrected: boolean;
  readonly steps: readonly MeshStep[];
  /** Part frame -> how it lies on the bed; no shift. */
  readonly lay: Affine;
  /** Degrees it is turned on the bed, counter-clockwise; part of `lay`. */
  readonly turn: number;
  readonly readings: readonly WantedReading[];
  /** What is engraved; empty where there was no room or it was turned off. */
  readonly marking: readonly string[];
}

/** Sizes read across joints, once the pieces of one kind are put together. */
export interface JoinedReadings {
  readonly title: string;
  readonly kind: PieceKind;
  readonly lay: Affine;
  readonly readings: readonly WantedReading[];
}

export interface ProofPlan {
  readonly pieces: readonly PiecePlan[];
  readonly joined: readonly JoinedReadings[];
  /** What a person should know, in sentences. */
  readonly notes: readonly string[];
}

/** What every kind of piece is planned from. */
export interface ProofShop {
  readonly job: Job;
  readonly plan: SolidPlan;
  readonly law: PrintLaw;
  readonly bed: Bed;
  readonly skin: Skin;
  readonly sizes: JointSizes;
  /** How much larger than life a piece may be drawn. */
  readonly stretch: number;
  readonly notes: string[];
  readonly say: (mm: number) => string;
}

/** Extra length of a pin slot, and how deep an added body reaches into what it stands on. */
const slotExtra = 1;
const bite = 0.8;

export function proofShop(job: Job, plan: SolidPlan, law: PrintLaw, bed: Bed, pinHole: number): ProofShop {
  const { proof } = job;
  const [top, roof] = [heightsOf(plan.body.top), heightsOf(plan.body.roof)];
  const sizes: JointSizes = {
    lap: proof.lap,
    thickness: proof.lapThickness,
    gap: law.gap(proof.jointClearance),
    gapUnder: proof.jointClearance,
    pinHole,
    slot: slotExtra,
    markDepth: engravingDepth(plan.body.skin),
    bite: Math.min(bite, plan.body.skin / 3, plan.body.wall / 3),
  };
  const { profile } = law;
  const growth = Math.max(0, -law.growth.x, -law.growth.y);
  // Drawn sizes are larger where the print shrinks; a shear of the bed adds its sine.
  const stretch = profile === null ? 1 : Math.max(1, ...[profile.axes.x, profile.axes.y].map((line) => 1 / line.factor)) + Math.abs(Math.sin(degreesToRadians(profile.skew?.degrees ?? 0))) + growth / Math.min(bed.x, bed.y);
  return { job, plan, law, bed, skin: { top: top.at, roof: roof.at }, sizes, stretch, notes: [], say: sayIn(job.units) };
}

/** Upright on its feet, turned on the bed. */
export function standingOn(degrees: number): Affine {
  const [c, s] = degrees === 90 ? [0, 1] : [Math.cos(degreesToRadians(degrees)), Math.sin(degreesToRadians(degrees))];
  return { rows: [[c, -s, 0], [s, c, 0], [0, 0, 1]], shift: [0, 0, 0] };
}

/** Lying so that the side that looked to the left end looks up; X stays X. */
export const lying: Affine = { rows: [[1, 0, 0], [0, 0, 1], [0, -1, 0]], shift: [0, 0, 0] };

/** Corners in plan of the body and its tabs within a stretch of X and Y. */
export function planCorners({ body, tabs }: SolidPlan, least: Vec2 = [-Infinity, -Infinity], most: Vec2 = [Infinity, Infinity]): Vec2[] {
  const clip = ([x, y]: Vec2): Vec2 => [Math.min(most[0], Math.max(least[0], x)), Math.min(most[1], Math.max(least[1], y))];
  const boxes: [Vec2, Vec2][] = [[[0, 0], [body.length, body.width]], ...tabs.map((tab) => tabBox(body, tab))];
  return boxes
    .filter(([a, b]) => a[0] < most[0] && b[0] > least[0] && a[1] < most[1] && b[1] > least[1])
    .flatMap(([a, b]) => [a, [b[0], a[1]] as Vec2, b, [a[0], b[1]] as Vec2].map(clip));
}

/** Least and greatest plan corner of a tab, as it stands out from its wall. */
export function tabBox({ length, width }: SolidPlan['body'], { wall, middle, length: size, reach }: SolidPlan['tabs'][number]): [Vec2, Vec2] {
  const [a, b] = [middle - size / 2, middle + size / 2];
  if (wall === 'front') return [[-reach, a], [0, b]];
  if (wall === 'back') return [[length, a], [length + reach, b]];
  return wall === 'left' ? [[a, -reach], [b, 0]] : [[a, width], [b, width + reach]];
}

export const refusal = (code: string, at: string, message: string, hint: string): Issue => ({ code, at, message, hint });

/** A length as the job speaks: a tenth of a millimetre, or a hundredth of an inch. */
export const sayIn = (units: Units) => (mm: number): string => (units === 'inch' ? `${Number((mm / mmPerInch).toFixed(2))} in` : `${Number(mm.toFixed(1))} mm`);

/** Upright holes of the part, tabs first, with the diameter of each. */
export function uprightHoles({ tabs, holes, bosses }: SolidPlan): { readonly name: string; readonly at: Vec3; readonly diameter: number; readonly slot: number; readonly in: 'tab' | 'skin' | 'boss' }[] {
  return [
    ...tabs.flatMap(({ name, hole }) => (hole === null ? [] : [{ name, at: hole.entry, diameter: hole.diameter, slot: hole.slot, in: 'tab' as const }])),
    ...holes.flatMap(({ name, entry, axis, diameter, slot }) => (Math.abs(axis[2]) > 0.5 ? [{ name, at: entry, diameter, slot, in: 'skin' as const }] : [])),
    ...bosses.flatMap(({ name, x, y, endHeight, hole }) => (hole === null ? [] : [{ name, at: [x, y, endHeight] as Vec3, diameter: hole.diameter, slot: 0, in: 'boss' as const }])),
  ];
}
