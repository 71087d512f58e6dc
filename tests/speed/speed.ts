/**
 * `npm run speed`: the table of budgets, measured. Medians and ratios of runs in one process; what is measured and its rival
 * run turn by turn, so that a machine that drifts drifts for both. Seeded; results are summed outside the clock so that
 * nothing is skipped.
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fairContour } from '../../src/contour/fair.ts';
import { holdingOf } from '../../src/holding/holdingOf.ts';
import { holdUp, letGo } from '../../src/holding/holdUp.ts';
import { readDocument, readJob, type JobFile } from '../../src/job/read.ts';
import type { JobDocument, Trace } from '../../src/job/schema.ts';
import { triangleTree } from '../../src/maths/bvh.ts';
import { unwrap } from '../../src/result.ts';
import { sectionOf } from '../../src/section/sectionOf.ts';
import { planSolid, type SolidPlan } from '../../src/solid/plan.ts';
import { tolerance } from '../../src/maths/tolerance.ts';
import type { Kernel } from '../../src/solid/door.ts';
import { openNodeKernel } from '../../src/solid/kernel/node.ts';
import { weld } from '../../src/solid/mesh.ts';
import { buildPart } from '../../src/make.ts';
import { headOf, paperOf, printed } from '../../src/outputs/paper/paper.ts';
import { viewerOf } from '../../src/outputs/view.ts';
import { benchRows } from './bench.ts';
import { plainBuild } from './rival.ts';
import { median, ms, quantile, type Row } from './rows.ts';

const editing = { deviation: tolerance.meshDeviationEditing, angle: tolerance.meshAngleEditing };

/** A small seeded generator (mulberry32), for repeatable noise only. */
function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}

let checksum = 0;

function clock(work: () => number): number {
  const start = performance.now();
  const result = work();
  const ms = performance.now() - start;
  checksum += result;
  return ms;
}

const rows: Row[] = [];
const row = (what: string, measured: string, budget: string, met: boolean): void => {
  rows.push({ what, measured, budget, met });
  process.stderr.write(`${met ? 'ok  ' : 'OVER'}  ${what}: ${measured} (${budget})\n`);
};

const sample = unwrap(readJob(readFileSync('presets/worm-drive-cover.job.json', 'utf8')));

function planOf({ job }: JobFile): SolidPlan {
  const section = unwrap(sectionOf(unwrap(fairContour(job.trace, job.contour)), job.body));
  return unwrap(planSolid(job, section));
}

const changed = (document: JobDocument, change: (draft: JobDocument) => JobDocument): JobFile => unwrap(readDocument(change(document)));

function build(kernel: Kernel, plan: SolidPlan): number {
  const { solid } = unwrap(kernel.build(plan));
  kernel.release(solid);
  return solid.id;
}

function fullBuild(kernel: Kernel): void {
  // A hair of width makes every stage new: nothing comes from the cache.
  const plan = (i: number): SolidPlan => planOf(changed(sample.document, (d) => ({ ...d, body: { ...d.body, width: 120 + i * 0.001 } })));
  for (let i = 0; i < 3; i += 1) build(kernel, plan(100 + i));
  const bare = { ...planOf(sample), tabs: planOf(sample).tabs.map((t) => ({ ...t, rootRadius: 0, edgeBreak: 0 })), bosses: planOf(sample).bosses.map((b) => ({ ...b, rootRadius: 0 })) };
  plainBuild(bare);
  const [ours, like, rival]: [number[], number[], number[]] = [[], [], []];
  for (let i = 0; i < 5; i += 1) {
    const fresh = plan(i);
    ours.push(clock(() => build(kernel, fresh)));
    // The same part as the rival makes: without root radii and breaks.
    const alike: SolidPlan = { ...fresh, body: { ...fresh.body, width: 120 + i * 0.001 }, tabs: bare.tabs, bosses: bare.bosses };
    like.push(clock(() => build(kernel, alike)));
    rival.push(clock(() => plainBuild({ ...bare, body: fresh.body }).faces.length));
  }
  const ratio = median(like) / median(rival);
  row('full build, large sample', `${ms(median(ours))}`, 'for scale', true);
  row('full build without root radii and breaks against plain wrapper calls', `${ms(median(like))} against ${ms(median(rival))}: 1/${(1 / ratio).toFixed(1)}`, '<= 1/8, stretch 1/13', ratio <= 1 / 8);
}

