/** The verb locate: a sheet of readings between holes (or a job that keeps them) in, coordinates with their errors out; into a job on request. */
import { basename, dirname, extname } from 'node:path';
import { boltTo, type Bolting } from '../fit/bolting.ts';
import { moveHoles, patternOf, placeHoles } from '../fit/correct.ts';
import { locateHoles } from '../holes/locate.ts';
import { networkOf, readNetworkSheet, type NetworkRead } from '../holes/networkSheet.ts';
import type { HolePattern, HoleReading } from '../holes/pattern.ts';
import { sayReading } from '../holes/screen.ts';
import type { Units } from '../job/quantity.ts';
import { readDocument, readJob } from '../job/read.ts';
import { textFile, safeName } from '../outputs/file.ts';
import { patternFiles } from '../outputs/patternFiles.ts';
import { sayMiss } from '../outputs/say.ts';
import { sayIssue, type Issue, type Result, ok } from '../result.ts';
import { planOf } from './plans.ts';
import { readText, writeFiles } from './disk.ts';
import { paint, sayIssues, table, sayWritten } from './words.ts';

export interface LocateFlags {
  readonly out?: string;
  readonly units?: Units;
  readonly into?: string;
  readonly write?: string;
  readonly json?: boolean;
}

export async function runLocate(path: string, flags: LocateFlags): Promise<number> {
  const refuse = (issues: readonly Issue[], source = path): number => {
    if (flags.json) process.stdout.write(`${JSON.stringify({ readings: path, ok: false, issues }, null, 2)}\n`);
    else process.stderr.write(`${sayIssues(issues, source)}\n`);
    return 2;
  };
  const text = readText(path);
  if (!text.ok) return refuse(text.issues);
  const sheet = readNetwork(text.value, flags.units);
  if (!sheet.ok) return refuse(sheet.issues);
  const { readings, settings } = networkOf(sheet.value.network);
  const located = locateHoles(readings, settings);
  if (!located.ok) return refuse(located.issues);
  const pattern = located.value;
  const lines: string[] = [];
  let bolting: Bolting | null = null;
  if (flags.into !== undefined) {
    const placed = putInto(flags.into, flags.write, pattern, sheet.value.units);
    if (!placed.ok) return refuse(placed.issues, flags.into);
    lines.push(...placed.value.lines);
    bolting = placed.value.bolting;
  }
  if (flags.out !== undefined) {
    const files = patternFiles(pattern, readings, sheet.value.units, path === '-' ? 'readings' : safeName(basename(path, extname(path))));
    const written = writeFiles(flags.out, files);
    if (!written.ok) return refuse(written.issues, flags.out);
    lines.push(sayWritten(flags.out, files.map((f) => ({ ...f, bytes: f.bytes.length }))));
  }
  if (flags.json) process.stdout.write(`${JSON.stringify({ readings: path, ok: true, pattern, bolting }, (_, value: unknown) => (value === Infinity ? null : value), 2)}\n`);
  else process.stdout.write(`${[...sayPattern(pattern, readings, sheet.value.units), ...lines].join('\n')}\n`);
  return 0;
}

