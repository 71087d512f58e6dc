/** The part's pane: the view, its named views, cut, measuring and thickness map, and what the kernel is doing meanwhile. */
import type { Units } from '../../job/quantity.ts';
import { tolerance } from '../../maths/tolerance.ts';
import type { Vec3 } from '../../maths/vec.ts';
import { sayLength, sayLengthUnit, sayMiss } from '../../outputs/say.ts';
import { fill, h } from '../dom.ts';
import type { KernelClient, KernelState } from '../kernel/client.ts';
import type { FromKernel } from '../kernel/protocol.ts';
import { standardViews, type Picked, type StandardView, type View } from './look.ts';
import { makeView } from './view.ts';
import { thicknessColour } from './thicknessColours.ts';

export interface PartPane {
  readonly view: View | null;
  state(state: KernelState): void;
  show(answer: Extract<FromKernel, { kind: 'built' }>): void;
}

const stageWords: Readonly<Record<string, string>> = { build: 'Building', check: 'Checking', thickness: 'Measuring thickness', hold: 'Making the fixture', files: 'Making files', beside: 'Building the other revision', proof: 'Making the proof', outer: 'Outside', cavity: 'Hollow', engraving: 'Lettering', positive: 'Tabs', negative: 'Bosses', 'tab holes': 'Holes', 'boss holes': 'Holes', openings: 'Holes and notches', final: 'Putting together', mesh: 'Meshing', contour: 'Contour', section: 'Section', solid: 'Solid', measure: 'Measuring', checks: 'Checks' };

