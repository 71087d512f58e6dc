/**
 * Recipe -> solid: plain bodies and held solids, fused, cut and kept in common by booleans, step after step. What comes
 * out is one valid closed solid whose mesh has no gap, or a refusal. Results belong to the caller.
 */
import type { TopoDS_Shape } from 'replicad-opencascadejs';
import { add3, cross3, scale3, type Vec2, type Vec3 } from '../../maths/vec.ts';
import { tolerance } from '../../maths/tolerance.ts';
import { ok, refuse, type Issue, type Result } from '../../result.ts';
import type { MeshQuality, RigidMotion, SolidRef } from '../door.ts';
import { rod, type Bore, type Form, type Frame, type Post, type Recipe, type RecipeStep } from '../recipe.ts';
import { combine } from './boolean.ts';
import { carveFlat } from './carveFlat.ts';
import { drillFlat, type FlatDrill } from './drillFlat.ts';
import { inkFor, type Font } from './glyphs.ts';
import type { KeptFaces } from './keptFaces.ts';
import { isClosed, isValid, volumeOf } from './measure.ts';
import { guarded, KernelFailure, type Oc } from './oc.ts';
import { joinedCurves } from '../joinedCurves.ts';
import { turnedTo, type Outline } from '../outline.ts';
import { scoped } from './scope.ts';
import { copyOf, countOf, onlySolid, placedCopy } from './topology.ts';
import { box, squareTo, sweptOutline, turned } from './tools.ts';

export const formQuality: MeshQuality = { deviation: tolerance.meshDeviationEditing, angle: tolerance.meshAngleEditing };

export interface FormShop {
  readonly oc: Oc;
  readonly kept: KeptFaces;
  readonly font: () => Font | null;
  /** The shape of a solid held by the kernel; it stays the kernel's. */
  readonly shapeOf: (solid: SolidRef) => TopoDS_Shape;
  /** Whether the mesh of a shape has no gap. */
  readonly closes: (shape: TopoDS_Shape) => boolean;
}

/** How a recipe is cooked. The second and third ways are for where the quick one does not come out sound. */
interface Way {
  /** Letters, posts and bores put in by hand, or by booleans. */
  readonly by: 'hand' | 'booleans';
  /** Seams between fused bodies taken out, or left in; then faces that graze each other are taken to touch. */
  readonly seams: 'joined' | 'kept';
}

const quickest: Way = { by: 'hand', seams: 'joined' };

/** mm posts are rooted and bores run past their faces where booleans do it. */
const overrun = 1;

export function form(shop: FormShop, recipe: Recipe): Result<TopoDS_Shape> {
  const handy = recipe.steps.some((step) => step.do === 'sink' || step.do === 'stand' || step.do === 'drill');
  const ways: readonly Way[] = [quickest, ...(handy ? [{ by: 'booleans', seams: 'joined' } as const] : []), { by: 'booleans', seams: 'kept' }];
  let first: Result<TopoDS_Shape> | null = null;
  for (const way of ways) {
    const made = formOnce(shop, recipe, way);
    if (made.ok) return made;
    first ??= made;
  }
  return first!;
}

function formOnce(shop: FormShop, recipe: Recipe, way: Way): Result<TopoDS_Shape> {
  const fail = (code: string, why: string): Result<never> => refuse(issue(recipe, code, why));
  try {
    const shape = guarded(shop.oc, recipe.name, () => cook(shop, recipe, way));
    const wrong = wrongWith(shop, shape);
    if (wrong === '') return ok(shape);
    shape.delete();
    return fail('form-not-solid', wrong);
  } catch (error) {
    if (!(error instanceof KernelFailure)) throw error;
    return fail('form-failed', error.message);
  }
}

const issue = ({ name, at }: Recipe, code: string, why: string): Issue => ({ code, at, message: `The ${name} cannot be made: ${why}.`, hint: 'Change the sizes it is made from.' });

function wrongWith({ oc, closes }: FormShop, shape: TopoDS_Shape): string {
  const solids = countOf(oc, shape, 'solid');
  if (solids === 0) return 'nothing is left of it';
  if (solids > 1) return `it falls into ${solids} pieces`;
  if (!isClosed(oc, shape) || !isValid(oc, shape)) return 'its faces do not bound one solid';
  return closes(shape) ? '' : 'its mesh does not close';
}

function cook(shop: FormShop, recipe: Recipe, way: Way): TopoDS_Shape {
  const { oc } = shop;
  return scoped((keep) => {
    const bodies = (forms: readonly Form[]): TopoDS_Shape[] => forms.flatMap((one) => bodiesOf(shop, one)).map(keep);
    const [first, ...others] = bodies(recipe.start);
    if (first === undefined) throw new KernelFailure('there is nothing to start from');
    const options = way.seams === 'joined' ? {} : { fuzzy: tolerance.grazing };
    const fused = { ...options, simplify: way.seams === 'joined' };
    const start = others.length === 0 ? first : keep(combine(oc, 'fuse', [first], others, fused));
    const apply = (shape: TopoDS_Shape, step: RecipeStep): TopoDS_Shape => {
      const byHand = way.by === 'hand';
      if (step.do === 'stand') return byHand ? putIn(shop, shape, step.posts.map(postDrill), false) : combine(oc, 'fuse', [shape], bodies(step.posts.map(rooted)), fused);
      if (step.do === 'drill') return byHand ? putIn(shop, shape, step.bores.map(boreDrill), true) : combine(oc, 'cut', [shape], bodies(step.bores.map(overrunning)), options);
      if (step.do === 'fuse') return combine(oc, 'fuse', [shape], bodies(step.with), fused);
      if (step.do !== 'sink') return combine(oc, step.do, [shape], bodies(step.with), options);
      return byHand ? sunk(shop, shape, step.with, bodies(step.with)) : combine(oc, 'cut', [shape], bodies(step.with));
    };
    return soleSolid(oc, recipe.steps.filter((step) => countOfStep(step) > 0).reduce((shape, step) => keep(apply(shape, step)), start));
  });
}