/** From a sheet, or from the readings a job keeps. */
function readNetwork(text: string, units: Units | undefined): Result<Pick<NetworkRead, 'network' | 'units'>> {
  if (!/^[\s\ufeff]*\{/.test(text)) return readNetworkSheet(text, units);
  const file = readJob(text);
  return file.ok ? ok({ network: file.value.job.pattern, units: units ?? file.value.job.units }) : file;
}

/**
 * Holds the job's holes against the places found: the odds that it bolts up as drawn. With a target the holes that bear the
 * same names are moved to their places; the changed job is written beside, never over.
 */
function putInto(path: string, target: string | undefined, pattern: HolePattern, units: Units): Result<{ readonly lines: readonly string[]; readonly bolting: Bolting | null }> {
  const bad = (code: string, message: string, hint: string): Result<never> => ({ ok: false, issues: [{ code, at: '--into', message, hint }] });
  if (pattern.mirror !== null) return bad('mirror-open', pattern.mirror, 'Answer it on the sheet: "side: D left of A B" and "seen from: outside".');
  const text = readText(path);
  if (!text.ok) return text;
  const file = readJob(text.value);
  if (!file.ok) return file;
  const plan = planOf(file.value);
  if (!plan.ok) return plan;
  const placed = placeHoles(patternOf(plan.value), pattern.holes);
  if (!placed.ok) return placed;
  const bolting = boltTo(file.value.job, plan.value, pattern);
  const odds = bolting.ok ? sayBolting(bolting.value, units) : bolting.issues.map((issue) => `  Odds of bolting up: ${sayIssue(issue)}`);
  if (target === undefined) return ok({ lines: odds, bolting: bolting.ok ? bolting.value : null });
  const moved = moveHoles(file.value, placed.value, () => 'Located.');
  if (!moved.ok) return moved;
  // What is written must be a job that can still be planned.
  const read = readDocument(moved.value.document);
  if (!read.ok) return read;
  const planned = planOf(read.value);
  if (!planned.ok) return planned;
  const written = writeFiles(dirname(target), [textFile(basename(target), 'application/json', 'The job.', `${JSON.stringify(moved.value.document, null, 2)}\n`)]);
  if (!written.ok) return written;
  const lines = [...odds, `Written ${target}, ${moved.value.changes.length} values changed:`, ...(moved.value.changes.length > 0 ? [table(moved.value.changes.map((c) => [c.path, `${c.from ?? 'nothing'} -> ${c.to}`]))] : [])];
  return ok({ lines, bolting: bolting.ok ? bolting.value : null });
}

/** mm: nobody enlarges a screw hole by more than this. */
const unlike = 3;

function sayBolting({ seated, odds, left }: Bolting, units: Units): string[] {
  const f = (mm: number): string => sayMiss(mm, units);
  const percent = (p: number): string => `${(100 * p).toFixed(2)} %`;
  const pressing = seated.holes.filter((hole) => hole.presses).map((hole) => hole.name).join(', ');
  const lines = [
    `As drawn it ${seated.margin >= 0 ? 'bolts up' : 'does not bolt up'}: in its best place the tightest screw has ${f(seated.margin)} to spare (${pressing}).`,
    `Odds over reading errors, cutting and heat: ${percent(odds.probability)} (${percent(odds.interval[0])} to ${percent(odds.interval[1])}, ${odds.trials} trials); hole ${odds.limiting} limits.`,
  ];
  if (odds.enlargeFor99 > unlike) lines.push(`No larger hole mends that: the job's pattern and the one found are not alike. Check the names of the holes.`);
  else if (odds.enlargeFor99 > 0) lines.push(`For 99 in 100: every hole ${f(odds.enlargeFor99)} larger${odds.slotFor99 === null ? '' : `, or hole ${odds.limiting} a slot ${f(odds.slotFor99)} longer`}.`);
  for (const one of left) lines.push(`  not judged: ${one}.`);
  return lines;
}

function sayPattern(pattern: HolePattern, readings: readonly HoleReading[], units: Units): string[] {
  const k = units === 'inch' ? 1 / 25.4 : 1;
  const n = units === 'inch' ? 4 : 3;
  const f = (mm: number): string => (mm * k).toFixed(n);
  const unit = units === 'inch' ? 'in' : 'mm';
  const wide = Math.max(4, ...pattern.holes.map((hole) => hole.name.length));
  const lines = [`${'hole'.padEnd(wide)}  ${'X'.padStart(10)}  ${'Y'.padStart(10)}  ${'size'.padStart(8)}  error 95 % (${unit})`];
  for (const hole of pattern.holes) {
    lines.push(`${hole.name.padEnd(wide)}  ${f(hole.at[0]).padStart(10)}  ${f(hole.at[1]).padStart(10)}  ${(hole.diameter === null ? '' : f(hole.diameter)).padStart(8)}  ${f(hole.ellipse.major)} x ${f(hole.ellipse.minor)} at ${hole.ellipse.angle.toFixed(0)} deg; ${f(hole.shape.major)} after best fit`);
  }
  lines.push(pattern.freedom === 0 ? 'Nothing to spare: no reading is checked.' : `${pattern.freedom} readings to spare; they disagree ${pattern.spread.toFixed(2)} times as much as their errors say.`);
  for (const slip of pattern.slips) {
    const which = slip.suspects.map((i) => `reading ${i + 1} (${sayReading(readings[i]!)})`).join(' or ');
    const amount = `${f(Math.abs(slip.amount))} ${unit} too ${slip.amount > 0 ? 'long' : 'short'}`;
    lines.push(`  ${paint('yellow', 'slip')}   ${slip.suspects.length === 1 ? `${which} seems ${amount}; a hole would move ${f(slip.effect)} without it. Measure it again; it is still in use.` : `There is a slip, but the readings cannot tell where: ${which}. Measure these again.`}`);
  }
  for (const check of pattern.checks.filter((one) => !one.passed)) lines.push(`  ${paint('yellow', 'check')}  ${check.a} to ${check.b}: outside less inside misses the two holes together by ${f(Math.abs(check.difference))} ${unit}, more than ${f(check.limit)}. One of the four readings is wrong.`);
  for (const remark of pattern.remarks) lines.push(`  ${paint('yellow', 'look')}   ${sayIssue(remark)}`);
  if (pattern.mirror !== null) lines.push(`  ${paint('yellow', 'ask')}    ${pattern.mirror}`);
  const { next } = pattern;
  if (next !== null) lines.push(`Measure next: ${next.a} to ${next.kind === 'edge' ? 'edge ' : ''}${next.b}${next.again ? ' again' : ''}; the worst hole goes from ${f(next.worstNow)} to ${f(next.worstThen)} ${unit}.`);
  return lines;
}
