/**
 * Offsets of a test fit or an inspection -> Diagnosis: what is wrong, how sure, and where to correct it. mm, degrees.
 *
 * Two loops are never mixed. A test print asks about the DESIGN: the print's own scale is taken out first, and what is left
 * of scale and skew goes to the printer's profile, never into the part. A machined part asks about the MACHINE: shift, turn,
 * scale and skew go to its zero and set-up; a single hole has to be held against the drawing before the design is touched.
 * Nothing under twice the reading error is corrected: correcting noise makes things worse (common practice).
 * Method: causes.ts. Stops being true: errors that many holes share by chance; two wrong holes in four.
 */
import { degreesToRadians, radiansToDegrees } from '../maths/angle.ts';
import { chiSquareTail } from '../maths/tails.ts';
import type { Vec2 } from '../maths/vec.ts';
import { ok, type Issue, type Result } from '../result.ts';
import { fitCauses, type CauseFit, type CauseKind, type CausesFit } from './causes.ts';
import { readOffsets, type FitContext, type Offset, type OffsetReading, type PatternHole, type PrintUse } from './offsets.ts';

/** Where a correction belongs. */
export type Remedy = 'design' | 'print profile' | 'machine' | 'measure again' | 'nothing';

export interface Finding {
  readonly kind: CauseKind | 'single hole';
  /** Name of the hole; empty for what all holes share. */
  readonly hole: string;
  /** mm for shifts and single holes (X, Y), deg for turn and skew, ratio for scales. */
  readonly amount: readonly number[];
  /** Half width of the 95 % band, same units. */
  readonly band: readonly number[];
  /** mm. The most it moves any hole. */
  readonly effect: number;
  /** The chance that noise alone shows this much. */
  readonly chance: number;
  /** False inside the dead band: told, not corrected. */
  readonly real: boolean;
  readonly remedy: Remedy;
  readonly words: string;
  readonly todo: string;
}

/** One hole with its arrows, part frame. */
export interface HoleArrow {
  readonly name: string;
  readonly path: string;
  readonly at: Vec2;
  /** As read; null when only a distance was read. */
  readonly offset: Vec2 | null;
  readonly distance: number;
  /** What the findings make of it, and what none explains. */
  readonly explained: Vec2;
  readonly left: Vec2 | null;
  /** What the design should change by; 0 where it should not. */
  readonly move: Vec2;
}

export interface Diagnosis {
  readonly on: FitContext['on'];
  readonly madeFrom: string;
  readonly findings: readonly Finding[];
  readonly holes: readonly HoleArrow[];
  readonly readingError: number;
  /** Weighted squares left, and their freedom. */
  readonly squares: number;
  readonly freedom: number;
  /** Other explanations that fit almost as well, in words. */
  readonly rivals: readonly string[];
  /** New printed over drawn size, where the profile should change. */
  readonly profileScale: Vec2 | null;
  readonly summary: string;
  readonly doubts: readonly Issue[];
}

/** Two reading errors: below that nothing is corrected. */
const deadBand = 2;
const band95 = 1.96;

export function diagnose(readings: readonly OffsetReading[], pattern: readonly PatternHole[], context: FitContext): Result<Diagnosis> {
  const read = readOffsets(readings, pattern, context);
  if (!read.ok) return read;
  const offsets = withoutPrintScale(read.value, context);
  const free: CauseKind[] = context.lay === 'free' ? ['shift', 'turn'] : [];
  const { best, rivals } = fitCauses(offsets, free);
  const findings = [
    ...best.causes.map((cause) => commonFinding(cause, offsets, best, context, free)),
    ...best.alone.map((single) => singleFinding(single, offsets, context)),
  ];
  const holes = offsets.map((offset, i) => arrow(offset, i, best, findings));
  return ok({
    on: context.on,
    madeFrom: context.madeFrom,
    findings,
    holes,
    readingError: context.readingError,
    squares: best.squares,
    freedom: best.freedom,
    rivals: rivals.map((rival) => sayModel(rival, offsets)),
    profileScale: newProfile(findings, context),
    summary: summarise(findings, context),
    doubts: doubtsOn(offsets, best, context, free),
  });
}

