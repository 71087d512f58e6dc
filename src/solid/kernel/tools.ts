/** Plain solids used as tools: boxes, drills (turned profiles), swept outlines. Part frame, mm. Results belong to the caller. */
import type { TopoDS_Shape } from 'replicad-opencascadejs';
import { cross3, type Vec2, type Vec3 } from '../../maths/vec.ts';
import type { Oc } from './oc.ts';
import { polygonOutline, type Outline } from '../outline.ts';
import { direction, planarFace, point, sweep, type Place } from './profile.ts';
import { scoped } from './scope.ts';

export function box(oc: Oc, least: Vec3, most: Vec3): TopoDS_Shape {
  return scoped((keep) => keep(new oc.BRepPrimAPI_MakeBox(point(oc, keep, least), point(oc, keep, most))).Shape());
}

export function cylinder(oc: Oc, foot: Vec3, axis: Vec3, radius: number, height: number): TopoDS_Shape {
  return scoped((keep) => {
    const axes = keep(new oc.gp_Ax2(point(oc, keep, foot), direction(oc, keep, axis)));
    return keep(new oc.BRepPrimAPI_MakeCylinder(axes, radius, height)).Shape();
  });
}

/** Outline in its own plane swept along `way`. */
export function sweptOutline(oc: Oc, outline: Outline, place: Place, way: Vec3, holes: readonly Outline[] = []): TopoDS_Shape {
  return scoped((keep) => sweep(oc, keep, planarFace(oc, keep, outline, place, holes).face, way).Shape());
}

/**
 * A profile turned about an axis: points (radius, distance along the axis), closed along the axis by the line from the
 * last point back to the first. `turn` in rad; a full turn when left out.
 */
export function turned(oc: Oc, from: Vec3, axis: Vec3, square: Vec3, profile: readonly Vec2[], turn?: number): TopoDS_Shape {
  return scoped((keep) => {
    const place: Place = ([r, d]) => [from[0] + r * square[0] + d * axis[0], from[1] + r * square[1] + d * axis[1], from[2] + r * square[2] + d * axis[2]];
    const { face } = planarFace(oc, keep, polygonOutline(profile), place);
    const about = keep(new oc.gp_Ax1(point(oc, keep, from), direction(oc, keep, axis)));
    const maker = turn === undefined ? keep(new oc.BRepPrimAPI_MakeRevol(face, about, false)) : keep(new oc.BRepPrimAPI_MakeRevol(face, about, turn, false));
    return maker.Shape();
  });
}

/** A unit vector square to `axis` (unit), always the same one for the same axis. */
export function squareTo(axis: Vec3): Vec3 {
  const helper: Vec3 = Math.abs(axis[2]) > 0.9 ? [1, 0, 0] : [0, 0, 1];
  const side = cross3(axis, helper);
  const size = Math.hypot(side[0], side[1], side[2]);
  return [side[0] / size, side[1] / size, side[2] / size];
}
