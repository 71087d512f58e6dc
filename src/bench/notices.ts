/** Lines at the top of the page: what happened, and on first opening what to do first. */
import { h } from './dom.ts';
import type { Keeper } from './state/keep.ts';

/** ms a good notice stays. */
const stays = 8000;
const most = 3;

export const teller = (root: HTMLElement) => (text: string, bad = false): void => {
  const close = h('button', { type: 'button', class: 'key small', 'aria-label': 'Close this notice' }, 'Close');
  const notice = h('div', { class: `notice${bad ? ' bad' : ''}` }, h('p', {}, text), close);
  close.addEventListener('click', () => notice.remove());
  root.append(notice);
  while (root.children.length > most) root.firstElementChild?.remove();
  if (!bad) setTimeout(() => notice.remove(), stays);
};

/** Once closed it never comes back. */
export function firstStrip(root: HTMLElement, keeper: Keeper | null): void {
  const close = h('button', { type: 'button', class: 'key main' }, 'Begin');
  const strip = h('div', { class: 'notice first' }, h('p', {}, 'This is a sample job. Type your own readings into the table or drop a file on it; the curve, the section and the part follow. The stages along the top go from left to right. Everything is kept on this machine only.'), close);
  close.addEventListener('click', () => {
    strip.remove();
    void keeper?.keepSetting('begun', true);
  });
  root.append(strip);
}
