/** The bench put together: store, kernel, board, part, panel and stages, and what happens between them. */
import './panel/panel.css';
import { inOrder, type Finding } from '../checks/finding.ts';
import type { Measured } from '../solid/door.ts';
import { makeBoard } from './board/board.ts';
import { fill, h } from './dom.ts';
import { makeFindingsPane, refusedFindings } from './findingsPane.ts';
import { firstJobId, makeJobs, sampleJob } from './jobs.ts';
import { startKernel, type KernelState } from './kernel/client.ts';
import { firstStrip, teller } from './notices.ts';
import { makePanel } from './panel/panel.ts';
import { bodyStage } from './stages/body.ts';
import { stageOfBoards } from './stages/boards.ts';
import { contourStage } from './stages/contour.ts';
import { holdingStage } from './stages/holding.ts';
import { mountsStage } from './stages/mounts.ts';
import { readPrinterProfile } from '../proof/readPrinter.ts';
import { keptFile } from './stages/keptFile.ts';
import { proofPrint } from './stages/proofPrint.ts';
import { networkBoard } from './stages/network.ts';
import { readingsStage } from './stages/readings.ts';
import { releaseStage } from './stages/release.ts';
import { revisionsBoard } from './stages/revisions.ts';
import type { Bench, Stage } from './stages/stage.ts';
import { makeUnderlay } from './stages/underlay.ts';
import { testFitBoard } from './stages/testFit.ts';
import { drawStageTabs } from './stageTabs.ts';
import { openKeeper, type Keeper } from './state/keep.ts';
import { makeStore } from './state/store.ts';
import { makeTitleBlock } from './titleBlock.ts';
import { makePart } from './view/part.ts';

const $ = (id: string): HTMLElement => document.getElementById(id)!;