/** An uncompensated print stands off its drawing by its own scale and skew, about the middle of what was read. */
function withoutPrintScale(offsets: readonly Offset[], { print }: FitContext): readonly Offset[] {
  if (print === undefined || print.compensated) return offsets;
  const n = offsets.length;
  const [mx, my] = [0, 1].map((axis) => offsets.reduce((sum, o) => sum + o.hole.at[axis]!, 0) / n) as [number, number];
  return offsets.map((offset): Offset => {
    if (offset.vector === null) return offset;
    const from: Vec2 = [offset.hole.at[0] - mx, offset.hole.at[1] - my];
    const printed = printedPlace(from, print);
    const vector: Vec2 = [offset.vector[0] + printed[0] - from[0], offset.vector[1] + printed[1] - from[1]];
    return { ...offset, vector, distance: Math.hypot(...vector) };
  });
}

/** Where a place of the drawing comes out, in the part's own directions. */
function printedPlace([x, y]: Vec2, { scale: [fx, fy], skew = 0, quarterTurn = false }: PrintUse): Vec2 {
  const angle = degreesToRadians(skew);
  // On the bed, printed there, and back.
  const [u, v] = quarterTurn ? [-y, x] : [x, y];
  const [pu, pv] = [fx * u + fy * Math.sin(angle) * v, fy * Math.cos(angle) * v];
  return quarterTurn ? [pv, -pu] : [pu, pv];
}

function commonFinding(cause: CauseFit, offsets: readonly Offset[], fit: CausesFit, context: FitContext, free: readonly CauseKind[]): Finding {
  const reach = Math.max(...offsets.map(({ hole }) => reachOf(cause.kind, [hole.at[0] - fit.middle[0], hole.at[1] - fit.middle[1]])));
  const size = Math.hypot(...cause.amount);
  const effect = size * reach;
  const lies = free.includes(cause.kind);
  const real = effect >= deadBand * context.readingError && !lies;
  const inDegrees = cause.kind === 'turn' || cause.kind === 'skew';
  const amount = cause.amount.map((value) => (inDegrees ? radiansToDegrees(value) : value));
  const band = cause.error.map((value) => band95 * (inDegrees ? radiansToDegrees(value) : value));
  const remedy: Remedy = lies || !real ? 'nothing' : context.on === 'part' ? 'machine' : cause.kind === 'shift' || cause.kind === 'turn' ? 'design' : 'print profile';
  const words = sayCause(cause.kind, amount, band, effect);
  return { kind: cause.kind, hole: '', amount, band, effect, chance: cause.chance, real, remedy, words, todo: sayTodo(cause.kind, amount, remedy, lies, context) };
}

const reachOf = (kind: CauseKind, [x, y]: Vec2): number => {
  if (kind === 'shift') return 1;
  if (kind === 'scale X') return Math.abs(x);
  if (kind === 'scale Y' || kind === 'skew') return Math.abs(y);
  return Math.hypot(x, y);
};

function singleFinding(single: CausesFit['alone'][number], offsets: readonly Offset[], context: FitContext): Finding {
  const { hole, vector } = offsets[single.index]!;
  const effect = Math.hypot(...single.left);
  const real = effect >= deadBand * single.error;
  const blind = vector === null;
  const remedy: Remedy = !real ? 'nothing' : blind ? 'measure again' : context.on === 'print' ? 'design' : context.against === 'drawing' ? 'machine' : 'measure again';
  const words = blind
    ? `Hole ${hole.name} alone is off by ${mm(effect)}; its direction was not read.`
    : `Hole ${hole.name} alone is off: it should move ${way(single.left)}, ±${mm(band95 * single.error)}.`;
  const todo =
    remedy === 'design' ? `Move hole ${hole.name} in the design by ${way(single.left)}.`
    : remedy === 'machine' ? `Hole ${hole.name} was not cut where it is drawn: look at that tool, its run-out and the order of cuts.`
    : remedy === 'measure again' ? (blind ? `Read hole ${hole.name} again, with its direction.` : `Measure hole ${hole.name} against the drawing: if it is where it is drawn, the design is wrong; if not, the machine is.`)
    : 'Within twice the reading error: leave it.';
  return { kind: 'single hole', hole: hole.name, amount: blind ? [effect] : single.left, band: blind ? [band95 * single.error] : [band95 * single.error, band95 * single.error], effect, chance: single.chance, real, remedy, words, todo };
}

