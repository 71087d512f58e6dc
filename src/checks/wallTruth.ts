/**
 * How thick the metal really is, everywhere on the finished solid: from points all over it a ball is grown inwards until
 * it touches the other side, and its diameter is the thickness there. The far side must face away within 60 deg, so that
 * the edge of a face is not taken for a thin wall.
 *
 * Method: inward ray, then the ball shrunk to the nearest far surface (the shrinking ball of Ma, Bae and Choi, 2012).
 * True to the mesh deviation; it can miss a thin place smaller than the spacing of the points.
 */
import type { TriangleTree } from '../maths/bvh.ts';
import { nearestOnSurface } from '../maths/nearest.ts';
import { firstHit } from '../maths/rays.ts';
import type { Vec3 } from '../maths/vec.ts';
import type { Job } from '../job/schema.ts';
import type { SolidPlan } from '../solid/plan.ts';
import { sayMm, type Finding } from './finding.ts';
import type { Check } from './input.ts';
import { surfacePoints, type SurfacePoint } from './surface.ts';
import { featureAt, type Feature } from './where.ts';

/** mm between points looked from. */
const spacing = 2;
/** Least cosine between the inward way and the far side's normal. */
const facing = 0.5;

export interface Thin {
  readonly thickness: number;
  readonly at: Vec3;
  readonly far: Vec3;
}

/** Thickness at one point of the surface, or null where no far side faces it within `most` mm. */
export function thicknessAt(tree: TriangleTree, point: SurfacePoint, most: number): Thin | null {
  const inward: Vec3 = [-point.normal[0], -point.normal[1], -point.normal[2]];
  const { normals } = tree;
  const far = (t: number): number => normals[3 * t]! * inward[0] + normals[3 * t + 1]! * inward[1] + normals[3 * t + 2]! * inward[2];
  const looksThrough = (t: number): boolean => t === point.triangle || far(t) < facing;
  const hit = firstHit(tree, point.at, inward, 1e-4, most, looksThrough);
  if (hit === null) return null;
  let thickness = hit.t;
  let touch: Vec3 = [point.at[0] + inward[0] * hit.t, point.at[1] + inward[1] * hit.t, point.at[2] + inward[2] * hit.t];
  for (let i = 0; i < 8; i += 1) {
    const r = thickness / 2;
    const centre: Vec3 = [point.at[0] + inward[0] * r, point.at[1] + inward[1] * r, point.at[2] + inward[2] * r];
    const near = nearestOnSurface(tree, centre, r * 0.999, looksThrough);
    if (near === null) break;
    // The ball through the point, tangent there, that just reaches the nearer place.
    const d: Vec3 = [near.point[0] - point.at[0], near.point[1] - point.at[1], near.point[2] - point.at[2]];
    const along = d[0] * inward[0] + d[1] * inward[1] + d[2] * inward[2];
    if (along <= 1e-9) break;
    thickness = (d[0] ** 2 + d[1] ** 2 + d[2] ** 2) / along;
    touch = near.point;
  }
  return { thickness, at: point.at, far: touch };
}

/** What the job asks for where a thin place was found: the stated thickness, less what was cut into it on purpose. */
function wanted(job: Job, plan: SolidPlan, features: readonly [Feature, Feature]): { readonly limit: number; readonly at: string } {
  const { body } = plan;
  if (features.some((f) => f.kind === 'hole')) return { limit: job.machining.leastSkin, at: features.find((f) => f.kind === 'hole')?.at ?? '' };
  const groove = features.find((f) => f.kind === 'groove' || f.kind === 'engraving');
  const cut = groove ? ([...plan.grooves, ...plan.engravings].find((g) => g.at === groove.at)?.depth ?? 0) : 0;
  const tab = features.find((f) => f.kind === 'tab');
  const tabThickness = tab ? (plan.tabs.find((t) => t.at === tab.at)?.thickness ?? Infinity) : Infinity;
  const stated = Math.min(body.skin, body.wall, body.left.closed ? body.left.thickness : Infinity, body.right.closed ? body.right.thickness : Infinity, tabThickness);
  return { limit: stated - cut - job.machining.wallTolerance, at: groove?.at ?? 'body.skin' };
}

/** mm2 that must be thin before it counts: where a radius runs out into a break, slivers of facets stand near each other without any wall between. */
const leastPatch = 1;

interface Seen extends Thin {
  readonly area: number;
}

/** The thickness that at least `leastPatch` of surface does not exceed, and the place of it; null when there is not that much. */
function thinnestPatch(seen: readonly Seen[]): Thin | null {
  let area = 0;
  for (const thin of [...seen].sort((a, b) => a.thickness - b.thickness)) {
    area += thin.area;
    if (area >= leastPatch) return thin;
  }
  return null;
}

export const wallTruth: Check = ({ job, plan, mesh, tree }, say = sayMm) => {
  const { body } = plan;
  const thickest = Math.max(body.skin, body.wall, body.left.thickness, body.right.thickness);
  const seen: Seen[] = [];
  for (const point of surfacePoints(mesh, spacing)) {
    const thin = thicknessAt(tree, point, 2.5 * thickest);
    if (thin !== null) seen.push({ ...thin, area: point.area });
  }
  const shortfalls = new Map<string, { limit: number; at: string; name: string; seen: Seen[] }>();
  for (const thin of seen) {
    // Naming the feature is the dear part, and most places are plainly thick enough.
    if (thin.thickness >= thickest - job.machining.wallTolerance) continue;
    const features = [featureAt(plan, thin.at), featureAt(plan, thin.far)] as const;
    // Metal between the sides of letters, or of one groove and itself, is no wall.
    if (features[0].at === features[1].at && (features[0].kind === 'engraving' || features[0].kind === 'groove')) continue;
    const { limit, at } = wanted(job, plan, features);
    if (thin.thickness >= limit) continue;
    const name = (features.find((f) => f.kind !== 'body') ?? features[0]).name;
    const key = `${name} ${at}`;
    const before = shortfalls.get(key);
    if (before === undefined) shortfalls.set(key, { limit, at, name, seen: [thin] });
    else before.seen.push(thin);
  }
  const stops = [...shortfalls.values()].flatMap(({ limit, at, name, seen: short }): Finding[] => {
    const thin = thinnestPatch(short);
    if (thin === null) return [];
    return [
      {
        code: 'wall-thin-measured',
        level: 'stop',
        message: `The finished part is only ${say(thin.thickness)} thick at the ${name} (${say.place(thin.at)}); ${say(limit)} wanted.`,
        value: thin.thickness,
        limit,
        unit: 'mm',
        at,
        place: thin.at,
        cure: `Give ${say(limit - thin.thickness)} more metal there, or take less away.`,
        restsOn: 'Largest ball inside the finished solid; the limit is the stated thickness less machining.wallTolerance.',
      },
    ];
  });
  const thinnest = thinnestPatch(seen);
  if (stops.length > 0 || thinnest === null) return stops;
  return [
    {
      code: 'thinnest',
      level: 'note',
      message: `The thinnest metal on the finished part is ${say(thinnest.thickness)}, at ${say.place(thinnest.at)}.`,
      value: thinnest.thickness,
      limit: null,
      unit: 'mm',
      at: '',
      place: thinnest.at,
      cure: '',
      restsOn: `Largest ball inside the finished solid, looked for from points about ${spacing} mm apart.`,
    },
  ];
};
