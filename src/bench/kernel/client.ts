/**
 * The page's side of the kernel: asks, restarts a kernel that died or hangs, and lets the newest question win. The wasm is
 * loaded and compiled once here and handed to every worker, so that a restart takes a fraction of a second.
 */
import manifoldUrl from 'manifold-3d/manifold.wasm?url';
import type { CutterDrawer } from '../../holding/cutterFile.ts';
import type { JobDocument } from '../../job/schema.ts';
import type { SolidPlan } from '../../solid/plan.ts';
import type { Context, FromKernel, ProofPrinter, ToKernel } from './protocol.ts';
import { loadModule } from './loadModule.ts';
import { makeWatch } from './watch.ts';

export type KernelState =
  | { readonly kind: 'loading'; readonly done: number }
  | { readonly kind: 'opening' }
  | { readonly kind: 'idle' }
  | { readonly kind: 'busy'; readonly stage: string; readonly done: number }
  | { readonly kind: 'restarting'; readonly why: string }
  | { readonly kind: 'failed'; readonly why: string };

type Answer<K extends FromKernel['kind']> = Extract<FromKernel, { kind: K }>;
export type Asked = Answer<'built'> | Answer<'checked'> | Answer<'thickness'> | Answer<'beside'> | Answer<'held'> | Answer<'files'> | Answer<'proof'> | Answer<'refused'>;

export interface KernelEvents {
  readonly state: (state: KernelState) => void;
  readonly built: (answer: Answer<'built'> | Answer<'refused'>, plan: SolidPlan) => void;
  readonly checked: (answer: Answer<'checked'>) => void;
}

interface Question {
  readonly kind: 'build' | 'check' | 'thickness' | 'beside' | 'hold' | 'files' | 'proof';
  readonly ask: (id: number) => ToKernel;
  readonly done: (answer: Asked | null) => void;
  /** A kernel went down over it once already. */
  readonly again?: boolean;
}

interface Pending extends Question {
  readonly id: number;
}

export interface KernelClient {
  /** Wants this plan built; an older wish not yet begun is forgotten. Checks follow by themselves once edits pause. */
  want(plan: SolidPlan, context: Context): void;
  files(document: JobDocument, date: string, drawer: CutterDrawer | null): Promise<Answer<'files'> | Answer<'refused'> | null>;
  proof(document: JobDocument, date: string, printer: ProofPrinter): Promise<Answer<'proof'> | Answer<'refused'> | null>;
  thickness(most: number): Promise<Answer<'thickness'> | Answer<'refused'> | null>;
  /** The fixture of the part as it was last built. */
  hold(): Promise<Answer<'held'> | null>;
  /** Another part, to lay beside the one at work. */
  beside(plan: SolidPlan): Promise<Answer<'beside'> | Answer<'refused'> | null>;
  /** For tests: ends the worker as a crash would. */
  kill(): void;
}

const givenUp = (id: number): Answer<'refused'> => ({
  kind: 'refused',
  id,
  issues: [{ code: 'kernel-stopped', at: '', message: 'The solid modeller stopped twice while it was building this; the last part it could build is shown.', hint: 'Undo the last change, or change it a little.' }],
});

/** ms. A build with engraved text that takes no longer is done at once. */
const quick = 200;
/** ms without an edit after which text is cut and the part checked. */
const pause = 250;

