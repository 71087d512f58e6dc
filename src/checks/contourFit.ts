/** What the faired contour says about the readings: odd ones out, an error that does not match, bends nobody meant. */
import { tolerance } from '../maths/tolerance.ts';
import { cross2, sub2 } from '../maths/vec.ts';
import { sayMm, type Finding } from './finding.ts';
import type { Check, CheckInput } from './input.ts';

/** A place on the top above a station as typed. */
const placeAt = ({ section, plan }: CheckInput, x: number, z: number) => [x - section.frontStation, plan.body.width / 2, z] as const;

export const oddReadings: Check = (input, say = sayMm) =>
  input.contour.report.outliers.map(
    (odd): Finding => ({
      code: 'reading-odd',
      level: 'warn',
      message: `Reading ${odd.index + 1} stands ${say(Math.abs(odd.distance))} ${odd.distance > 0 ? 'above' : 'below'} the curve of the others, ${Number(Math.abs(odd.studentised).toFixed(1))} times its error.`,
      value: Math.abs(odd.studentised),
      limit: odd.limit,
      unit: 'ratio',
      at: `trace.points[${odd.index}]`,
      place: placeAt(input, input.job.trace.points[odd.index]?.x ?? 0, input.job.trace.points[odd.index]?.z ?? 0),
      cure: 'Measure it again; mark it leaveOut if it was a slip. It is still in use.',
      restsOn: 'Robust leave-one-out studentised residual.',
    }),
  );

/** Readings that scatter far more or far less than the error stated for them. */
export const scatter: Check = (input, say = sayMm) => {
  const { report } = input.contour;
  if (!report.readingErrorStated || report.rule !== 'reading error') return [];
  const ratio = report.rms / report.readingError;
  if (ratio < 1.6) return [];
  return [
    {
      code: 'readings-scatter',
      level: 'warn',
      message: `The readings scatter by ${say(report.rms)} about the curve; the stated reading error is ${say(report.readingError)}.`,
      value: report.rms,
      limit: report.readingError,
      unit: 'mm',
      at: 'trace.readingError',
      place: null,
      cure: 'Look for a slip in the readings, mark true corners, or state the larger error.',
      restsOn: 'Reinsch (1967): the scatter of a good fit equals the error.',
    },
  ];
};

export const bends: Check = (input, say = sayMm) => {
  const { inflections, through } = input.contour.report;
  if (inflections.length === 0) return [];
  return [
    {
      code: 'contour-bends',
      level: 'note',
      message: `The contour changes its bend ${inflections.length === 1 ? 'once' : `${inflections.length} times`}, at station ${inflections.map(([x]) => say(x)).join(', ')}; a curve through every reading would do so ${through.inflections.length} times.`,
      value: inflections.length,
      limit: null,
      unit: 'count',
      at: 'contour',
      place: placeAt(input, inflections[0]?.[0] ?? 0, inflections[0]?.[1] ?? 0),
      cure: inflections.length > 2 ? 'If the original has no such waves, state the reading error.' : '',
      restsOn: 'Sign of the curvature of the contour that is cut.',
    },
  ];
};

/** Readings that all lie on one line: a flat top may be meant, or one height was typed all the way down. */
export const straightTop: Check = (input, say = sayMm) => {
  const { residuals, readingError } = input.contour.report;
  const feet = residuals.filter((one) => one.used).map((one) => one.foot);
  const [first, last] = [feet[0], feet.at(-1)];
  if (first === undefined || last === undefined) return [];
  const way = sub2(last, first);
  const bow = Math.max(...feet.map((foot) => Math.abs(cross2(way, sub2(foot, first))))) / Math.hypot(...way);
  if (bow > Math.max(2 * readingError, tolerance.straight)) return [];
  return [
    {
      code: 'contour-straight',
      level: 'note',
      message: `All readings lie on one line within ${say(Math.max(bow, 0.01))}: the top is flat.`,
      value: bow,
      limit: null,
      unit: 'mm',
      at: 'trace.points',
      place: placeAt(input, first[0], first[1]),
      cure: 'If the original is curved, look whether its heights were typed.',
      restsOn: 'Distance of the contour from the line between its ends.',
    },
  ];
};
