/** The bench put together: store, kernel, board, part, panel and stages, and what happens between them. */
import './panel/panel.css';
import { sayLength, sayMass } from '../outputs/say.ts';
import { readJob } from '../job/read.ts';
import type { Finding } from '../checks/finding.ts';
import type { Measured } from '../solid/door.ts';
import { density, materialNames } from '../standards/materials.ts';
import { sayIssue, unwrap } from '../result.ts';
import { makeBoard } from './board/board.ts';
import { fill, h } from './dom.ts';
import { openJobFile, saveJobFile, type FileHandle } from './files.ts';
import { startKernel, type KernelState } from './kernel/client.ts';
import { makePanel } from './panel/panel.ts';
import { bodyStage } from './stages/body.ts';
import { contourStage } from './stages/contour.ts';
import { mountsStage } from './stages/mounts.ts';
import { proofStage } from './stages/proof.ts';
import { proofPrint } from './stages/proofPrint.ts';
import { readingsStage } from './stages/readings.ts';
import { releaseStage } from './stages/release.ts';
import type { Bench, Stage } from './stages/stage.ts';
import { holdJob, openKeeper, type Keeper } from './state/keep.ts';
import { historyOf, makeStore } from './state/store.ts';
import { presets, presetText } from './presets.ts';
import { makePart } from './view/part.ts';

const $ = (id: string): HTMLElement => document.getElementById(id)!;

