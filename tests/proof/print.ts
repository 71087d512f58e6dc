/** Proofs of presets for the tests: one kernel for a file, parts built once. */
import { readFileSync } from 'node:fs';
import Module from 'manifold-3d';
import type { Manifold } from 'manifold-3d';
import { afterAll } from 'vitest';
import { readDocument, readJob } from '../../src/job/read.ts';
import type { JobDocument } from '../../src/job/schema.ts';
import { buildPart, type Part } from '../../src/make.ts';
import type { Vec3 } from '../../src/maths/vec.ts';
import { formProof, type PrintPiece, type Proof } from '../../src/proof/formProof.ts';
import type { PrintProfile } from '../../src/proof/profile.ts';
import { readPrinterProfile } from '../../src/proof/readPrinter.ts';
import { unwrap, type Result } from '../../src/result.ts';
import type { Kernel } from '../../src/solid/door.ts';
import { openNodeKernel } from '../../src/solid/kernel/node.ts';
import type { WeldedMesh } from '../../src/solid/mesh.ts';

export const kernel: Kernel = await openNodeKernel();
afterAll(() => kernel.close());

export const manifolds = await Module();
manifolds.setup();

export const leftPrinter: PrintProfile = unwrap(readPrinterProfile(readFileSync('presets/left.printer.json', 'utf8'))).profile;

const parts = new Map<string, Part>();

/** A preset with its proof changed; the part itself is built once. */
export function partOf(preset: string, proof: JobDocument['proof'] = {}): Part {
  const file = unwrap(readJob(readFileSync(`presets/${preset}.job.json`, 'utf8')));
  const part = parts.get(preset) ?? unwrap(buildPart(file, kernel, { date: '2026-01-31T00:00:00Z' }));
  parts.set(preset, part);
  return { ...part, file: unwrap(readDocument({ ...file.document, proof })) };
}

export const tryProof = (preset: string, proof: JobDocument['proof'] = {}, profile: PrintProfile | null = null): Result<Proof> => {
  const { file, plan, mesh } = partOf(preset, proof);
  return formProof({ job: file.job, plan, mesh }, kernel, profile);
};

export const proofOf = (...of: Parameters<typeof tryProof>): Proof => unwrap(tryProof(...of));

export function manifoldOf(mesh: WeldedMesh): Manifold {
  const solid = new manifolds.Manifold(new manifolds.Mesh({ numProp: 3, vertProperties: Float32Array.from(mesh.positions), triVerts: mesh.triangles }));
  if (solid.status() !== 'NoError') throw new Error(solid.status());
  return solid;
}

/** A piece drawn for no printer, back where it stands in the part. */
export function putBack({ drawn: { mesh }, placed: { rows, shift } }: PrintPiece): WeldedMesh {
  const positions = mesh.positions.slice();
  for (let i = 0; i < positions.length; i += 3) {
    const p = [0, 1, 2].map((k) => mesh.positions[i + k]! - shift[k]!);
    for (let k = 0; k < 3; k++) positions[i + k] = rows[0][k as 0]! * p[0]! + rows[1][k as 0]! * p[1]! + rows[2][k as 0]! * p[2]!;
  }
  return { ...mesh, positions };
}

/** Centre and mean radius of the nodes of an upright hole near a place of the file, by their box. */
export function holeIn({ drawn: { mesh }, placed: { rows, shift } }: PrintPiece, at: Vec3, about: number): { readonly at: readonly [number, number]; readonly diameter: number } {
  const [cx, cy] = [0, 1].map((k) => rows[k as 0]![0] * at[0] + rows[k as 0]![1] * at[1] + rows[k as 0]![2] * at[2] + shift[k]!) as [number, number];
  const near: [number, number][] = [];
  for (let i = 0; i < mesh.positions.length; i += 3) {
    const [x, y] = [mesh.positions[i]!, mesh.positions[i + 1]!];
    if (Math.abs(Math.hypot(x - cx, y - cy) - about / 2) < 0.06) near.push([x, y]);
  }
  if (near.length < 12) throw new Error(`no hole of ${about} mm found at ${at.join(', ')}: ${near.length} nodes`);
  const middle = [0, 1].map((k) => (Math.min(...near.map((p) => p[k]!)) + Math.max(...near.map((p) => p[k]!))) / 2) as [number, number];
  const radii = near.map((p) => Math.hypot(p[0] - middle[0], p[1] - middle[1]));
  return { at: middle, diameter: 2 * (radii.reduce((sum, r) => sum + r, 0) / radii.length) };
}
