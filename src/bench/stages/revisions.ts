/**
 * The board of revisions: those frozen in the job and the one at work; two of them compared, values, holes with arrows,
 * volumes, and both solids in one view. A revision is also begun here, with why.
 */
import { compareJobs, type Comparison, type HoleChange } from '../../fit/compare.ts';
import { patternOf } from '../../fit/correct.ts';
import { readDocument, type JobFile } from '../../job/read.ts';
import { freeze, thaw } from '../../job/revisions.ts';
import type { Vec2 } from '../../maths/vec.ts';
import { label, type Drawing, type Mark } from '../../outputs/drawing.ts';
import { arrowMarks } from '../../outputs/fitDrawing.ts';
import { enlargement, sizeOf } from '../../outputs/patternFiles.ts';
import { planDrawing } from '../../outputs/planDrawing.ts';
import { sayIssue, type Result } from '../../result.ts';
import type { SolidPlan } from '../../solid/plan.ts';
import { sayMiss } from '../../outputs/say.ts';
import { fill, h } from '../dom.ts';
import { derive } from '../state/derive.ts';
import { lettering, nothing, type Bench, type Stage } from './stage.ts';

interface Side {
  readonly file: JobFile;
  readonly plan: SolidPlan | null;
}

interface Compared {
  readonly before: Side;
  readonly after: Side;
  readonly comparison: Comparison;
}

/** Values listed; more than this nobody reads. */
const mostShown = 200;

