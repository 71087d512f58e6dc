/**
 * Readings of a side profile -> the faired contour and its report. Plane of the section, mm; x = station as typed.
 * The whole way on one page: order and distance travelled (travel), tip compensation (tip), stiffness and slips (screen),
 * the fit (smooth, penalised), the figures (shape, report). Linear time in the number of readings.
 * What is not promised: readings called good may be wrong together; a false scale, a tilted gauge or a plate that did not
 * touch the seat leaves no trace in any figure here.
 */
import { degreesToRadians } from '../maths/angle.ts';
import { selfCrossing } from '../maths/polygon.ts';
import { sampleCurve } from '../maths/bspline.ts';
import { tolerance } from '../maths/tolerance.ts';
import { nearestOn } from '../maths/piecewise.ts';
import type { Vec2 } from '../maths/vec.ts';
import type { Job, Trace } from '../job/schema.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import type { ContourReport, FairedContour, Residual } from './contour.ts';
import { gather, type Gathered } from './gather.ts';
import { curvesOf } from './design.ts';
import { bandOf, bendDepth, largestDeparture, leftOutResidual, residualsOf, type Drawn } from './report.ts';
import { screen, withoutReadings, type Screened } from './screen.ts';
import { shapeOf } from './shape.ts';
import { piecesOfFit, smooth, smoothAgain, type Course, type Chooser, type Smooth } from './smooth.ts';
import { agreement, byCrossValidation, byFreedom, byReadingError, byUnbiasedRisk, freedomByHand } from './stiffness.ts';
import { throughPoints } from './through.ts';
import { contactPoint, normalsOf } from './tip.ts';
import { distanceTravelled } from './travel.ts';

type Settings = Job['contour'];
type Rule = ContourReport['rule'];

/** Fewest readings from which cross validation is worth anything when nobody asked for it; and when somebody did. */
const enoughToDecide = 8;
const enoughToTry = 5;

/** Fairs the used readings of a trace. Refuses, with every reason at once, what cannot be a contour. */
export function fairContour(trace: Trace, settings: Settings): Result<FairedContour> {
  const gathered = gather(trace);
  if (!gathered.ok) return gathered;
  const read = gathered.value;
  const rule = ruleFor(settings, read);
  const deciding = pickFor(rule, settings, read);
  const angles = { startAngle: radians(settings.startAngle), endAngle: radians(settings.endAngle) };
  const turned = angleIssues(read, deciding, settings);
  if (turned.length > 0) return refuse(...turned);
  const touched = compensated(read, trace.tipRadius, angles, deciding);
  if (!touched.ok) return touched;
  const course = touched.value;
  const screened = screen(course, suspecting(rule, read), rule === 'reading error' || read.stated ? read.reference : undefined);
  const final = finalFit(course, screened, rule, deciding, settings);
  const through = throughPoints(course);
  const drawn: Drawn =
    rule === 'through the points' ? through : { curve: piecesOfFit(final.fit), t: course.t, corners: course.corners.map((i) => course.t[i]!) };
  const spans = rule === 'through the points' ? through.spans() : curvesOf(final.fit.rows.plan, final.fit.coefficients[0]!, final.fit.coefficients[1]!);
  const crossed = crossingIssues(spans, drawn, read);
  if (crossed.length > 0) return refuse(...crossed);
  const report = reportOf({ trace, read, rule, course, screened, final, drawn, through, spans: spans.length });
  return ok({ spans, report });
}

const radians = (angle: number | undefined): number | undefined => (angle === undefined ? undefined : degreesToRadians(angle));

function ruleFor({ smoothing }: Settings, { stated, points }: Gathered): Rule {
  if (smoothing === 'auto') return stated || points.length < enoughToDecide ? 'reading error' : 'cross validation';
  if (smoothing === 'cross validation' && points.length < enoughToTry) return 'reading error';
  return smoothing;
}

/** The rule that judges the readings: the one asked for, or the automatic one where the person set the stiffness. */
function pickFor(rule: Rule, settings: Settings, read: Gathered): Chooser {
  const judging = rule === 'through the points' || rule === 'by hand' ? ruleFor({ ...settings, smoothing: 'auto' }, read) : rule;
  if (judging === 'cross validation') return crossValidated;
  return (judge, _count, span) => byReadingError(judge, read.reference, span);
}

