/**
 * The stage Proof: the test print, and what the test fit showed. Each is a part of its own with its own board and desk; a
 * switch on the desk goes from one to the other.
 */
import { fill, h } from '../dom.ts';
import type { Bench, Stage, StagePart } from './stage.ts';

export function proofStage(bench: Bench, parts: readonly [StagePart, ...StagePart[]]): Stage {
  let now: StagePart = parts[0];
  const desk = h('div', { class: 'fill' });
  const keys = parts.map((part) => h('button', { type: 'button', class: 'key', 'aria-pressed': 'false', onclick: () => show(part) }, part.part));
  // One part needs no switch.
  const tools = parts.length === 1 ? [...(now.tools ?? [])] : [h('div', { class: 'pair', role: 'group', 'aria-label': 'Show' }, ...keys)];

  function show(part: StagePart): void {
    now = part;
    fill(desk, ...(parts.length > 1 ? (part.tools ?? []) : []), part.desk);
    keys.forEach((key, i) => key.setAttribute('aria-pressed', parts[i] === part ? 'true' : 'false'));
    bench.redraw();
  }
  fill(desk, ...(parts.length > 1 ? (now.tools ?? []) : []), now.desk);
  keys[0]?.setAttribute('aria-pressed', 'true');

  return {
    name: 'Proof',
    deskTitle: 'Proof',
    desk,
    tools,
    content: () => now.content(),
    groups: () => now.groups(),
    noGroups: '',
    refresh: () => now.refresh(),
    choose: (id) => now.choose(id),
    drag: (id, to, phase) => now.drag(id, to, phase),
    nudge: (id, by) => now.nudge(id, by),
    remove: (id) => now.remove(id),
    aim: (at) => now.aim?.(at),
    put: (at) => now.put?.(at),
    reveal(path) {
      const found = parts.find((part) => part.reveal(path));
      if (found !== undefined) show(found);
      return found !== undefined;
    },
  };
}
