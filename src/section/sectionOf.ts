/**
 * Faired contour + body -> the thin section: top, roof, outline, with everything that makes it impossible named at once.
 * Part frame in the plane of the section, mm: x from the front wall's outer face, z up from the lower seat plane.
 * What is not promised: that the section is wise. Thin walls, tight radii and steep tops are findings of the checks; only
 * what has no section is refused here.
 */
import { tolerance } from '../maths/tolerance.ts';
import type { BSplineCurve } from '../maths/bspline.ts';
import type { FairedContour } from '../contour/contour.ts';
import type { Body } from '../job/schema.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import { outlineOf } from './outline.ts';
import { offsetError, roofOf } from './roof.ts';
import type { Section } from './section.ts';
import { lowestOn, stationRange, trimmed, type Edge } from './trim.ts';

const mm = (value: number): string => `${Number(value.toFixed(3))} mm`;

export function sectionOf(contour: FairedContour, body: Body): Result<Section> {
  const { wall, skin } = body;
  const edges = edgesOf(contour, body);
  if (!edges.ok) return edges;
  const [frontEdge, backEdge] = edges.value;
  const front = frontEdge.station;
  const length = backEdge.station - front;
  const feet = feetOf(body, length);
  const issues = [...wallIssues(wall, length), ...feet.issues];
  const cut = trimmed(contour.spans, frontEdge, backEdge);
  if (!cut.ok) return refuse(...issues, ...cut.issues);
  const top = cut.value;
  issues.push(...heightIssues(top, feet, skin, length, front));
  if (issues.length > 0) return refuse(...issues);
  const roofed = roofOf(top, skin, wall, length - wall, front);
  if (!roofed.ok) return roofed;
  const roof = roofed.value;
  const roofError = offsetError(top, roof, skin);
  if (!(roofError <= tolerance.offset)) return refuse(strayIssue(roofError, skin));
  const { frontFoot, backFoot, stepAt } = feet;
  const cavity = cavityIssues(roof, feet, wall, length, front);
  if (cavity.length > 0) return refuse(...cavity);
  const outline = outlineOf({ top, roof, length, wall, frontFoot, backFoot, outsideRadius: body.outsideRadius, insideRoofRadius: body.insideRoofRadius });
  if (!outline.ok) return outline;
  return ok({ top, roof, length, wall, skin, frontFoot, backFoot, stepAt, roofError, outline: outline.value, frontStation: front });
}

/** Front and back edge, as typed or the ends of the contour; refused outside the readings. A typed end of the contour is that end. */
function edgesOf({ spans }: FairedContour, body: Body): Result<readonly [Edge, Edge]> {
  const first = spans[0]!.poles[0]![0];
  const last = spans.at(-1)!.poles.at(-1)![0];
  const edge = (typed: number | undefined, end: number): Edge =>
    typed === undefined || Math.abs(typed - end) <= tolerance.point ? { station: end, given: false } : { station: typed, given: true };
  const front = edge(body.front, first);
  const back = edge(body.back, last);
  const [low, high] = stationRange(spans);
  const issues: Issue[] = [];
  const beyond = (at: string, side: string, { station }: Edge): void => {
    if (station >= low && station <= high) return;
    issues.push({
      code: 'station-beyond-readings',
      at,
      message: `The ${side} station is ${mm(station)}; expected it within the readings, ${mm(low)} to ${mm(high)}.`,
      hint: 'Move the station inside the readings, or take readings out to it: the contour is not guessed beyond them.',
    });
  };
  beyond('body.front', 'front', front);
  beyond('body.back', 'back', back);
  if (issues.length === 0 && !(back.station - front.station > tolerance.point)) {
    issues.push({
      code: 'stations-reversed',
      at: 'body.back',
      message: `The back station (${mm(back.station)}) is not beyond the front station (${mm(front.station)}).`,
      hint: 'The front wall stands at the lower station.',
    });
  }
  return issues.length > 0 ? refuse(...issues) : ok([front, back]);
}