export function revisionsBoard(bench: Bench): Omit<Stage, 'name'> {
  const { store, kernel } = bench;
  /** The two held against each other: the last two where nobody chose others. */
  let [older, newer] = ['', ''];
  let chosenIn = '';
  let overlaid = false;
  let volumes: { readonly of: string; readonly text: string } | null = null;
  let last: { readonly of: unknown; readonly key: string; readonly compared: Result<Compared> | null } | null = null;

  const units = () => (store.document.units === 'inch' ? 'inch' : 'mm');
  const now = (): string => String(store.document.revision ?? 'A');
  const frozen = () => store.document.revisions ?? [];
  const names = (): readonly string[] => [...frozen().map((one) => one.revision), now()];

  function sideOf(revision: string): Result<Side> {
    const file = revision === now() ? readDocument(store.document) : thaw(store.document, revision);
    if (!file.ok) return file;
    return { ok: true, value: { file: file.value, plan: derive(file.value.document, null).plan } };
  }

  /** Two revisions held against each other; null where there is only one. */
  function compared(): Result<Compared> | null {
    const list = names();
    if (list.join() !== chosenIn) [older, newer, chosenIn] = [list.at(-2) ?? '', list.at(-1)!, list.join()];
    if (list.length < 2) return null;
    const key = `${older} ${newer}`;
    if (last?.of === store.document && last.key === key) return last.compared;
    const [before, after] = [sideOf(older), sideOf(newer)];
    const holes = (side: Side) => (side.plan === null ? [] : patternOf(side.plan));
    const result: Result<Compared> = !before.ok ? before : !after.ok ? after : { ok: true, value: { before: before.value, after: after.value, comparison: compareJobs(before.value.file, after.value.file, holes(before.value), holes(after.value)) } };
    last = { of: store.document, key, compared: result };
    return result;
  }

  // Desk
  const body = h('div', { class: 'lines' });
  const choice = (name: string, put: (revision: string) => void) => {
    const select = h('select', { class: 'key', 'aria-label': name });
    select.addEventListener('change', () => {
      put(select.value);
      void overlay(false);
      bench.redraw();
    });
    return select;
  };
  const from = choice('Older revision', (revision) => (older = revision));
  const to = choice('Newer revision', (revision) => (newer = revision));
  const both = h('button', { type: 'button', class: 'key small', 'aria-pressed': 'false', onclick: () => void overlay(!overlaid) }, 'Both solids');
  const why = h('input', { class: 'key', size: 24, placeholder: 'why', 'aria-label': 'Why a new revision is begun', autocomplete: 'off' });
  const begin = h('button', { type: 'button', class: 'key small', onclick: beginNext });

  function beginNext(): void {
    if (why.value.trim() === '') {
      why.focus();
      return bench.tell('Say why a new revision is begun; it is kept with the old one.', true);
    }
    const next = freeze(store.document, store.document, [], why.value.trim());
    if (!next.ok) return bench.tell(next.issues.map(sayIssue).join(' '), true);
    const before = now();
    why.value = '';
    store.replace(next.value, `Revision ${next.value.revision} begun`);
    bench.tell(`Revision ${next.value.revision} begun; ${before} is frozen as it stood.`);
  }

  /** The older solid laid over the one at work, which is on the screen anyway. */
  async function overlay(on: boolean): Promise<void> {
    const pair = compared();
    overlaid = on && pair?.ok === true && newer === now() && pair.value.before.plan !== null;
    both.setAttribute('aria-pressed', overlaid ? 'true' : 'false');
    if (!overlaid || !pair?.ok || pair.value.before.plan === null) {
      if (on) bench.tell('Both solids can be shown when the newer one is the revision at work and the older one can be built.', true);
      return bench.view?.beside(null);
    }
    const key = last?.key ?? '';
    const answer = await kernel.beside(pair.value.before.plan);
    if (answer?.kind !== 'beside' || !overlaid || key !== last?.key) return answer?.kind === 'refused' ? bench.tell(`Revision ${older} cannot be built: ${answer.issues.map(sayIssue).join(' ')}`, true) : undefined;
    bench.view?.beside(answer.mesh);
    const [a, b] = [answer.volume, answer.current];
    volumes = { of: key, text: b === null ? `Volume of ${older}: ${(a / 1000).toFixed(3)} cm3.` : `Volume ${(a / 1000).toFixed(3)} to ${(b / 1000).toFixed(3)} cm3 (${b >= a ? '+' : ''}${((b - a) / 1000).toFixed(3)}). Blue: ${older} as it was.` };
    refresh();
  }

  const say = (value: unknown): string => {
    const text = value === undefined || value === null ? 'nothing' : typeof value === 'string' ? value : (JSON.stringify(value) ?? 'nothing');
    return text.length > 50 ? `${text.slice(0, 47)}…` : text;
  };
  const sayHole = ({ name, kind, move, diameter }: HoleChange): string => {
    const size = diameter.from === diameter.to ? '' : `, ø${diameter.from ?? '–'} to ø${diameter.to ?? '–'}`;
    return `${name} ${kind}${kind === 'moved' ? ` by X ${sayMiss(move[0], units())}, Y ${sayMiss(move[1], units())}` : ''}${size}.`;
  };

  function comparisonRows({ comparison }: Compared): HTMLElement[] {
    const { differences, holes, hashes, same } = comparison;
    const reason = frozen().find((one) => one.revision === older)?.why ?? '';
    const head = h('p', { class: 'hint' }, same ? 'They say the same.' : `${differences.length} ${differences.length === 1 ? 'value differs' : 'values differ'}, ${holes.length === 0 ? 'no hole' : `${holes.length} ${holes.length === 1 ? 'hole' : 'holes'}`} changed.${reason === '' ? '' : ` Why: ${reason}`}`);
    const traces = h('p', { class: 'hint' }, `SHA-256 of ${older}: ${hashes[0].slice(0, 16)}…, of ${newer}: ${hashes[1].slice(0, 16)}…`);
    if (same) return [head, traces];
    return [
      head,
      ...(volumes?.of === last?.key && volumes ? [h('p', { class: 'hint' }, volumes.text)] : []),
      ...holes.map((hole) => h('p', { class: 'hint' }, sayHole(hole))),
      h('table', { class: 'grid', 'aria-label': 'Values that differ' }, h('thead', {}, h('tr', {}, h('th', {}, 'Value'), h('th', {}, older), h('th', {}, newer))), h('tbody', {}, ...differences.slice(0, mostShown).map((d) => h('tr', {}, h('td', {}, d.path), h('td', { class: 'wrap' }, say(d.from)), h('td', { class: 'wrap' }, `${say(d.to)}${d.matters ? '' : ' (means the same)'}`))))),
      traces,
    ];
  }

  function refresh(): void {
    const list = names();
    for (const [select, value] of [[from, older], [to, newer]] as const) {
      fill(select, ...list.map((name) => h('option', { value: name }, name === now() ? `${name}, at work` : name)));
      select.value = value;
      select.hidden = list.length < 2;
    }
    both.hidden = list.length < 2;
    begin.textContent = `Freeze ${now()}, begin the next`;
    const pair = compared();
    [from.value, to.value] = [older, newer];
    if (pair === null) return fill(body, h('p', { class: 'empty' }, `Only revision ${now()} is here. A revision is frozen when the next is begun, from a test fit or below; every file of it can then be traced to what it was made from.`), h('div', { class: 'head' }, why, begin));
    fill(body, ...(pair.ok ? comparisonRows(pair.value) : pair.issues.map((issue) => h('p', { class: 'hint bad' }, sayIssue(issue)))), h('div', { class: 'head' }, why, begin));
  }

  function drawing(): Drawing & { readonly enlarged: number } {
    const pair = compared();
    const plan = pair?.ok ? pair.value.after.plan : store.derived.plan;
    if (!plan) return { marks: [label([0, 0], 'No part to show.', 4)], enlarged: 1 };
    const text = plan.body.length * lettering;
    const holes = pair?.ok ? pair.value.comparison.holes : [];
    const enlarged = enlargement(Math.max(0, ...holes.map((hole) => Math.hypot(...hole.move))), sizeOf([[0, 0], [plan.body.length, plan.body.width]]) / 10);
    const marks = holes.flatMap((hole): Mark[] => {
      const way: Vec2 = [hole.move[0] * enlarged, hole.move[1] * enlarged];
      return hole.kind === 'moved' ? arrowMarks(hole.at, way, 'accent') : [{ kind: 'circle', pen: hole.kind === 'removed' ? 'warning' : 'accent', centre: hole.at, radius: text }];
    });
    return { marks: [...planDrawing(plan, units(), false, 'above', text).marks, ...marks], enlarged };
  }

  return {
    deskTitle: 'Revisions',
    desk: body,
    tools: [from, to, both],
    content() {
      const { marks, enlarged } = drawing();
      return { drawing: { marks }, handles: [], note: names().length < 2 ? 'Plan seen from outside.' : `Plan of ${newer} seen from outside. Arrows: how holes moved from ${older}, ×${enlarged}. Ringed: new or resized; red: gone.`, subject: 'revisions' };
    },
    groups: () => [],
    noGroups: 'What a revision was is not changed any more; go to another stage to change the one at work.',
    refresh,
    ...nothing,
    left: () => void overlay(false),
    reveal: (path) => path.startsWith('revisions'),
  };
}
