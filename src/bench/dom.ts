/** Elements without markup text: everything from outside goes in as text nodes or attributes, never as HTML. */

type Child = Node | string | number | null | undefined | false;
type Props = Readonly<Record<string, string | number | boolean | null | undefined | ((event: never) => void)>>;

/** `h('button', { type: 'button', class: 'go', onclick: f }, 'Go')`. Properties starting with "on" are listeners. */
export function h<K extends keyof HTMLElementTagNameMap>(tag: K, props: Props = {}, ...children: Child[]): HTMLElementTagNameMap[K] {
  const element = document.createElement(tag);
  apply(element, props);
  element.append(...children.filter((child): child is Node | string | number => child !== null && child !== undefined && child !== false).map((child) => (typeof child === 'number' ? String(child) : child)));
  return element;
}

const svgSpace = 'http://www.w3.org/2000/svg';

export function s<K extends keyof SVGElementTagNameMap>(tag: K, props: Props = {}, ...children: (Node | string)[]): SVGElementTagNameMap[K] {
  const element = document.createElementNS(svgSpace, tag);
  apply(element, props);
  element.append(...children);
  return element;
}

function apply(element: Element, props: Props): void {
  for (const [name, value] of Object.entries(props)) {
    if (value === null || value === undefined || value === false) continue;
    if (typeof value === 'function') element.addEventListener(name.slice(2), value as unknown as EventListener);
    else element.setAttribute(name, value === true ? '' : String(value));
  }
}

/** Puts `children` in place of what was there, leaving nodes that stay where they are untouched. */
export function fill(parent: Element, ...children: (Node | string)[]): void {
  parent.replaceChildren(...children);
}