const countOfStep = (step: RecipeStep): number => (step.do === 'stand' ? step.posts : step.do === 'drill' ? step.bores : step.with).length;

/** A round body by hand: what it is turned from, and the flat faces it opens in. */
interface HandDrill {
  readonly form: Form;
  readonly mouths: FlatDrill['mouths'];
}

const up: Vec3 = [0, 0, 1];
const down: Vec3 = [0, 0, -1];

const postDrill = ({ at, radius, from, top }: Post): HandDrill => ({ form: rod([...at, from], up, radius, top - from), mouths: [{ normal: up, at: [...at, from], radius }] });
const rooted = ({ at, radius, from, top }: Post): Form => rod([...at, from - overrun], up, radius, top - from + overrun);

function boreDrill({ at, from, steps, open }: Bore): HandDrill {
  const [first, last] = [steps[0]!, steps.at(-1)!];
  return {
    form: { kind: 'turned', from: [...at, from], axis: up, profile: stepped(steps, from) },
    mouths: [...(open.below ? [{ normal: down, at: [...at, from] as const, radius: first.radius }] : []), ...(open.above ? [{ normal: up, at: [...at, last.to] as const, radius: last.radius }] : [])],
  };
}

function overrunning({ at, from, steps, open }: Bore): Form {
  const low = open.below ? from - overrun : from;
  const longer = steps.map((step, i) => (i === steps.length - 1 && open.above ? { ...step, to: step.to + overrun } : step));
  return { kind: 'turned', from: [...at, low], axis: up, profile: stepped(longer, low) };
}

/** (radius, height over `from`) up the outside of a stepped drill. */
const stepped = (steps: Bore['steps'], from: number): Vec2[] => [[0, 0], ...steps.flatMap(({ radius, to }, i): Vec2[] => [[radius, i === 0 ? 0 : steps[i - 1]!.to - from], [radius, to - from]]), [0, steps.at(-1)!.to - from]];

function putIn(shop: FormShop, shape: TopoDS_Shape, drills: readonly HandDrill[], remove: boolean): TopoDS_Shape {
  return scoped((keep) => drillFlat(shop.oc, shop.kept, keep(soleSolid(shop.oc, shape)), drills.map(({ form: one, mouths }) => ({ solid: keep(bodiesOf(shop, one)[0]!), mouths })), remove, true));
}

/** Letters let into the level face their upper ends lie in. */
function sunk({ oc }: FormShop, shape: TopoDS_Shape, forms: readonly Form[], blocks: readonly TopoDS_Shape[]): TopoDS_Shape {
  const heights = forms.map((one) => (one.kind === 'letters' ? one.frame.origin[2] + one.to : NaN));
  if (heights.some((height) => height !== heights[0])) throw new KernelFailure('letters in more than one level cannot be sunk at once');
  return scoped((keep) => carveFlat(oc, keep(soleSolid(oc, shape)), blocks, heights[0]!));
}

/** A boolean hands back a compound; one of several stays as it is, for the check to tell of. */
const soleSolid = (oc: Oc, shape: TopoDS_Shape): TopoDS_Shape => onlySolid(oc, shape) ?? copyOf(shape);

/** One body, or for letters one for each piece of ink. */
function bodiesOf({ oc, font, shapeOf }: FormShop, one: Form): TopoDS_Shape[] {
  switch (one.kind) {
    case 'box':
      return [box(oc, one.least, one.most)];
    case 'prism':
      return [prism(oc, one.outline, one.holes ?? [], one.frame, one.from, one.to)];
    case 'turned':
      return [turned(oc, one.from, one.axis, squareTo(one.axis), one.profile)];
    case 'letters':
      return inkFor(font(), one.text, one.height).map(({ rim, holes }) => prism(oc, joinedCurves(rim), holes.map(joinedCurves), one.frame, one.from, one.to));
    case 'solid':
      return [placedCopy(oc, shapeOf(one.solid), one.placed)];
  }
}

function prism(oc: Oc, outline: Outline, holes: readonly Outline[], { origin, x, y }: Frame, from: number, to: number): TopoDS_Shape {
  const out = cross3(x, y);
  return sweptOutline(oc, turnedTo(outline, 1), ([a, b]) => add3(add3(origin, scale3(out, from)), add3(scale3(x, a), scale3(y, b))), scale3(out, to - from), holes.map((hole) => turnedTo(hole, -1)));
}

/** mm3 two shapes share; 0 where they only touch. */
export function sharedVolume(oc: Oc, a: { readonly shape: TopoDS_Shape; readonly placed?: RigidMotion }, b: { readonly shape: TopoDS_Shape; readonly placed?: RigidMotion }): number {
  return scoped((keep) => {
    const [one, other] = [a, b].map(({ shape, placed }) => keep(placedCopy(oc, shape, placed)));
    const common = keep(combine(oc, 'common', [one!], [other!]));
    return countOf(oc, common, 'solid') === 0 ? 0 : volumeOf(oc, common);
  });
}
