/**
 * Where the outside and the hollow touch: the feet, the step between them, and the faces of open ends. Everywhere else
 * the hollow stays clear of the outside. Each plane by its unit normal out of the metal and its distance along it.
 */
import type { TopoDS_Face, TopoDS_Shape } from 'replicad-opencascadejs';
import { tolerance } from '../../maths/tolerance.ts';
import type { Vec3 } from '../../maths/vec.ts';
import type { BodyPlan } from '../plan.ts';
import type { Oc } from './oc.ts';
import { facesOf, planeOf } from './topology.ts';

export interface ContactPlane {
  readonly normal: Vec3;
  readonly distance: number;
}

export function contactPlanes(body: BodyPlan): ContactPlane[] {
  const planes: ContactPlane[] = [...new Set([body.frontFoot, body.backFoot])].map((foot) => ({ normal: [0, 0, -1], distance: -foot }));
  if (body.frontFoot > body.backFoot) planes.push({ normal: [-1, 0, 0], distance: -body.stepAt });
  if (body.frontFoot < body.backFoot) planes.push({ normal: [1, 0, 0], distance: body.stepAt });
  if (!body.left.closed) planes.push({ normal: [0, -1, 0], distance: 0 });
  if (!body.right.closed) planes.push({ normal: [0, 1, 0], distance: body.width });
  return planes;
}

/** Faces of a solid, those lying in a contact plane apart from the rest. Handles belong to the caller. */
export function splitFaces(oc: Oc, solid: TopoDS_Shape, planes: readonly ContactPlane[]): { readonly touching: TopoDS_Face[]; readonly free: TopoDS_Face[] } {
  const touching: TopoDS_Face[] = [];
  const free: TopoDS_Face[] = [];
  for (const face of facesOf(oc, solid)) {
    const plane = planeOf(oc, face);
    const touches = plane !== null && planes.some((contact) => samePlane(plane, contact));
    (touches ? touching : free).push(face);
  }
  return { touching, free };
}

const samePlane = (a: ContactPlane, b: ContactPlane): boolean =>
  Math.abs(a.distance - b.distance) <= tolerance.kernel * 10 &&
  a.normal[0] * b.normal[0] + a.normal[1] * b.normal[1] + a.normal[2] * b.normal[2] > 1 - tolerance.angle;
