/**
 * The stage Mounts: tabs, holes, bosses, notches, grooves and lettering in plan. Dragged or nudged, added, copied, mirrored
 * and deleted; the plan is seen from above or from the mating face and always says which.
 */
import type { JobDocument } from '../../job/schema.ts';
import type { Vec2 } from '../../maths/vec.ts';
import { mmPerInch } from '../../job/quantity.ts';
import { mirrored } from '../../outputs/drawing.ts';
import { planDrawing } from '../../outputs/planDrawing.ts';
import { sayLength } from '../../outputs/say.ts';
import { holeTable } from '../../outputs/holeTable.ts';
import type { SolidPlan } from '../../solid/plan.ts';
import { wallFrame } from '../../solid/walls.ts';
import type { Handle } from '../board/board.ts';
import { fill, h } from '../dom.ts';
import type { PanelGroup } from '../panel/panel.ts';
import type { Bench, Stage } from './stage.ts';

type ListName = 'tabs' | 'bosses' | 'holes' | 'notches' | 'grooves' | 'engraving';

interface Chosen {
  readonly list: ListName;
  readonly index: number;
}

const titles: Readonly<Record<ListName, string>> = { tabs: 'Tab', bosses: 'Boss', holes: 'Hole', notches: 'Notch', grooves: 'Groove', engraving: 'Lettering' };

const chosenOf = (id: string): Chosen | null => {
  const found = /^(tabs|bosses|holes|notches|grooves|engraving)\[(\d+)\]/.exec(id);
  return found ? { list: found[1] as ListName, index: Number(found[2]) } : null;
};

/** mm to which a drag settles when nothing else is near. */
const gridStep = { mm: 0.5, inch: mmPerInch / 64 } as const;
/** mm within which a dragged centre settles in line with another. */
const inLine = 1.5;

