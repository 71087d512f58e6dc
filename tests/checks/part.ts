/** A part up to its checks, for tests: with the real kernel, or, where a check looks at plan and section only, without a solid. */
import type { CheckInput } from '../../src/checks/input.ts';
import { fairContour } from '../../src/contour/fair.ts';
import { readDocument } from '../../src/job/read.ts';
import type { JobDocument } from '../../src/job/schema.ts';
import { triangleTree } from '../../src/maths/bvh.ts';
import { tolerance } from '../../src/maths/tolerance.ts';
import { unwrap } from '../../src/result.ts';
import { sectionOf } from '../../src/section/sectionOf.ts';
import type { Kernel } from '../../src/solid/door.ts';
import { weld } from '../../src/solid/mesh.ts';
import { planSolid } from '../../src/solid/plan.ts';

/** 160 x 80 x about 40, a plain crown. */
export const plain: JobDocument = {
  coverwright: 1,
  trace: { readingError: 0.05, points: [[0, 34], [20, 37], [40, 38.9], [60, 40], [80, 40.4], [100, 40], [120, 38.9], [140, 37], [160, 34]] },
  body: { width: 80 },
  edgeBreaks: { byHand: 0.3 },
};

const none = { volume: 0, area: 0, box: { least: [0, 0, 0], most: [160, 80, 45] }, faces: 0, topFaces: 1, valid: true, solids: 1, closed: true } as const;

export function planned(document: JobDocument): CheckInput {
  const { job } = unwrap(readDocument(document));
  const contour = unwrap(fairContour(job.trace, job.contour));
  const section = unwrap(sectionOf(contour, job.body));
  const mesh = { positions: new Float64Array(), triangles: new Uint32Array(), faceOf: new Uint32Array() };
  return { job, contour, section, plan: unwrap(planSolid(job, section)), measured: none, mesh, tree: triangleTree(mesh.positions, mesh.triangles) };
}

export function built(document: JobDocument, kernel: Kernel): CheckInput {
  const input = planned(document);
  const { solid } = unwrap(kernel.build(input.plan));
  const measured = kernel.measure(solid);
  const mesh = weld(kernel.mesh(solid, { deviation: 0.05, angle: tolerance.meshAngle }));
  kernel.release(solid);
  return { ...input, measured, mesh, tree: triangleTree(mesh.positions, mesh.triangles) };
}