async function start(): Promise<void> {
  const kept = h('span', { class: 'kept', role: 'status' });
  const keeper: Keeper | null = await openKeeper((state) => (kept.textContent = { saving: 'Keeping …', saved: 'Kept on this machine', failed: 'NOT kept: no room or no permission' }[state])).catch(() => null);
  if (keeper === null) kept.textContent = 'Not kept: this browser keeps nothing here. Save the job to a file.';
  const light = (await keeper?.setting<string>('light')) ?? 'light';
  document.documentElement.dataset['light'] = light;

  const firstId = await firstJobId(keeper);
  const before = (await keeper?.load(firstId)) ?? null;
  const store = makeStore(before?.history ?? sampleJob(), (history) => keeper?.save(jobs.id(), history));
  const tell = teller($('notices'));

  let measured: Measured | null = null;
  let findings: readonly Finding[] | null = null;
  let refused: readonly Finding[] = [];
  /** On how it is held: from figures alone, then from the fixture itself. */
  let onHolding: readonly Finding[] = [];
  let kernelState: KernelState = { kind: 'loading', done: 0 };

  function forget(): void {
    measured = null;
    findings = null;
    refused = [];
  }

  const jobs = makeJobs(firstId, {
    store,
    keeper,
    tell,
    leaving: forget,
    shown: () => board.fit(),
    /** Where it can only be looked at, nothing can be typed that would then be lost. */
    allow(yes) {
      store.editable = yes;
      for (const id of ['desk', 'panel', 'titleblock']) $(id).inert = !yes;
    },
    notices: $('notices'),
  });
  if (before === null) keeper?.save(jobs.id(), store.history);

  const part = makePart($('part'), () => kernel, () => (store.document.units === 'inch' ? 'inch' : 'mm'));
  const kernel = startKernel({
    state(state) {
      const last = kernelState;
      kernelState = state;
      part.state(state);
      if (state.kind === 'restarting') tell(`The solid modeller stopped (${state.why}) and is being started again. Nothing typed is lost.`, true);
      if (state.kind === 'failed') tell(`${state.why} Reload the page; the work is kept.`, true);
      if (last.kind !== state.kind) drawTitle();
    },
    built(answer) {
      if (answer.kind === 'refused') {
        refused = refusedFindings(answer.issues);
        return drawFindings();
      }
      forget();
      part.show(answer);
      if (stage.name === 'Holding') stage.refresh();
      drawFindings();
      drawTitle();
    },
    checked(answer) {
      measured = answer.measured;
      findings = answer.findings;
      onHolding = answer.holding;
      drawFindings();
      drawTitle();
      if (stage.name === 'Body' || stage.name === 'Holding' || stage.name === 'Release') stage.refresh();
    },
  });

  const bench: Bench = { store, kernel, keeping: { keeper, job: jobs.id }, view: part.view, board: () => board, redraw: () => draw(), reopen: () => go(stage), tell };
  const underlay = makeUnderlay(bench);
  const printer = keptFile(bench, 'printer file', readPrinterProfile);
  const stages: readonly Stage[] = [readingsStage(bench, underlay), contourStage(bench, underlay), bodyStage(bench, () => measured), stageOfBoards(bench, 'Mounts', [{ title: 'Plan', board: mountsStage(bench) }, { title: 'Hole readings', board: networkBoard(bench) }]), holdingStage(bench, (found) => {
    onHolding = found;
    drawFindings();
  }), stageOfBoards(bench, 'Proof', [{ title: 'Print', board: proofPrint(bench, printer) }, { title: 'Test fit', board: testFitBoard(bench, () => printer.current()?.value.profile ?? null) }]), stageOfBoards(bench, 'Release', [{ title: 'Files', board: releaseStage(bench, () => findings && [...refused, ...findings, ...onHolding]) }, { title: 'Revisions', board: revisionsBoard(bench) }])];
  let stage: Stage = stages.find((s) => s.name === sessionStorage.getItem('stage')) ?? stages[0]!;

  const board = makeBoard($('board'), {
    choose: (id) => stage.choose(id),
    drag: (id, to, phase) => stage.drag(id, to, phase),
    nudge: (id, by) => stage.nudge(id, by),
    remove: (id) => stage.remove(id),
    aim: (at) => stage.aim?.(at),
    put: (at) => stage.put?.(at),
  });
  const panel = makePanel($('panel'), store);
  const deskHead = h('div', { class: 'head' });
  const deskBody = h('div', { class: 'scroll', tabindex: 0, role: 'group', 'aria-label': 'Table' });
  $('desk').append(deskHead, deskBody);
  const findingsPane = makeFindingsPane($('findings'), (finding) => {
    if (finding.place) part.view?.mark([finding.place]);
    reveal(finding.at);
  });
  const titleBlock = makeTitleBlock($('titleblock'), store, tell);

  function go(next: Stage): void {
    if (next !== stage) stage.left?.();
    stage = next;
    sessionStorage.setItem('stage', next.name);
    fill(deskHead, ...(next.deskTitle === '' ? [] : [h('h2', {}, next.deskTitle)]), ...(next.tools ?? []));
    fill(deskBody, next.desk);
    drawStageTabs($('stages'), stages, stage, go);
    draw();
    next.enter?.();
  }

  function draw(): void {
    board.show(stage.content());
    panel.show(stage.groups(), stage.noGroups);
    stage.refresh();
  }

  /** Shows the thing a path of the job is about, on whichever stage it belongs to. */
  function reveal(path: string): void {
    const found = [stage, ...stages].find((s) => s.reveal(path));
    if (found === undefined) return;
    go(found);
    panel.focus(path);
  }

  const drawFindings = (): void => findingsPane.refresh(store.derived.issues, refused, findings && inOrder([...findings, ...onHolding]));
  const drawTitle = (): void => titleBlock.refresh(measured, part.view?.box() ?? null);

  // Actions of the job.
  const undo = h('button', { type: 'button', class: 'key', onclick: () => store.undo() }, 'Undo');
  const redo = h('button', { type: 'button', class: 'key', onclick: () => store.redo() }, 'Redo');
  const jobKey = h('button', { type: 'button', class: 'key', 'aria-haspopup': 'dialog', onclick: () => void jobs.dialog() }, 'Job');
  const glare = h('button', { type: 'button', class: 'key', 'aria-pressed': light === 'dark' ? 'true' : 'false', title: 'Dark for glare' }, 'Dark');
  glare.addEventListener('click', () => {
    const next = document.documentElement.dataset['light'] === 'dark' ? 'light' : 'dark';
    document.documentElement.dataset['light'] = next;
    glare.setAttribute('aria-pressed', next === 'dark' ? 'true' : 'false');
    part.view?.recolour();
    void keeper?.keepSetting('light', next);
  });
  fill($('actions'), kept, undo, redo, glare, jobKey);

  function drawActions(): void {
    const { past, present, future } = store.history;
    undo.disabled = past.length === 0;
    redo.disabled = future.length === 0;
    undo.title = past.length > 0 ? `Undo: ${present.label}` : '';
    redo.title = future.length > 0 ? `Redo: ${future.at(-1)?.label}` : '';
  }

  document.addEventListener('keydown', (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
    const key = event.key.toLowerCase();
    if (key === 'z' || key === 'y') {
      event.preventDefault();
      if (key === 'y' || event.shiftKey) store.redo();
      else store.undo();
    } else if (key === 's') {
      event.preventDefault();
      void jobs.save();
    }
  });

  function wantPart(): void {
    const { plan, job, contour, section } = store.derived;
    if (plan && job && contour && section) kernel.want(plan, { job, contour, section });
  }

  store.subscribe(() => {
    wantPart();
    drawActions();
    draw();
    drawFindings();
    drawTitle();
  });

  go(stage);
  drawFindings();
  drawTitle();
  drawActions();
  location.hash = `job=${jobs.id()}`;
  await jobs.claim();
  wantPart();
  if ((await keeper?.setting('begun')) !== true) firstStrip($('notices'), keeper);
  // For tests and the curious: ends the kernel as a crash would.
  Object.assign(window, { coverwright: { endKernel: () => kernel.kill() } });
}

if ('serviceWorker' in navigator && import.meta.env.PROD) {
  void navigator.serviceWorker.register('./sw.js').catch(() => {
    // Without it the bench works all the same while it is online.
  });
}
void start();
