/** Metal round a hole in a boss, against half the thread diameter (common practice, no source; 0.5 to 1 diameter from memory). */
import { majorDiameter, threadNames, type ThreadName } from '../standards/threads.ts';
import { sayMm, type Finding } from './finding.ts';
import type { Check } from './input.ts';

export const bossWalls: Check = ({ plan }, say = sayMm) =>
  plan.bosses.flatMap((boss): Finding[] => {
    if (boss.hole === null) return [];
    const named = threadNames.includes(boss.hole.thread as ThreadName);
    const size = named ? majorDiameter(boss.hole.thread as ThreadName) : boss.hole.diameter;
    const value = (boss.diameter - size) / 2;
    const limit = size / 2;
    // Rounding of typed inch sizes must not turn an exact half into a warning.
    if (value >= limit * 0.999) return [];
    return [
      {
        code: 'boss-wall-thin',
        level: value < limit / 2 ? 'stop' : 'warn',
        message: `${boss.name} leaves ${say(value)} of metal round its hole; ${say(limit)} wanted.`,
        value,
        limit,
        unit: 'mm',
        at: `${boss.at}.diameter`,
        place: [boss.x, boss.y, boss.endHeight],
        cure: `Make the boss ${say(size * 2)} or more across, or the thread smaller.`,
        restsOn: 'Half the screw diameter round a tapped hole: common practice, no source.',
      },
    ];
  });