/** The rule by which slips are looked for: without the last bit of stiffness, which shows at the ends as misses. */
const suspecting = (rule: Rule, read: Gathered): Chooser =>
  read.stated || rule === 'reading error' ? (judge, _count, span) => byUnbiasedRisk(judge, read.reference, span) : crossValidated;

/** Cross validation; the textbook's where it finds the readings truer than any gauge (points off a drawing), else the cautious one. */
const crossValidated: Chooser = (judge, count, span) => {
  const plain = byCrossValidation(judge, count, span, tolerance.stiffness, 1);
  const { misses, freedom } = judge(plain);
  return misses <= tolerance.finestReading ** 2 * (count - freedom) ? plain : byCrossValidation(judge, count, span);
};

type Angles = Pick<Course, 'startAngle' | 'endAngle'>;

function courseOf(read: Gathered, points: readonly Vec2[], angles: Angles): Course {
  const t = distanceTravelled(points, read.corners);
  // A corner on top of another, or of an end, is the same corner.
  const corners: number[] = [];
  for (const i of read.corners) if (t[i]! - t[corners.at(-1) ?? 0]! > tolerance.point && t.at(-1)! - t[i]! > tolerance.point) corners.push(i);
  const columns = [new Float64Array(points.length), new Float64Array(points.length)] as const;
  points.forEach(([x, z], i) => {
    columns[0][i] = x;
    columns[1][i] = z;
  });
  return { points, columns, t, weight: read.weight, corners, ...angles };
}

/** A stated end direction that points back against the readings cannot be met. */
function angleIssues(read: Gathered, pick: Chooser, settings: Settings): Issue[] {
  if (settings.startAngle === undefined && settings.endAngle === undefined) return [];
  const { fit } = smooth(courseOf(read, read.points, { startAngle: undefined, endAngle: undefined }), pick);
  const [x, z] = fit.coefficients as [Float64Array, Float64Array];
  const n = x.length - 1;
  const check = (angle: number | undefined, a: number, b: number, at: string, side: string): Issue[] => {
    if (angle === undefined) return [];
    const [dx, dz] = [x[b]! - x[a]!, z[b]! - z[a]!];
    if (dx * Math.cos(degreesToRadians(angle)) + dz * Math.sin(degreesToRadians(angle)) > 0) return [];
    const found = Math.round((Math.atan2(dz, dx) * 180) / Math.PI);
    return [
      {
        code: 'end-angle-against-readings',
        at,
        message: `The angle at the ${side} is ${angle} deg, but the readings run at ${found} deg there; expected less than 90 deg between them.`,
        hint: 'Correct the angle, or leave it out and let the readings decide.',
      },
    ];
  };
  return [...check(settings.startAngle, 0, 1, 'contour.startAngle', 'front'), ...check(settings.endAngle, n - 1, n, 'contour.endAngle', 'back')];
}

const mostRounds = 40;

/** The course of the contact points of the ball; the readings themselves without one. */
function compensated(read: Gathered, radius: number, angles: Angles, pick: Chooser): Result<Course> {
  let course = courseOf(read, read.points, angles);
  if (radius === 0) return ok(course);
  let held: number | null = null;
  let moved = Infinity;
  for (let round = 0; round < mostRounds && moved > tolerance.tipStill; round++) {
    const found: Smooth = smooth(course, held === null ? pick : () => held!);
    held = found.logStiffness;
    const normals = normalsOf(found, course.t, course.corners);
    const next = read.points.map((p, i) => contactPoint(p, radius, normals[i]!));
    moved = next.reduce((most, p, i) => Math.max(most, Math.hypot(p[0] - course.points[i]![0], p[1] - course.points[i]![1])), 0);
    course = courseOf(read, next, angles);
  }
  if (moved <= tolerance.finestReading) return ok(course);
  return refuse({
    code: 'tip-too-large',
    at: 'trace.tipRadius',
    message: `A ball of radius ${radius} mm cannot have touched the bottom of this contour: the contact points do not settle (still moving ${moved.toFixed(2)} mm).`,
    hint: 'Check the tip radius, or read the dip with a smaller ball.',
  });
}

/**
 * The fit that is cut: every used reading with its full weight, at the stiffness the good ones alone call for (one slip of
 * the hand must not decide how smooth the whole contour is) or the person set.
 */
