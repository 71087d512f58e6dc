/** A stage with more than one board: a switch at the head of the desk tells which is up; each board is a stage of its own kind. */
import { h } from '../dom.ts';
import type { Bench, Stage, StageName } from './stage.ts';

/** One board of a stage, with the word on its key. */
export interface OneBoard {
  readonly title: string;
  readonly board: Omit<Stage, 'name'>;
}

export function stageOfBoards(bench: Bench, name: StageName, boards: readonly OneBoard[]): Stage {
  let up = boards[0]!;
  const keys = boards.map((one) =>
    h('button', { type: 'button', class: 'key small', onclick: () => show(one) }, one.title),
  );
  const switches = h('div', { class: 'switch', role: 'group', 'aria-label': `What ${name} shows` }, ...keys);

  function show(next: OneBoard): void {
    if (next !== up) up.board.left?.();
    up = next;
    bench.reopen();
  }

  return {
    name,
    get deskTitle() {
      return boards.length === 1 ? up.board.deskTitle : '';
    },
    get desk() {
      return up.board.desk;
    },
    get tools() {
      boards.forEach((one, i) => keys[i]!.setAttribute('aria-pressed', one === up ? 'true' : 'false'));
      return [...(boards.length === 1 ? [] : [switches]), ...(up.board.tools ?? [])];
    },
    content: () => up.board.content(),
    groups: () => up.board.groups(),
    get noGroups() {
      return up.board.noGroups;
    },
    refresh: () => up.board.refresh(),
    choose: (id) => up.board.choose(id),
    drag: (id, to, phase) => up.board.drag(id, to, phase),
    nudge: (id, by) => up.board.nudge(id, by),
    remove: (id) => up.board.remove(id),
    aim: (at) => up.board.aim?.(at),
    put: (at) => up.board.put?.(at),
    left: () => up.board.left?.(),
    reveal(path) {
      const found = [up, ...boards].find((one) => one.board.reveal(path));
      if (found === undefined) return false;
      up = found;
      return true;
    },
  };
}