function edits(kernel: Kernel): void {
  const times: number[] = [];
  const seen = new Set<number>();
  const random = seeded(7);
  const heap: number[] = [];
  for (let i = 0; i < 300; i += 1) {
    const boss = i % 2 === 0;
    const file = changed(sample.document, (d) => {
      const bosses = [...(d.bosses ?? [])];
      const tabs = [...(d.tabs ?? [])];
      const by = 0.01 + random();
      if (boss) bosses[i % 8] = { ...bosses[i % 8]!, holeDepth: 12 + by };
      else tabs[i % 5] = { ...tabs[i % 5]!, holeAlong: by };
      return { ...d, bosses, tabs };
    });
    const plan = planOf(file);
    times.push(
      clock(() => {
        const { solid } = unwrap(kernel.build(plan, { prove: 'guards' } as never));
        const mesh = kernel.mesh(solid, editing);
        let sent = 0;
        for (const face of mesh.faces) {
          if (seen.has(face.id)) continue;
          seen.add(face.id);
          sent += face.triangles.length;
        }
        kernel.release(solid);
        return sent;
      }),
    );
    if (i % 50 === 49) heap.push(kernel.heap() / 2 ** 20);
  }
  const settled = times.slice(20);
  row('hole moved -> valid solid -> changed faces, in process', `median ${ms(median(settled))}, p95 ${ms(quantile(settled, 0.95))}`, 'p95 <= 90 ms, stretch 33', quantile(settled, 0.95) <= 90);
  const growth = (heap.at(-1) as number) - (heap[0] as number);
  row('300 edits in one worker', `heap ${heap.map((h) => h.toFixed(0)).join(', ')} MB after each 50`, 'flat', growth < 1);
}

/** A part with a line of text on either side of its skin: what the text costs while editing. */
function lettered(kernel: Kernel): void {
  const motor = unwrap(readJob(readFileSync('presets/motor-cover.job.json', 'utf8')));
  const moved = (i: number, engraving: boolean): number => {
    const plan = planOf(changed(motor.document, (d) => ({ ...d, tabs: (d.tabs ?? []).map((tab, k) => (k === 1 ? { ...tab, holeAlong: 0.01 * i } : tab)) })));
    return clock(() => {
      const { solid } = unwrap(kernel.build(plan, { prove: 'guards', engraving }));
      const facets = kernel.mesh(solid, editing).faces.length;
      kernel.release(solid);
      return facets;
    });
  };
  const cut = [1, 2, 3].map((i) => {
    const plan = planOf(changed(motor.document, (d) => ({ ...d, engraving: (d.engraving ?? []).map((text) => ({ ...text, x: 75 + 0.1 * i })) })));
    return clock(() => build(kernel, plan));
  });
  for (let i = 0; i < 4; i += 1) for (const engraving of [false, true]) moved(i, engraving);
  const [plain, withText]: [number[], number[]] = [[], []];
  for (let i = 4; i < 24; i += 1) {
    plain.push(moved(i, false));
    withText.push(moved(i, true));
  }
  row('two lines of text moved -> proven solid', ms(median(cut)), 'for scale', true);
  row('hole moved on a part with two lines of text, without and with it', `${ms(median(plain))}, ${ms(median(withText))}`, 'for scale', true);
}

function drag(): void {
  const random = seeded(11);
  const { job } = sample;
  const times: number[] = [];
  for (let i = 0; i < 200; i += 1) {
    const points = job.trace.points.map((p, k) => (k === 12 ? { ...p, z: p.z + (random() - 0.5) } : p));
    times.push(
      clock(() => {
        const contour = unwrap(fairContour({ ...job.trace, points }, job.contour));
        return unwrap(sectionOf(contour, job.body)).roofError + contour.report.rms;
      }),
    );
  }
  const settled = times.slice(50);
  row('reading dragged -> contour, residuals, section', `median ${ms(median(settled))}, p95 ${ms(quantile(settled, 0.95))}`, '<= 8 ms, stretch 2', median(settled) <= 8);
}

function fairing(): void {
  const base = sample.job.trace;
  const per: string[] = [];
  let last = 0;
  for (const n of [1_000, 10_000, 100_000]) {
    const random = seeded(n);
    const points = Array.from({ length: n }, (_, i) => {
      const x = (380 * i) / (n - 1);
      return { x, z: 34 + 21 * Math.sin((Math.PI * x) / 380) + (random() + random() + random() - 1.5) * 0.1, corner: false, leaveOut: false };
    });
    const trace: Trace = { ...base, points, readingError: 0.05 };
    const runs = Array.from({ length: 3 }, () => clock(() => unwrap(fairContour(trace, sample.job.contour)).report.rms));
    last = median(runs);
    per.push(`${n.toLocaleString('en')}: ${ms(last)}`);
  }
  row('fairing n readings', per.join(', '), '100k <= 500 ms, stretch 100; linear', last <= 500);
}