function finalFit(course: Course, screened: Screened, rule: Rule, pick: Chooser, settings: Settings): Smooth {
  if (rule === 'by hand') {
    const straight = 2 + course.corners.length;
    return smooth(course, (judge, count, span) => byFreedom(judge, freedomByHand(settings.stiffness, count, straight), span));
  }
  if (rule === 'through the points') return smooth(course, (_judge, _count, span) => span.low);
  const good = smooth(withoutReadings(course, screened.accused), pick);
  return screened.accused.length === 0 ? good : smoothAgain(good, course, () => good.logStiffness);
}

function crossingIssues(spans: FairedContour['spans'], drawn: Drawn, read: Gathered): Issue[] {
  const length = drawn.curve.breaks.at(-1)! - drawn.curve.breaks[0]!;
  const line = spans.flatMap((span, k) => sampleCurve(span, length * tolerance.crossingShare).slice(k === 0 ? 0 : 1));
  const crossing = selfCrossing(line);
  if (!crossing) return [];
  const rows = crossing.map((k) => {
    const { u } = nearestOn(drawn.curve, line[k]!);
    let i = 0;
    while (i + 1 < drawn.t.length && drawn.t[i + 1]! <= u) i++;
    return read.index[i]! + 1;
  });
  return [
    {
      code: 'contour-crosses-itself',
      at: `readings ${rows[0]}, ${rows[1]}`,
      message: `The faired contour crosses itself near readings ${rows[0]} and ${rows[1]}; expected a single line from front to back.`,
      hint: 'Check the order of the readings there, the end angles, and the tip radius.',
    },
  ];
}

interface Finished {
  readonly trace: Trace;
  readonly read: Gathered;
  readonly rule: Rule;
  readonly course: Course;
  readonly screened: Screened;
  readonly final: Smooth;
  readonly drawn: Drawn;
  readonly through: Drawn;
  readonly spans: number;
}

function reportOf(f: Finished): ContourReport {
  const { trace, read, course, screened, final, drawn } = f;
  const used = residualsOf(drawn, course, read.index, final, screened, read.stated ? read.reference : screened.error);
  const largest = used.reduce((most, r) => (Math.abs(r.distance) > Math.abs(most.distance) ? r : most));
  const residuals: Residual[] = new Array(trace.points.length);
  for (const r of used) residuals[r.index] = r;
  for (const i of read.leftOut) residuals[i] = leftOutResidual(drawn, i, leftOutPoint(trace, i, drawn), trace.points[i]!.error ?? read.reference);
  const band = bandOf(drawn, final, screened.error, screened.behind);
  const depth = bendDepth(band);
  let squares = 0;
  let weighted = 0;
  let tipShift = 0;
  used.forEach((r, i) => {
    squares += r.distance * r.distance;
    weighted += (r.distance / r.error) ** 2;
    tipShift = Math.max(tipShift, Math.hypot(r.at[0] - read.points[i]![0], r.at[1] - read.points[i]![1]));
  });
  return {
    ...shapeOf(drawn.curve, drawn.corners, depth),
    used: used.length,
    given: trace.points.length,
    rule: f.rule,
    stiffness: new Array<number>(f.spans).fill(f.rule === 'through the points' ? 0 : Math.exp(final.logStiffness)),
    freedom: f.rule === 'through the points' ? used.length : final.certainty.freedom,
    readingError: screened.error,
    readingErrorStated: read.stated,
    rms: Math.sqrt(squares / used.length),
    weightedMisses: weighted,
    agreement: read.stated ? agreement(final.judge(final.logStiffness), used.length, read.reference) : null,
    largest,
    residuals,
    band,
    outliers: screened.accused.map((i) => ({ index: read.index[i]!, distance: screened.misses[i]!, studentised: screened.studentised[i]!, limit: screened.limit })),
    through: { ...shapeOf(f.through.curve, f.through.corners, depth), largestDeparture: f.rule === 'through the points' ? 0 : largestDeparture(f.through, drawn) },
    tipShift,
  };
}

/** A left-out reading after tip compensation, by the normal of the finished curve nearest the ball's centre. */
function leftOutPoint(trace: Trace, i: number, drawn: Drawn): Vec2 {
  const { x, z } = trace.points[i]!;
  const r = trace.tipRadius;
  if (r === 0) return [x, z];
  const { point, distance } = nearestOn(drawn.curve, [x, z + r]);
  return distance === 0 ? [x, z] : contactPoint([x, z], r, [(x - point[0]) / distance, (z + r - point[1]) / distance]);
}