async function start(): Promise<void> {
  const kept = h('span', { class: 'kept', role: 'status' });
  const keeper: Keeper | null = await openKeeper((state) => (kept.textContent = { saving: 'Keeping …', saved: 'Kept on this machine', failed: 'NOT kept: no room or no permission' }[state])).catch(() => null);
  if (keeper === null) kept.textContent = 'Not kept: this browser keeps nothing here. Save the job to a file.';
  const light = (await keeper?.setting<string>('light')) ?? 'light';
  document.documentElement.dataset['light'] = light;

  let jobId = new URLSearchParams(location.hash.slice(1)).get('job') ?? (await keeper?.recent())?.[0]?.id ?? crypto.randomUUID();
  const before = (await keeper?.load(jobId)) ?? null;
  const sample = () => historyOf(unwrap(readJob(presetText('worm-drive-cover'))), 'Sample job');
  const store = makeStore(before?.history ?? sample(), (history) => keeper?.save(jobId, history));
  if (before === null) keeper?.save(jobId, store.history);
  let fileHandle: FileHandle | null = null;

  let measured: Measured | null = null;
  let findings: readonly Finding[] | null = null;
  let kernelState: KernelState = { kind: 'loading', done: 0 };

  function tell(text: string, bad = false): void {
    const close = h('button', { type: 'button', class: 'key small', 'aria-label': 'Close this notice' }, 'Close');
    const notice = h('div', { class: `notice${bad ? ' bad' : ''}` }, h('p', {}, text), close);
    close.addEventListener('click', () => notice.remove());
    $('notices').append(notice);
    while ($('notices').children.length > 3) $('notices').firstElementChild?.remove();
    if (!bad) setTimeout(() => notice.remove(), 8000);
  }

  const part = makePart($('part'), () => kernel);
  const kernel = startKernel({
    state(state) {
      const before = kernelState;
      kernelState = state;
      part.state(state);
      if (state.kind === 'restarting') tell(`The solid modeller stopped (${state.why}) and is being started again. Nothing typed is lost.`, true);
      if (state.kind === 'failed') tell(`${state.why} Reload the page; the work is kept.`, true);
      if (before.kind !== state.kind) drawTitle();
    },
    built(answer) {
      if (answer.kind === 'refused') {
        refused = answer.issues.map((issue) => ({ code: issue.code, level: 'stop', message: issue.message, value: null, limit: null, unit: '', at: issue.at, place: null, cure: issue.hint, restsOn: 'The solid modeller could not build it.' }) as Finding);
        drawFindings();
        return;
      }
      refused = [];
      part.show(answer);
      measured = null;
      findings = null;
      drawFindings();
      drawTitle();
    },
    checked(answer) {
      measured = answer.measured;
      findings = answer.findings;
      drawFindings();
      drawTitle();
      if (stage.name === 'Body' || stage.name === 'Release') stage.refresh();
    },
  });
  let refused: readonly Finding[] = [];

  const bench: Bench = { store, kernel, keeping: { keeper, job: () => jobId }, view: part.view, board: () => board, redraw: () => draw(), tell };
  const stages: readonly Stage[] = [readingsStage(bench), contourStage(bench), bodyStage(bench, () => measured), mountsStage(bench), proofStage(bench, [proofPrint(bench)]), releaseStage(bench, () => findings && [...refused, ...findings])];
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
  const findingsBody = h('div', { class: 'scroll', tabindex: 0, role: 'group', 'aria-label': 'List of findings' });
  const findingsTitle = h('h2', {}, 'Findings');
  $('findings').append(h('div', { class: 'head' }, findingsTitle), findingsBody);

  function go(next: Stage): void {
    stage = next;
    sessionStorage.setItem('stage', next.name);
    fill(deskHead, h('h2', {}, next.deskTitle), ...(next.tools ?? []));
    fill(deskBody, next.desk);
    drawStages();
    draw();
  }

  function drawStages(): void {
    fill(
      $('stages'),
      ...stages.map((s, i) => {
        const tab = h('button', { type: 'button', role: 'tab', 'aria-selected': s === stage ? 'true' : 'false', tabindex: s === stage ? 0 : -1, id: `stage-${s.name}`, onclick: () => go(s) }, h('span', { class: 'no', 'aria-hidden': 'true' }, i + 1), s.name);
        tab.addEventListener('keydown', (event) => {
          const by = event.key === 'ArrowRight' ? 1 : event.key === 'ArrowLeft' ? -1 : 0;
          if (by === 0) return;
          event.preventDefault();
          go(stages[(i + by + stages.length) % stages.length]!);
          document.getElementById(`stage-${stage.name}`)?.focus();
        });
        return tab;
      }),
    );
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

  function drawFindings(): void {
    const typing = store.derived.issues;
    const all: readonly Finding[] = [
      ...typing.map((issue): Finding => ({ code: issue.code, level: 'stop', message: `${issue.at ? `${issue.at}: ` : ''}${issue.message}`, value: null, limit: null, unit: '', at: issue.at, place: null, cure: issue.hint, restsOn: 'What is typed does not make a part; the last one that did is shown.' })),
      ...refused,
      ...(typing.length === 0 ? (findings ?? []) : []),
    ];
    const waiting = typing.length === 0 && findings === null;
    findingsTitle.textContent = all.length === 0 ? 'Findings' : `Findings: ${(['stop', 'warn', 'note'] as const).flatMap((level) => { const n = all.filter((f) => f.level === level).length; return n > 0 ? [`${n} ${level}`] : []; }).join(', ')}`;
    if (all.length === 0) return fill(findingsBody, h('p', { class: 'empty' }, waiting ? 'The part is being checked.' : 'No findings. That proves these rules on this model, not the set-up or the fit.'));
    fill(
      findingsBody,
      ...all.map((f) =>
        h('button', { type: 'button', class: `finding ${f.level}`, onclick: () => { if (f.place) part.view?.mark([f.place]); reveal(f.at); } }, h('span', { class: 'level' }, f.level), h('span', {}, f.message), h('span', { class: 'rest' }, [f.cure, f.restsOn].filter(Boolean).join(' '))),
      ),
    );
  }

  function drawTitle(): void {
    const { document: doc } = store;
    const units = doc.units === 'inch' ? 'inch' : 'mm';
    const box = measured?.box ?? part.view?.box();
    const size = box ? [0, 1, 2].map((k) => sayLength(box.most[k]! - box.least[k]!, units)).join(' × ') : '–';
    const job = store.good?.job;
    const cells: Readonly<Record<string, string>> = {
      size: `${size} ${units === 'inch' ? 'in' : 'mm'}`,
      mass: measured && job ? sayMass((measured.volume / 1000) * density(job.material)) : '–',
    };
    for (const [name, text] of Object.entries(cells)) {
      const node = titleCells.get(name);
      if (node && node.textContent !== text) node.textContent = text;
    }
    for (const [name, input] of titleInputs) {
      const value = String((doc as Record<string, unknown>)[name] ?? titleDefaults[name] ?? '');
      if (input !== document.activeElement && input.value !== value) input.value = value;
    }
    document.title = `${doc.partNumber ?? ''} ${doc.revision ?? 'A'} · coverwright bench`.trim();
  }

  const titleCells = new Map<string, HTMLElement>();
  const titleInputs = new Map<string, HTMLInputElement | HTMLSelectElement>();
  const titleDefaults: Readonly<Record<string, string>> = { title: 'Untitled cover', partNumber: 'COVER', revision: 'A', units: 'mm', material: '6061-T6' };

  function buildTitle(): void {
    const input = (name: string, caption: string, wide: boolean, size: number) => {
      const field = h('input', { 'aria-label': caption, size, autocomplete: 'off' });
      field.addEventListener('input', () => store.set(name, field.value, caption));
      titleInputs.set(name, field);
      return h('div', { class: wide ? 'wide' : '' }, h('span', { class: 'cap', 'aria-hidden': 'true' }, caption), field);
    };
    const select = (name: string, caption: string, choices: readonly string[]) => {
      const field = h('select', { 'aria-label': caption }, ...choices.map((c) => h('option', { value: c }, c)));
      field.addEventListener('change', () => {
        // A change of unit changes what every bare number means; that is never done behind anyone's back.
        if (name === 'units') tell(`Numbers typed without a unit now mean ${field.value === 'inch' ? 'inches' : 'millimetres'}. Undo takes it back.`, true);
        store.set(name, field.value, caption);
      });
      titleInputs.set(name, field);
      return h('div', {}, h('span', { class: 'cap', 'aria-hidden': 'true' }, caption), field);
    };
    const value = (name: string, caption: string) => {
      const node = h('span', { class: 'value' }, '–');
      titleCells.set(name, node);
      return h('div', {}, h('span', { class: 'cap' }, caption), node);
    };
    fill($('titleblock'), input('title', 'Title', true, 30), input('partNumber', 'Part number', false, 12), input('revision', 'Revision', false, 3), select('units', 'Typed in', ['mm', 'inch']), select('material', 'Material', materialNames), value('size', 'Size X × Y × Z'), value('mass', 'Mass'));
  }

  // Actions of the job.
  const undo = h('button', { type: 'button', class: 'key', onclick: () => store.undo() }, 'Undo');
  const redo = h('button', { type: 'button', class: 'key', onclick: () => store.redo() }, 'Redo');
  const jobKey = h('button', { type: 'button', class: 'key', 'aria-haspopup': 'dialog', onclick: () => void jobDialog() }, 'Job');
  const glare = h('button', { type: 'button', class: 'key', 'aria-pressed': light === 'dark' ? 'true' : 'false', title: 'Dark for glare' }, 'Dark');
  glare.addEventListener('click', () => {
    const next = document.documentElement.dataset['light'] === 'dark' ? 'light' : 'dark';
    document.documentElement.dataset['light'] = next;
    glare.setAttribute('aria-pressed', next === 'dark' ? 'true' : 'false');
    part.view?.recolour();
    void keeper?.keepSetting('light', next);
  });
  fill($('actions'), kept, undo, redo, glare, jobKey);

  function openText(text: string, label: string, id: string): void {
    const read = readJob(text);
    if (!read.ok) return tell(read.issues.slice(0, 5).map(sayIssue).join(' '), true);
    void switchTo(id, historyOf(read.value, label));
  }

  async function switchTo(id: string, history: ReturnType<typeof historyOf>): Promise<void> {
    await keeper?.settled();
    jobId = id;
    location.hash = `job=${id}`;
    fileHandle = null;
    measured = null;
    findings = null;
    refused = [];
    await claim(false);
    store.open(history);
    keeper?.save(jobId, history);
    board.fit();
  }

  async function jobDialog(): Promise<void> {
    const recent = (await keeper?.recent()) ?? [];
    const dialog = h('dialog', { 'aria-label': 'Job' });
    const done = (act: () => void) => () => {
      dialog.close();
      act();
    };
    const big = (name: string, note: string, act: () => void) => h('button', { type: 'button', class: 'key', onclick: done(act) }, h('strong', {}, name), h('br'), note);
    dialog.append(
      h('div', { class: 'head' }, h('h2', {}, 'Job'), h('button', { type: 'button', class: 'key', onclick: () => dialog.close() }, 'Close')),
      h(
        'div',
        { class: 'body' },
        h('div', { class: 'choices' }, big('Save to a file', 'What was typed, as it was typed.', () => void saveJob()), big('Open a file', 'A job file; this one stays under recent jobs.', () => void openJob())),
        h('h3', {}, 'Start from'),
        h('div', { class: 'choices' }, ...presets.map((p) => big(p.title, p.name, () => openText(presetText(p.name), `Started from ${p.name}`, crypto.randomUUID())))),
        recent.length > 0 ? h('h3', {}, 'Recent jobs') : null,
        h('div', { class: 'choices' }, ...recent.slice(0, 12).map((r) => big(`${r.partNumber} ${r.revision}  ${r.title}`, new Date(r.touched).toLocaleString(), () => void openRecent(r.id)))),
      ),
    );
    dialog.addEventListener('close', () => dialog.remove());
    document.body.append(dialog);
    dialog.showModal();
  }

  async function saveJob(): Promise<void> {
    try {
      const { partNumber, revision } = store.document;
      fileHandle = await saveJobFile(`${JSON.stringify(store.document, null, 2)}\n`, `${String(partNumber ?? 'COVER').replaceAll(/[^\w.-]+/g, '-')}-${String(revision ?? 'A')}.job.json`, fileHandle);
      tell('Saved.');
    } catch (error) {
      tell(`Not saved: ${(error as Error).message} Choose another place.`, true);
    }
  }

  async function openJob(): Promise<void> {
    try {
      const opened = await openJobFile();
      if (opened === null) return;
      openText(opened.text, `Opened ${opened.name}`, crypto.randomUUID());
      fileHandle = opened.handle;
    } catch (error) {
      tell((error as Error).message, true);
    }
  }

  async function openRecent(id: string): Promise<void> {
    const job = await keeper?.load(id);
    if (!job) return tell('That job is no longer here.', true);
    await switchTo(id, job.history);
  }

  /** One tab edits a job; a second one may look, or take over. */
  async function claim(steal: boolean): Promise<void> {
    const mine = jobId;
    /** Where it can only be looked at, nothing can be typed that would then be lost. */
    const allow = (yes: boolean): void => {
      store.editable = yes;
      for (const id of ['desk', 'panel', 'titleblock']) $(id).inert = !yes;
    };
    const got = await holdJob(mine, steal, () => {
      if (mine !== jobId) return;
      allow(false);
      tell('This job is now edited in another tab. What you see here stays as it was; reload to go on here.', true);
    });
    allow(got);
    if (got) return;
    const notice = h('div', { class: 'notice bad' }, h('p', {}, 'This job is open in another tab. Here it can only be looked at.'));
    const take = h('button', { type: 'button', class: 'key' }, 'Edit it here');
    take.addEventListener('click', () => {
      notice.remove();
      void keeper?.load(jobId).then((job) => job && store.open(job.history)).then(() => claim(true));
    });
    notice.append(take);
    $('notices').append(notice);
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
      void saveJob();
    }
  });

  store.subscribe(() => {
    const { derived, history } = store;
    if (derived.plan && derived.job && derived.contour && derived.section) kernel.want(derived.plan, { job: derived.job, contour: derived.contour, section: derived.section });
    undo.disabled = history.past.length === 0;
    redo.disabled = history.future.length === 0;
    undo.title = history.past.length > 0 ? `Undo: ${history.present.label}` : '';
    redo.title = history.future.length > 0 ? `Redo: ${history.future.at(-1)?.label}` : '';
    draw();
    drawFindings();
    drawTitle();
  });

  buildTitle();
  go(stage);
  drawFindings();
  drawTitle();
  undo.disabled = store.history.past.length === 0;
  redo.disabled = store.history.future.length === 0;
  location.hash = `job=${jobId}`;
  await claim(false);
  const { derived } = store;
  if (derived.plan && derived.job && derived.contour && derived.section) kernel.want(derived.plan, { job: derived.job, contour: derived.contour, section: derived.section });
  if ((await keeper?.setting('begun')) !== true) firstStrip(keeper);
  // For tests and the curious: ends the kernel as a crash would.
  Object.assign(window, { coverwright: { endKernel: () => kernel.kill() } });
}

/** What to do first; once closed it never comes back. */
function firstStrip(keeper: Keeper | null): void {
  const close = h('button', { type: 'button', class: 'key main' }, 'Begin');
  const strip = h('div', { class: 'notice first' }, h('p', {}, 'This is a sample job. Type your own readings into the table or drop a file on it; the curve, the section and the part follow. The stages along the top go from left to right. Everything is kept on this machine only.'), close);
  close.addEventListener('click', () => {
    strip.remove();
    void keeper?.keepSetting('begun', true);
  });
  document.getElementById('notices')!.append(strip);
}

if ('serviceWorker' in navigator && import.meta.env.PROD) {
  void navigator.serviceWorker.register('./sw.js').catch(() => {
    // Without it the bench works all the same while it is online.
  });
}
void start();