export function makePart(root: HTMLElement, kernel: () => KernelClient, units: () => Units): PartPane {
  const canvas = h('canvas', { class: 'part-canvas', 'aria-label': 'The part. Arrow keys turn it, plus and minus enlarge, F fits.', role: 'img' });
  const tools = h('div', { class: 'head' });
  const strip = h('div', { class: 'head substrip' });
  strip.hidden = true;
  const veil = h('div', { class: 'veil' });
  const working = h('p', { class: 'working', role: 'status' });
  root.append(tools, strip, canvas, veil, working);

  let view: View | null = null;
  try {
    view = makeView(canvas);
  } catch {
    canvas.replaceWith(h('p', { class: 'empty' }, 'This browser shows no 3D here (WebGL is off). Board, table, checks and files work without it.'));
  }
  let shown = false;
  let mapped = false;

  const looks = h('select', { class: 'key', 'aria-label': 'Look from' }, ...Object.keys(standardViews).map((name) => h('option', { value: name }, name)));
  looks.addEventListener('change', () => view?.look(looks.value as StandardView));
  const key = (name: string, title: string, act: () => void) => h('button', { type: 'button', class: 'key small', title, 'aria-pressed': 'false', onclick: act }, name);
  const press = (button: HTMLElement, on: boolean): void => button.setAttribute('aria-pressed', on ? 'true' : 'false');

  // Cut
  const cutKey = key('Cut', 'Cut the view open', () => {
    const on = cutKey.getAttribute('aria-pressed') !== 'true';
    press(cutKey, on);
    showStrips();
    moveCut();
  });
  const axis = h('select', { class: 'key', 'aria-label': 'Cut across' }, h('option', { value: 'y' }, 'across Y'), h('option', { value: 'x' }, 'across X'), h('option', { value: 'z' }, 'across Z'));
  const slide = h('input', { type: 'range', min: 0, max: 1000, value: 500, class: 'slide', 'aria-label': 'Where the cut is' });
  const where = h('output', { class: 'hint' });
  const moveCut = (): void => {
    const box = view?.box();
    if (!box || cutKey.getAttribute('aria-pressed') !== 'true') return view?.cut(null);
    const k = { x: 0, y: 1, z: 2 }[axis.value as 'x' | 'y' | 'z'];
    const at = box.least[k]! + ((box.most[k]! - box.least[k]!) * Number(slide.value)) / 1000;
    where.textContent = `${axis.value.toUpperCase()} ${sayLengthUnit(at, units())}`;
    view?.cut({ axis: axis.value as 'x' | 'y' | 'z', at });
  };
  axis.addEventListener('change', moveCut);
  slide.addEventListener('input', moveCut);

  // Measure
  const picks: Picked[] = [];
  const said = h('output', { class: 'hint', 'aria-live': 'polite' });
  const measureKey = key('Measure', 'Distance between two picked places', () => {
    const on = measureKey.getAttribute('aria-pressed') !== 'true';
    press(measureKey, on);
    picks.length = 0;
    view?.mark([]);
    said.textContent = on ? 'Tap two places on the part; corners and edges are taken when near.' : '';
    view?.onPick(on ? pick : null);
    showStrips();
  });
  function pick(picked: Picked | null): void {
    if (picked === null) return;
    if (picks.length === 2) picks.length = 0;
    picks.push(picked);
    view?.mark(picks.map((p) => p.point));
    const [a, b] = picks;
    const place = (p: Picked): string => `${p.on} at ${p.point.map((v, k) => `${'XYZ'[k]} ${sayLength(v, units())}`).join(', ')}`;
    if (a && !b) said.textContent = `First: ${place(a)}. Tap the second place.`;
    else if (a && b) said.textContent = sayDistance(a, b, units());
  }

  // Thickness
  const legend = h('div', { class: 'legend' });
  const mapKey = key('Thickness', 'Colour the metal by its thickness', () => void toggleMap());
  async function toggleMap(): Promise<void> {
    mapped = mapKey.getAttribute('aria-pressed') !== 'true';
    press(mapKey, mapped);
    showStrips();
    if (!mapped) return view?.thickness(null, [0, 1]);
    await drawMap();
  }
  async function drawMap(): Promise<void> {
    const most = 6;
    fill(legend, 'Measuring …');
    const answer = await kernel().thickness(most);
    if (answer?.kind !== 'thickness') return fill(legend, 'The thickness could not be measured.');
    if (!mapped) return;
    view?.thickness(new Map(answer.byFace), [0, most]);
    const bar = h('span', { class: 'bar' });
    bar.style.background = `linear-gradient(to right, ${Array.from({ length: 9 }, (_, i) => `rgb(${thicknessColour((most * i) / 8, [0, most]).map((c) => Math.round(c * 255)).join(' ')})`).join(', ')})`;
    fill(legend, '0', bar, `${sayLengthUnit(most, units())} and more; thinnest ${sayLengthUnit(answer.least, units())}`);
  }

  function showStrips(): void {
    const cutting = cutKey.getAttribute('aria-pressed') === 'true';
    const measuring = measureKey.getAttribute('aria-pressed') === 'true';
    strip.hidden = !cutting && !measuring && !mapped;
    fill(strip, ...(cutting ? [axis, slide, where] : []), ...(measuring ? [said] : []), ...(mapped ? [legend] : []));
  }

  fill(tools, h('h2', {}, 'Part'), looks, key('Fit', 'Fit the part', () => view?.fit()), cutKey, measureKey, mapKey);

  return {
    view,
    state(state) {
      working.textContent = shown && state.kind === 'busy' ? `${stageWords[state.stage] ?? state.stage} …` : shown && state.kind === 'restarting' ? 'Starting again …' : '';
      veil.hidden = shown;
      if (shown) return;
      if (state.kind === 'failed') return fill(veil, h('p', {}, state.why));
      const share = state.kind === 'loading' ? state.done * 0.7 : state.kind === 'opening' ? 0.75 : state.kind === 'busy' ? 0.8 + 0.2 * state.done : 0.8;
      const text = state.kind === 'loading' ? 'Loading the solid modeller (once; it is kept on this machine).' : state.kind === 'busy' ? `${stageWords[state.stage] ?? 'Working'} …` : 'Starting the solid modeller …';
      let bar = veil.querySelector('progress');
      if (bar === null) {
        bar = h('progress', { max: 1, 'aria-label': 'Loading' });
        fill(veil, bar, h('p', {}));
      }
      bar.value = share;
      veil.querySelector('p')!.textContent = text;
    },
    show(answer) {
      shown = true;
      veil.hidden = true;
      view?.show(answer.faces, answer.fresh);
      root.dataset['built'] = String(answer.id);
      root.dataset['ms'] = answer.ms.toFixed(1);
      if (mapped) void drawMap();
      moveCut();
    },
  };
}

function sayDistance(a: Picked, b: Picked, units: Units): string {
  const d: Vec3 = [b.point[0] - a.point[0], b.point[1] - a.point[1], b.point[2] - a.point[2]];
  const say = (mm: number): string => sayMiss(mm, units);
  const parts = d.map((v, k) => `Δ${'XYZ'[k]} ${sayLength(v, units)}`).join(', ');
  const along = a.normal[0] * b.normal[0] + a.normal[1] * b.normal[1] + a.normal[2] * b.normal[2];
  // Two flat faces that face the same or the opposite way have one distance between them.
  const flat = a.on === 'face' && b.on === 'face' && a.kind === 'plane' && b.kind === 'plane' && a.face !== b.face && Math.abs(along) > 0.9999;
  const between = flat ? ` Between the faces ${say(Math.abs(d[0] * a.normal[0] + d[1] * a.normal[1] + d[2] * a.normal[2]))}.` : '';
  return `${say(Math.hypot(...d))} (${parts}).${between} Curved places are true to the mesh, ${sayLengthUnit(tolerance.meshDeviationEditing, units)}.`;
}
