/**
 * Our holes, the mating holes and how far both may be out -> the odds that everything bolts up. mm, deg C.
 *
 * Seeded trials. The mating holes stand where they were read, off by the covariance of the readings; ours are cut within a
 * circle of the machining tolerance, evenly (the worst a shop in tolerance does); a temperature is drawn evenly from the range
 * and both sides grow from 20 C by their own expansion. Each trial is seated by minimax.ts. Probability with Wilson's interval
 * (E. B. Wilson, J. Amer. Statist. Assoc. 22, 1927). Stops being true: what boltUp.ts leaves out, and a tolerance not held.
 */
import { radiansToDegrees } from '../maths/angle.ts';
import { normalQuantile } from '../maths/distributions.ts';
import { randomFrom, type Random } from '../maths/random.ts';
import { tolerance } from '../maths/tolerance.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import { material, type MatingMaterialName } from '../standards/materials.ts';
import { boltIssues, packHoles, type BoltHole } from './boltUp.ts';
import { emptySeat, seatPattern, workFor, type Packed } from './minimax.ts';

export interface OddsSettings {
  readonly seed: number;
  readonly trials: number;
  /** mm. Diameter of the circle our holes are cut within. */
  readonly machining: number;
  /** mm2, x0 y0 x1 y1 ... in the order of the holes; null when the mating holes are taken as exact. */
  readonly covariance: readonly (readonly number[])[] | null;
  readonly ours?: MatingMaterialName;
  readonly theirs?: MatingMaterialName;
  /** deg C, least and most. */
  readonly temperatures?: readonly [number, number];
}

export interface Odds {
  readonly trials: number;
  readonly fits: number;
  readonly probability: number;
  /** 95 %, Wilson. */
  readonly interval: readonly [number, number];
  /** The hole that pressed hardest in most trials that failed, or in the tightest when none did. */
  readonly limiting: string;
  /** mm to add to every hole's diameter so that 99 trials in 100 fit; negative when there is room to spare. */
  readonly enlargeFor99: number;
  /** mm of slot the limiting hole would need instead, along the direction the pattern grows there; null when that alone does not do. */
  readonly slotFor99: number | null;
}

/** Degrees at which drawings hold (ISO 1). */
const drawingTemperature = 20;

/** The odds over seeded trials. */
export function boltUpOdds(holes: readonly BoltHole[], settings: OddsSettings): Result<Odds> {
  const issues = [...boltIssues(holes), ...checkOdds(holes, settings)];
  if (issues.length > 0) return refuse(...issues);
  const run = runTrials(holes, settings, settings.trials);
  const ordered = Float64Array.from(run.margins).sort();
  // The hundredth part of the trials that may fail.
  const short = ordered[Math.floor(settings.trials * 0.01)]!;
  const limiting = run.limits.indexOf(Math.max(...run.limits));
  return ok({
    trials: settings.trials,
    fits: run.fits,
    probability: run.fits / settings.trials,
    interval: wilson(run.fits, settings.trials),
    limiting: holes[limiting]!.name,
    enlargeFor99: -2 * short,
    slotFor99: short >= 0 ? 0 : slotNeeded(holes, limiting, settings),
  });
}

function checkOdds(holes: readonly BoltHole[], { trials, machining, covariance, temperatures }: OddsSettings): Issue[] {
  const issues: Issue[] = [];
  if (!(Number.isInteger(trials) && trials >= 100 && trials <= 1e7)) issues.push({ code: 'bad-trials', at: 'trials', message: `Expected 100 to 10 000 000 trials, got ${trials}.`, hint: 'A hundred thousand tell odds to a quarter of a per cent.' });
  if (!(machining >= 0)) issues.push({ code: 'bad-tolerance', at: 'machining', message: `Expected a machining tolerance of 0 mm or more, got ${machining}.`, hint: 'It is the diameter of the circle each hole is cut within.' });
  if (covariance !== null && covariance.length !== 2 * holes.length) issues.push({ code: 'bad-covariance', at: 'covariance', message: `Expected errors of ${holes.length} holes, got ${covariance.length / 2}.`, hint: 'Use the pattern the holes were taken from.' });
  if (temperatures !== undefined && !(temperatures[0] <= temperatures[1])) issues.push({ code: 'bad-temperatures', at: 'temperatures', message: `Expected least and most temperature, got ${temperatures.join(' and ')}.`, hint: 'Give the colder one first.' });
  return issues;
}

interface Trials {
  readonly margins: Float64Array;
  readonly fits: number;
  /** How often each hole pressed hardest in trials that failed; in all of them when none failed. */
  readonly limits: readonly number[];
}

/** Trials solved in full to learn where the worst hundredth lies. */
const pilotTrials = 2000;

/**
 * Most trials fit with room to spare, and only whether they do is asked: once the pilot shows where the worst hundredth
 * lies, the search stops at a margin safely above both that and 0. Should the worst hundredth lie higher, all is solved in full.
 */
function runTrials(holes: readonly BoltHole[], settings: OddsSettings, trials: number): Trials {
  const pilot = trialsOf(holes, settings, Math.min(trials, pilotTrials), Infinity);
  if (trials <= pilotTrials) return pilot;
  const twentieth = Float64Array.from(pilot.margins).sort()[Math.floor(pilot.margins.length * 0.05)]!;
  const enough = Math.max(0, twentieth);
  const run = trialsOf(holes, settings, trials, enough);
  const below = run.margins.reduce((count, margin) => count + (margin < enough ? 1 : 0), 0);
  return below > Math.floor(trials * 0.01) ? run : trialsOf(holes, settings, trials, Infinity);
}

