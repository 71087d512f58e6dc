/** A mark of a drawing -> its SVG element; pens are classes of the style sheet. */
import type { Mark } from '../../outputs/drawing.ts';
import { figure, pathData } from '../../outputs/svg.ts';
import { s } from '../dom.ts';

export function markNode(mark: Mark): SVGElement {
  const kind = `m-${mark.pen}${'fill' in mark && mark.fill ? ' f' : ''}`;
  if (mark.kind === 'circle') return s('circle', { class: kind, cx: figure(mark.centre[0]), cy: figure(-mark.centre[1]), r: figure(mark.radius) });
  if (mark.kind === 'path') return s('path', { class: kind, d: pathData(mark.segments, mark.closed) });
  return s(
    'text',
    { class: kind, x: figure(mark.at[0]), y: figure(-mark.at[1]), 'data-size': figure(mark.height / 0.7), 'text-anchor': mark.anchor, transform: mark.turn ? `rotate(${figure(-mark.turn)} ${figure(mark.at[0])} ${figure(-mark.at[1])})` : null },
    mark.text,
  );
}
