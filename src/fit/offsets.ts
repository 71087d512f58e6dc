/**
 * What a test fit or an inspection showed, as typed -> offsets in the part frame, mm. Everything wrong with a sheet at once.
 *
 * An offset is the way a hole of our part has to move to be right: where the mating hole (or the drawing) stands, less
 * where our hole stands. Clock: 12 is +Y and 3 is +X, as looked at. Seen from the mating face X is mirrored; it is turned
 * back here. The largest pin through two holes D1 and D2 that stand e apart is (D1 + D2) / 2 - e (computed: the lens two
 * circles share); it tells how far, not which way, unless a clock direction comes with it.
 */
import type { Vec2 } from '../maths/vec.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';

/** A hole of our part, from the plan. */
export interface PatternHole {
  readonly name: string;
  /** Path into the job: `tabs[2]`. */
  readonly path: string;
  readonly at: Vec2;
  readonly diameter: number;
}

export interface OffsetReading {
  readonly hole: string;
  readonly dx?: number;
  readonly dy?: number;
  /** Hours on the clock face, above 0 to 12; 1.5 is half past one. */
  readonly clock?: number;
  /** mm, with clock. */
  readonly amount?: number;
  /** mm. Diameter of the largest pin that goes through both holes. */
  readonly pin?: number;
  /** mm, one sigma in each direction, where it differs. */
  readonly error?: number;
}

/** How the print came out against its drawing, by the profile of its printer. */
export interface PrintUse {
  readonly profile: string;
  /** The printer the profile was measured on, and the one that printed this piece. */
  readonly printer: string;
  readonly printedOn: string;
  /** Printed size over drawn size along the bed's X and Y. */
  readonly scale: Vec2;
  /** Degrees by which the angle between its X and Y falls short of 90. */
  readonly skew?: number;
  /** The piece lay turned by 90 degrees on the bed, counter-clockwise. */
  readonly quarterTurn?: boolean;
  /** True when the profile was already used to make the piece come out right. */
  readonly compensated: boolean;
}

export interface FitContext {
  /** A test print asks about the design; a machined part asks about the machine. Never both. */
  readonly on: 'print' | 'part';
  /** What the offsets were taken against. */
  readonly against: 'mating part' | 'drawing';
  readonly seenFrom: 'outside' | 'mating';
  /** located: the part can only lie one way. free: it was laid on as it came, so a common shift and turn mean nothing. */
  readonly lay: 'located' | 'free';
  /** Revision the piece was made from, and the one that is being corrected. */
  readonly madeFrom: string;
  readonly current: string;
  /** mm, one sigma in each direction. */
  readonly readingError: number;
  /** mm; needed for pins through both holes. */
  readonly matingDiameter?: number;
  readonly print?: PrintUse;
}

/** One offset as it is fitted: a vector, or a distance without direction. */
export interface Offset {
  readonly hole: PatternHole;
  readonly vector: Vec2 | null;
  readonly distance: number;
  readonly error: number;
}

const issue = (code: string, at: string, message: string, hint: string): Issue => ({ code, at, message, hint });

export function readOffsets(readings: readonly OffsetReading[], pattern: readonly PatternHole[], context: FitContext): Result<readonly Offset[]> {
  const issues = contextIssues(context);
  const offsets: Offset[] = [];
  const seen = new Map<string, number>();
  readings.forEach((reading, row) => {
    const at = `row ${row + 1}`;
    const hole = pattern.find((one) => one.name === reading.hole);
    if (hole === undefined) {
      issues.push(issue('unknown-hole', at, `${reading.hole === '' ? 'No hole is named' : `There is no hole ${reading.hole}`}.`, `Holes of this job: ${pattern.map((one) => one.name).join(', ') || 'none'}.`));
      return;
    }
    const before = seen.get(hole.name);
    if (before !== undefined) {
      issues.push(issue('typed-twice', at, `Hole ${hole.name} already has an offset in row ${before + 1}; each reading counts once.`, 'Keep one of the two, or their mean.'));
      return;
    }
    seen.set(hole.name, row);
    const read = readOne(reading, hole, context, at);
    if (read.ok) offsets.push(read.value);
    else issues.push(...read.issues);
  });
  if (issues.length === 0 && offsets.length < 2) issues.push(issue('too-few-offsets', '', `Expected the offsets of at least two holes, got ${offsets.length}.`, 'One hole cannot tell a shift from a wrong hole: read the others too, also where they fit.'));
  return issues.length > 0 ? refuse(...issues) : ok(offsets);
}

