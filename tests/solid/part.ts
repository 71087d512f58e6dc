/** Jobs and plans for the tests of the solids: a contour given as curves, a job document, and one kernel per test file. */
import { afterAll } from 'vitest';
import type { FairedContour } from '../../src/contour/contour.ts';
import { jobSchema, type Job, type JobDocument } from '../../src/job/schema.ts';
import type { BSplineCurve } from '../../src/maths/bspline.ts';
import { interpolateCubic } from '../../src/maths/interpolate.ts';
import type { Vec2 } from '../../src/maths/vec.ts';
import { unwrap, type Result } from '../../src/result.ts';
import { sectionOf } from '../../src/section/sectionOf.ts';
import { tolerance } from '../../src/maths/tolerance.ts';
import type { BuildOptions, Built, FaceMesh, Kernel, Measured, MeshQuality } from '../../src/solid/door.ts';
import { openNodeKernel } from '../../src/solid/kernel/node.ts';
import { meshVolume, weld, type WeldedMesh } from '../../src/solid/mesh.ts';
import { planSolid, type SolidPlan } from '../../src/solid/plan.ts';

/** Everything of a job but its readings; the contour is handed in as curves. */
export type Doc = Omit<JobDocument, 'coverwright'>;

export const jobOf = (doc: Doc): Job => jobSchema('mm').parse({ coverwright: 1, ...doc });

/** The height of the plain test part: 100 long, 60 wide, 30 high, walls 3, skin 2, flat on top. */
export const flat = { length: 100, width: 60, height: 30, wall: 3, skin: 2 } as const;

export const flatTop: readonly BSplineCurve[] = [interpolateCubic([[0, 30], [50, 30], [100, 30]])];

/** All radii and breaks off unless the test puts them on. */
export const sharp = { width: flat.width, wall: flat.wall, skin: flat.skin, outsideRadius: 0, insideCornerRadius: 0, insideRoofRadius: 0 } as const;

/** A curve through points of z = f(x) on 0 to length. */
export const topThrough = (f: (x: number) => number, length: number, count = 15): BSplineCurve =>
  interpolateCubic(Array.from({ length: count }, (_, i): Vec2 => [(length * i) / (count - 1), f((length * i) / (count - 1))]));

/** A crowned, tapered top, 200 long, 35 to 43 high. */
export const crowned: readonly BSplineCurve[] = [topThrough((x) => 35 + 8 * Math.sin((Math.PI * x * 0.9) / 200 + 0.2), 200)];

/** A top that dips to 30 in the middle. */
export const dipped: readonly BSplineCurve[] = [topThrough((x) => 40 - 10 * Math.sin((Math.PI * x) / 200), 200)];

export function planOf(doc: Doc, top: readonly BSplineCurve[] = flatTop): Result<SolidPlan> {
  const job = jobOf(doc);
  // Only the curves of a contour are read on the way to a solid.
  const section = sectionOf({ spans: top } as FairedContour, job.body);
  return section.ok ? planSolid(job, section.value) : section;
}

let kernel: Promise<Kernel> | undefined;

/** The kernel of this test file, opened on first use and closed at its end. */
export const sharedKernel = (): Promise<Kernel> => (kernel ??= openNodeKernel());

afterAll(async () => {
  if (kernel !== undefined) (await kernel).close();
});

export interface Tried {
  readonly built: Built;
  readonly measured: Measured;
}

/** Builds and measures; the solid itself is let go. */
export async function tryPart(doc: Doc, top: readonly BSplineCurve[] = flatTop, options: BuildOptions = {}): Promise<Tried> {
  const door = await sharedKernel();
  const built = unwrap(door.build(unwrap(planOf(doc, top)), options));
  try {
    return { built, measured: door.measure(built.solid) };
  } finally {
    door.release(built.solid);
  }
}

/** The same with its mesh, and the volume of that. */
export async function tryMesh(doc: Doc, top: readonly BSplineCurve[] = flatTop, quality = editing): Promise<Tried & { readonly mesh: WeldedMesh; readonly faces: readonly FaceMesh[]; readonly meshed: number }> {
  const door = await sharedKernel();
  const built = unwrap(door.build(unwrap(planOf(doc, top)), { proofQuality: quality }));
  try {
    const { faces } = door.mesh(built.solid, quality);
    const mesh = weld({ faces, quality });
    return { built, measured: door.measure(built.solid), mesh, faces, meshed: meshVolume(mesh) };
  } finally {
    door.release(built.solid);
  }
}

export const editing: MeshQuality = { deviation: tolerance.meshDeviationEditing, angle: tolerance.meshAngleEditing };

export const volumeOf = async (doc: Doc, top?: readonly BSplineCurve[]): Promise<number> => (await tryPart(doc, top)).measured.volume;
