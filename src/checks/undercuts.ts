/**
 * Can every face be reached by a cutter from straight above or straight below: two set-ups on a three-axis machine.
 * Looked at from points all over the finished solid with a cutter of no width; a place it passes may still be too narrow
 * (see the gap and corner checks).
 */
import { firstHit } from '../maths/rays.ts';
import type { Vec3 } from '../maths/vec.ts';
import type { Finding } from './finding.ts';
import type { Check } from './input.ts';
import { surfacePoints } from './surface.ts';
import { featureAt } from './where.ts';

const spacing = 2.5;
/** A face within about 1 deg of upright can be cut with the side of a cutter from either side. */
const upright = 0.02;
/** mm off the surface from which the look starts. */
const off = 0.01;
/** mm2 of one feature below which a hidden patch is mesh noise at an edge. */
const leastArea = 2;

export const undercuts: Check = ({ plan, mesh, tree, measured }) => {
  const hidden = new Map<string, { area: number; place: Vec3; name: string; kind: string }>();
  const far = measured.box.most[2] - measured.box.least[2] + 10;
  for (const { at, normal, area } of surfacePoints(mesh, spacing)) {
    const from: Vec3 = [at[0] + normal[0] * off, at[1] + normal[1] * off, at[2] + normal[2] * off];
    const free = (way: 1 | -1): boolean => firstHit(tree, from, [0, 0, way], 0, far) === null;
    const reached = normal[2] > upright ? free(1) : normal[2] < -upright ? free(-1) : free(1) || free(-1);
    if (reached) continue;
    const feature = featureAt(plan, at);
    const key = `${feature.kind} ${feature.at}`;
    const before = hidden.get(key);
    hidden.set(key, { area: (before?.area ?? 0) + area, place: before?.place ?? at, name: feature.name, kind: feature.kind });
  }
  return [...hidden].flatMap(([key, { area, place, name, kind }]): Finding[] => {
    if (area < leastArea) return [];
    const at = key.slice(key.indexOf(' ') + 1);
    const side = kind === 'hole';
    return [
      {
        code: side ? 'third-set-up' : 'undercut',
        level: side ? 'note' : 'warn',
        message: side ? `The ${name} runs sideways: it cannot be drilled from above or below.` : `About ${area.toFixed(0)} mm2 of the ${name} can be reached from neither above nor below.`,
        value: area,
        limit: 0,
        unit: 'mm2',
        at,
        place,
        cure: side ? 'Plan a third set-up, or drill it by hand through a bush.' : 'Move what stands in the way, or plan a third set-up.',
        restsOn: 'Straight looks up and down from points on the finished solid.',
      },
    ];
  });
};
