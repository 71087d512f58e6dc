/** Job and section -> BodyPlan: the shell itself, with the few things that make a shell impossible refused. */
import type { Job } from '../job/schema.ts';
import { tolerance } from '../maths/tolerance.ts';
import type { Issue } from '../result.ts';
import type { Section } from '../section/section.ts';
import { heightsOf } from './heights.ts';
import type { BodyPlan, EndPlan } from './plan.ts';

/** mm between the stations where roof and feet are compared. */
const sampling = 0.5;

export const say = (mm: number): string => `${Number(mm.toFixed(3))} mm`;

export function planBody(job: Job, section: Section, issues: Issue[]): BodyPlan | null {
  const { body } = job;
  const end = (given: Job['body']['leftEnd']): EndPlan => ({ closed: given.closed, thickness: given.closed ? (given.thickness ?? body.wall) : 0 });
  const plan: BodyPlan = {
    length: section.length,
    width: body.width,
    wall: section.wall,
    skin: section.skin,
    top: section.top,
    roof: section.roof,
    frontFoot: section.frontFoot,
    backFoot: section.backFoot,
    stepAt: section.frontFoot === section.backFoot ? section.length / 2 : section.stepAt,
    left: end(body.leftEnd),
    right: end(body.rightEnd),
    outsideRadius: body.outsideRadius,
    insideCornerRadius: body.insideCornerRadius,
    insideRoofRadius: body.insideRoofRadius,
    feetBreak: job.edgeBreaks.feet,
  };
  const before = issues.length;
  issues.push(...impossible(plan));
  return issues.length > before ? null : plan;
}

function impossible(body: BodyPlan): Issue[] {
  const issues: Issue[] = [];
  const inside = body.width - body.left.thickness - body.right.thickness;
  if (inside <= tolerance.point) {
    issues.push({
      code: 'ends-fill-width',
      at: 'body.width',
      message: `The end walls take ${say(body.left.thickness + body.right.thickness)} of a width of ${say(body.width)}; expected room between them.`,
      hint: 'Make the part wider or the end walls thinner.',
    });
  }
  if (body.feetBreak > 0 && body.outsideRadius > 0 && body.feetBreak >= body.outsideRadius - tolerance.point) {
    issues.push({ code: 'break-too-large', at: 'edgeBreaks.feet', message: `A break of ${say(body.feetBreak)} on the feet takes the whole outside radius of ${say(body.outsideRadius)}; expected less.`, hint: 'Make the break smaller, the outside radius larger, or the outside radius 0.' });
  }
  const stepped = body.frontFoot !== body.backFoot;
  if (stepped && !(body.stepAt > body.wall && body.stepAt < body.length - body.wall)) {
    issues.push({
      code: 'step-outside',
      at: 'body.stepAt',
      message: `The foot step is ${say(body.stepAt)} from the front; expected between the walls, ${say(body.wall)} to ${say(body.length - body.wall)}.`,
      hint: 'Move the step between the front and the back wall.',
    });
    return issues;
  }
  const ranges = stepped
    ? [[body.wall, body.stepAt, body.frontFoot], [body.stepAt, body.length - body.wall, body.backFoot]] as const
    : [[body.wall, body.length - body.wall, body.frontFoot]] as const;
  const roof = heightsOf(body.roof);
  for (const [from, to, foot] of ranges) {
    const { least } = roof.range(from, to, sampling);
    if (least > foot + tolerance.point) continue;
    issues.push({
      code: 'roof-below-foot',
      at: 'body.skin',
      message: `The roof comes down to ${say(least)}, not above the foot at ${say(foot)}; expected a hollow under the whole top.`,
      hint: 'Make the skin thinner, lower the foot, or read the contour higher above the seat.',
    });
  }
  return issues;
}
