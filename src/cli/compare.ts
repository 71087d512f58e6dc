/** The verb compare: two jobs, or two revisions of one, in; what differs out, with volumes where both can be built. */
import { patternOf } from '../fit/correct.ts';
import { compareJobs, type Comparison } from '../fit/compare.ts';
import { readJob, type JobFile } from '../job/read.ts';
import { thaw } from '../job/revisions.ts';
import { buildPart } from '../make.ts';
import { ok, type Issue, type Result } from '../result.ts';
import { openNodeKernel } from '../solid/kernel/node.ts';
import type { Kernel } from '../solid/door.ts';
import { planOf } from './plans.ts';
import { readText } from './disk.ts';
import { sayIssues, table } from './words.ts';

export interface CompareFlags {
  readonly volumes: boolean;
  readonly json?: boolean;
}

interface Side {
  readonly name: string;
  readonly file: JobFile;
}

export async function runCompare(pathA: string, pathB: string, flags: CompareFlags): Promise<number> {
  const refuse = (issues: readonly Issue[], source: string): number => {
    if (flags.json) process.stdout.write(`${JSON.stringify({ ok: false, issues }, null, 2)}\n`);
    else process.stderr.write(`${sayIssues(issues, source)}\n`);
    return 2;
  };
  const sides: Side[] = [];
  for (const path of [pathA, pathB]) {
    const side = readSide(path);
    if (!side.ok) return refuse(side.issues, path);
    sides.push(side.value);
  }
  const [a, b] = sides as [Side, Side];
  const plans = [planOf(a.file), planOf(b.file)] as const;
  const holes = plans.map((plan) => (plan.ok ? patternOf(plan.value) : []));
  const comparison = compareJobs(a.file, b.file, holes[0], holes[1]);
  const notes = plans.flatMap((plan, i) => (plan.ok ? [] : [`${sides[i]!.name} cannot be planned, so its holes are not compared: ${plan.issues[0]!.message}`]));
  const volumes = flags.volumes && plans.every((plan) => plan.ok) ? await volumesOf(sides) : null;
  if (flags.json) process.stdout.write(`${JSON.stringify({ ok: true, ...comparison, volumes_mm3: volumes, notes }, null, 2)}\n`);
  else process.stdout.write(`${[...sayComparison(comparison, a, b, volumes), ...notes].join('\n')}\n`);
  return 0;
}

/** `job.json`, or `job.json@A` for a revision frozen in it. */
function readSide(path: string): Result<Side> {
  const at = /^(.+)@([A-Z]{1,2})$/.exec(path);
  const text = readText(at?.[1] ?? path);
  if (!text.ok) return text;
  const file = readJob(text.value);
  if (!file.ok || at === null) return file.ok ? ok({ name: path, file: file.value }) : file;
  const frozen = at[2] === file.value.job.revision ? file : thaw(file.value.document, at[2]!);
  return frozen.ok ? ok({ name: path, file: frozen.value }) : frozen;
}

async function volumesOf(sides: readonly Side[]): Promise<readonly (number | null)[]> {
  const kernel: Kernel = await openNodeKernel();
  return sides.map(({ file }) => {
    const part = buildPart(file, kernel, { date: new Date(0).toISOString() });
    if (!part.ok) return null;
    kernel.release(part.value.built.solid);
    return part.value.measured.volume;
  });
}

const say = (value: unknown): string => {
  const text = value === undefined ? 'nothing' : typeof value === 'string' ? value : (JSON.stringify(value) ?? 'nothing');
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
};
const two = ([x, y]: readonly number[]): string => `${x! >= 0 ? '+' : ''}${x!.toFixed(3)} X, ${y! >= 0 ? '+' : ''}${y!.toFixed(3)} Y mm`;

function sayComparison(c: Comparison, a: Side, b: Side, volumes: readonly (number | null)[] | null): string[] {
  const lines = [table([[a.name, `revision ${c.revisions[0]}, ${c.hashes[0].slice(0, 12)}`], [b.name, `revision ${c.revisions[1]}, ${c.hashes[1].slice(0, 12)}`]])];
  if (c.same) return [...lines, 'They say the same.'];
  lines.push(`${c.differences.length} value${c.differences.length === 1 ? ' differs' : 's differ'}:`);
  if (c.differences.length > 0) lines.push(table(c.differences.slice(0, mostShown).map((d) => [d.path, `${say(d.from)} -> ${say(d.to)}${d.matters ? '' : '   (typed differently, means the same)'}`])));
  if (c.differences.length > mostShown) lines.push(`  and ${c.differences.length - mostShown} more; --json lists all.`);
  for (const hole of c.holes) {
    const size = hole.diameter.from === hole.diameter.to ? '' : `, ø${hole.diameter.from ?? '-'} -> ø${hole.diameter.to ?? '-'}`;
    lines.push(`  hole ${hole.name} ${hole.kind}${hole.kind === 'moved' ? ` ${two(hole.move)} (${Math.hypot(...hole.move).toFixed(3)})` : ''}${size}`);
  }
  if (volumes !== null) {
    const [va, vb] = volumes;
    if (va !== null && vb !== null && va !== undefined && vb !== undefined) lines.push(`Volume ${(va / 1000).toFixed(3)} -> ${(vb / 1000).toFixed(3)} cm3 (${vb >= va ? '+' : ''}${((vb - va) / 1000).toFixed(3)}).`);
    else lines.push('Volumes are not compared: a part cannot be built.');
  }
  return lines;
}

const mostShown = 60;