export function startKernel(events: KernelEvents): KernelClient {
  let worker: Worker | undefined;
  let ready = false;
  let pending: Pending | null = null;
  let nextId = 1;
  let openedAt = 0;
  /** ms the last build with engraved text took. */
  let lettered = Infinity;
  let wanted: { plan: SolidPlan; context: Context } | null = null;
  let standing: SolidPlan | null = null;
  let held: readonly number[] = [];
  const watch = makeWatch(() => restart('it did not answer'));
  let checkSoon: ReturnType<typeof setTimeout> | undefined;
  /** What is asked about the part that stands once edits pause. */
  let owed: (() => void) | null = null;
  /** A plan that has already brought one kernel down is not tried again unchanged. */
  let suspect: SolidPlan | null = null;
  const waiting: Question[] = [];

  const font = fetch(`${import.meta.env.BASE_URL}fonts/Barlow-Medium.ttf`).then((r) => r.arrayBuffer());
  const module = loadModule((done) => events.state({ kind: 'loading', done }));

  async function open(): Promise<void> {
    try {
      const [wasm, bytes] = await Promise.all([module, font]);
      events.state({ kind: 'opening' });
      const fresh = new Worker(new URL('./worker.ts', import.meta.url), { type: 'module' });
      worker = fresh;
      ready = false;
      held = [];
      fresh.addEventListener('message', ({ data }: MessageEvent<FromKernel>) => fresh === worker && hear(data));
      fresh.addEventListener('error', (event) => {
        event.preventDefault();
        if (fresh === worker) restart(event.message || 'it stopped without a word');
      });
      openedAt = performance.now();
      fresh.postMessage({ kind: 'open', wasm, manifoldWasm: new URL(manifoldUrl, location.href).href, font: bytes } satisfies ToKernel);
    } catch (error) {
      events.state({ kind: 'failed', why: error instanceof Error ? error.message : String(error) });
    }
  }

  function hear(message: FromKernel): void {
    if (message.kind === 'ready') {
      ready = true;
      watch.opened(performance.now() - openedAt);
      next();
      return;
    }
    if (message.kind === 'died') return restart(message.message);
    if (pending === null || message.id !== pending.id) return;
    watch.heard();
    if (message.kind === 'pulse') return;
    if (message.kind === 'progress') return events.state({ kind: 'busy', stage: message.stage, done: message.done });
    const { done } = pending;
    pending = null;
    watch.end();
    done(message);
    next();
  }

  function ask(question: Question): void {
    const id = nextId;
    nextId += 1;
    pending = { ...question, id };
    watch.begin(question.again === true || (question.kind === 'build' && last !== null && suspect === last.plan));
    events.state({ kind: 'busy', stage: question.kind, done: 0 });
    worker?.postMessage(question.ask(id));
  }

  function next(): void {
    if (!ready || pending !== null) return;
    if (wanted !== null) {
      const { plan, context } = wanted;
      wanted = null;
      clearTimeout(checkSoon);
      owed = null;
      return build(plan, context, plan.engravings.length > 0 && lettered <= quick);
    }
    // Owed to the part that stands, whatever else was asked in the meantime.
    if (owed !== null) {
      const due = owed;
      owed = null;
      return due();
    }
    const first = waiting.shift();
    if (first !== undefined) return ask(first);
    events.state({ kind: 'idle' });
  }

  /** Text is cut along where that is quick; where not, the part is shown without it first and with it once edits pause. */
  function build(plan: SolidPlan, context: Context, engraving: boolean): void {
    const built = (answer: Asked | null): void => {
      if (answer === null || (answer.kind !== 'built' && answer.kind !== 'refused')) return;
      if (answer.kind === 'built') {
        held = answer.faces;
        standing = plan;
        suspect = null;
        if (engraving) lettered = answer.ms;
        checkSoon = setTimeout(() => {
          owed = () => (plan.engravings.length > 0 && !engraving ? build(plan, context, true) : ask({ kind: 'check', ask: (id) => ({ kind: 'check', id }), done: (checked) => checked?.kind === 'checked' && events.checked(checked) }));
          next();
        }, pause);
      }
      events.built(answer, plan);
    };
    ask({ kind: 'build', ask: (id) => ({ kind: 'build', id, plan, context, held, engraving }), done: built });
  }

  /** Asked when nothing newer is to be built; null when the kernel went down over it. */
  function later<K extends 'files' | 'proof' | 'beside' | 'thickness'>(kind: K, question: (id: number) => ToKernel): Promise<Answer<K> | Answer<'refused'> | null> {
    return new Promise((resolve) => {
      waiting.push({ kind, ask: question, done: (answer) => resolve(answer?.kind === kind || answer?.kind === 'refused' ? (answer as Answer<K> | Answer<'refused'>) : null) });
      next();
    });
  }

  function restart(why: string): void {
    watch.end();
    clearTimeout(checkSoon);
    owed = null;
    worker?.terminate();
    worker = undefined;
    ready = false;
    const lost = pending;
    pending = null;
    events.state({ kind: 'restarting', why });
    // What was asked when it died is asked once more, with more patience. Checks follow the build by themselves.
    if (lost !== null && lost.kind !== 'build' && lost.kind !== 'check') {
      if (lost.again === true) lost.done(null);
      else waiting.unshift({ ...lost, again: true });
    }
    // So is what was being built; the second time it is left alone until it is edited.
    if (wanted === null && last !== null) {
      if (lost?.kind === 'build' && suspect === last.plan) events.built(givenUp(lost.id), last.plan);
      else {
        wanted = last;
        if (lost?.kind === 'build') suspect = last.plan;
      }
    }
    void open();
  }

  let last: { plan: SolidPlan; context: Context } | null = null;
  void open();
  return {
    want(plan, context) {
      last = { plan, context };
      if (plan === standing && wanted === null) return;
      wanted = last;
      // What is overtaken is not waited for longer than need be.
      if (pending !== null) watch.hurry();
      next();
    },
    files: (document, date, drawer) => later('files', (id) => ({ kind: 'files', id, document, date, drawer })),
    proof: (document, date, printer) => later('proof', (id) => ({ kind: 'proof', id, document, date, printer })),
    beside: (plan) => later('beside', (id) => ({ kind: 'beside', id, plan })),
    hold: () =>
      new Promise((resolve) => {
        waiting.push({ kind: 'hold', ask: (id) => ({ kind: 'hold', id }), done: (answer) => resolve(answer?.kind === 'held' ? answer : null) });
        next();
      }),
    thickness: (most) => later('thickness', (id) => ({ kind: 'thickness', id, most })),
    kill: () => restart('it was ended on purpose'),
  };
}