export function mountsStage(bench: Bench): Stage {
  const { store } = bench;
  let chosen: Chosen | null = null;
  let below = false;
  let snapping = true;

  const units = () => (store.document.units === 'inch' ? 'inch' : 'mm');
  const plan = (): SolidPlan | null => store.good?.plan ?? null;
  /** Between the plan as seen from above and the board as it is turned now. */
  const turn = (p: Vec2): Vec2 => (below ? [(plan()?.body.length ?? 0) - p[0], p[1]] : p);
  const id = (c: Chosen): string => `${c.list}[${c.index}]`;
  const isChosen = (at: string): boolean => chosen !== null && at === id(chosen);
  const list = (name: ListName): readonly Record<string, unknown>[] => (store.document[name] ?? []) as unknown as readonly Record<string, unknown>[];

  const write = (name: ListName, items: readonly unknown[], label: string, place = ''): void => store.replace({ ...store.document, [name]: items } as JobDocument, label, place);
  const change = (c: Chosen, values: Record<string, unknown>, label: string, place: string): void =>
    write(c.list, list(c.list).map((item, i) => (i === c.index ? { ...item, ...values } : item)), label, place);

  /** A length as it is typed in this job, rounded to what a drag can mean. */
  const typed = (mm: number): number => (units() === 'inch' ? Number((mm / mmPerInch).toFixed(4)) : Number(mm.toFixed(3)));

  function handles(p: SolidPlan): Handle[] {
    const put = (at: string, name: string, where: Vec2, free: Handle['free'] = 'both'): Handle => ({ id: at, name, at: turn(where), chosen: isChosen(at) || isChosen(at.split('.')[0] as string), free });
    return [
      ...p.tabs.flatMap((tab) => {
        const frame = wallFrame(p.body, tab.wall);
        const along = tab.wall === 'front' || tab.wall === 'back' ? 'y' : 'x';
        const grip = put(tab.at, `${tab.name}, tab on the ${tab.wall} wall`, frame.plan(tab.middle + (tab.hole ? tab.length * 0.36 : 0), tab.reach * (tab.hole ? 0.25 : 0.5)), along);
        return tab.hole ? [grip, put(`${tab.at}.hole`, `${tab.name} hole`, [tab.hole.entry[0], tab.hole.entry[1]])] : [grip];
      }),
      ...p.bosses.map((boss) => put(boss.at, `${boss.name}, boss`, [boss.x, boss.y])),
      ...p.holes.map((hole) => put(hole.at, `${hole.name}, hole`, [hole.entry[0], hole.entry[1]], Math.abs(hole.axis[2]) > 0.5 ? 'both' : Math.abs(hole.axis[0]) > 0.5 ? 'y' : 'x')),
      ...p.notches.map((notch) => put(notch.at, `Notch in the ${notch.wall} wall`, wallFrame(p.body, notch.wall).plan(notch.middle, 0), notch.wall === 'front' || notch.wall === 'back' ? 'y' : 'x')),
      ...p.grooves.map((groove) => put(groove.at, 'Groove', groove.run === 'along' ? [(groove.from + groove.to) / 2, groove.middle] : [groove.middle, (groove.from + groove.to) / 2])),
      ...p.engravings.map((text) => put(text.at, `Lettering "${text.text}"`, text.centre)),
    ];
  }

  /** Moves a thing so that its centre stands at `to` (plan from above). */
  function moveTo(at: string, to: Vec2, label: string): void {
    const c = chosenOf(at);
    const p = plan();
    if (c === null || p === null) return;
    if (c.list === 'tabs') {
      const tab = p.tabs.find((t) => t.at === id(c));
      if (tab === undefined) return;
      const frame = wallFrame(p.body, tab.wall);
      const upright = tab.wall === 'front' || tab.wall === 'back';
      const along = upright ? to[1] : to[0];
      if (at.endsWith('.hole')) {
        const out = tab.wall === 'front' ? -to[0] : tab.wall === 'back' ? to[0] - p.body.length : tab.wall === 'left' ? -to[1] : to[1] - p.body.width;
        return change(c, { holeAlong: typed(along - tab.middle), holeOut: typed(out) }, `${label} ${tab.name} hole`, at);
      }
      const grip = frame.plan(tab.middle + (tab.hole ? tab.length * 0.36 : 0), 0);
      return change(c, { at: typed(along - (upright ? grip[1] : grip[0]) + tab.middle) }, `${label} ${tab.name}`, at);
    }
    if (c.list === 'grooves') {
      const groove = p.grooves[c.index];
      if (groove === undefined) return;
      const [run, across] = groove.run === 'along' ? [to[0], to[1]] : [to[1], to[0]];
      const by = run - (groove.from + groove.to) / 2;
      return change(c, { at: typed(across), from: typed(groove.from + by), to: typed(groove.to + by) }, `${label} groove`, at);
    }
    if (c.list === 'notches') {
      const notch = p.notches[c.index];
      return change(c, { at: typed(notch?.wall === 'front' || notch?.wall === 'back' ? to[1] : to[0]) }, `${label} notch`, at);
    }
    const values = c.list === 'holes' ? wallHoleValues(p, c.index, to) : { x: typed(to[0]), y: typed(to[1]) };
    change(c, values, `${label} ${titles[c.list].toLowerCase()}`, at);
  }

  function wallHoleValues(p: SolidPlan, index: number, to: Vec2): Record<string, number> {
    const axis = p.holes[index]?.axis ?? [0, 0, -1];
    if (Math.abs(axis[2]) > 0.5) return { x: typed(to[0]), y: typed(to[1]) };
    return Math.abs(axis[0]) > 0.5 ? { y: typed(to[1]) } : { x: typed(to[0]) };
  }

  /** Where a drag settles: in line with another centre, else on the grid. The guides show what it settled on. */
  function settle(at: string, to: Vec2): { readonly to: Vec2; readonly guides: (readonly [Vec2, Vec2])[] } {
    const p = plan();
    if (!snapping || p === null) return { to, guides: [] };
    const others = handles(p).filter((other) => other.id !== at && !other.id.startsWith(`${at}.`) && !at.startsWith(`${other.id}.`));
    const guides: (readonly [Vec2, Vec2])[] = [];
    const axis = (k: 0 | 1): number => {
      const near = others.map((o) => o.at).filter((o) => Math.abs(o[k] - to[k]) < inLine).sort((a, b) => Math.abs(a[k] - to[k]) - Math.abs(b[k] - to[k]))[0];
      if (near !== undefined) {
        guides.push([near, k === 0 ? [near[0], to[1]] : [to[0], near[1]]]);
        return near[k];
      }
      const step = gridStep[units()];
      return Math.round(to[k] / step) * step;
    };
    return { to: [axis(0), axis(1)], guides };
  }

  // Desk: what can be done, and the hole table.
  const rows = h('tbody');
  const head = h('tr');
  const desk = h('table', { class: 'grid' }, h('thead', {}, head), rows);

  function add(name: ListName): void {
    const p = plan();
    if (p === null) return bench.tell('Get a first part up before adding to it.', true);
    const [x, y] = [typed(p.body.length / 2), typed(p.body.width / 2)];
    const fresh: Readonly<Record<ListName, object>> = {
      tabs: { wall: 'left', at: x },
      bosses: { x, y, thread: units() === 'inch' ? '#8-32' : 'M5', holeDepth: typed(12), endHeight: typed(10) },
      holes: { in: 'skin', x, y, screw: units() === 'inch' ? '#8-32' : 'M5' },
      notches: { wall: 'back', at: y },
      grooves: { run: 'along', at: y, from: typed(p.body.length * 0.25), to: typed(p.body.length * 0.75) },
      engraving: { text: String(store.document.partNumber ?? 'COVER'), x, y, angle: 0 },
    };
    write(name, [...list(name), fresh[name]], `${titles[name]} added`);
    choose({ list: name, index: list(name).length - 1 });
  }

  function copy(mirror: 'none' | 'x' | 'y'): void {
    const p = plan();
    if (chosen === null || p === null) return bench.tell('Choose a tab, boss or hole first.');
    const { list: name, index } = chosen;
    const item = list(name)[index];
    if (item === undefined) return;
    const { name: _, ...rest } = item;
    const values: Record<string, unknown> = { ...rest };
    const size = mirror === 'x' ? p.body.length : p.body.width;
    const now = (name === 'bosses' || name === 'holes' || name === 'engraving') && mirror !== 'none' ? { key: mirror } : null;
    const feature = name === 'bosses' ? p.bosses[index] : undefined;
    const hole = name === 'holes' ? p.holes[index] : undefined;
    const text = name === 'engraving' ? p.engravings[index] : undefined;
    const at: Vec2 | undefined = feature ? [feature.x, feature.y] : hole ? [hole.entry[0], hole.entry[1]] : text?.centre;
    if (now !== null && at !== undefined) values[now.key] = typed(size - at[now.key === 'x' ? 0 : 1]);
    else if (name === 'tabs') {
      const tab = p.tabs[index];
      if (tab === undefined) return;
      const upright = tab.wall === 'front' || tab.wall === 'back';
      if (mirror === 'none') values['at'] = typed(tab.middle + tab.length + 10);
      else if ((mirror === 'x') === upright) values['wall'] = { front: 'back', back: 'front', left: 'right', right: 'left' }[tab.wall];
      else {
        values['at'] = typed(size - tab.middle);
        if (item['holeAlong'] !== undefined) values['holeAlong'] = typed(-(Number(tab.hole ? (upright ? tab.hole.entry[1] : tab.hole.entry[0]) : tab.middle) - tab.middle));
      }
    } else if (at !== undefined) {
      values['x'] = typed(at[0] + 15);
      values['y'] = typed(at[1]);
    } else if (values['at'] !== undefined) {
      const middle = name === 'notches' ? p.notches[index]?.middle : p.grooves[index]?.middle;
      if (middle !== undefined) values['at'] = typed(mirror === 'none' ? middle + 12 : size - middle);
    }
    write(name, [...list(name), values], mirror === 'none' ? `${titles[name]} copied` : `${titles[name]} mirrored`);
    choose({ list: name, index: list(name).length - 1 });
  }

  function remove(): void {
    if (chosen === null) return bench.tell('Choose what to delete first.');
    const { list: name, index } = chosen;
    chosen = null;
    write(name, list(name).filter((_, i) => i !== index), `${titles[name]} deleted`);
  }

  function choose(next: Chosen | null): void {
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

  function refresh(): void {
    side.textContent = below ? 'From mating face' : 'From above';
    side.setAttribute('aria-label', below ? 'From mating face; press to see it from above' : 'From above; press to see it from the mating face');
    snap.setAttribute('aria-pressed', snapping ? 'true' : 'false');
    const p = plan();
    fill(head, ...['Hole', 'X', 'Y', 'Z', 'Size', 'Depth'].map((name, i) => h('th', { class: i >= 1 && i <= 3 ? 'n' : '' }, name)));
    if (p === null) return fill(rows, h('tr', {}, h('td', { colspan: 6 }, 'No part yet.')));
    const u = units();
    const say = (mm: number): string => sayLength(mm, u);
    const where = [...p.tabs.filter((t) => t.hole).map((t) => t.at), ...p.bosses.filter((b) => b.hole).map((b) => b.at), ...p.holes.map((x) => x.at)];
    const table = holeTable(p);
    if (table.length === 0) return fill(rows, h('tr', {}, h('td', { colspan: 6 }, 'No holes yet. Add a tab, a boss or a hole.')));
    fill(
      rows,
      ...table.map((row, i) => {
        const at = where[i] as string;
        const open = h('button', { type: 'button', class: 'link', onclick: () => choose(chosenOf(at)) }, row.name);
        return h(
          'tr',
          { 'aria-selected': isChosen(at) ? 'true' : 'false' },
          h('td', {}, open),
          ...[row.x, row.y, row.z].map((v) => h('td', { class: 'n' }, say(v))),
          h('td', {}, [row.thread ? `${row.thread} (drill ${say(row.diameter)})` : `ø${say(row.diameter)}`, row.slot > 0 ? `slot +${say(row.slot)}` : '', row.head].filter(Boolean).join(', ')),
          h('td', {}, row.depth === null ? 'through' : say(row.depth)),
        );
      }),
    );
  }

  return {
    name: 'Mounts',
    deskTitle: 'Holes, in the frame of the part',
    desk,
    tools,
    content: () => {
      const p = plan();
      if (p === null) return { drawing: { marks: [] }, handles: [], note: 'No part yet: see the findings.', subject: 'plan' };
      const drawing = planDrawing(p, units(), false, below ? 'below' : 'above');
      return {
        drawing: below ? mirrored(drawing, p.body.length) : drawing,
        handles: handles(p),
        note: below ? 'Plan seen from the MATING FACE: X runs to the left.' : 'Plan seen from outside (above): X runs to the right.',
        subject: `plan ${below ? 'below' : 'above'}`,
      };
    },
    groups(): readonly PanelGroup[] {
      if (chosen === null || chosen.index >= list(chosen.list).length) return [];
      return [{ path: id(chosen), title: titles[chosen.list] }];
    },
    noGroups: 'Choose something on the plan or in the table to see its values.',
    refresh,
    choose: (at) => choose(chosenOf(at)),
    drag(at, to) {
      const settled = settle(at, to);
      moveTo(at, turn(settled.to), 'Moved');
      return { guides: settled.guides };
    },
    nudge(at, by) {
      const p = plan();
      const now = p && handles(p).find((handle) => handle.id === at);
      if (now) moveTo(at, turn([now.at[0] + by[0], now.at[1] + by[1]]), 'Nudged');
    },
    remove(at) {
      chosen = chosenOf(at);
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
