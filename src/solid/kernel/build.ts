/**
 * SolidPlan -> solid, down the chain of stages. P is the outside with tabs and their holes; N the hollow round the bosses
 * with the blind holes. P and N are put together by hand when N is known to lie inside P, else N is cut from P. Then
 * what goes through both is cut. Nothing is handed out that is not one valid closed solid.
 */
import type { TopoDS_Shape } from 'replicad-opencascadejs';
import { tolerance } from '../../maths/tolerance.ts';
import { ok, refuse, type Issue, type Result } from '../../result.ts';
import type { BuildOptions, MeshQuality, StageName, StageTime } from '../door.ts';
import { isEasyBlindHole, isEasyTabHole } from '../easy.ts';
import { guard, type GuardMiss } from '../guards.ts';
import { weld } from '../mesh.ts';
import type { BodyPlan, EngravingPlan, GroovePlan, SolidPlan } from '../plan.ts';
import { footBeside } from '../walls.ts';
import { assemble } from './assemble.ts';
import { blame } from './blame.ts';
import { combine } from './boolean.ts';
import { engrave, grooveTool, inkFor } from './carving.ts';
import { cutBosses, standingBoss } from './bosses.ts';
import { drillBosses, drillTabs, withTools } from './holes.ts';
import type { Made, StageCache } from './cache.ts';
import { contactPlanes } from './contact.ts';
import { throughDrill } from './drills.ts';
import type { Font } from './glyphs.ts';
import { volumeOutside, type Manifolds } from './inside.ts';
import type { KeptFaces } from './keptFaces.ts';
import type { MeshBook } from './meshing.ts';
import { guarded, KernelFailure, type Oc } from './oc.ts';
import { notchTool } from './openings.ts';
import { innerSkin, outerSkin } from './shell.ts';
import { Run } from './stages.ts';
import { tabSolid } from './tabs.ts';
import { copyOf, countOf, onlySolid } from './topology.ts';
import type { Validity } from './validity.ts';

/** What the kernel works with; one per open kernel. */
export interface Workshop {
  readonly oc: Oc;
  readonly manifolds: Manifolds;
  readonly cache: StageCache;
  readonly book: MeshBook;
  /** Proofs already made, by the serials of what they were made on. */
  readonly proofs: Map<string, number | null>;
  readonly validity: Validity;
  readonly kept: KeptFaces;
  /** The font for engraved text, read on first use; null when none was given. */
  readonly font: () => Font | null;
}

export interface Solid {
  readonly made: Made;
  readonly route: 'assembled' | 'cut';
  readonly routeReason: string;
  readonly proof: 'meshes' | 'guards' | 'cut';
  readonly stages: readonly StageTime[];
}

const editingQuality: MeshQuality = { deviation: tolerance.meshDeviationEditing, angle: tolerance.meshAngleEditing };
const coarseQuality: MeshQuality = { deviation: tolerance.meshDeviationProof, angle: tolerance.meshAngleProof };

/** A stage that could not be made, with the stage's name for the blame. */
export class StageFailure extends Error {
  override readonly name = 'StageFailure';
  readonly stage: StageName;
  constructor(stage: StageName, message: string) {
    super(message);
    this.stage = stage;
  }
}

export function buildSolid(shop: Workshop, plan: SolidPlan, options: BuildOptions): Result<Solid> {
  const run = new Run(shop.cache, options);
  try {
    return ok(attempt(shop, plan, options, run));
  } catch (error) {
    if (!(error instanceof StageFailure)) throw error;
    const issues: readonly Issue[] = blame(shop, plan, options, error);
    return refuse(...issues);
  }
}

/** The hollow by itself, from the cache where the part was built before. */
export function hollowOf(shop: Workshop, plan: SolidPlan): Result<Made> {
  try {
    return ok(makeNegative(shop, plan, {}, new Run(shop.cache, {})));
  } catch (error) {
    if (!(error instanceof StageFailure)) throw error;
    return refuse({ code: 'hollow-failed', at: 'body', message: `The hollow cannot be made: ${error.message}.`, hint: 'Change the sizes it is made from.' });
  }
}