function growth(kernel: Kernel): void {
  // Every build its own width, so that none finds a stage of another in the cache.
  let width = 121;
  const grown = (tabs: number, bosses: number): string => {
    const make = (): SolidPlan =>
      planOf(
        changed(sample.document, (d) => ({
          ...d,
          body: { ...d.body, width: (width += 0.001) },
          tabs: Array.from({ length: tabs }, (_, k) => ({ wall: k % 2 === 0 ? 'left' : 'right', at: 25 + 36 * Math.floor(k / 2) }) as const),
          bosses: Array.from({ length: bosses }, (_, k) => ({ x: 30 + 45 * Math.floor(k / 2), y: k % 2 === 0 ? 25 : 95, diameter: 12, endHeight: 12, thread: 'M5', holeDepth: 12 }) as const),
        })),
      );
    build(kernel, make());
    return ms(median([1, 2, 3].map(() => clock(() => build(kernel, make())))));
  };
  row('full build by tabs 0, 5, 10, 20', [0, 5, 10, 20].map((n) => grown(n, 0)).join(', '), 'for scale', true);
  row('full build by bosses 0, 4, 8, 16', [0, 4, 8, 16].map((n) => grown(0, n)).join(', '), 'for scale', true);
}

/** The fixture of the large sample: made, its part after the first operation made, both held against each other. */
function fixtures(kernel: Kernel): void {
  const { job } = sample;
  const plan = planOf(sample);
  const { solid } = unwrap(kernel.build(plan));
  const mesh = weld(kernel.mesh(solid, { deviation: job.files.deviation, angle: tolerance.meshAngle }));
  const hold = (): number => {
    const { evidence, solids } = unwrap(holdUp(kernel, job, plan, holdingOf(job, plan), { solid, mesh }));
    letGo(kernel, solids);
    return evidence.fixtureVolume;
  };
  const first = clock(hold);
  const times = [1, 2, 3].map(() => clock(hold));
  kernel.release(solid);
  row('fixture of the large sample, made and proven', `${ms(median(times))}, the first ${ms(first)}`, '<= 1500 ms', median(times) <= 1500);
}

async function paper(kernel: Kernel): Promise<void> {
  const date = '2026-01-02T00:00:00Z';
  const part = unwrap(buildPart(sample, kernel, { date }));
  kernel.release(part.built.solid);
  const times: number[] = [];
  for (let i = 0; i < 6; i += 1) {
    const start = performance.now();
    const look = viewerOf(part.mesh, triangleTree(part.mesh.positions, part.mesh.triangles));
    const files = await printed(paperOf({ ...part, job: sample.job, drawer: null, look }, date), 'x', headOf(sample.job, date), kernel.font!);
    times.push(performance.now() - start);
    checksum += files.reduce((sum, file) => sum + file.bytes.length, 0);
  }
  row('all sheets as PDF: first time, then again', `${ms(times[0]!)}, ${ms(median(times.slice(1)))}`, '<= 1500 ms', times[0]! <= 1500);
}

function cold(): void {
  const out = mkdtempSync(join(tmpdir(), 'coverwright-speed-'));
  const run = (...more: readonly string[]): number => clock(() => (execFileSync(process.execPath, ['dist/cli.js', 'make', 'presets/worm-drive-cover.job.json', '--out', out, ...more], { stdio: 'ignore' }) === null ? 1 : 0));
  const turns = [0, 1, 2].map(() => ({ plain: run(), proof: run('--proof'), drawn: run('--printer', 'presets/left.printer.json') }));
  rmSync(out, { recursive: true, force: true });
  const times = turns.map(({ plain }) => plain);
  row('make from a cold start, every file', ms(median(times)), '<= 6000 ms, stretch 3000', median(times) <= 6000);
  const more = median(turns.map(({ plain, proof }) => proof - plain));
  row('the test print on top of that; drawn for a printer', `${ms(more)}; ${ms(median(turns.map(({ plain, drawn }) => drawn - plain)))}`, '<= 3000 ms', more <= 3000);
}

drag();
fairing();
const kernel = await openNodeKernel();
fullBuild(kernel);
growth(kernel);
lettered(kernel);
fixtures(kernel);
kernel.close();
const fresh = await openNodeKernel();
edits(fresh);
await paper(fresh);
cold();
for (const one of await benchRows()) row(one.what, one.measured, one.budget, one.met);

const widest = Math.max(...rows.map((r) => r.what.length));
process.stdout.write(`\n${process.platform} ${process.arch}, Node ${process.versions.node}, ${cpus().length} cores\n`);
for (const r of rows) process.stdout.write(`${r.met ? '  ' : '! '}${r.what.padEnd(widest)}  ${r.measured}  [${r.budget}]\n`);
process.stdout.write(`checksum ${checksum.toFixed(3)}\n`);