function contextIssues({ on, print, madeFrom, current, readingError }: FitContext): Issue[] {
  const issues: Issue[] = [];
  if (!(readingError > 0)) issues.push(issue('bad-error', 'readingError', `Expected a reading error above 0 mm, got ${readingError}.`, 'By eye in a clearance hole it is about 0.1 mm, with pins about 0.05 mm (common practice).'));
  if (madeFrom !== current) issues.push(issue('other-revision', 'revision', `These offsets were taken on revision ${madeFrom}; the job is at ${current}.`, `Use the job as it was at ${madeFrom}, or make and fit a piece of ${current}.`));
  if (on === 'part' && print !== undefined) issues.push(issue('two-loops', 'profile', 'A printer profile has nothing to do with a machined part.', 'Say that it was a print, or leave the profile out.'));
  if (print !== undefined && print.printer !== print.printedOn) {
    issues.push(issue('other-printer', 'profile', `Profile ${print.profile} was measured on ${print.printer}; this piece was printed on ${print.printedOn}.`, `Use the profile of ${print.printedOn}, or measure one.`));
  }
  if (print !== undefined && print.scale.some((f) => !(f > 0.9 && f < 1.1))) issues.push(issue('bad-scale', 'profile', `Expected printed over drawn size near 1, got ${print.scale.join(' and ')}.`, 'Measure the bars of the calibration piece again.'));
  return issues;
}

function readOne(reading: OffsetReading, hole: PatternHole, context: FitContext, at: string): Result<Offset> {
  const { dx, dy, clock, amount, pin } = reading;
  const error = reading.error ?? context.readingError;
  const side = context.seenFrom === 'mating' ? -1 : 1;
  const straight = dx !== undefined || dy !== undefined;
  const numbers = [dx, dy, clock, amount, pin, reading.error].filter((value) => value !== undefined);
  const bad = (code: string, message: string, hint: string): Result<Offset> => refuse(issue(code, at, `Hole ${hole.name}: ${message}`, hint));
  if (numbers.some((value) => !Number.isFinite(value))) return bad('bad-value', 'expected numbers.', 'Type the value again.');
  if (!(error > 0)) return bad('bad-error', `expected an error above 0 mm, got ${error}.`, 'State one sigma, or leave it out.');
  if (straight && (clock !== undefined || amount !== undefined || pin !== undefined)) return bad('two-ways', 'the offset is given in two ways.', 'Give either dx and dy, or clock and amount, or the pin.');
  if (amount !== undefined && pin !== undefined) return bad('two-ways', 'both an amount and a pin are given.', 'Give one of them.');
  if (clock !== undefined && !(clock > 0 && clock <= 12)) return bad('bad-clock', `expected an hour from 1 to 12, got ${clock}.`, '12 is +Y, 3 is +X, as you look at it.');
  if (clock !== undefined && amount === undefined && pin === undefined) return bad('no-amount', 'a direction without an amount.', 'Add the amount in mm, or the pin.');
  if (amount !== undefined && (clock === undefined || amount < 0)) return bad('no-clock', amount < 0 ? `expected an amount of 0 mm or more, got ${amount}.` : 'an amount without a direction.', 'Add the hour on the clock, or use dx and dy.');
  if (pin === undefined && !straight && amount === undefined) return bad('no-offset', 'no offset is given.', 'Give dx and dy, or clock and amount, or the pin; 0 and 0 where it fits.');
  let distance = 0;
  let spread = error;
  if (pin !== undefined) {
    const gap = pinGap(pin, hole.diameter, context.matingDiameter, error);
    if (!gap.ok) return bad(gap.issues[0]!.code, gap.issues[0]!.message, gap.issues[0]!.hint);
    [distance, spread] = gap.value;
  } else distance = amount ?? Math.hypot(dx ?? 0, dy ?? 0);
  if (distance > hole.diameter) return bad('offset-larger-than-hole', `an offset of ${figure(distance)} mm is more than the hole, ${figure(hole.diameter)} mm across.`, 'Check the unit and the decimal point; if it is true, the wrong hole was looked at.');
  const angle = clock === undefined ? null : Math.PI / 2 - (clock / 6) * Math.PI;
  const vector: Vec2 | null = angle !== null ? [side * distance * Math.cos(angle) + 0, distance * Math.sin(angle) + 0] : straight ? [side * (dx ?? 0) + 0, dy ?? 0] : null;
  return ok({ hole, vector, distance, error: spread });
}

/** Distance between two hole centres from the largest pin through both, and its error. */
function pinGap(pin: number, ours: number, mating: number | undefined, error: number): Result<readonly [number, number]> {
  if (mating === undefined) return refuse(issue('mating-diameter', '', 'a pin through both holes needs the diameter of the mating holes.', 'State it on the sheet: mating diameter.'));
  const smaller = Math.min(ours, mating);
  if (!(pin > 0) || pin > smaller + 3 * error) return refuse(issue('pin-too-large', '', `expected a pin up to ${figure(smaller)} mm, the smaller hole, got ${figure(pin)} mm.`, 'Check the pin and the two diameters.'));
  const apart = (ours + mating) / 2 - pin;
  // The smaller hole's own pin still goes through while the larger one covers it: all that is known is "no more than this".
  const hidden = Math.abs(ours - mating) / 2;
  return ok(apart <= hidden ? [hidden / 2, Math.hypot(hidden / Math.sqrt(12), error)] : [apart, error]);
}

const figure = (value: number): string => String(Number(value.toFixed(3)));
