/**
 * Holding -> its solids in the kernel and what they prove: the fixture shares no volume with the part as it is after the
 * first operation (exact geometry), and away from its contacts it keeps its gaps (exact for meshes within their stated
 * deviation). The caller lets the solids go again.
 *
 * Method for the gap: the faces of the fixture that carry the part are lowered a little in its mesh; what is then nearest
 * to the part is something that was not meant to touch.
 */
import type { Job } from '../job/schema.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Issue, Result } from '../result.ts';
import type { Kernel, MeshQuality, SolidRef } from '../solid/door.ts';
import { meshVolume, weld, type WeldedMesh } from '../solid/mesh.ts';
import { flattened } from '../solid/outline.ts';
import type { SolidPlan } from '../solid/plan.ts';
import type { Holding, Pin } from './holding.ts';
import { afterFirstRecipe, billetRecipe, fixtureRecipe, pinRecipe } from './recipes.ts';

/** The part after the first operation is shown to be closed by a coarse mesh; nothing else is read off that. */
const coarse: MeshQuality = { deviation: tolerance.meshDeviationProof, angle: tolerance.meshAngleProof };

/** mm carrying faces are lowered for the look at gaps, at most; half the burr relief when that is less. */
const lowered = 0.25;
/** mm within which a node of the mesh counts as lying in a carrying face. */
const level = 1e-3;

export interface HoldingEvidence {
  /** mm3 shared by the fixture and the part as it then is. */
  readonly overlap: number;
  readonly against: 'after the first operation' | 'finished';
  /** mm, least gap away from the contacts; no farther than `looked` was looked. Null when a mesh is not closed. */
  readonly gap: number | null;
  readonly looked: number;
  /** mm, how far the meshes may stand off. */
  readonly deviation: number;
  /** mm3, by its mesh: good enough to weigh it. */
  readonly fixtureVolume: number;
}

export interface HeldSolids {
  readonly fixture: SolidRef;
  readonly fixtureMesh: WeldedMesh;
  /** Null where what is left of the billet is not one solid. */
  readonly afterFirst: SolidRef | null;
  readonly billet: SolidRef;
  readonly pins: readonly { readonly pin: Pin; readonly solid: SolidRef }[];
}

export interface HeldUp {
  readonly evidence: HoldingEvidence;
  readonly solids: HeldSolids;
}

/** Letters and small bores need no finer facets than this, rad. */
const facetTurn = 2 * tolerance.meshAngle;

export const fixtureQuality = (job: Job): MeshQuality => ({ deviation: job.files.deviation, angle: facetTurn });

/** The finished part, part frame. */
export interface FinishedPart {
  readonly solid: SolidRef;
  readonly mesh: WeldedMesh;
}

export function holdUp(kernel: Kernel, job: Job, plan: SolidPlan, holding: Holding, part: FinishedPart): Result<HeldUp> {
  const made: SolidRef[] = [];
  const issues: Issue[] = [];
  const keep = (result: Result<SolidRef>): SolidRef | null => {
    if (result.ok) made.push(result.value);
    else issues.push(...result.issues);
    return result.ok ? result.value : null;
  };
  const quality = fixtureQuality(job);
  const fixture = keep(kernel.form(fixtureRecipe(holding.fixture), quality));
  const billet = keep(kernel.form(billetRecipe(holding.stock)));
  const pins = holding.fixture.pins.map((pin) => ({ pin, solid: keep(kernel.form(pinRecipe(pin, holding.fixture.plate.most[2]))) }));
  if (fixture === null || billet === null || issues.length > 0) {
    for (const solid of made) kernel.release(solid);
    return { ok: false, issues };
  }
  const fixtureMesh = weld(kernel.mesh(fixture, quality));
  const lost = lostContacts(fixtureMesh, holding);
  if (lost.length > 0) {
    for (const solid of made) kernel.release(solid);
    return { ok: false, issues: lost };
  }
  // Where a feature leaves a void in the billet there is no such solid; the finished part then has to do.
  const afterFirst = formAfterFirst(kernel, plan, holding);
  const against = afterFirst.ok ? afterFirst.value : part.solid;
  const looked = Math.min(lowered, job.holding.burrRelief / 2);
  const gap = kernel.gap(withContactsLowered(fixtureMesh, holding, looked), part.mesh, looked);
  return {
    ok: true,
    value: {
      evidence: { overlap: kernel.overlap({ solid: against }, { solid: fixture }), against: afterFirst.ok ? 'after the first operation' : 'finished', gap, looked, deviation: quality.deviation, fixtureVolume: meshVolume(fixtureMesh) },
      solids: { fixture, fixtureMesh, afterFirst: afterFirst.ok ? afterFirst.value : null, billet, pins: pins.flatMap(({ pin, solid }) => (solid === null ? [] : [{ pin, solid }])) },
    },
  };
}

function formAfterFirst(kernel: Kernel, plan: SolidPlan, holding: Holding): Result<SolidRef> {
  const hollow = kernel.hollow(plan);
  if (!hollow.ok) return hollow;
  try {
    return kernel.form(afterFirstRecipe(plan, holding.stock, hollow.value), coarse);
  } finally {
    kernel.release(hollow.value);
  }
}

/** A boolean of the kernel may lose a body without a word: every carrying face must be there. */
function lostContacts(mesh: WeldedMesh, { fixture }: Holding): Issue[] {
  return fixture.contacts.flatMap(({ name, height, outline }): Issue[] => {
    const points = flattened(outline);
    const [xs, ys] = [points.map((p) => p[0]), points.map((p) => p[1])];
    const inside = (value: number, among: readonly number[]): boolean => value > Math.min(...among) - level && value < Math.max(...among) + level;
    for (let i = 0; i < mesh.positions.length; i += 3) {
      if (Math.abs(mesh.positions[i + 2]! - height) < level && inside(mesh.positions[i]!, xs) && inside(mesh.positions[i + 1]!, ys)) return [];
    }
    return [{ code: 'fixture-lost-contact', at: 'holding', message: `The fixture came out without what carries ${name}.`, hint: 'Change the burr relief a little: faces that lie exactly in one another were lost.' }];
  });
}

function withContactsLowered(mesh: WeldedMesh, { fixture }: Holding, by: number): WeldedMesh {
  const heights = [...new Set(fixture.contacts.map((contact) => contact.height))];
  const positions = mesh.positions.slice();
  for (let i = 2; i < positions.length; i += 3) if (heights.some((height) => Math.abs(positions[i]! - height) < level)) positions[i]! -= by;
  return { ...mesh, positions };
}

export function letGo(kernel: Kernel, { fixture, afterFirst, billet, pins }: HeldSolids): void {
  for (const solid of [fixture, billet, ...(afterFirst === null ? [] : [afterFirst]), ...pins.map((pin) => pin.solid)]) kernel.release(solid);
}
