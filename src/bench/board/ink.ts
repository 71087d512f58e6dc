/** Marks of a drawing as SVG elements; pens are classes of the style sheet. An element stays while a mark of its kind stands in its place: only what differs is written. */
import type { Mark } from '../../outputs/drawing.ts';
import { figure, pathData } from '../../outputs/svg.ts';
import { s } from '../dom.ts';

interface Looks {
  readonly tag: 'circle' | 'path' | 'text';
  readonly props: Readonly<Record<string, string | null>>;
  readonly text: string;
}

function looksOf(mark: Mark): Looks {
  const kind = `m-${mark.pen}${'fill' in mark && mark.fill ? ' f' : ''}`;
  if (mark.kind === 'circle') return { tag: 'circle', props: { class: kind, cx: figure(mark.centre[0]), cy: figure(-mark.centre[1]), r: figure(mark.radius) }, text: '' };
  if (mark.kind === 'path') return { tag: 'path', props: { class: kind, d: pathData(mark.segments, mark.closed) }, text: '' };
  return {
    tag: 'text',
    props: { class: kind, x: figure(mark.at[0]), y: figure(-mark.at[1]), 'data-size': figure(mark.height / 0.7), 'text-anchor': mark.anchor, transform: mark.turn ? `rotate(${figure(-mark.turn)} ${figure(mark.at[0])} ${figure(-mark.at[1])})` : null },
    text: mark.text,
  };
}

const node = ({ tag, props, text }: Looks): SVGElement => (text === '' ? s(tag, props) : s(tag, props, text));

/** Draws marks into a group, in their order, over and over. */
export function makeInk(group: SVGElement): (marks: readonly Mark[]) => void {
  let drawn: readonly Looks[] = [];
  return (marks) => {
    const looks = marks.map(looksOf);
    looks.forEach((next, i) => {
      const before = drawn[i];
      if (before === undefined) group.append(node(next));
      else if (before.tag !== next.tag || before.text !== next.text) group.children[i]!.replaceWith(node(next));
      else rewrite(group.children[i]!, before.props, next.props);
    });
    while (group.children.length > looks.length) group.lastElementChild!.remove();
    drawn = looks;
  };
}

function rewrite(element: Element, before: Looks['props'], next: Looks['props']): void {
  for (const [name, value] of Object.entries(next)) {
    if (before[name] === value) continue;
    if (value === null) element.removeAttribute(name);
    else element.setAttribute(name, value);
  }
}
