/**
 * What is made from a finished solid without the kernel: its findings and its sheets of paper. Plain data in, so that
 * another thread may do it while the kernel goes on with the fixture.
 */
import type { Finding } from './checks/finding.ts';
import { findingsOn } from './checks/findings.ts';
import type { FairedContour } from './contour/contour.ts';
import { triangleTree, type TriangleTree } from './maths/bvh.ts';
import { printPaper, type PaperData, type Printed } from './outputs/paper/paper.ts';
import { viewerOf } from './outputs/view.ts';

export interface BesideData extends PaperData {
  readonly contour: FairedContour;
}

export interface BesideWork {
  readonly findings: Promise<readonly Finding[]>;
  /** Null without a font. */
  readonly paper: Promise<Printed> | null;
}

export type Beside = (data: BesideData, font: Uint8Array | null, tree?: TriangleTree) => BesideWork;

/** Here and now, in the thread that asks. */
export const workHere: Beside = (data, font, tree = triangleTree(data.mesh.positions, data.mesh.triangles)) => ({
  findings: Promise.resolve(findingsOn({ ...data, tree })),
  paper: font === null ? null : printPaper(data, viewerOf(data.mesh, tree), font),
});
