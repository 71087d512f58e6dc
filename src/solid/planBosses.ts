/** Bosses of the job -> BossPlan: end, diameter and blind hole in plain numbers. mm, degrees. */
import type { Boss, Job } from '../job/schema.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Issue } from '../result.ts';
import { tapDrill, tapRunOut } from '../standards/threads.ts';
import { heightsOf, type Heights } from './heights.ts';
import type { BlindHole, BodyPlan, BossPlan } from './plan.ts';
import { say } from './planBody.ts';
import { footBeside } from './walls.ts';

export function planBosses(job: Job, body: BodyPlan, issues: Issue[]): BossPlan[] {
  const roof = heightsOf(body.roof);
  return job.bosses.map((boss, index) => {
    const at = `bosses[${index}]`;
    issues.push(...impossible(boss, body, roof, at));
    return {
      name: boss.name ?? `B${index + 1}`,
      at,
      x: boss.x,
      y: boss.y,
      diameter: boss.diameter,
      endHeight: boss.endHeight,
      rootRadius: boss.rootRadius,
      hole: planBlindHole(job, boss, at, issues),
    };
  });
}

function impossible(boss: Boss, body: BodyPlan, heights: Heights, at: string): Issue[] {
  const radius = boss.diameter / 2;
  const box = {
    x: [Math.max(body.wall, boss.x - radius), Math.min(body.length - body.wall, boss.x + radius)] as const,
    y: [Math.max(body.left.thickness, boss.y - radius), Math.min(body.width - body.right.thickness, boss.y + radius)] as const,
  };
  if (box.x[1] - box.x[0] <= tolerance.point || box.y[1] - box.y[0] <= tolerance.point) {
    return [{
      code: 'boss-outside',
      at,
      message: `The boss at X ${say(boss.x)}, Y ${say(boss.y)} is not in the hollow, which runs X ${say(body.wall)} to ${say(body.length - body.wall)}, Y ${say(body.left.thickness)} to ${say(body.width - body.right.thickness)}.`,
      hint: 'Move the boss inside the walls.',
    }];
  }
  const beyond = Math.min(boss.x - radius, body.length - boss.x - radius, boss.y - radius, body.width - boss.y - radius);
  if (boss.endHeight < footBeside(body, boss) - tolerance.point && beyond < 0) {
    return [{
      code: 'boss-below-foot',
      at: `${at}.endHeight`,
      message: `The boss ends at ${say(boss.endHeight)}, below the foot beside it at ${say(footBeside(body, boss))}, and stands ${say(-beyond)} past the outside of the walls there.`,
      hint: 'End it at the foot or above, or move it inside the walls.',
    }];
  }
  const roof = heights.range(box.x[0], box.x[1], 0.5).least;
  if (boss.endHeight >= roof - tolerance.point) {
    return [{
      code: 'boss-above-roof',
      at: `${at}.endHeight`,
      message: `The boss ends at ${say(boss.endHeight)}, but the roof above it comes down to ${say(roof)}; expected the end below the roof.`,
      hint: 'Lower the end height or move the boss to where the roof is higher.',
    }];
  }
  return [];
}

function planBlindHole(job: Job, boss: Boss, at: string, issues: Issue[]): BlindHole | null {
  if (boss.holeDepth === 0) return null;
  const diameter = boss.holeDiameter ?? (boss.thread === undefined ? null : tapDrill(boss.thread));
  if (diameter === null) {
    issues.push({ code: 'hole-without-size', at, message: `Expected a thread or a hole diameter for a hole ${say(boss.holeDepth)} deep; got neither.`, hint: 'Give thread: "M5" or holeDiameter: 4.2, or a hole depth of 0 for a solid boss.' });
    return null;
  }
  const mouth = diameter + 2 * job.edgeBreaks.holes;
  if (mouth >= boss.diameter - tolerance.point) {
    issues.push({ code: 'hole-fills-boss', at: `${at}.diameter`, message: `The hole is ${say(mouth)} across at its mouth in a boss of ${say(boss.diameter)}.`, hint: 'Make the boss larger or the hole smaller.' });
  }
  const threaded = boss.holeDiameter === undefined && boss.thread !== undefined ? boss.thread : null;
  return {
    diameter,
    depth: boss.holeDepth,
    pointAngle: boss.pointAngle,
    mouthBreak: job.edgeBreaks.holes,
    thread: threaded ?? '',
    threadDepth: threaded === null ? 0 : (boss.threadDepth ?? Math.max(0, boss.holeDepth - tapRunOut(threaded))),
  };
}
