/** Notches, grooves and engraving of the job -> their plans. mm, degrees. */
import type { Job } from '../job/schema.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Issue } from '../result.ts';
import type { BodyPlan, EngravingPlan, GroovePlan, NotchPlan } from './plan.ts';
import { say } from './planBody.ts';
import { wallFrame } from './walls.ts';

export function planNotches(job: Job, body: BodyPlan, issues: Issue[]): NotchPlan[] {
  return job.notches.flatMap((notch, index) => {
    const at = `notches[${index}]`;
    const frame = wallFrame(body, notch.wall);
    if (!frame.exists) {
      issues.push({ code: 'no-wall', at: `${at}.wall`, message: `The ${notch.wall} end is open: there is no wall to notch.`, hint: 'Close that end or move the notch to another wall.' });
      return [];
    }
    if (notch.at + notch.width / 2 <= 0 || notch.at - notch.width / 2 >= frame.length) {
      issues.push({ code: 'notch-off-wall', at: `${at}.at`, message: `The notch is at ${say(notch.at)} along a wall ${say(frame.length)} long: it does not touch it.`, hint: `Place it between 0 and ${say(frame.length)}.` });
    }
    const room = Math.min(notch.width / 2, notch.height);
    if (notch.radius > room + tolerance.point) {
      issues.push({ code: 'radius-too-large', at: `${at}.radius`, message: `A radius of ${say(notch.radius)} does not fit a notch ${say(notch.width)} by ${say(notch.height)}; the largest is ${say(room)}.`, hint: 'Use a smaller radius.' });
    }
    const foot = frame.foot(Math.min(frame.length, Math.max(0, notch.at)));
    const through = frame.thickness + Math.max(body.insideCornerRadius, body.insideRoofRadius);
    return [{ name: `N${index + 1}`, at, wall: notch.wall, middle: notch.at, width: notch.width, foot, height: notch.height, radius: Math.min(notch.radius, room), through }];
  });
}

export function planGrooves(_job: Job, _body: BodyPlan, _issues: Issue[]): GroovePlan[] {
  return [];
}

export function planEngravings(_job: Job, _body: BodyPlan, _issues: Issue[]): EngravingPlan[] {
  return [];
}
