/** The kernel's worker: opens the kernel it is handed and answers one question at a time. Owns every solid. */
import { findingsOn, findingsOnHolding } from '../../checks/findings.ts';
import { thicknessAt } from '../../checks/wallTruth.ts';
import { holdingOf } from '../../holding/holdingOf.ts';
import { holdUp, letGo, type HeldSolids } from '../../holding/holdUp.ts';
import { readDocument } from '../../job/read.ts';
import { buildPart, make } from '../../make.ts';
import { makeProof } from '../../makeProof.ts';
import { withoutMeshes } from '../../proof/formProof.ts';
import { triangleTree } from '../../maths/bvh.ts';
import { nearestOnSurface } from '../../maths/nearest.ts';
import { pageSvg } from '../../outputs/paper/pageSvg.ts';
import { tolerance } from '../../maths/tolerance.ts';
import type { Kernel, Mesh, SolidRef } from '../../solid/door.ts';
import { openKernel } from '../../solid/kernel/kernel.ts';
import { weld } from '../../solid/mesh.ts';
import type { Vec3 } from '../../maths/vec.ts';
import type { SolidPlan } from '../../solid/plan.ts';
import type { Context, FromKernel, HeldBody, ToKernel } from './protocol.ts';

const editing = { deviation: tolerance.meshDeviationEditing, angle: tolerance.meshAngleEditing };

/** Builds spent on finding whom to blame while somebody waits with the next edit. */
const editingTries = 16;

interface Current {
  readonly solid: SolidRef;
  readonly plan: SolidPlan;
  readonly context: Context;
  readonly mesh: Mesh;
}

let opening: Promise<Kernel> | undefined;
let current: Current | undefined;

const say = (message: FromKernel, transfer: Transferable[] = []): void => self.postMessage(message, { transfer });

/** ms between pulses: enough for the page to know that work goes on. */
const pulseEvery = 60;
let [answering, pulsed] = [0, 0];

/** Tells the page that work goes on, now and then; called between all larger pieces of it. */
function pulse(): void {
  const now = performance.now();
  if (now - pulsed < pulseEvery) return;
  pulsed = now;
  say({ kind: 'pulse', id: answering });
}

/** Answers come in the order of the questions, even while the kernel is still opening. */
let queue: Promise<void> = Promise.resolve();
self.addEventListener('message', ({ data }: MessageEvent<ToKernel>) => {
  queue = queue.then(() => answer(data)).catch((error: unknown) => say({ kind: 'died', id: 'id' in data ? data.id : 0, message: error instanceof Error ? error.message : String(error) }));
});

async function answer(question: ToKernel): Promise<void> {
  if (question.kind === 'open') {
    opening = openKernel({ wasm: question.wasm, manifoldWasm: question.manifoldWasm, font: question.font, pulse });
    await opening;
    return say({ kind: 'ready' });
  }
  const kernel = await opening;
  answering = question.id;
  if (kernel === undefined) throw new Error('asked before it was opened');
  if (question.kind === 'build') return build(kernel, question);
  if (question.kind === 'check') return check(kernel, question.id);
  if (question.kind === 'hold') return hold(kernel, question.id);
  if (question.kind === 'beside') return beside(kernel, question.id, question.plan);
  if (question.kind === 'thickness') return thickness(question.id, question.most);
  if (question.kind === 'proof') return proof(kernel, question);
  return files(kernel, question);
}

function build(kernel: Kernel, { id, plan, context, held, engraving }: Extract<ToKernel, { kind: 'build' }>): void {
  const start = performance.now();
  const built = kernel.build(plan, { prove: 'guards', engraving, tries: editingTries, now: () => performance.now(), progress: (stage, done) => say({ kind: 'progress', id, stage, done }) });
  if (!built.ok) return say({ kind: 'refused', id, issues: built.issues });
  const { solid, ...rest } = built.value;
  const mesh = kernel.mesh(solid, editing);
  if (current !== undefined) kernel.release(current.solid);
  current = { solid, plan, context, mesh };
  const known = new Set(held);
  // Copies: the kernel keeps its own for the next build, and what is transferred is gone from here.
  const fresh = mesh.faces
    .filter((face) => !known.has(face.id))
    .map((face) => ({ ...face, positions: face.positions.slice(), normals: face.normals.slice(), triangles: face.triangles.slice() }));
  say(
    { kind: 'built', id, faces: mesh.faces.map((face) => face.id), fresh, built: rest, ms: performance.now() - start, heap: kernel.heap() },
    fresh.flatMap((face) => [face.positions.buffer, face.normals.buffer, face.triangles.buffer]),
  );
}

function check(kernel: Kernel, id: number): void {
  if (current === undefined) return;
  const { solid, plan, context, mesh } = current;
  const measured = kernel.measure(solid);
  const welded = weld(mesh);
  const tree = triangleTree(welded.positions, welded.triangles);
  say({ kind: 'checked', id, measured, findings: findingsOn({ ...context, plan, measured, mesh: welded, tree }, pulse), holding: findingsOnHolding({ job: context.job, plan, holding: holdingOf(context.job, plan), evidence: null, refused: [] }) });
}

