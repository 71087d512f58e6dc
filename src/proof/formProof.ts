/**
 * ProofPlan -> meshes ready for the printer, bed side down. The print's own sizes live in PrintSolid and PrintMesh, which
 * nothing of the design and none of the machine's files take: the solid that is drawn for the printer is built, meshed and
 * released in here, and only its mesh goes on. mm, mm3, g.
 */
import type { Job } from '../job/schema.ts';
import { tolerance } from '../maths/tolerance.ts';
import { scale3, type Vec2, type Vec3 } from '../maths/vec.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import { density } from '../standards/materials.ts';
import type { Kernel } from '../solid/door.ts';
import { meshBox, weld, type WeldedMesh } from '../solid/mesh.ts';
import { afterwards, type Affine, type Carved, type MeshRecipe, type MeshStep } from '../solid/meshRecipe.ts';
import type { SolidPlan, ThroughHole } from '../solid/plan.ts';
import { bedOf, shareBeds } from './bed.ts';
import { expectedReading, type ExpectedReading } from './expected.ts';
import { drawnIn } from './grown.ts';
import { printLaw, type PrintLaw } from './law.ts';
import { planProof } from './planProof.ts';
import type { PrintProfile } from './profile.ts';
import { refusal, sayIn, type PiecePlan, type ProofPlan } from './proofPlan.ts';

/** A plan whose holes are drawn for a printer. Never built but for its mesh. */
interface PrintSolid {
  readonly printOnly: true;
  readonly drawn: SolidPlan;
}

/** A mesh as it goes to the printer: bed side at z = 0, least corner at x = y = 0. */
export interface PrintMesh {
  readonly printOnly: true;
  readonly mesh: WeldedMesh;
}

export interface PrintPiece {
  readonly number: number;
  readonly plan: PiecePlan;
  readonly drawn: PrintMesh;
  /** Part frame -> its file: how it was laid and, with a profile, stretched. */
  readonly placed: Affine;
  readonly volume: number;
  /** Solid through and through; infill makes it less. */
  readonly mass: number;
  readonly size: Vec3;
  /** Outlines seen from above. */
  readonly shadow: readonly (readonly Vec2[])[];
  /** Which bed it is printed on, and where. */
  readonly bed: number;
  readonly at: Vec2;
  readonly expected: readonly ExpectedReading[];
}

export interface Proof {
  readonly profile: PrintProfile | null;
  readonly plan: ProofPlan;
  readonly pieces: readonly PrintPiece[];
  readonly joined: readonly { readonly title: string; readonly expected: readonly ExpectedReading[] }[];
  readonly beds: number;
}

/** A proof without its meshes: what a page shows of it. */
export type ProofShown = Omit<Proof, 'pieces'> & { readonly pieces: readonly Omit<PrintPiece, 'drawn'>[] };

export const withoutMeshes = (proof: Proof): ProofShown => ({ ...proof, pieces: proof.pieces.map(({ drawn: _, plan, ...piece }) => ({ ...piece, plan: { ...plan, from: 'part', steps: [] } })) });

/** The part as it stands: its plan and mesh, for a proof without a profile. */
export interface ProofSource {
  readonly job: Job;
  readonly plan: SolidPlan;
  readonly mesh: WeldedMesh;
}

/** Every piece of the proof, or every reason why not. */
export function formProof(source: ProofSource, kernel: Kernel, profile: PrintProfile | null, progress: (done: number) => void = () => {}): Result<Proof> {
  const { job } = source;
  const law = printLaw(profile);
  const plan = planProof(job, source.plan, law);
  if (!plan.ok) return plan;
  const mesh = printMesh(source, kernel, law);
  if (!mesh.ok) return mesh;
  const drawnFor = oncePerLay(mesh.value, law);
  const carved = kernel.carve(plan.value.pieces.map((piece) => recipeFor(piece, drawnFor, job, law)), progress);
  const issues: Issue[] = [];
  const formed = plan.value.pieces.flatMap((piece, i) => {
    const one = carved[i]!;
    const made = one.ok ? onBed(piece, one.value, job, law) : one;
    if (made.ok) return [{ piece, ...made.value }];
    issues.push(...made.issues);
    return [];
  });
  if (issues.length > 0) return refuse(...issues);
  const places = shareBeds(formed.map(({ size }): Vec2 => [size[0], size[1]]), bedOf(job.proof));
  const pieces = formed.map(({ piece, drawn, placed, volume, size, shadow }, i): PrintPiece => ({
    number: i + 1,
    plan: piece,
    drawn,
    placed,
    volume,
    mass: (volume / 1000) * density(job.proof.material),
    size,
    shadow,
    bed: places[i]!.bed,
    at: places[i]!.at,
    expected: piece.readings.map((wanted) => expectedReading(wanted, piece.lay, law, piece.corrected)),
  }));
  const joined = plan.value.joined.map(({ title, lay, readings }) => ({ title, expected: readings.map((wanted) => expectedReading(wanted, lay, law, true)) }));
  return ok({ profile, plan: plan.value, pieces, joined, beds: 1 + Math.max(...pieces.map((piece) => piece.bed)) });
}

