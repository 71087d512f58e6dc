/** A handle of the board -> its SVG element: a dot as large on the screen at any enlargement, in a ring that a finger may hit. */
import { figure } from '../../outputs/svg.ts';
import { s } from '../dom.ts';
import type { Handle } from './content.ts';

/** px round a handle that a finger may hit. */
const grip = 22;

/** `scale` in px to a unit of the drawing. */
export function handleNode(handle: Handle, scale: number): SVGElement {
  return s(
    'g',
    { class: 'handle', 'data-handle': handle.id, tabindex: 0, role: 'button', 'aria-label': handle.name, 'aria-pressed': handle.chosen ? 'true' : 'false', transform: `translate(${figure(handle.at[0])} ${figure(-handle.at[1])})` },
    s('circle', { class: 'grip', r: figure(grip / scale) }),
    s('circle', { class: 'dot', r: figure((handle.chosen ? 6 : 4) / scale) }),
  );
}
