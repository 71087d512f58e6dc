/**
 * The board: a drawing in an SVG that can be moved and enlarged, with handles that can be dragged or moved by keys.
 * Coordinates of drawings and handles are mm, y up.
 */
import { boundsOf } from '../../outputs/drawing.ts';
import { figure } from '../../outputs/svg.ts';
import type { Vec2 } from '../../maths/vec.ts';
import type { Board, BoardContent, BoardEvents, Handle } from './content.ts';
import { makeGrips } from './grips.ts';
import { moveByKeys } from './keys.ts';
import { makeInk } from './ink.ts';
import { placePicture } from './picture.ts';
import { h, s } from '../dom.ts';

/** px of the smallest lettering. */
const leastText = 12.5;

export function makeBoard(root: HTMLElement, events: BoardEvents): Board {
  const title = h('h2', {}, 'Board');
  const svg = s('svg', { class: 'board-svg', role: 'group', 'aria-label': 'Drawing' });
  const ink = s('g');
  const guides = s('g', { 'aria-hidden': 'true' });
  const grips = s('g');
  svg.append(ink, guides, grips);
  const note = h('p', { class: 'board-note' });
  const button = (name: string, label: string, act: () => void) => h('button', { type: 'button', class: 'key small', 'aria-label': label, title: label, onclick: act }, name);
  const tools = h('div', { class: 'head' }, title, button('−', 'Smaller', () => zoom(1 / 1.3)), button('+', 'Larger', () => zoom(1.3)), button('Fit', 'Fit the drawing', () => fit()));
  const picture = h('img', { class: 'board-picture', alt: '', draggable: 'false', hidden: true });
  const sheet = h('div', { class: 'board-sheet' }, picture, svg);
  root.append(tools, sheet, note);

  /** What of the drawing is seen: centre, mm, and px per mm. */
  let centre: Vec2 = [0, 0];
  let scale = 2;
  let content: BoardContent | null = null;
  let fitted = false;

  /** Asked of the page only when it may have changed: asked in the middle of a change, the page lays itself out anew. */
  let known: Vec2 | null = null;
  const size = (): Vec2 => (known ??= [Math.max(1, svg.clientWidth), Math.max(1, svg.clientHeight)]);
  const draw = makeInk(ink);
  const showGrips = makeGrips(grips, (id) => focusHandle(id));

  function place(): void {
    const [w, hgt] = size();
    svg.setAttribute('viewBox', `${figure(centre[0] - w / 2 / scale)} ${figure(-centre[1] - hgt / 2 / scale)} ${figure(w / scale)} ${figure(hgt / scale)}`);
    placePicture(picture, content?.picture ?? null, centre, scale, [w, hgt]);
    sizeText();
    drawGrips();
  }

  function fit(): void {
    if (content === null) return;
    const { least, most } = boundsOf(content.drawing);
    const [w, hgt] = size();
    centre = [(least[0] + most[0]) / 2, (least[1] + most[1]) / 2];
    scale = Math.min((w - 40) / Math.max(most[0] - least[0], 1), (hgt - 40) / Math.max(most[1] - least[1], 1));
    fitted = true;
    place();
  }

  function zoom(by: number, about: Vec2 = centre): void {
    const next = Math.min(400, Math.max(0.05, scale * by));
    const k = scale / next;
    centre = [about[0] + (centre[0] - about[0]) * k, about[1] + (centre[1] - about[1]) * k];
    scale = next;
    fitted = false;
    place();
  }

  /** mm under a pointer. */
  function pointAt(event: { readonly clientX: number; readonly clientY: number }): Vec2 {
    const box = svg.getBoundingClientRect();
    return [centre[0] + (event.clientX - box.left - box.width / 2) / scale, centre[1] - (event.clientY - box.top - box.height / 2) / scale];
  }

  /** Lettering is as tall as drawn, but never too small to read. */
  function sizeText(): void {
    for (const text of ink.querySelectorAll('text')) text.setAttribute('font-size', figure(Math.max(Number(text.dataset['size']), leastText / scale)));
  }

  const drawGrips = (): void => void (content !== null && showGrips(content.handles, scale));

  const handleOf = (target: EventTarget | null): Handle | null => {
    const id = (target as Element | null)?.closest?.('[data-handle]')?.getAttribute('data-handle');
    return content?.handles.find((handle) => handle.id === id) ?? null;
  };

  const pointers = new Map<number, { x: number; y: number }>();
  /** A tap that is still being aimed. */
  let aimed: { readonly pointer: number; readonly x: number; readonly y: number; readonly touch: boolean } | null = null;
  let held: { readonly handle: Handle; readonly offset: Vec2; readonly pointer: number; moved: boolean } | null = null;

  svg.addEventListener('pointerdown', (event) => {
    svg.setPointerCapture(event.pointerId);
    pointers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    const mouse = event.pointerType === 'mouse';
    const near = handleOf(event.target);
    const at = pointAt(event);
    // A mouse is fine enough to put a point close to another while aiming.
    const beside = content?.aiming === true && mouse && near !== null && Math.hypot(near.at[0] - at[0], near.at[1] - at[1]) * scale > 9;
    const handle = pointers.size === 1 && !beside ? near : null;
    stopAiming();
    if (handle === null && content?.aiming === true && pointers.size === 1 && event.button === 0) {
      aimed = { pointer: event.pointerId, x: event.clientX, y: event.clientY, touch: !mouse };
      events.aim(at);
    }
    if (handle !== null) {
      held = { handle, offset: [handle.at[0] - at[0], handle.at[1] - at[1]], pointer: event.pointerId, moved: false };
      events.choose(handle.id);
      event.preventDefault();
    } else held = null;
  });

  const target = (event: PointerEvent): Vec2 => {
    const at = pointAt(event);
    const { handle, offset } = held!;
    const to: Vec2 = [at[0] + offset[0], at[1] + offset[1]];
    if (handle.free === 'x') return [to[0], handle.at[1]];
    if (handle.free === 'y') return [handle.at[0], to[1]];
    return to;
  };

  svg.addEventListener('pointermove', (event) => {
    const before = pointers.get(event.pointerId);
    if (before === undefined) {
      if (content?.aiming === true) events.aim(pointAt(event));
      return;
    }
    if (aimed?.pointer === event.pointerId) {
      if (aimed.touch || Math.hypot(event.clientX - aimed.x, event.clientY - aimed.y) < 4) return events.aim(pointAt(event));
      // A mouse that pulls moves the drawing.
      stopAiming();
    }
    const moved = { x: event.clientX - before.x, y: event.clientY - before.y };
    if (held?.pointer === event.pointerId) {
      if (held.handle.free === 'none') return;
      // A tap that trembles is no drag.
      if (!held.moved && Math.hypot(moved.x, moved.y) < 4) return;
      held.moved = true;
      showGuides(events.drag(held.handle.id, target(event), 'move').guides);
      return;
    }
    pointers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (pointers.size === 2) {
      const [a, b] = [...pointers.values()] as [{ x: number; y: number }, { x: number; y: number }];
      const far = Math.hypot(a.x - b.x, a.y - b.y);
      const was = Math.hypot(a.x - b.x - (event.clientX === a.x ? moved.x : -moved.x), a.y - b.y - (event.clientY === a.y ? moved.y : -moved.y));
      centre = [centre[0] - moved.x / 2 / scale, centre[1] + moved.y / 2 / scale];
      if (was > 0) zoom(far / was, pointAt({ clientX: (a.x + b.x) / 2, clientY: (a.y + b.y) / 2 }));
      return;
    }
    centre = [centre[0] - moved.x / scale, centre[1] + moved.y / scale];
    fitted = false;
    place();
  });

  function stopAiming(): void {
    if (aimed === null) return;
    aimed = null;
    events.aim(null);
  }

  const release = (event: PointerEvent): void => {
    pointers.delete(event.pointerId);
    if (aimed?.pointer === event.pointerId) {
      const at = pointAt(event);
      stopAiming();
      if (event.type === 'pointerup') events.put(at);
    }
    if (held?.pointer === event.pointerId) {
      if (held.moved) events.drag(held.handle.id, target(event), 'end');
      held = null;
      showGuides([]);
    }
  };
  svg.addEventListener('pointerup', release);
  svg.addEventListener('pointercancel', release);
  svg.addEventListener('pointerleave', () => content?.aiming === true && events.aim(null));
  // Two taps in quick succession are two points while aiming.
  svg.addEventListener('dblclick', () => content?.aiming !== true && fit());
  svg.addEventListener(
    'wheel',
    (event) => {
      event.preventDefault();
      zoom(Math.exp(-event.deltaY * (event.deltaMode === 1 ? 0.05 : 0.0015)), pointAt(event));
    },
    { passive: false },
  );

  moveByKeys(grips, handleOf, events);
  grips.addEventListener('focusin', (event) => {
    const handle = handleOf(event.target);
    if (handle !== null && !handle.chosen && held === null) events.choose(handle.id);
  });

  function showGuides(lines: readonly (readonly [Vec2, Vec2])[]): void {
    guides.replaceChildren(...lines.map(([a, b]) => s('path', { class: 'snap', d: `M${figure(a[0])} ${figure(-a[1])}L${figure(b[0])} ${figure(-b[1])}` })));
  }

  function focusHandle(id: string): void {
    grips.querySelector<SVGGElement>(`[data-handle="${CSS.escape(id)}"]`)?.focus({ preventScroll: true });
  }

  picture.addEventListener('load', () => place());
  new ResizeObserver(() => {
    known = null;
    if (fitted) fit();
    else place();
  }).observe(svg);

  return {
    show(next) {
      const fresh = content?.subject !== next.subject;
      content = next;
      note.textContent = next.note;
      draw(next.drawing.marks);
      if (next.aiming !== true) stopAiming();
      svg.classList.toggle('aiming', next.aiming === true);
      svg.classList.toggle('on-picture', Boolean(next.picture));
      root.parentElement?.classList.toggle('wide-board', next.wide === true);
      placePicture(picture, next.picture ?? null, centre, scale, size());
      if (fresh) {
        known = null;
        fit();
      } else {
        sizeText();
        drawGrips();
      }
    },
    fit,
    focusHandle,
    sheet,
    onSheet(at) {
      const [w, hgt] = size();
      return [(at[0] - centre[0]) * scale + w / 2, (centre[1] - at[1]) * scale + hgt / 2];
    },
    scale: () => scale,
    middle: () => centre,
  };
}
