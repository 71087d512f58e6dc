/** Metal left above each blind hole (solid/skinAbove.ts) against the least the job allows. */
import { skinAbove } from '../solid/skinAbove.ts';
import { sayMm, type Finding } from './finding.ts';
import type { Check } from './input.ts';

export const skinAboveHoles: Check = ({ job, section, plan }, say = sayMm) =>
  plan.bosses.flatMap((boss): Finding[] => {
    const found = skinAbove(boss, section.top);
    const limit = job.machining.leastSkin;
    if (found === null || found.skin >= limit) return [];
    return [
      {
        code: 'skin-above-hole',
        level: 'stop',
        message: found.skin <= 0 ? `The drill of ${boss.name} comes through the skin.` : `${boss.name} leaves ${say(found.skin)} of skin above its hole; ${say(limit)} wanted.`,
        value: found.skin,
        limit,
        unit: 'mm',
        at: `${boss.at}.holeDepth`,
        place: [found.at[0], boss.y, found.at[1]],
        cure: `Drill at least ${say(limit - found.skin)} less deep, lower its end height, or use a flat-bottomed hole.`,
        restsOn: 'Shortest distance over the whole drill, point included, to the contour; the limit is machining.leastSkin.',
      },
    ];
  });