/** Builds once, without looking for whom to blame. Throws StageFailure. `thrifty` gives up sooner: no second try of any kind. */
export function attempt(shop: Workshop, plan: SolidPlan, options: BuildOptions, run = new Run(shop.cache, options), thrifty = false): Solid {
  const positive = makePositive(shop, plan, options, run);
  const negative = makeNegative(shop, plan, options, run);
  const { oc } = shop;
  const misses = guard(plan);
  let reason = options.route === 'cut' ? 'asked for' : (misses.find((miss) => !miss.provable)?.message ?? '');
  if (reason === '') {
    const planes = contactPlanes(plan.body);
    const proof = options.prove === 'guards' && misses.length === 0 ? 'guards' : 'meshes';
    // The proof comes after the kernel's own check: that one is slower on a solid already meshed.
    const proven = (): boolean => {
      reason = proof === 'guards' ? '' : breakOut(shop, misses, options, run, positive, negative);
      return reason === '';
    };
    const made = finished(shop, plan, options, run, thrifty, proven, () => run.shape('final', 'assembled', [positive, negative], () => assemble(oc, shop.kept, positive.shape, negative.shape, planes)));
    if (typeof made !== 'string') return { made, route: 'assembled', routeReason: '', proof, stages: run.times };
    if (thrifty && reason === '') throw new StageFailure('final', made);
  }
  const made = finished(shop, plan, options, run, thrifty, () => true, (fuzzy) =>
    run.shape('final', ['cut', fuzzy], [positive, negative], () => withoutCompound(oc, combine(oc, 'cut', [positive.shape], [negative.shape], { fuzzy }))),
  );
  if (typeof made === 'string') throw new StageFailure(hasOpenings(plan) ? 'openings' : 'final', made);
  return { made, route: 'cut', routeReason: reason || 'the assembled faces did not close', proof: 'cut', stages: run.times };
}

/**
 * The joined solid with its openings, or what is wrong with it. Faces that only graze each other leave slivers; then what
 * is nearly touching is taken to touch.
 */
function finished(shop: Workshop, plan: SolidPlan, options: BuildOptions, run: Run, thrifty: boolean, proven: () => boolean, join: (fuzzy: number) => Made): Made | string {
  const thorough = options.prove !== 'guards';
  const quality = options.proofQuality ?? (thorough ? coarseQuality : editingQuality);
  let wrong = '';
  for (const fuzzy of thrifty ? [0] : [0, tolerance.grazing]) {
    try {
      const joined = guarded(shop.oc, 'final', () => join(fuzzy));
      const made = cutOpenings(shop, plan, run, joined, fuzzy);
      let found = shop.validity.known(made, thorough) ?? run.timed('check', () => shop.validity.wrongWith(made, thorough));
      if (found === '' && !proven()) return 'not proven';
      found ||= run.timed('mesh', () => shop.validity.meshWrong(made, thorough, (finer) => shop.book.mesh(made.shape, finer ? finerThan(quality) : quality)));
      if (found === '') return made;
      wrong ||= found;
    } catch (error) {
      if (!(error instanceof KernelFailure) && !(error instanceof StageFailure)) throw error;
      wrong ||= error.message;
    }
  }
  return wrong;
}

const hasOpenings = (plan: SolidPlan): boolean => plan.notches.length + plan.holes.length > 0;

/** Where a coarse mesh runs into itself in a tight place, a finer one need not. */
const finerThan = ({ deviation, angle }: MeshQuality): MeshQuality => ({ deviation: deviation / 3, angle: angle / 2 });

function stage(shop: Workshop, run: Run, name: StageName, reads: unknown, on: readonly Made[], make: () => TopoDS_Shape): Made {
  try {
    return run.shape(name, reads, on, () => guarded(shop.oc, name, make));
  } catch (error) {
    if (error instanceof KernelFailure) throw new StageFailure(name, error.message);
    throw error;
  }
}

function makePositive(shop: Workshop, plan: SolidPlan, options: BuildOptions, run: Run): Made {
  const { oc } = shop;
  const { roof: _roof, skin: _skin, insideCornerRadius: _corner, insideRoofRadius: _rounding, ...outside } = plan.body;
  const smooth = stage(shop, run, 'outer', outside, [], () => outerSkin(oc, plan.body));
  const texts = letters(plan, options, 'top');
  const outer = plan.grooves.length + texts.length === 0 ? smooth : stage(shop, run, 'engraving', [plan.grooves, texts], [smooth], () => carve(shop, plan.body, smooth.shape, plan.grooves, texts));
  const standing = plan.bosses.filter((boss) => boss.endHeight < footBeside(plan.body, boss));
  const reads = [plan.tabs.map(({ hole: _, ...tab }) => tab), standing];
  const tabbed =
    plan.tabs.length + standing.length === 0
      ? outer
      : stage(shop, run, 'positive', reads, [outer], () => combine(oc, 'fuse', [outer.shape], [...plan.tabs.map((tab) => tabSolid(oc, shop.kept, plan.body, tab)), ...standing.map((boss) => standingBoss(oc, shop.kept, plan.body, boss))], { simplify: true }));
  if (countOf(oc, tabbed.shape, 'solid') !== 1) throw new StageFailure('positive', 'a tab does not join its wall');
  const holes = plan.tabs.flatMap((tab) => (tab.hole === null ? [] : [{ hole: tab.hole, easy: isEasyTabHole(plan, tab) }]));
  if (holes.length === 0) return tabbed;
  return stage(shop, run, 'tab holes', holes, [tabbed], () => drillTabs(oc, shop.kept, tabbed.shape, holes));
}

