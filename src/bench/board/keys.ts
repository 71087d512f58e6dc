/** Handles by keys: arrows nudge the one in focus by 0.1 mm, 0.01 with Alt, 1 with Shift; Delete takes it away, Enter chooses it. */
import type { Vec2 } from '../../maths/vec.ts';
import type { BoardEvents, Handle } from './content.ts';

const ways: Readonly<Record<string, Vec2>> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

export function moveByKeys(grips: SVGElement, handleOf: (target: EventTarget | null) => Handle | null, events: Pick<BoardEvents, 'nudge' | 'remove' | 'choose'>): void {
  grips.addEventListener('keydown', (event) => {
    const handle = handleOf(event.target);
    if (handle === null) return;
    const step = event.altKey ? 0.01 : event.shiftKey ? 1 : 0.1;
    const way = ways[event.key];
    if (way !== undefined && handle.free !== 'none') {
      event.preventDefault();
      events.nudge(handle.id, [handle.free === 'y' ? 0 : way[0] * step, handle.free === 'x' ? 0 : way[1] * step]);
    } else if (event.key === 'Delete' || event.key === 'Backspace') {
      event.preventDefault();
      events.remove(handle.id);
    } else if (event.key === 'Enter' || event.key === ' ') {
      event.preventDefault();
      events.choose(handle.id);
    }
  });
}
