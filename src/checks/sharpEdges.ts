/**
 * Edges a hand can feel: every convex edge of the finished solid that has neither radius nor break, grouped by the feature
 * it is on. Where a break by hand is asked for on the sheets they become a note, since the part still carries them as drawn.
 */
import { distance3, type Vec3 } from '../maths/vec.ts';
import { tolerance } from '../maths/tolerance.ts';
import { featureEdges } from '../solid/meshEdges.ts';
import { sayMm, type Finding } from './finding.ts';
import type { Check } from './input.ts';
import { featureAt } from './where.ts';

/** rad. A break of 45 deg leaves two edges of 45 deg, which no longer cut; anything sharper is left sharp. */
const sharpTurn = 1;

interface Group {
  length: number;
  count: number;
  place: Vec3;
  names: Set<string>;
}

const groupWords = { hole: 'Hole mouths', boss: 'Ends of the bosses', tab: 'Tabs', notch: 'Notches', groove: 'Grooves', engraving: 'Engraving', foot: 'Wall feet', body: 'Body' } as const;
const groupPath = { hole: 'edgeBreaks.holes', boss: 'edgeBreaks.byHand', tab: 'edgeBreaks.tabs', notch: 'edgeBreaks.byHand', groove: 'edgeBreaks.byHand', engraving: 'edgeBreaks.byHand', foot: 'edgeBreaks.feet', body: 'body.outsideRadius' } as const;

export const sharpEdges: Check = ({ job, plan, mesh }, say = sayMm) => {
  const groups = new Map<keyof typeof groupWords, Group>();
  for (const edge of featureEdges(mesh, tolerance.smoothEdge)) {
    if (edge.kind !== 'convex' || edge.turn < sharpTurn) continue;
    const length = edge.points.slice(1).reduce((sum, point, i) => sum + distance3(point, edge.points[i] as Vec3), 0);
    if (length < 0.5) continue;
    const place = edge.points[Math.floor(edge.points.length / 2)] as Vec3;
    const feature = featureAt(plan, place);
    const group = groups.get(feature.kind) ?? { length: 0, count: 0, place, names: new Set() };
    group.length += length;
    group.count += 1;
    group.names.add(feature.name);
    groups.set(feature.kind, group);
  }
  const byHand = job.edgeBreaks.byHand;
  return [...groups].map(([kind, { length, count, place }]): Finding => ({
    code: byHand > 0 ? 'edges-by-hand' : 'edges-sharp',
    level: byHand > 0 ? 'note' : 'warn',
    message: byHand > 0 ? `${groupWords[kind]}: ${say(Math.round(length))} of edge is left for the ${say(byHand)} break by hand.` : `${groupWords[kind]}: ${count} edges, ${say(Math.round(length))} in all, have neither radius nor break.`,
    value: length,
    limit: 0,
    unit: 'mm',
    at: groupPath[kind],
    place,
    cure: byHand > 0 ? '' : `Give them a break (${groupPath[kind]}) or ask for one by hand (edgeBreaks.byHand).`,
    restsOn: 'Break every edge: common practice, no source.',
  }));
};