function makeNegative(shop: Workshop, plan: SolidPlan, options: BuildOptions, run: Run): Made {
  const { oc } = shop;
  const { top: _top, skin: _skin, outsideRadius: _radius, feetBreak: _break, ...inside } = plan.body;
  const smooth = stage(shop, run, 'cavity', inside, [], () => innerSkin(oc, plan.body));
  const texts = letters(plan, options, 'underside');
  const cavity = texts.length === 0 ? smooth : stage(shop, run, 'engraving', texts, [smooth], () => carve(shop, plan.body, smooth.shape, [], texts));
  if (plan.bosses.length === 0) return cavity;
  const columns = plan.bosses.map(({ hole: _, ...boss }) => boss);
  const round = stage(shop, run, 'negative', columns, [cavity], () => cutBosses(oc, shop.kept, plan, cavity.shape));
  const holes = plan.bosses.filter((boss) => boss.hole !== null).map((boss) => ({ boss, easy: isEasyBlindHole(plan, boss) }));
  if (holes.length === 0) return round;
  return stage(shop, run, 'boss holes', holes, [round], () => drillBosses(oc, shop.kept, plan.body, round.shape, holes));
}

/** Grooves first, in one cut; then text after text. */
function carve(shop: Workshop, body: BodyPlan, solid: TopoDS_Shape, grooves: readonly GroovePlan[], texts: readonly EngravingPlan[]): TopoDS_Shape {
  const { oc } = shop;
  let carved = grooves.length === 0 ? copyOf(solid) : withoutCompound(oc, withTools(oc, 'cut', solid, grooves.map((groove) => grooveTool(oc, body, groove))));
  for (const text of texts) {
    const before = carved;
    try {
      carved = engrave(oc, body, before, inkFor(body, shop.font(), text), text);
    } finally {
      before.delete();
    }
  }
  return carved;
}

const letters = (plan: SolidPlan, options: BuildOptions, on: 'top' | 'underside') => (options.engraving === false ? [] : plan.engravings.filter((text) => text.on === on));

/** Why the hollow cannot be taken to lie inside the body, by their meshes; empty when it is proven to. */
function breakOut(shop: Workshop, misses: readonly GuardMiss[], options: BuildOptions, run: Run, positive: Made, negative: Made): string {
  const quality = proofQuality(options, misses);
  const key = `${positive.serial},${negative.serial},${quality.deviation},${quality.angle}`;
  let outside = shop.proofs.get(key);
  if (outside === undefined) {
    outside = run.timed('proof', () => hollowOutside(shop, positive, negative, quality));
    shop.proofs.set(key, outside);
  } else run.note('proof', 0, true);
  if (outside === null) return 'the meshes of body and hollow are not closed, so nothing is proven';
  if (outside <= tolerance.breakOut) return '';
  const why = [...new Set(misses.map((miss) => miss.message))].join('; ');
  return `${Number(outside.toPrecision(3))} mm3 of the hollow breaks out of the body${why === '' ? '' : `: ${why}`}`;
}

/** mm3 of the hollow outside the body by their meshes; null when they cannot be meshed shut, so that nothing is known. */
function hollowOutside(shop: Workshop, positive: Made, negative: Made, quality: MeshQuality): number | null {
  try {
    const at = (fine: MeshQuality): number | null => volumeOutside(shop.manifolds, weld(shop.book.mesh(negative.shape, fine)), weld(shop.book.mesh(positive.shape, fine)));
    const outside = at(quality);
    // A coarse mesh cuts corners by more than counts here: a finer one has the last word.
    return outside !== null && outside <= tolerance.breakOut ? outside : at(finerThan(quality));
  } catch (error) {
    if (error instanceof KernelFailure) return null;
    throw error;
  }
}

/** Where the guards hold, a coarse mesh is enough to find what they do not know of; where one misses, the finer one decides. */
const proofQuality = (options: BuildOptions, misses: readonly GuardMiss[]): MeshQuality =>
  options.proofQuality ?? (misses.length === 0 && options.prove !== 'guards' ? coarseQuality : editingQuality);

function cutOpenings(shop: Workshop, plan: SolidPlan, run: Run, joined: Made, fuzzy: number): Made {
  const { oc } = shop;
  if (!hasOpenings(plan)) return joined;
  return stage(shop, run, 'openings', [plan.notches, plan.holes, fuzzy], [joined], () =>
    withoutCompound(
      oc,
      withTools(oc, 'cut', joined.shape, [...plan.notches.map((notch) => notchTool(oc, plan.body, notch)), ...plan.holes.map((hole) => throughDrill(oc, hole))], { fuzzy }),
    ),
  );
}

/** The solid inside a compound of one; the compound itself when there are several. */
function withoutCompound(oc: Oc, shape: TopoDS_Shape): TopoDS_Shape {
  const solid = onlySolid(oc, shape);
  if (solid === null) return shape;
  shape.delete();
  return solid;
}
