/**
 * Depth of full thread in each boss against what the screw needs in this metal, and the drill's lead past the thread
 * against the tap's run-out.
 */
import { engagementNeeded } from '../standards/engagement.ts';
import { saySource } from '../standards/source.ts';
import { tapRunOut, threadNames, type ThreadName } from '../standards/threads.ts';
import { sayMm, type Finding } from './finding.ts';
import type { Check } from './input.ts';

export const threadEngagement: Check = ({ job, plan }, say = sayMm) =>
  plan.bosses.flatMap((boss): Finding[] => {
    const { hole } = boss;
    if (hole === null || !threadNames.includes(hole.thread as ThreadName)) return [];
    const name = hole.thread as ThreadName;
    const need = engagementNeeded(name, job.material);
    const place = [boss.x, boss.y, boss.endHeight] as const;
    const findings: Finding[] = [];
    if (hole.threadDepth < need.least - 1e-9) {
      findings.push({
        code: 'thread-short',
        level: 'warn',
        message: `${boss.name} has ${say(hole.threadDepth)} of full ${name} thread; ${say(need.least)} needed in ${job.material}.`,
        value: hole.threadDepth,
        limit: need.least,
        unit: 'mm',
        at: `${boss.at}.holeDepth`,
        place,
        cure: `Drill ${say(need.least - hole.threadDepth)} deeper if the skin allows, use a smaller thread, or lower the end of the boss.`,
        restsOn: `${need.rule} ${saySource(need.source)}`,
      });
    }
    const lead = hole.depth - hole.threadDepth;
    const runOut = tapRunOut(name);
    if (lead < runOut - 1e-9) {
      findings.push({
        code: 'tap-bottoms',
        level: 'warn',
        message: `The drill of ${boss.name} goes ${say(lead)} past the thread; a bottoming tap needs ${say(runOut)}.`,
        value: lead,
        limit: runOut,
        unit: 'mm',
        at: `${boss.at}.threadDepth`,
        place,
        cure: `Ask for ${say(Math.max(0, hole.depth - runOut))} of thread or drill deeper.`,
        restsOn: 'Chamfer of a bottoming tap plus one pitch, as tap makers print it.',
      });
    }
    return findings;
  });
