/** Sheets of paper to look at: small side by side, each opened to full width by a tap or a key. */
import type { ShownSheets } from '../kernel/protocol.ts';
import { h } from '../dom.ts';

export function sheetList(sets: readonly ShownSheets[]): HTMLElement[] {
  return sets.map(({ name, purpose, pages }) =>
    h(
      'section',
      { class: 'sheets', 'aria-label': purpose },
      h('h3', {}, `${titles[name] ?? name} · ${pages.length} ${pages.length === 1 ? 'sheet' : 'sheets'}`),
      h('div', { class: 'pages' }, ...pages.map((page) => pageButton(page.name, page.svg))),
    ),
  );
}

const titles: Readonly<Record<string, string>> = { release: 'Release cover', drawing: 'Drawing', setup: 'Setup', 'first-article': 'First article', templates: 'Templates, 1:1' };

function pageButton(name: string, svg: string): HTMLButtonElement {
  // As a picture from its own address it can run nothing and reach nothing.
  const url = URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' }));
  const image = h('img', { src: url, alt: name });
  image.addEventListener('load', () => URL.revokeObjectURL(url));
  const button = h('button', { type: 'button', class: 'page', 'aria-expanded': 'false', 'aria-label': name }, image);
  button.addEventListener('click', () => {
    const wide = button.classList.toggle('wide');
    button.setAttribute('aria-expanded', String(wide));
    if (wide) button.scrollIntoView({ block: 'nearest' });
  });
  return button;
}