/** The fixture made and held against the part at work. Lettering in the hollow is left out: it takes metal away and stands in nobody's way. */
function hold(kernel: Kernel, id: number): void {
  if (current === undefined) return say({ kind: 'held', id, bodies: [], evidence: null, findings: [] });
  const { solid, plan: lettered, context: { job }, mesh } = current;
  const plan = { ...lettered, engravings: [] };
  const holding = holdingOf(job, plan);
  const held = holdUp(kernel, job, plan, holding, { solid, mesh: weld(mesh) });
  pulse();
  const evidence = held.ok ? held.value.evidence : null;
  const findings = findingsOnHolding({ job, plan, holding, evidence, refused: held.ok ? [] : held.issues });
  const bodies = held.ok ? bodiesOf(kernel, held.value.solids) : [];
  if (held.ok) letGo(kernel, held.value.solids);
  say({ kind: 'held', id, bodies, evidence, findings }, bodies.flatMap((body) => body.faces.flatMap((face) => [face.positions.buffer, face.normals.buffer, face.triangles.buffer])));
}

function bodiesOf(kernel: Kernel, { fixture, billet, afterFirst, pins }: HeldSolids): HeldBody[] {
  const body = (what: HeldBody['what'], solid: SolidRef): HeldBody => ({
    what,
    faces: kernel.mesh(solid, { deviation: tolerance.meshDeviation, angle: 2 * tolerance.meshAngle }).faces.map((face) => ({ ...face, positions: face.positions.slice(), normals: face.normals.slice(), triangles: face.triangles.slice() })),
  });
  return [body('fixture', fixture), body('billet', billet), ...(afterFirst === null ? [] : [body('left', afterFirst)]), ...pins.map(({ solid }) => body('pin', solid))];
}

/** Built, meshed, measured and let go; the part at work stays as it is. */
function beside(kernel: Kernel, id: number, plan: SolidPlan): void {
  const built = kernel.build(plan, { prove: 'guards', engraving: false });
  if (!built.ok) return say({ kind: 'refused', id, issues: built.issues });
  const { solid } = built.value;
  const mesh = weld(kernel.mesh(solid, editing));
  const { volume } = kernel.measure(solid);
  kernel.release(solid);
  say({ kind: 'beside', id, mesh, volume, current: current === undefined ? null : kernel.measure(current.solid).volume });
}

/** Thickness at the nodes of every face, looked at from just inside each node's own facet. */
function thickness(id: number, most: number): void {
  if (current === undefined) return;
  const welded = weld(current.mesh);
  const tree = triangleTree(welded.positions, welded.triangles);
  let least = Infinity;
  const byFace = current.mesh.faces.map((face): readonly [number, Float32Array] => {
    pulse();
    const values = new Float32Array(face.positions.length / 3).fill(most);
    for (let i = 0; i < values.length; i += 1) {
      const at: Vec3 = [face.positions[3 * i]!, face.positions[3 * i + 1]!, face.positions[3 * i + 2]!];
      const normal: Vec3 = [face.normals[3 * i]!, face.normals[3 * i + 1]!, face.normals[3 * i + 2]!];
      const own = nearestOnSurface(tree, at, 1e-3)?.triangle ?? -1;
      const thin = thicknessAt(tree, { at, normal, triangle: own, area: 0 }, most);
      if (thin !== null) values[i] = Math.min(most, thin.thickness);
      least = Math.min(least, values[i]!);
    }
    return [face.id, values];
  });
  say({ kind: 'thickness', id, byFace, least }, byFace.map(([, values]) => values.buffer));
}

function proof(kernel: Kernel, { id, document, date, printer }: Extract<ToKernel, { kind: 'proof' }>): void {
  const file = readDocument(document);
  if (!file.ok) return say({ kind: 'refused', id, issues: file.issues });
  const progress = (stage: string, done: number): void => say({ kind: 'progress', id, stage, done });
  const part = buildPart(file.value, kernel, { date, progress, pulse });
  if (!part.ok) return say({ kind: 'refused', id, issues: part.issues });
  kernel.release(part.value.built.solid);
  const made = makeProof(part.value, kernel, { ...printer, date, progress, pulse });
  if (!made.ok) return say({ kind: 'refused', id, issues: made.issues });
  say({ kind: 'proof', id, files: made.value.files, proof: withoutMeshes(made.value.proof) }, made.value.files.map((one) => one.bytes.buffer));
}

async function files(kernel: Kernel, { id, document, date, drawer }: Extract<ToKernel, { kind: 'files' }>): Promise<void> {
  const file = readDocument(document);
  if (!file.ok) return say({ kind: 'refused', id, issues: file.issues });
  const made = await make(file.value, kernel, { date, drawer, pulse, now: () => performance.now(), progress: (stage, done) => say({ kind: 'progress', id, stage, done }) });
  if (!made.ok) return say({ kind: 'refused', id, issues: made.issues });
  const copies = made.value.files.map((file) => ({ ...file, bytes: file.bytes.slice() }));
  const sheets = made.value.sheets.map(({ name, purpose, pages }) => ({ name, purpose, pages: pages.map((page) => ({ name: page.name, svg: pageSvg(page) })) }));
  say({ kind: 'files', id, files: copies, report: made.value.report, sheets }, copies.map((file) => file.bytes.buffer));
}