function wallIssues(wall: number, length: number): Issue[] {
  if (length - 2 * wall > tolerance.leastCavity) return [];
  return [
    {
      code: 'walls-meet',
      at: 'body.wall',
      message: `Two walls of ${mm(wall)} leave no cavity in a section ${mm(length)} long.`,
      hint: `Make the walls thinner than ${mm(Math.max(0, (length - tolerance.leastCavity) / 2))}.`,
    },
  ];
}

interface Feet {
  readonly frontFoot: number;
  readonly backFoot: number;
  readonly stepAt: number;
  readonly issues: Issue[];
}

function feetOf(body: Body, length: number): Feet {
  const { frontFoot, backFoot } = body;
  const stepAt = body.stepAt ?? length / 2;
  const issues: Issue[] = [];
  if (Math.min(frontFoot, backFoot) > 0) {
    issues.push({
      code: 'no-foot-on-seat',
      at: frontFoot < backFoot ? 'body.frontFoot' : 'body.backFoot',
      message: `Front foot ${mm(frontFoot)} and back foot ${mm(backFoot)}: expected one of them at 0, on the lower seat plane.`,
      hint: 'Take the smaller from both, and from the heights of the readings if they were taken from the lower seat.',
    });
  }
  if (frontFoot !== backFoot && !(stepAt >= body.wall && stepAt <= length - body.wall)) {
    issues.push({
      code: 'step-outside-cavity',
      at: 'body.stepAt',
      message: `The feet step at ${mm(stepAt)}; expected between the walls, ${mm(body.wall)} to ${mm(length - body.wall)}.`,
      hint: 'Leave it out for half way.',
    });
  }
  return { frontFoot, backFoot, stepAt, issues };
}

/** The two stretches of foot: from, to, height. */
const footStretches = ({ frontFoot, backFoot, stepAt }: Feet, from: number, to: number): (readonly [number, number, number, string])[] =>
  frontFoot === backFoot
    ? [[from, to, frontFoot, 'body.frontFoot']]
    : [
        [from, stepAt, frontFoot, 'body.frontFoot'],
        [stepAt, to, backFoot, 'body.backFoot'],
      ];

function heightIssues(top: readonly BSplineCurve[], feet: Feet, skin: number, length: number, front: number): Issue[] {
  return footStretches(feet, 0, length).flatMap(([from, to, foot, at]) => {
    const low = lowestOn(top, from, to);
    if (!low || low[1] - foot > skin) return [];
    return [
      {
        code: 'top-below-foot',
        at,
        message: `The top is only ${mm(low[1])} high at station ${mm(low[0] + front)}; expected more than the foot (${mm(foot)}) plus the skin (${mm(skin)}).`,
        hint: 'Check the heights of the readings there, lower the foot, or make the skin thinner.',
      },
    ];
  });
}

function strayIssue(roofError: number, skin: number): Issue {
  return {
    code: 'roof-strays',
    at: 'body.skin',
    message: `The roof cannot be kept ${mm(skin)} inside this top: it strays by ${mm(roofError)}; expected ${mm(tolerance.offset)} or less.`,
    hint: 'Make the skin thinner, fair the contour stiffer, or mark its sharp turns as corners.',
  };
}

function cavityIssues(roof: readonly BSplineCurve[], feet: Feet, wall: number, length: number, front: number): Issue[] {
  return footStretches(feet, wall, length - wall).flatMap(([from, to, foot, at]) => {
    const low = lowestOn(roof, from, to);
    if (!low || low[1] - foot > tolerance.leastCavity) return [];
    return [
      {
        code: 'no-cavity',
        at,
        message: `The roof stands ${mm(low[1] - foot)} above the foot at station ${mm(low[0] + front)}; expected more than ${mm(tolerance.leastCavity)}.`,
        hint: 'Make the skin thinner, lower the foot, or check the heights of the readings there.',
      },
    ];
  });
}