function arrow({ hole, vector, distance }: Offset, index: number, fit: CausesFit, findings: readonly Finding[]): HoleArrow {
  const p: Vec2 = [hole.at[0] - fit.middle[0], hole.at[1] - fit.middle[1]];
  const single = findings.find((finding) => finding.kind === 'single hole' && finding.hole === hole.name);
  const alone = fit.alone.find((one) => one.index === index);
  const own: Vec2 = alone !== undefined && vector !== null ? alone.left : [0, 0];
  const common = fit.explained[index]!;
  const explained: Vec2 = [common[0] + own[0], common[1] + own[1]];
  let [x, y] = [0, 0];
  for (const finding of findings) {
    if (finding.remedy !== 'design') continue;
    if (finding.kind === 'shift') [x, y] = [x + finding.amount[0]!, y + finding.amount[1]!];
    else if (finding.kind === 'turn') {
      const t = (finding.amount[0]! * Math.PI) / 180;
      [x, y] = [x - t * p[1], y + t * p[0]];
    }
  }
  if (single?.remedy === 'design') [x, y] = [x + own[0], y + own[1]];
  return { name: hole.name, path: hole.path, at: hole.at, offset: vector, distance, explained, left: vector === null ? null : [vector[0] - explained[0], vector[1] - explained[1]], move: [x, y] };
}

function newProfile(findings: readonly Finding[], { on, print }: FitContext): Vec2 | null {
  if (on !== 'print') return null;
  const from = print?.scale ?? [1, 1];
  // Told along the bed, as the profile is.
  const [x, y] = print?.quarterTurn ? ['scale Y', 'scale X'] : ['scale X', 'scale Y'];
  let [fx, fy] = from;
  for (const { kind, amount, remedy } of findings) {
    if (remedy !== 'print profile') continue;
    // Holes that should move outwards by s stand on a print that came out s smaller than thought.
    if (kind === 'scale' || kind === x) fx *= 1 - amount[0]!;
    if (kind === 'scale' || kind === y) fy *= 1 - amount[0]!;
  }
  return fx === from[0] && fy === from[1] ? null : [fx, fy];
}

function doubtsOn(offsets: readonly Offset[], best: CausesFit, context: FitContext, free: readonly CauseKind[]): Issue[] {
  const doubts: Issue[] = [];
  if (best.freedom > 0 && chiSquareTail(best.squares, best.freedom) < 0.001) {
    doubts.push({ code: 'offsets-scatter', at: 'readingError', message: `The offsets scatter ${Math.sqrt(best.squares / best.freedom).toFixed(1)} times their stated error after everything that could be explained.`, hint: 'State a larger reading error, or read the holes again.' });
  }
  const mirrored = offsets.map((offset): Offset => (offset.vector === null ? offset : { ...offset, vector: [-offset.vector[0], offset.vector[1]] }));
  const strained = best.causes.some(({ kind }) => kind === 'skew' || kind === 'scale X' || kind === 'scale Y') || best.alone.length > 1;
  if (strained && best.cost - fitCauses(mirrored, free).best.cost > sideMargin) {
    doubts.push({ code: 'wrong-side', at: 'seenFrom', message: `Seen from ${context.seenFrom === 'outside' ? 'the mating face' : 'outside'} the same offsets would have a simpler cause.`, hint: 'Check from which side they were read before anything is changed.' });
  }
  if (context.on === 'print' && context.print === undefined) doubts.push({ code: 'no-profile', at: 'profile', message: 'No printer profile was stated, so scale is taken to be the print\'s.', hint: 'Measure the bars of the print before it is trusted.' });
  return doubts;
}

