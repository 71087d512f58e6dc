/**
 * Our holes, the mating holes and their screws -> does everything bolt up: the best move, the margin of each hole, and the
 * odds over reading errors, machining and heat. mm, degrees, kelvin.
 *
 * Margins: minimax.ts. A floating screw has (hole - screw) / 2 of radial slack from our hole; where the mating hole is a
 * clearance hole too its slack adds (ASME Y14.5 appendix B, seen on secondary pages: T = H - F floating, (H - F) / 2 fixed).
 * Odds: seeded trials. The mating holes stand where they were read, off by the covariance of the readings; ours are cut
 * within a circle of the machining tolerance, evenly (the worst a shop in tolerance does); a temperature is drawn evenly from
 * the range and both sides grow from 20 C by their own expansion. Probability with Wilson's interval (E. B. Wilson, 1927).
 * Stops being true: errors left out of it: square of the holes, bent parts, paint, threads out of upright.
 */
import { degreesToRadians } from '../maths/angle.ts';
import { normalQuantile } from '../maths/distributions.ts';
import { randomFrom, type Random } from '../maths/random.ts';
import type { Vec2 } from '../maths/vec.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import { material, type MatingMaterialName } from '../standards/materials.ts';
import { emptySeat, marginsAt, seatPattern, workFor, type Packed, type Seated } from './minimax.ts';

export interface BoltHole {
  readonly name: string;
  readonly at: Vec2;
  readonly diameter: number;
  /** Extra length of a slot, and its direction in deg from X; 0 for a round hole. */
  readonly slot: number;
  readonly slotAngle: number;
  /** mm, largest screw. */
  readonly screw: number;
  /** Where its mating hole stands. */
  readonly mating: Vec2;
  /** mm; null for a tapped hole. */
  readonly matingDiameter: number | null;
}

export interface BoltUp {
  /** Best rigid move of our part: shift, then turn about the middle in deg. */
  readonly shift: Vec2;
  readonly turn: number;
  /** The smallest margin at that move; below 0 a screw does not enter. */
  readonly margin: number;
  /** No move is better than this by more. */
  readonly gap: number;
  readonly holes: readonly { readonly name: string; readonly margin: number; readonly presses: boolean }[];
  /** The smallest margin when the holes are merely fitted on the average, for comparison. */
  readonly averageMargin: number;
}

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

function check(holes: readonly BoltHole[]): Issue[] {
  const issues: Issue[] = [];
  if (holes.length < 2) issues.push({ code: 'too-few-holes', at: '', message: `Expected at least two holes, got ${holes.length}.`, hint: 'Say which holes bolt to what.' });
  for (const hole of holes) {
    if (!(hole.diameter >= hole.screw)) issues.push({ code: 'hole-too-small', at: hole.name, message: `Hole ${hole.name} is ${hole.diameter} mm, its screw ${hole.screw} mm: it does not enter even when true.`, hint: 'Make the hole larger or the screw smaller.' });
    if (hole.matingDiameter !== null && !(hole.matingDiameter >= hole.screw)) issues.push({ code: 'hole-too-small', at: hole.name, message: `The mating hole of ${hole.name} is ${hole.matingDiameter} mm, its screw ${hole.screw} mm.`, hint: 'A tapped hole has no clearance: leave its diameter out.' });
  }
  return issues;
}

function pack(holes: readonly BoltHole[]): { readonly packed: Packed; readonly middle: Vec2; readonly dx: Float64Array; readonly dy: Float64Array } {
  const n = holes.length;
  const middle: Vec2 = [holes.reduce((sum, h) => sum + h.at[0], 0) / n, holes.reduce((sum, h) => sum + h.at[1], 0) / n];
  const px = Float64Array.from(holes, (h) => h.at[0] - middle[0]);
  const py = Float64Array.from(holes, (h) => h.at[1] - middle[1]);
  const packed: Packed = {
    n,
    px,
    py,
    half: Float64Array.from(holes, (h) => h.slot / 2),
    sx: Float64Array.from(holes, (h) => Math.cos(degreesToRadians(h.slotAngle))),
    sy: Float64Array.from(holes, (h) => Math.sin(degreesToRadians(h.slotAngle))),
    slack: Float64Array.from(holes, (h) => (h.diameter - h.screw) / 2 + (h.matingDiameter === null ? 0 : (h.matingDiameter - h.screw) / 2)),
    reach: Math.max(1, ...holes.map((_, i) => Math.hypot(px[i]!, py[i]!))),
  };
  return { packed, middle, dx: Float64Array.from(holes, (h) => h.at[0] - h.mating[0]), dy: Float64Array.from(holes, (h) => h.at[1] - h.mating[1]) };
}

/** The best move and what is left at each hole. */
export function boltUp(holes: readonly BoltHole[]): Result<BoltUp> {
  const issues = check(holes);
  if (issues.length > 0) return refuse(...issues);
  const { packed, dx, dy } = pack(holes);
  const seat = seatExactly(packed, dx, dy);
  const margins = marginsAt(packed, dx, dy, seat.move);
  return ok({
    shift: [seat.move[0]!, seat.move[1]!],
    turn: (seat.move[2]! / packed.reach) * (180 / Math.PI),
    margin: Math.min(...margins),
    gap: seat.gap,
    holes: holes.map((hole, i) => ({ name: hole.name, margin: margins[i]!, presses: seat.weight[i]! > presses })),
    averageMargin: Math.min(...marginsAt(packed, dx, dy, averageMove(packed, dx, dy))),
  });
}

const turnRounds = 6;

/** The fine seat with the turn taken exactly: what a turn does beyond its first order is put into the places, and again. */
function seatExactly(packed: Packed, dx: Float64Array, dy: Float64Array): Seated {
  const seat = emptySeat(packed.n);
  const work = workFor(packed.n);
  const [x, y] = [Float64Array.from(dx), Float64Array.from(dy)];
  for (let round = 0; round < turnRounds; round++) {
    seatPattern(packed, x, y, seat, work, true);
    const turn = seat.move[2]! / packed.reach;
    const [c, s] = [Math.cos(turn) - 1, Math.sin(turn) - turn];
    for (let i = 0; i < packed.n; i++) {
      x[i] = dx[i]! + c * packed.px[i]! - s * packed.py[i]!;
      y[i] = dy[i]! + s * packed.px[i]! + c * packed.py[i]!;
    }
  }
  return seat;
}

/** Share of the proof from which a hole counts as pressing. */
const presses = 0.01;

function averageMove(p: Packed, dx: Float64Array, dy: Float64Array): Float64Array {
  const mean = (v: Float64Array): number => v.reduce((a, b) => a + b, 0) / p.n;
  let [turn, size] = [0, 0];
  for (let i = 0; i < p.n; i++) {
    turn += p.px[i]! * dy[i]! - p.py[i]! * dx[i]!;
    size += p.px[i]! ** 2 + p.py[i]! ** 2;
  }
  return Float64Array.of(-mean(dx), -mean(dy), size > 0 ? (-turn / size) * p.reach : 0);
}

/** The odds over seeded trials. */
export function boltUpOdds(holes: readonly BoltHole[], settings: OddsSettings): Result<Odds> {
  const issues = [...check(holes), ...checkOdds(holes, settings)];
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
  const { packed, dx, dy } = pack(holes);
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
    if (!(pivot > 1e-12 * largest)) continue;
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
  const { packed } = pack(holes);
  const angle = (Math.atan2(packed.py[at]!, packed.px[at]!) * 180) / Math.PI;
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
