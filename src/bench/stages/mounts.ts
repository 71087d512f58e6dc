/**
 * The stage Mounts: tabs, holes, bosses, notches, grooves and lettering in plan. Dragged or nudged, added, copied, mirrored
 * and deleted, or typed into the hole table; the plan is seen from above or from the mating face and always says which.
 */
import type { Vec2 } from '../../maths/vec.ts';
import { dimension, mirrored, type Mark } from '../../outputs/drawing.ts';
import { planBox, planDrawing } from '../../outputs/planDrawing.ts';
import { sayLength } from '../../outputs/say.ts';
import type { SolidPlan } from '../../solid/plan.ts';
import type { Handle } from '../board/content.ts';
import { h } from '../dom.ts';
import type { PanelGroup } from '../panel/panel.ts';
import { makeHoleTable } from './holeRows.ts';
import { centreOf, change, chosenOf, copyOfItem, freshItem, listOf, pathOf, titles, unitsOf, writeList, type Chosen, type ListName } from './mountsEdit.ts';
import { gripsOf, movedTo, settled } from './mountsMove.ts';
import { lettering, type Bench, type Stage } from './stage.ts';

export function mountsStage(bench: Bench): Stage {
  const { store } = bench;
  let chosen: Chosen | null = null;
  let below = false;
  let snapping = true;

  const units = () => unitsOf(store.document);
  const plan = (): SolidPlan | null => store.good?.plan ?? null;
  /** Between the plan as seen from above and the board as it is turned now. */
  const turn = (p: Vec2): Vec2 => (below ? [(plan()?.body.length ?? 0) - p[0], p[1]] : p);
  const isChosen = (id: string): boolean => chosen !== null && id.split('.')[0] === pathOf(chosen);
  const handles = (p: SolidPlan): Handle[] => gripsOf(p).map((grip) => ({ ...grip, at: turn(grip.at), chosen: isChosen(grip.id) }));

  function moveTo(id: string, to: Vec2, label: string): void {
    const p = plan();
    const moved = p && movedTo(p, id, to, units());
    if (moved) change(store, moved.chosen, moved.values, `${label} ${moved.what}`, id);
  }

  function addTo(list: ListName, item: object, label: string): void {
    writeList(store, list, [...listOf(store.document, list), item], label);
    choose({ list, index: listOf(store.document, list).length - 1 });
  }

  function add(name: ListName): void {
    const p = plan();
    if (p === null) return bench.tell('Get a first part up before adding to it.', true);
    addTo(name, freshItem(name, p, store.document), `${titles[name]} added`);
  }

  function copy(mirror: 'none' | 'x' | 'y'): void {
    const p = plan();
    const copied = chosen && p && copyOfItem(chosen, mirror, p, store.document);
    if (!chosen || !copied) return bench.tell('Choose a tab, boss or hole first.');
    addTo(chosen.list, copied, `${titles[chosen.list]} ${mirror === 'none' ? 'copied' : 'mirrored'}`);
  }

  function remove(): void {
    if (chosen === null) return bench.tell('Choose what to delete first.');
    const { list, index } = chosen;
    chosen = null;
    writeList(store, list, listOf(store.document, list).filter((_, i) => i !== index), `${titles[list]} deleted`);
  }

  function choose(next: Chosen | null): void {
    if (JSON.stringify(next) === JSON.stringify(chosen)) return;
    chosen = next;
    bench.redraw();
  }

  const adder = h('select', { class: 'key', 'aria-label': 'Add' }, h('option', { value: '' }, 'Add …'), ...(Object.keys(titles) as ListName[]).map((name) => h('option', { value: name }, titles[name])));
  adder.addEventListener('change', () => {
    if (adder.value !== '') add(adder.value as ListName);
    adder.value = '';
  });
  const key = (label: string, act: () => void, name = label) => h('button', { type: 'button', class: 'key small', title: name, 'aria-label': name, onclick: act }, label);
  const side = key('', () => {
    below = !below;
    bench.redraw();
  });
  const snap = key('Snap', () => {
    snapping = !snapping;
    refresh();
  }, 'Snap while dragging');
  const tools = [adder, key('Copy', () => copy('none')), key('Mirror X', () => copy('x'), 'Mirror X: a copy front to back'), key('Mirror Y', () => copy('y'), 'Mirror Y: a copy left to right'), key('Delete', remove), snap, side];
  const table = makeHoleTable(store, (at) => choose(chosenOf(at)));

  function refresh(): void {
    side.textContent = below ? 'Below' : 'Above';
    side.setAttribute('aria-label', below ? 'From mating face; press to see it from above' : 'From above; press to see it from the mating face');
    snap.setAttribute('aria-pressed', snapping ? 'true' : 'false');
    table.refresh(chosen === null ? '' : pathOf(chosen));
  }

  /** Where the chosen thing stands, as dimensions from the front wall and the left end. */
  function places(p: SolidPlan, text: number): readonly Mark[] {
    const at = chosen && centreOf(p, chosen);
    if (!at) return [];
    const say = (mm: number): string => sayLength(mm, units());
    // Between the names of the tabs and the dimensions of the body.
    const { least } = planBox(p);
    return [...dimension([0, at[1]], at, least[1] - 3.3 * text - at[1], say(at[0]), text), ...dimension([at[0], 0], at, at[0] - least[0] + 3.3 * text, say(at[1]), text)];
  }

  return {
    name: 'Mounts',
    deskTitle: 'Holes',
    desk: table.element,
    tools,
    content: () => {
      const p = plan();
      if (p === null) return { drawing: { marks: [] }, handles: [], note: 'No part yet: see the findings.', subject: 'plan' };
      const text = p.body.length * lettering;
      const drawing = { marks: [...planDrawing(p, units(), false, below ? 'below' : 'above', text).marks, ...places(p, text)] };
      return {
        drawing: below ? mirrored(drawing, p.body.length) : drawing,
        handles: handles(p),
        note: below ? 'Plan seen from the MATING FACE: X runs to the left.' : 'Plan seen from outside (above): X runs to the right.',
        subject: `plan ${below ? 'below' : 'above'}`,
      };
    },
    groups(): readonly PanelGroup[] {
      if (chosen === null || chosen.index >= listOf(store.document, chosen.list).length) return [];
      return [{ path: pathOf(chosen), title: titles[chosen.list] }];
    },
    noGroups: 'Choose something on the plan or in the table to see its values.',
    refresh,
    choose: (id) => choose(chosenOf(id)),
    drag(id, to) {
      const p = plan();
      const { to: put, guides } = snapping && p ? settled(id, to, handles(p), units()) : { to, guides: [] };
      moveTo(id, turn(put), 'Moved');
      return { guides };
    },
    nudge(id, by) {
      const p = plan();
      const now = p && handles(p).find((handle) => handle.id === id);
      if (now) moveTo(id, turn([now.at[0] + by[0], now.at[1] + by[1]]), 'Nudged');
    },
    remove(id) {
      chosen = chosenOf(id);
      remove();
    },
    reveal(path) {
      const found = chosenOf(path);
      if (found === null) return false;
      chosen = found;
      return true;
    },
  };
}
