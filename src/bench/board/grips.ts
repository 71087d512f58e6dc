/**
 * Handles of the board -> their SVG elements: a dot as large on the screen at any enlargement, in a ring that a finger may
 * hit. While the same handles stay, their elements stay, so that the one in focus keeps it.
 */
import { figure } from '../../outputs/svg.ts';
import { s } from '../dom.ts';
import type { Handle } from './content.ts';

/** px round a handle that a finger may hit. */
const grip = 22;

/** `scale` in px to a unit of the drawing. */
function handleNode(handle: Handle, scale: number): SVGElement {
  return s(
    'g',
    { class: 'handle', 'data-handle': handle.id, tabindex: 0, role: 'button', ...standing(handle) },
    s('circle', { class: 'grip', r: figure(grip / scale) }),
    s('circle', { class: 'dot', r: figure((handle.chosen ? 6 : 4) / scale) }),
  );
}

const standing = (handle: Handle): Readonly<Record<string, string>> => ({
  'aria-label': handle.name,
  'aria-pressed': handle.chosen ? 'true' : 'false',
  transform: `translate(${figure(handle.at[0])} ${figure(-handle.at[1])})`,
});

export function makeGrips(group: SVGElement, refocus: (id: string) => void): (handles: readonly Handle[], scale: number) => void {
  let [shown, shownScale]: [readonly Handle[], number] = [[], 0];
  return (handles, scale) => {
    if (scale === shownScale && handles.length === shown.length && handles.every((handle, i) => handle.id === shown[i]!.id)) {
      handles.forEach((handle, i) => update(group.children[i]!, shown[i]!, handle, scale));
    } else {
      const focused = document.activeElement?.getAttribute('data-handle');
      group.replaceChildren(...handles.map((handle) => handleNode(handle, scale)));
      if (focused) refocus(focused);
    }
    [shown, shownScale] = [handles, scale];
  };
}

function update(node: Element, before: Handle, handle: Handle, scale: number): void {
  const [old, fresh] = [standing(before), standing(handle)];
  for (const [name, value] of Object.entries(fresh)) if (old[name] !== value) node.setAttribute(name, value);
  if (before.chosen !== handle.chosen) node.lastElementChild?.setAttribute('r', figure((handle.chosen ? 6 : 4) / scale));
}