/** The mesh of the part, its upright holes drawn for the printer. */
function printMesh({ job, plan, mesh }: ProofSource, kernel: Kernel, law: PrintLaw): Result<WeldedMesh> {
  if (law.profile === null) return ok(mesh);
  const solid = printSolid(plan, law);
  if (!solid.ok) return solid;
  const built = kernel.build(solid.value.drawn, { prove: 'guards' });
  if (!built.ok) return refuse(...built.issues.map((one) => ({ ...one, message: `Drawn for the printer: ${one.message}` })));
  try {
    return ok(weld(kernel.mesh(built.value.solid, { deviation: job.files.deviation, angle: tolerance.meshAngle })));
  } finally {
    kernel.release(built.value.solid);
  }
}

function printSolid(plan: SolidPlan, law: PrintLaw): Result<PrintSolid> {
  const issues: Issue[] = [];
  const drawn = (wanted: number, at: string): number => {
    const size = law.solidHole(wanted);
    if (size.ok && size.value > 0) return size.value;
    if (!size.ok) issues.push(...size.issues.map((one) => ({ ...one, at })));
    return wanted;
  };
  const through = (hole: ThroughHole): ThroughHole =>
    Math.abs(hole.axis[2]) < 0.5 ? hole : { ...hole, diameter: drawn(hole.diameter, hole.at), head: hole.head.kind === 'none' ? hole.head : { ...hole.head, diameter: drawn(hole.head.diameter, hole.at) } };
  const solid: SolidPlan = {
    ...plan,
    tabs: plan.tabs.map((tab) => (tab.hole === null ? tab : { ...tab, hole: through(tab.hole) })),
    holes: plan.holes.map(through),
    bosses: plan.bosses.map((boss) => (boss.hole === null ? boss : { ...boss, hole: { ...boss.hole, diameter: drawn(boss.hole.diameter, boss.at) } })),
  };
  return issues.length > 0 ? refuse(...issues) : ok({ printOnly: true, drawn: solid });
}

/** How a piece lies in its file, with a profile stretched too. */
const layOf = (piece: PiecePlan, law: PrintLaw): Affine => (piece.corrected ? afterwards(piece.lay, law.bed) : piece.lay);

function recipeFor(piece: PiecePlan, drawnFor: (lay: Affine) => WeldedMesh, { proof }: Job, law: PrintLaw): MeshRecipe {
  const relief: MeshStep[] = piece.corrected && proof.relief && law.relief > 0 ? [{ do: 'relieve', inset: law.relief, height: proof.reliefHeight }] : [];
  return {
    name: piece.title.toLowerCase(),
    at: piece.at,
    lettersAt: 'proof.text',
    start: piece.from === 'part' ? [{ kind: 'mesh', mesh: drawnFor(piece.lay) }] : piece.from,
    steps: [...piece.steps, { do: 'place', by: layOf(piece, law) }, ...relief],
  };
}

function onBed(piece: PiecePlan, { mesh, volume, shadow }: Carved, { proof, units }: Job, law: PrintLaw): Result<Pick<PrintPiece, 'drawn' | 'placed' | 'volume' | 'size' | 'shadow'>> {
  const { least, most } = meshBox(mesh);
  const size: Vec3 = [most[0] - least[0], most[1] - least[1], most[2] - least[2]];
  const bed = bedOf(proof);
  const say = sayIn(units);
  if (size[0] > bed.x || size[1] > bed.y || size[2] > bed.z) {
    return refuse(refusal('proof-piece-too-large', 'proof.bedX', `The ${piece.title.toLowerCase()} is drawn ${size.map(say).join(' by ')} and the bed takes ${say(bed.x)} by ${say(bed.y)} by ${say(bed.z)} inside its margin.`, `State a larger bed, or leave it out (${piece.at}).`));
  }
  return ok({
    drawn: { printOnly: true, mesh: { ...mesh, positions: mesh.positions.map((value, i) => value - least[i % 3]!) } },
    placed: { rows: layOf(piece, law).rows, shift: scale3(least, -1) },
    volume,
    size,
    shadow: shadow.map((loop) => loop.map(([x, y]): Vec2 => [x - least[0], y - least[1]])),
  });
}

/** Pieces that lie the same way share one mesh. */
function oncePerLay(mesh: WeldedMesh, law: PrintLaw): (lay: Affine) => WeldedMesh {
  const made = new Map<string, WeldedMesh>();
  return (lay) => {
    const key = JSON.stringify(lay.rows);
    const drawn = made.get(key) ?? drawnIn(mesh, lay, law);
    made.set(key, drawn);
    return drawn;
  };
}