/** Squares by which the mirrored offsets must fit better before the side is doubted. */
const sideMargin = 3.2;

function summarise(findings: readonly Finding[], { on, readingError }: FitContext): string {
  const real = findings.filter((finding) => finding.real);
  if (real.length === 0) return `Nothing stands out of the reading error of ${mm(readingError)}: change nothing.`;
  const where = [...new Set(real.map((finding) => finding.remedy))].map((remedy) => (remedy === 'design' ? 'the design' : remedy === 'machine' ? "the machine's zero and set-up" : remedy === 'print profile' ? 'the printer profile' : 'another reading'));
  return `${on === 'print' ? 'The test print' : 'The machined part'} shows ${real.map((finding) => (finding.kind === 'single hole' ? `hole ${finding.hole} alone` : finding.kind)).join(', ')}. To correct: ${where.join('; ')}.`;
}

function sayModel(fit: CausesFit, offsets: readonly Offset[]): string {
  const parts = [...fit.causes.map((cause) => cause.kind as string), ...fit.alone.map((one) => `hole ${offsets[one.index]!.hole.name} alone`)];
  return parts.length === 0 ? 'nothing but noise' : parts.join(' + ');
}

const mm = (value: number): string => `${Number(value.toFixed(3))} mm`;
const signed = (value: number): string => `${value < 0 ? '-' : '+'}${Number(Math.abs(value).toFixed(3))}`;
const way = ([x, y]: readonly number[]): string => `${signed(x!)} X, ${signed(y!)} Y mm`;

function sayCause(kind: CauseKind, amount: readonly number[], band: readonly number[], effect: number): string {
  const most = `(up to ${mm(effect)} at a hole)`;
  if (kind === 'shift') return `All holes together should move ${way(amount)}, ±${mm(Math.max(...band))}.`;
  if (kind === 'turn') return `The pattern should turn ${signed(amount[0]!)}° (X towards Y), ±${Number(band[0]!.toFixed(3))}° ${most}.`;
  if (kind === 'skew') return `The pattern is out of square by ${signed(amount[0]!)}°, ±${Number(band[0]!.toFixed(3))}° ${most}.`;
  const axis = kind === 'scale' ? '' : ` along ${kind.slice(-1)}`;
  const percent = amount[0]! * 100;
  return `The pattern${axis} came out ${Math.abs(percent).toFixed(3)} % too ${percent > 0 ? 'small' : 'large'}, ±${(band[0]! * 100).toFixed(3)} % ${most}.`;
}

function sayTodo(kind: CauseKind, amount: readonly number[], remedy: Remedy, lies: boolean, context: FitContext): string {
  if (lies) return 'It was laid on loosely: this is only how it lay. Change nothing.';
  if (remedy === 'nothing') return 'Within twice the reading error: leave it.';
  if (remedy === 'design') return kind === 'shift' ? `Move every hole in the design by ${way(amount)}.` : `Turn the hole pattern in the design by ${signed(amount[0]!)}°.`;
  if (remedy === 'print profile') return `Correct the printer profile${context.print ? ` ${context.print.profile}` : ''}, not the part: ${kind === 'skew' ? `skew by ${signed(-amount[0]!)}°` : `its printed over drawn size is ${((1 - amount[0]!) * 100).toFixed(3)} % of what it says`}.`;
  if (kind === 'shift') return `Move the machine's zero by ${way(amount)}: the same shift on every feature is a wrong zero.`;
  if (kind === 'turn') return `Turn the set-up on the table by ${signed(amount[0]!)}°.`;
  return kind === 'skew' ? "Check the squareness of the machine's axes." : 'Check the temperature of the part when it was measured, then the scale of that axis.';
}
