/** The stage Release: every file with what it is for; stop findings are cleared first, or taken on by name. */
import { openStops, type Finding } from '../../checks/finding.ts';
import { readCutters } from '../../holding/readCutters.ts';
import { sayIssue } from '../../result.ts';
import type { OutputFile } from '../../outputs/file.ts';
import { sayBytes } from '../../outputs/say.ts';
import { sectionDrawing } from '../../outputs/sectionDrawing.ts';
import { fill, h } from '../dom.ts';
import { chooseFile, downloadFile } from '../files.ts';
import { keptFile } from './keptFile.ts';
import { sheetList } from './sheets.ts';
import { lettering, nothing, type Bench, type Stage } from './stage.ts';

export function releaseStage(bench: Bench, findings: () => readonly Finding[] | null): Stage {
  const { store, kernel } = bench;
  let files: readonly OutputFile[] = [];
  /** What the files were made from; another document makes them stale. */
  let madeFrom: unknown = null;
  let making = false;
  /** Built once for each making: pages opened wide stay so when the desk is refreshed. */
  let pages: readonly HTMLElement[] = [];
  const cutters = keptFile(bench, 'cutter file', readCutters);
  const list = h('div');
  const desk = h('div', {}, list);

  const open = (): readonly Finding[] => openStops(findings() ?? []).filter((f) => !(store.document.takenOn ?? []).some((t) => t.finding === f.code && (t.at ?? '') === f.at));

  async function makeFiles(): Promise<void> {
    making = true;
    refresh();
    const from = store.document;
    const answer = await kernel.files(from, new Date().toISOString().replace(/\.\d+Z$/, 'Z'), cutters.current()?.value ?? null);
    making = false;
    if (answer === null) bench.tell('The files were not made: the solid modeller stopped twice over this. It has been started again; change the job a little, or try once more.', true);
    else if (answer.kind === 'refused') bench.tell(answer.issues.map((issue) => `${issue.message} ${issue.hint}`).join(' '), true);
    else {
      files = answer.files;
      pages = sheetList(answer.sheets);
      madeFrom = from;
    }
    refresh();
  }

  function preview(file: OutputFile): HTMLElement | null {
    if (file.mimetype !== 'image/svg+xml') return null;
    // As a picture from its own address it can run nothing and reach nothing.
    const url = URL.createObjectURL(new Blob([file.bytes as Uint8Array<ArrayBuffer>], { type: file.mimetype }));
    const image = h('img', { class: 'preview', src: url, alt: file.purpose });
    image.addEventListener('load', () => URL.revokeObjectURL(url));
    return image;
  }

  function refresh(): void {
    const waiting = open();
    const pack = files.find((file) => file.mimetype === 'application/zip');
    const stale = files.length > 0 && madeFrom !== store.document;
    const makeKey = h('button', { type: 'button', class: 'key main', onclick: () => void makeFiles() }, making ? 'Making the files …' : files.length > 0 ? 'Make them again' : 'Make the files');
    makeKey.disabled = making || store.derived.plan === null || findings() === null || waiting.length > 0;
    fill(
      list,
      ...waiting.map((f) => {
        const name = h('input', { class: 'key', placeholder: 'your name', 'aria-label': 'Name of who takes it on' });
        const take = h('button', { type: 'button', class: 'key' }, 'Take it on');
        take.addEventListener('click', () => {
          if (name.value.trim() === '') return name.focus();
          store.replace({ ...store.document, takenOn: [...(store.document.takenOn ?? []), { finding: f.code, at: f.at, by: name.value.trim() }] }, `${name.value.trim()} takes on ${f.code}`);
        });
        return h('div', { class: 'notice bad' }, h('p', {}, `${f.message} ${f.cure}`), name, take);
      }),
      h('p', { class: 'hint' }, store.derived.plan === null ? 'What is typed does not make a part yet; see the findings.' : findings() === null ? 'The part is still being checked.' : waiting.length > 0 ? 'A stop finding stands. Clear it, or let someone take it on by name.' : stale ? 'The job has changed since these files were made.' : files.length === 0 ? 'Solid, mesh, drawings and report are made from the job as it stands.' : ''),
      h('div', { class: 'head' }, makeKey, pack === undefined ? '' : h('button', { type: 'button', class: 'key', onclick: () => downloadFile(pack) }, 'Save all as one zip'), ...cutterKeys()),
      ...cutters.refused().map((issue) => h('p', { class: 'notice bad' }, sayIssue(issue))),
      ...pages,
      files.length === 0
        ? ''
        : h(
            'table',
            { class: 'grid files' },
            h('thead', {}, h('tr', {}, h('th', {}, 'File'), h('th', {}, 'For'), h('th', { class: 'n' }, 'Size'), h('th', {}, ''))),
            h('tbody', {}, ...files.map((file) => h('tr', {}, h('td', {}, file.name), h('td', { class: 'wrap' }, file.purpose, preview(file)), h('td', { class: 'n' }, sayBytes(file.bytes.length)), h('td', {}, h('button', { type: 'button', class: 'key small', 'aria-label': `Save ${file.name}`, onclick: () => downloadFile(file) }, 'Save'))))),
          ),
    );
  }

  /** The shop's cutters, for the setup sheet. */
  function cutterKeys(): HTMLElement[] {
    const current = cutters.current();
    const open = h('button', { type: 'button', class: 'key', onclick: () => void chooseFile('.json,application/json').then((file) => file && cutters.take(file)) }, current === null ? 'Open a cutter file' : `Cutters: ${current.name}`);
    return current === null ? [open] : [open, h('button', { type: 'button', class: 'key', onclick: cutters.forget }, 'Put it away')];
  }

  return {
    name: 'Release',
    deskTitle: 'Files',
    desk,
    content: () => ({
      drawing: store.good?.section && store.good.job ? sectionDrawing(store.good.section, store.good.job.units, false, store.good.section.length * lettering) : { marks: [] },
      handles: [],
      note: store.good ? 'Section at mid width, as it goes into the files.' : 'No part yet.',
      subject: 'release',
    }),
    groups: () => [{ path: 'files', title: 'Files' }, { path: 'paper', title: 'Paper' }],
    noGroups: '',
    refresh,
    reveal: (path) => /^(files|paper)/.test(path),
    ...nothing,
  };
}
