/**
 * Jobs as a whole: saved to and opened from files, started from presets, taken up again from the recent ones; and which tab
 * may edit one.
 */
import { readJob } from '../job/read.ts';
import { sayIssue, unwrap } from '../result.ts';
import { h } from './dom.ts';
import { openJobFile, saveJobFile, type FileHandle } from './files.ts';
import { presets, presetText } from './presets.ts';
import { holdJob, type Keeper } from './state/keep.ts';
import type { History } from './state/history.ts';
import { historyOf, type Store } from './state/store.ts';

export const sampleJob = (): History => historyOf(unwrap(readJob(presetText('worm-drive-cover'))), 'Sample job');

/** Which job to begin with: the one in the address, else the last one, else a new one. */
export const firstJobId = async (keeper: Keeper | null): Promise<string> => new URLSearchParams(location.hash.slice(1)).get('job') ?? (await keeper?.recent())?.[0]?.id ?? crypto.randomUUID();

export interface Jobs {
  /** Name under which the job at hand is kept. */
  readonly id: () => string;
  readonly dialog: () => Promise<void>;
  readonly save: () => Promise<void>;
  /** Takes the right to edit the job at hand in this tab. */
  readonly claim: () => Promise<void>;
}

export interface JobsBench {
  readonly store: Store;
  readonly keeper: Keeper | null;
  readonly tell: (text: string, bad?: boolean) => void;
  /** Another job is about to be shown. */
  readonly leaving: () => void;
  readonly shown: () => void;
  /** Whether anything may be typed. */
  readonly allow: (yes: boolean) => void;
  readonly notices: HTMLElement;
}

export function makeJobs(first: string, { store, keeper, tell, leaving, shown, allow, notices }: JobsBench): Jobs {
  let jobId = first;
  let fileHandle: FileHandle | null = null;

  /** `from`: the file it came from, to save back to. */
  function openText(text: string, label: string, id: string, from: FileHandle | null = null): void {
    const read = readJob(text);
    if (!read.ok) return tell(read.issues.slice(0, 5).map(sayIssue).join(' '), true);
    void switchTo(id, historyOf(read.value, label), from);
  }

  async function switchTo(id: string, history: History, from: FileHandle | null): Promise<void> {
    await keeper?.settled();
    jobId = id;
    location.hash = `job=${id}`;
    fileHandle = from;
    leaving();
    await claim(false);
    store.open(history);
    keeper?.save(jobId, history);
    shown();
  }

  async function save(): Promise<void> {
    try {
      const { partNumber, revision } = store.document;
      fileHandle = await saveJobFile(`${JSON.stringify(store.document, null, 2)}\n`, `${String(partNumber ?? 'COVER').replaceAll(/[^\w.-]+/g, '-')}-${String(revision ?? 'A')}.job.json`, fileHandle);
      tell('Saved.');
    } catch (error) {
      tell(`Not saved: ${(error as Error).message} Choose another place.`, true);
    }
  }

  async function open(): Promise<void> {
    try {
      const opened = await openJobFile();
      if (opened === null) return;
      openText(opened.text, `Opened ${opened.name}`, crypto.randomUUID(), opened.handle);
    } catch (error) {
      tell((error as Error).message, true);
    }
  }

  async function openRecent(id: string): Promise<void> {
    const job = await keeper?.load(id);
    if (!job) return tell('That job is no longer here.', true);
    await switchTo(id, job.history, null);
  }

  /** One tab edits a job; a second one may look, or take over. */
  async function claim(steal: boolean): Promise<void> {
    const mine = jobId;
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
    notices.append(notice);
  }

  async function dialog(): Promise<void> {
    const recent = (await keeper?.recent()) ?? [];
    const frame = h('dialog', { 'aria-label': 'Job' });
    const big = (name: string, note: string, act: () => void) =>
      h('button', { type: 'button', class: 'key', onclick: () => { frame.close(); act(); } }, h('strong', {}, name), h('br'), note);
    frame.append(
      h('div', { class: 'head' }, h('h2', {}, 'Job'), h('button', { type: 'button', class: 'key', onclick: () => frame.close() }, 'Close')),
      h(
        'div',
        { class: 'body' },
        h('div', { class: 'choices' }, big('Save to a file', 'What was typed, as it was typed.', () => void save()), big('Open a file', 'A job file; this one stays under recent jobs.', () => void open())),
        h('h3', {}, 'Start from'),
        h('div', { class: 'choices' }, ...presets.map((p) => big(p.title, p.name, () => openText(presetText(p.name), `Started from ${p.name}`, crypto.randomUUID())))),
        recent.length > 0 ? h('h3', {}, 'Recent jobs') : null,
        h('div', { class: 'choices' }, ...recent.slice(0, 12).map((r) => big(`${r.partNumber} ${r.revision}  ${r.title}`, new Date(r.touched).toLocaleString(), () => void openRecent(r.id)))),
      ),
    );
    frame.addEventListener('close', () => frame.remove());
    document.body.append(frame);
    frame.showModal();
  }

  return { id: () => jobId, dialog, save, claim: () => claim(false) };
}
