/**
 * Part and allowances -> the billet, how deep the outline is cut in the first operation, and the flip corner. Part frame,
 * mm. The billet is taken as a square block; a sawn face is only as true as the saw.
 */
import type { Job } from '../job/schema.ts';
import type { Vec2, Vec3 } from '../maths/vec.ts';
import type { SolidPlan } from '../solid/plan.ts';
import { footprints, overlapping, partBox, type Footprint } from './footprint.ts';
import type { Box, Stock } from './holding.ts';

/** mm past the lowest thing that has to be reached, so that nothing is left standing between the operations. */
const past = 1;
/** mm of waste left between the flip corner and the part. */
const waste = 1;
/** mm. Larger is of no more use to a probe; smaller has no room for one. */
const cornerMost = 12;
const cornerLeast = 3;

export function stockOf(job: Job, plan: SolidPlan): Stock {
  const { stockEnds, stockSides, stockUnder, stockOver, stockStep, grip } = job.holding;
  const part = partBox(plan);
  const size = [0, 1, 2].map((k) => {
    const wanted = part.most[k]! - part.least[k]! + (k === 0 ? 2 * stockEnds : k === 1 ? 2 * stockSides : stockUnder + stockOver);
    // What is a multiple already, but for rounding, is not taken one step further.
    return stockStep > 0 ? Math.ceil(wanted / stockStep - 1e-9) * stockStep : wanted;
  }) as unknown as Vec3;
  const spare = (k: 0 | 1): number => (size[k] - (part.most[k] - part.least[k])) / 2;
  const least: Vec3 = [part.least[0] - spare(0), part.least[1] - spare(1), part.least[2] - stockUnder];
  const box: Box = { least, most: [least[0] + size[0], least[1] + size[1], least[2] + size[2]] };
  return {
    box,
    size,
    allowance: { ends: spare(0), sides: spare(1), under: stockUnder, over: box.most[2] - part.most[2] },
    grip,
    outlineTo: outlineTo(plan, box, grip),
    flipCorner: flipCorner(plan, box),
  };
}

/** Past the tabs and their roots, or a little way up the walls; but never into the jaws. */
function outlineTo({ body, tabs }: SolidPlan, box: Box, grip: number): number {
  const foot = Math.max(body.frontFoot, body.backFoot);
  const reached = Math.max(foot + 2, ...tabs.map((tab) => tab.seat + tab.thickness + tab.rootRadius)) + past;
  return Math.max(foot, Math.min(reached, box.most[2] - grip - past));
}

/** The corner of the billet with the most waste, as far as it reaches clear of the part; null where a probe has no room. */
function flipCorner(plan: SolidPlan, { least, most }: Box): Stock['flipCorner'] {
  const flat = footprints(plan);
  const deep = Math.min(cornerMost, (most[1] - least[1]) / 4);
  const corners = [0, 1, 2, 3].map((i) => {
    const [front, left] = [i % 2 === 0, i < 2];
    const y: readonly [number, number] = left ? [least[1], least[1] + deep] : [most[1] - deep, most[1]];
    const beside = flat.filter((one) => overlapping(one, { name: '', least: [least[0], y[0] - waste], most: [most[0], y[1] + waste] } satisfies Footprint));
    const room = Math.min(cornerMost, (most[0] - least[0]) / 4, ...beside.map((one) => (front ? one.least[0] - least[0] : most[0] - one.most[0]) - waste));
    const x: readonly [number, number] = front ? [least[0], least[0] + room] : [most[0] - room, most[0]];
    return { room, corner: { least: [x[0], y[0]] as Vec2, most: [x[1], y[1]] as Vec2 } };
  });
  const best = corners.reduce((a, b) => (b.room > a.room + 1e-9 ? b : a));
  return best.room < cornerLeast ? null : best.corner;
}
