/** Notches, grooves and engraving of the job -> their plans. mm, degrees. */
import type { Job } from '../job/schema.ts';
import { tangentAt, type BSplineCurve } from '../maths/bspline.ts';
import { nearestOn, piecewiseOf } from '../maths/piecewise.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2 } from '../maths/vec.ts';
import type { Issue } from '../result.ts';
import { roofOf } from '../section/roof.ts';
import { heightAt } from './heights.ts';
import type { BodyPlan, EngravingPlan, GroovePlan, NotchPlan } from './plan.ts';
import { say } from './planBody.ts';
import { roundingsBehind } from './planHoles.ts';
import { wallFrame } from './walls.ts';

/** mm a notch is cut on into the hollow. */
const overrun = 0.5;

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
    const through = frame.thickness + roundingsBehind(body, frame.length, notch.at, foot + notch.height / 2, Math.max(notch.width, notch.height) / 2) + Math.min(overrun, frame.thickness);
    return [{ name: `N${index + 1}`, at, wall: notch.wall, middle: notch.at, width: notch.width, foot, height: notch.height, radius: Math.min(notch.radius, room), through }];
  });
}

export function planGrooves(job: Job, body: BodyPlan, issues: Issue[]): GroovePlan[] {
  return job.grooves.flatMap((groove, index): GroovePlan[] => {
    const at = `grooves[${index}]`;
    const along = groove.run === 'along';
    const name = `G${index + 1}`;
    if (groove.to - groove.from <= tolerance.point) {
      issues.push({ code: 'groove-without-length', at: `${at}.to`, message: `The groove runs from ${say(groove.from)} to ${say(groove.to)}; expected the end beyond the start.`, hint: 'Swap the ends or lengthen the groove.' });
      return [];
    }
    const middleRange = along ? body.width : body.length;
    const runRange = along ? body.length : body.width;
    const half = groove.width / 2;
    if (groove.at + half <= 0 || groove.at - half >= middleRange || groove.to <= 0 || groove.from >= runRange) {
      issues.push({ code: 'groove-off-top', at, message: `The groove does not touch the top, which is ${say(body.length)} by ${say(body.width)}.`, hint: 'Move the groove onto the top.' });
      return [];
    }
    const shared = { name, at, run: groove.run, middle: groove.at, from: groove.from, to: groove.to, width: groove.width, depth: groove.depth };
    if (!along) return [{ ...shared, floor: [], across: standOn(body, groove.at) }];
    const floor = movedContour(body, groove.depth, groove.from, groove.to, `${at}.depth`, issues);
    return floor === null ? [] : [{ ...shared, floor, across: null }];
  });
}

/** Place and direction of the contour at a station on it. */
function standOn(body: BodyPlan, x: number): { readonly at: Vec2; readonly tangent: Vec2 } {
  const on = Math.min(body.length, Math.max(0, x));
  const curve = body.top.find((span) => on <= span.poles.at(-1)![0]) ?? body.top.at(-1)!;
  const at: Vec2 = [on, heightAt(body.top, on)];
  const foot = nearestOn(piecewiseOf(curve), at);
  return { at, tangent: tangentAt(curve, foot.u) };
}

/** The contour moved by `depth` into the metal between two stations; refused where it is too tightly crowned for that. */
function movedContour(body: BodyPlan, depth: number, from: number, to: number, at: string, issues: Issue[]): BSplineCurve[] | null {
  const moved = roofOf(body.top, depth, from, to, 0);
  if (moved.ok) return moved.value;
  issues.push(...moved.issues.map((issue) => ({ ...issue, code: 'floor-folds', at, message: `No floor ${say(depth)} below the top: ${issue.message}`, hint: 'Make it shallower, or keep it clear of the tightest bend.' })));
  return null;
}

export function planEngravings(job: Job, body: BodyPlan, issues: Issue[]): EngravingPlan[] {
  return job.engraving.flatMap((text, index) => {
    const at = `engraving[${index}]`;
    if (text.text.trim() === '') {
      issues.push({ code: 'no-text', at: `${at}.text`, message: 'The engraving has no letters.', hint: 'Type the text, or remove the engraving.' });
      return [];
    }
    if (text.depth >= body.skin - tolerance.point) {
      issues.push({ code: 'engraving-through', at: `${at}.depth`, message: `Letters ${say(text.depth)} deep fall through a skin of ${say(body.skin)}.`, hint: 'Make the letters shallower or the skin thicker.' });
      return [];
    }
    const top = text.on === 'top';
    const floor = top
      ? movedContour(body, text.depth, 0, body.length, `${at}.depth`, issues)
      : movedContour(body, body.skin - text.depth, body.wall, body.length - body.wall, `${at}.depth`, issues);
    if (floor === null) return [];
    return [{ name: `E${index + 1}`, at, text: text.text, on: text.on, centre: [text.x, text.y] as const, height: text.height, depth: text.depth, angle: text.angle, floor }];
  });
}
