/** Located holes taken over into the part: each with what becomes of it, and the odds that the whole bolts up. */
import { boltTo } from '../../fit/bolting.ts';
import { likelyTaken, takeOver, type TakenAs } from '../../fit/takeOver.ts';
import type { HolePattern } from '../../holes/pattern.ts';
import { readDocument } from '../../job/read.ts';
import { sayLength, sayMiss } from '../../outputs/say.ts';
import { sayIssue } from '../../result.ts';
import { h } from '../dom.ts';
import { derive } from '../state/derive.ts';
import { oddsLines } from './oddsWords.ts';
import type { Bench } from './stage.ts';

const words: Readonly<Record<TakenAs, string>> = { move: 'moves the one of that name', tab: 'becomes a tab', boss: 'becomes a boss', hole: 'becomes a hole in the skin', leave: 'is left out' };

export function takeOverDialog(bench: Bench, pattern: HolePattern): void {
  const { store } = bench;
  const good = store.derived;
  const file = readDocument(store.document);
  if (good.plan === null || good.job === null || !file.ok) return bench.tell('Get a first part up before taking holes over.', true);
  const { plan } = good;
  const units = good.job.units;
  const as = new Map<string, TakenAs>(pattern.holes.map((hole) => [hole.name, likelyTaken(plan, hole)]));
  const frame = h('dialog', { 'aria-label': 'Take the holes over' });

  const choice = (name: string): HTMLElement => {
    const known = as.get(name) === 'move';
    const select = h('select', { class: 'key', 'aria-label': `What becomes of ${name}` }, ...(Object.keys(words) as TakenAs[]).filter((one) => known || one !== 'move').map((one) => h('option', { value: one }, words[one])));
    select.value = as.get(name)!;
    select.addEventListener('change', () => as.set(name, select.value as TakenAs));
    return select;
  };
  const rows = pattern.holes.map((hole) => h('tr', {}, h('td', {}, hole.name), h('td', { class: 'n' }, sayLength(hole.at[0], units)), h('td', { class: 'n' }, sayLength(hole.at[1], units)), h('td', { class: 'n' }, `± ${sayMiss(hole.ellipse.major, units)}`), h('td', {}, choice(hole.name))));

  function go(): void {
    const taken = takeOver(file.ok ? file.value : (undefined as never), plan, pattern.holes, as);
    if (!taken.ok) return bench.tell(taken.issues.map(sayIssue).join(' '), true);
    frame.close();
    store.replace(taken.value, 'Holes taken over');
    const after = derive(taken.value, good);
    const bolting = after.plan && after.job ? boltTo(after.job, after.plan, pattern, 20_000) : null;
    bench.tell(['Holes taken over.', ...(bolting === null ? [] : bolting.ok ? oddsLines(bolting.value, units) : [])].join(' '));
  }

  frame.append(
    h('div', { class: 'head' }, h('h2', {}, 'Take the holes over'), h('button', { type: 'button', class: 'key', onclick: () => frame.close() }, 'Close')),
    h(
      'div',
      { class: 'body' },
      h('p', { class: 'hint' }, 'Places are in the frame of the part, by the place of the datum hole beside the table. The error is the long half axis that holds the true centre 95 times in 100.'),
      h('table', { class: 'grid' }, h('thead', {}, h('tr', {}, ...['Hole', 'X', 'Y', 'Error', 'In the part it'].map((name, i) => h('th', { class: i > 0 && i < 4 ? 'n' : '' }, name)))), h('tbody', {}, ...rows)),
      h('div', { class: 'head' }, h('button', { type: 'button', class: 'key main', onclick: go }, 'Take over')),
    ),
  );
  frame.addEventListener('close', () => frame.remove());
  document.body.append(frame);
  frame.showModal();
}