function trialsOf(holes: readonly BoltHole[], settings: OddsSettings, trials: number, enough: number): Trials {
  const { packed, dx, dy } = packHoles(holes);
  const { n } = packed;
  const random = randomFrom(settings.seed);
  const draw = errorsOf(settings, packed, random);
  const seat = emptySeat(n);
  const work = workFor(n);
  const [x, y] = [new Float64Array(n), new Float64Array(n)];
  const margins = new Float64Array(trials);
  const limits = new Array<number>(n).fill(0);
  const anyway = new Array<number>(n).fill(0);
  let fits = 0;
  for (let t = 0; t < trials; t++) {
    x.set(dx);
    y.set(dy);
    draw(x, y);
    seatPattern(packed, x, y, seat, work, false, enough);
    margins[t] = seat.margin;
    let hardest = 0;
    for (let i = 1; i < n; i++) if (seat.weight[i]! > seat.weight[hardest]!) hardest = i;
    anyway[hardest]!++;
    if (seat.margin >= 0) fits++;
    else limits[hardest]!++;
  }
  return { margins, fits, limits: fits === trials ? anyway : limits };
}

/** Adds one trial's errors to the differences. */
function errorsOf(settings: OddsSettings, p: Packed, random: Random): (x: Float64Array, y: Float64Array) => void {
  const { n } = p;
  const root = settings.covariance === null ? null : rootOf(settings.covariance);
  const z = new Float64Array(2 * n);
  const r = settings.machining / 2;
  const growth = ((settings.ours === undefined ? 0 : material(settings.ours).expansion) - (settings.theirs === undefined ? 0 : material(settings.theirs).expansion)) * 1e-6;
  const heat = settings.temperatures !== undefined && settings.ours !== undefined && settings.theirs !== undefined && growth !== 0 ? settings.temperatures : null;
  return (x, y) => {
    if (root !== null) {
      for (let k = 0; k < 2 * n; k++) z[k] = random.normal();
      for (let i = 0; i < n; i++) {
        const [rx, ry] = [root[2 * i]!, root[2 * i + 1]!];
        let [ex, ey] = [0, 0];
        for (let k = 0; k < 2 * n; k++) {
          ex += rx[k]! * z[k]!;
          ey += ry[k]! * z[k]!;
        }
        x[i]! -= ex;
        y[i]! -= ey;
      }
    }
    if (r > 0) {
      for (let i = 0; i < n; i++) {
        let [u, v] = [1, 1];
        while (u * u + v * v > 1) [u, v] = [2 * random.uniform() - 1, 2 * random.uniform() - 1];
        x[i]! += r * u;
        y[i]! += r * v;
      }
    }
    if (heat !== null) {
      const s = growth * (heat[0] + (heat[1] - heat[0]) * random.uniform() - drawingTemperature);
      for (let i = 0; i < n; i++) {
        x[i]! += s * p.px[i]!;
        y[i]! += s * p.py[i]!;
      }
    }
  };
}

/** A lower triangle whose square is the covariance; directions without error are left without. */
function rootOf(q: readonly (readonly number[])[]): Float64Array[] {
  const n = q.length;
  const l = Array.from({ length: n }, () => new Float64Array(n));
  const largest = Math.max(...q.map((row, i) => row[i]!));
  for (let j = 0; j < n; j++) {
    let pivot = q[j]![j]!;
    for (let k = 0; k < j; k++) pivot -= l[j]![k]! ** 2;
    if (!(pivot > tolerance.negligible * largest)) continue;
    l[j]![j] = Math.sqrt(pivot);
    for (let i = j + 1; i < n; i++) {
      let sum = q[i]![j]!;
      for (let k = 0; k < j; k++) sum -= l[i]![k]! * l[j]![k]!;
      l[i]![j] = sum / l[j]![j]!;
    }
  }
  return l;
}

/** Wilson's interval of 95 %. */
export function wilson(fits: number, trials: number): readonly [number, number] {
  const z = normalQuantile(0.975);
  const p = fits / trials;
  const k = (z * z) / trials;
  const half = (z / (1 + k)) * Math.sqrt((p * (1 - p)) / trials + (z * z) / (4 * trials * trials));
  const middle = (p + k / 2) / (1 + k);
  return [Math.max(0, middle - half), Math.min(1, middle + half)];
}

const slotTrials = 20_000;
/** mm */
const slotStep = 0.05;
const longestSlot = 3;

/** Shortest slot at one hole that lets 99 in 100 fit, towards the middle of the pattern; null when even a long one does not. */
function slotNeeded(holes: readonly BoltHole[], at: number, settings: OddsSettings): number | null {
  const { packed } = packHoles(holes);
  const angle = radiansToDegrees(Math.atan2(packed.py[at]!, packed.px[at]!));
  const trials = Math.min(settings.trials, slotTrials);
  const enough = (slot: number): boolean => runTrials(holes.map((hole, i) => (i === at ? { ...hole, slot: hole.slot + slot, slotAngle: hole.slot > 0 ? hole.slotAngle : angle } : hole)), settings, trials).fits >= 0.99 * trials;
  if (!enough(longestSlot)) return null;
  let [low, high] = [0, Math.round(longestSlot / slotStep)];
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (enough(middle * slotStep)) high = middle;
    else low = middle;
  }
  return high * slotStep;
}
