/** What every check is given: the whole way up to the final solid, and its mesh with a tree for rays and distances. */
import type { FairedContour } from '../contour/contour.ts';
import type { CutterDrawer } from '../holding/cutterFile.ts';
import type { Job } from '../job/schema.ts';
import type { TriangleTree } from '../maths/bvh.ts';
import type { Section } from '../section/section.ts';
import type { Measured } from '../solid/door.ts';
import type { WeldedMesh } from '../solid/mesh.ts';
import type { SolidPlan } from '../solid/plan.ts';
import type { Finding, Say } from './finding.ts';

export interface CheckInput {
  readonly job: Job;
  readonly contour: FairedContour;
  readonly section: Section;
  readonly plan: SolidPlan;
  readonly measured: Measured;
  /** Watertight mesh of the final solid, part frame, mm. */
  readonly mesh: WeldedMesh;
  readonly tree: TriangleTree;
  /** The shop's cutters, where they are known. */
  readonly drawer?: CutterDrawer | null;
}

/** `say` writes lengths in the units of the job; mm when left out. */
export type Check = (input: CheckInput, say?: Say) => readonly Finding[];
