/** Pieces of a proof -> the beds with the pieces on them, seen from above, and a picture of one piece. mm. */
import { triangleTree } from '../maths/bvh.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2 } from '../maths/vec.ts';
import type { Job } from '../job/schema.ts';
import type { PrintPiece, ProofShown } from '../proof/formProof.ts';
import { smoothFaces } from '../solid/meshEdges.ts';
import type { SolidPlan } from '../solid/plan.ts';
import { label, polyline, type Drawing, type Mark } from './drawing.ts';
import { planDrawing } from './planDrawing.ts';
import { viewDrawing, viewPoints } from './view.ts';

/** mm between two beds in the drawing. */
const apart = 20;

/** Beds side by side, as many in a row as make it about square. `chosen` marks a piece by its number. */
export function bedsDrawing(proof: Pick<ProofShown, 'beds' | 'pieces'>, { bedX, bedY, bedMargin }: Job['proof'], chosen = 0): Drawing {
  const columns = Math.max(1, Math.ceil(Math.sqrt(proof.beds)));
  const marks: Mark[] = [];
  for (let bed = 0; bed < proof.beds; bed++) {
    const corner = cornerOf(bed, columns, bedX, bedY);
    const frame = (inset: number, pen: 'dimension' | 'construction'): Mark => polyline(pen, boxOf([corner[0] + inset, corner[1] + inset], [bedX - 2 * inset, bedY - 2 * inset]), true);
    marks.push(frame(0, 'dimension'), frame(bedMargin, 'construction'), label([corner[0], corner[1] + bedY + 3], `Bed ${bed + 1}`, 5, 'start'));
    for (const piece of proof.pieces) if (piece.bed === bed) marks.push(...pieceMarks(piece, corner, piece.number === chosen));
  }
  return { marks };
}

const cornerOf = (bed: number, columns: number, bedX: number, bedY: number): Vec2 => [(bed % columns) * (bedX + apart), -Math.floor(bed / columns) * (bedY + apart)];

/** Where a piece can be taken hold of in that drawing: under its number. */
export function pieceHandle(proof: Pick<ProofShown, 'beds'>, { bedX, bedY }: Job['proof'], { bed, at, size }: ProofShown['pieces'][number]): Vec2 {
  const [x, y] = cornerOf(bed, Math.max(1, Math.ceil(Math.sqrt(proof.beds))), bedX, bedY);
  return [x + at[0] + size[0] / 2, y + at[1] + size[1] / 2 - 6];
}

const boxOf = ([x, y]: Vec2, [w, d]: Vec2): Vec2[] => [[x, y], [x + w, y], [x + w, y + d], [x, y + d], [x, y]];

function pieceMarks({ shadow, at, size, number }: ProofShown['pieces'][number], corner: Vec2, chosen: boolean): Mark[] {
  const shift = ([x, y]: Vec2): Vec2 => [corner[0] + at[0] + x, corner[1] + at[1] + y];
  const closed = (loop: readonly Vec2[]): Vec2[] => [...loop, loop[0]!].map(shift);
  const middle: Vec2 = [size[0] / 2, size[1] / 2];
  return [...shadow.map((loop) => polyline(chosen ? 'accent' : 'outline', closed(loop), true)), label(shift([middle[0], middle[1] + 1]), String(number), 8, 'middle', chosen ? 'accent' : 'text')];
}

/** A piece as it stands on the bed. */
export function pieceDrawing({ drawn, plan, size }: PrintPiece): Drawing {
  // Facets of round faces turn by up to the angle of the mesh: below half as much again they are one face.
  const mesh = smoothFaces(drawn.mesh, 1.5 * tolerance.meshAngle);
  return viewDrawing(mesh, triangleTree(mesh.positions, mesh.triangles), plan.kind === 'rib' ? viewPoints.above : viewPoints.outside, { hidden: false, step: Math.hypot(...size) / 80 });
}

/** Before anything is made: the part from above on one bed, so that it is seen at once whether it fits. */
export function onBedDrawing(plan: SolidPlan, { bedX, bedY, bedMargin }: Job['proof']): Drawing {
  const [x, y] = [plan.body.length / 2, plan.body.width / 2];
  const frame = (inset: number, pen: 'dimension' | 'construction'): Mark => polyline(pen, boxOf([x - bedX / 2 + inset, y - bedY / 2 + inset], [bedX - 2 * inset, bedY - 2 * inset]), true);
  return { marks: [frame(0, 'dimension'), frame(bedMargin, 'construction'), ...planDrawing(plan, 'mm', false).marks.filter((mark) => mark.kind !== 'text' && mark.pen !== 'dimension')] };
}
