/**
 * The inside against the stated cutter: corner radii it can leave, how deep it must reach for its size, gaps it cannot
 * enter, and hollows of the roof tighter than its radius.
 */
import { sayMm, type Finding } from './finding.ts';
import type { Check, CheckInput } from './input.ts';

/** Depth over diameter beyond which an end mill chatters, and beyond which it is a special (common practice, no source). */
const easyReach = 3;
const hardReach = 5;
/** Inside radius over cutter radius that keeps the cutter turning through a corner instead of stopping in it (one machining guide prints 1.3 times; common practice a bit over 1). */
const freeCorner = 1.05;

export const insideRadii: Check = ({ job, plan }, say = sayMm) => {
  const { body } = plan;
  const radius = job.machining.cutterDiameter / 2;
  const place = [body.wall, (body.left.closed ? body.left.thickness : 0), 0] as const;
  if (!body.left.closed && !body.right.closed) return [];
  if (body.insideCornerRadius >= radius * freeCorner) return [];
  const cannot = body.insideCornerRadius < radius * 0.999;
  return [
    {
      code: 'inside-corner-tight',
      level: cannot ? 'stop' : 'warn',
      message: cannot
        ? `The upright inside corners are R${say(body.insideCornerRadius)}; a ${say(2 * radius)} cutter leaves R${say(radius)}.`
        : `The upright inside corners are R${say(body.insideCornerRadius)}, hardly more than the ${say(2 * radius)} cutter's own radius: it stops in the corner and marks it.`,
      value: body.insideCornerRadius,
      limit: radius * (cannot ? 1 : freeCorner),
      unit: 'mm',
      at: 'body.insideCornerRadius',
      place,
      cure: `Make the inside corner radius ${say(Math.ceil(radius * 1.1 * 10) / 10)} or more, or state a smaller machining.cutterDiameter.`,
      restsOn: 'An end mill cannot leave a corner smaller than itself; a bit over its radius is common practice, no source.',
    },
  ];
};

/** Deepest inside point above the rim, where the cutter must reach from below. */
function pocketDepth({ section, plan }: CheckInput): { readonly depth: number; readonly x: number; readonly z: number } {
  let best = { depth: 0, x: 0, z: 0 };
  for (const curve of section.roof) {
    for (const [x, z] of curve.poles) {
      const depth = z - Math.min(plan.body.frontFoot, plan.body.backFoot);
      // A pole of a cubic stands off the curve by a little; the reach of a cutter is not known that well.
      if (depth > best.depth) best = { depth, x, z };
    }
  }
  return best;
}

export const pocketReach: Check = (input, say = sayMm) => {
  const { job, plan } = input;
  const { depth, x, z } = pocketDepth(input);
  const { cutterDiameter, cutterReach } = job.machining;
  const place = [x, plan.body.width / 2, z] as const;
  const findings: Finding[] = [];
  if (cutterReach !== undefined && depth > cutterReach) {
    findings.push({
      code: 'cutter-too-short',
      level: 'stop',
      message: `The inside is ${say(depth)} deep; the stated cutter reaches ${say(cutterReach)}.`,
      value: depth,
      limit: cutterReach,
      unit: 'mm',
      at: 'machining.cutterReach',
      place,
      cure: 'State a longer cutter, or take the inside with a slimmer holder.',
      restsOn: 'Geometry; the reach is the one stated.',
    });
  }
  const ratio = depth / cutterDiameter;
  if (ratio > easyReach) {
    findings.push({
      code: 'pocket-deep',
      level: ratio > hardReach ? 'warn' : 'note',
      message: `The inside is ${say(depth)} deep, ${Number(ratio.toFixed(1))} times the ${say(cutterDiameter)} cutter; up to ${easyReach} is easy, over ${hardReach} hard.`,
      value: ratio,
      limit: ratio > hardReach ? hardReach : easyReach,
      unit: 'ratio',
      at: 'machining.cutterDiameter',
      place,
      cure: 'Rough with a larger cutter, step down in light cuts, and leave larger inside corner radii.',
      restsOn: 'Common practice, no source.',
    });
  }
  return findings;
};

/** Gaps between bosses, and between bosses and walls, that the cutter cannot enter. */
export const narrowGaps: Check = ({ job, plan }, say = sayMm) => {
  const { body, bosses } = plan;
  const diameter = job.machining.cutterDiameter;
  const findings: Finding[] = [];
  const report = (gap: number, who: string, between: string, at: string, place: Finding['place']): void => {
    // Touching or overlapping metal leaves no gap to enter.
    if (gap <= 0 || gap >= diameter) return;
    findings.push({
      code: 'gap-narrow',
      level: 'warn',
      message: `The gap between ${who} and ${between} is ${say(gap)}; the ${say(diameter)} cutter does not enter it.`,
      value: gap,
      limit: diameter,
      unit: 'mm',
      at,
      place,
      cure: 'Move the boss away, let it run into its neighbour, or plan a smaller cutter there.',
      restsOn: 'Geometry; the cutter is the one stated.',
    });
  };
  for (const [i, boss] of bosses.entries()) {
    const radius = boss.diameter / 2;
    const place = [boss.x, boss.y, boss.endHeight] as const;
    report(boss.x - body.wall - radius, boss.name, 'the front wall', `${boss.at}.x`, place);
    report(body.length - body.wall - boss.x - radius, boss.name, 'the back wall', `${boss.at}.x`, place);
    if (body.left.closed) report(boss.y - body.left.thickness - radius, boss.name, 'the left end', `${boss.at}.y`, place);
    if (body.right.closed) report(body.width - body.right.thickness - boss.y - radius, boss.name, 'the right end', `${boss.at}.y`, place);
    for (const other of bosses.slice(i + 1)) {
      report(Math.hypot(boss.x - other.x, boss.y - other.y) - radius - other.diameter / 2, boss.name, other.name, `${other.at}.x`, place);
    }
  }
  return findings;
};

/** A crown of the top is a hollow of the roof, tighter by the skin; a ball or bull-nose cutter must fit in it. */
export const roofHollow: Check = ({ job, contour, section }, say = sayMm) => {
  const crown = contour.report.leastConvex;
  if (crown === null) return [];
  const value = crown.radius - section.skin;
  const limit = job.machining.cutterDiameter / 2;
  if (value >= limit) return [];
  return [
    {
      code: 'roof-hollow-tight',
      level: 'warn',
      message: `Under the crown at station ${say(crown.at[0])} the roof curves to R${say(value)}; the ${say(2 * limit)} cutter leaves R${say(limit)}.`,
      value,
      limit,
      unit: 'mm',
      at: 'body.skin',
      place: [crown.at[0] - section.frontStation, 0, crown.at[1]],
      cure: 'Smooth the contour there, make the skin thinner, or finish the roof with a smaller ball cutter.',
      restsOn: 'Radius of an inner offset: crown radius less skin.',
    },
  ];
};
