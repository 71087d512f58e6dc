/** The toolbar of a picture: its steps, what is typed at each, and what they give. Built once, so that typing keeps its place. */
import { mmPerInch, type Units } from '../../job/quantity.ts';
import type { Vec2 } from '../../maths/vec.ts';
import type { PictureScale } from '../../readings/picture.ts';
import { meanSigma } from '../../readings/pictureError.ts';
import { sayIssue, type Result } from '../../result.ts';
import { fill, h } from '../dom.ts';
import { issuesOf, type TextName, type UnderlayState } from './underlayState.ts';

export type Step = 'picture' | 'known' | 'zero' | 'profile';

export interface BarEvents {
  readonly step: (next: Step) => void;
  readonly change: (values: Partial<UnderlayState>) => void;
  readonly another: () => void;
  readonly takeAway: () => void;
  readonly done: () => void;
  readonly byKeys: () => void;
  readonly remove: () => void;
  readonly clearZero: () => void;
  readonly onlyPicture: () => void;
  readonly again: () => void;
}

export interface BarContent {
  readonly open: boolean;
  /** A picture is being decoded. */
  readonly opening: boolean;
  readonly picture: { readonly name: string; readonly width: number; readonly height: number } | null;
  readonly step: Step;
  readonly state: UnderlayState;
  readonly scale: Result<PictureScale> | null;
  readonly units: Units;
  readonly missing: string;
  readonly chosenMm: Vec2 | null;
  /** mm, one sigma. */
  readonly chosenError: { readonly own: number; readonly common: number } | null;
  /** px. */
  readonly picks: readonly Vec2[];
  readonly others: number;
  readonly astray: number;
  /** mm. Tip radius of the job, which would be taken off these readings too. */
  readonly tip: number;
  readonly canDelete: boolean;
  readonly aiming: boolean;
}

export interface UnderlayBar {
  readonly element: HTMLElement;
  readonly openKey: HTMLElement;
  readonly shownKey: HTMLElement;
  show(content: BarContent): void;
}

const steps: readonly (readonly [Step, string])[] = [['picture', 'Picture'], ['known', 'Known sizes'], ['zero', 'Zero'], ['profile', 'Profile']];
const pressed = (element: HTMLElement, on: boolean): void => element.setAttribute('aria-pressed', on ? 'true' : 'false');

export function makeUnderlayBar(events: BarEvents): UnderlayBar {
  const key = (text: string, act: () => void, kind = 'key') => h('button', { type: 'button', class: kind, onclick: act }, text);
  const openKey = h('button', { type: 'button', class: 'key' });
  const shownKey = h('button', { type: 'button', class: 'key' }, 'Under the curve');

  const stepKeys = new Map(steps.map(([step, text], i) => [step, h('button', { type: 'button', class: 'step', onclick: () => events.step(step) }, h('span', { class: 'no', 'aria-hidden': 'true' }, i + 1), text)]));
  const fields = new Map<TextName, HTMLInputElement>();
  const field = (name: TextName, text: string, hint = '') => {
    const input = h('input', { class: 'key', size: 9, autocomplete: 'off', spellcheck: 'false', placeholder: hint, inputmode: name === 'picking' ? 'decimal' : 'text' });
    input.addEventListener('input', () => events.change({ [name]: input.value }));
    fields.set(name, input);
    return h('label', { class: 'field' }, h('span', {}, text), input);
  };

  const about = h('p', { class: 'say' });
  const picturePart = h('div', {}, h('div', { class: 'fields' }, about, key('Choose another', events.another), key('Take it away', events.takeAway)), h('p', { class: 'hint' }, 'PNG, JPEG or WebP, up to 40 MB and 60 megapixels. The picture and its scale stay on this machine; the job file gets the readings and how they were scaled, not the picture.'));

  const rectangleKey = key('A rectangle', () => events.change({ method: 'rectangle' }));
  const rulersKey = key('Two rulers', () => events.change({ method: 'rulers' }));
  const rectangleFields = h('div', { class: 'fields inner' }, field('width', 'Width'), field('height', 'Height'));
  const rulerFields = h('div', { class: 'fields inner' }, field('along', 'Length along'), field('upright', 'Length upright'));
  const methodHint = h('p', { class: 'hint' });
  const offPlane = h('div', { class: 'fields' }, field('off', 'Profile nearer by', 'in plane'), field('distance', 'Camera distance', ''), field('picking', 'Picking error, px'));
  const knownPart = h(
    'div',
    {},
    h('div', { class: 'fields' }, h('div', { class: 'pair', role: 'group', 'aria-label': 'How to scale' }, rectangleKey, rulersKey), rectangleFields, rulerFields),
    methodHint,
    offPlane,
    h('p', { class: 'hint' }, 'Digits count: 200 is taken as good to half a millimetre, 200.00 to five thousandths. A profile that stands nearer the camera than the known points looks too large: 10 mm at half a metre is 4 mm on 200. Measure the distance from the plane of the known points to the lens.'),
  );

  const clearZero = key('Leave it out', events.clearZero);
  const zeroPart = h('div', {}, h('p', { class: 'hint' }, 'Zero is the foot of the front wall on the seat plane; the second point says which way is level. If the front stands on the right, X runs to the left. Without these, zero is the lower left known point.'), h('div', { class: 'fields' }, clearZero));

  const readout = h('p', { class: 'hint readout', 'aria-live': 'polite' });
  const remove = key('Delete point', events.remove);
  const doubts = h('div');
  const profilePart = h('div', {}, readout, doubts);
  const parts: Readonly<Record<Step, HTMLElement>> = { picture: picturePart, known: knownPart, zero: zeroPart, profile: profilePart };

  const say = h('p', { class: 'say' });
  const byKeys = key('Point by keys', events.byKeys);
  byKeys.title = 'Puts a point in the middle of the board; the arrow keys move it';
  const result = h('table', { class: 'grid worth' });
  const moving = h('p', { class: 'hint' }, 'Drag a point to move it, or use the arrow keys: 1 px a stroke, farther with Shift, 0.1 px with Alt. Delete takes it away.');
  const problems = h('div', { role: 'status' });
  const now = h('div', { class: 'fields now' }, say, byKeys, remove);
  const element = h('section', { class: 'underlay', 'aria-label': 'Picture', hidden: true }, h('div', { class: 'head steps', role: 'group', 'aria-label': 'Steps' }, ...stepKeys.values(), key('Done', events.done, 'key main')), now, problems, ...Object.values(parts), moving, result);

  function show(content: BarContent): void {
    const { open, picture, step, state, scale, units, missing } = content;
    element.hidden = !open || picture === null;
    openKey.textContent = content.opening ? 'Opening …' : picture === null ? 'From a picture' : 'Picture';
    openKey.disabled = content.opening;
    openKey.hidden = open && picture !== null;
    pressed(shownKey, state.shown);
    shownKey.hidden = picture === null || open || !scale?.ok;
    if (picture === null || !open) return;
    for (const [name, element] of stepKeys) element.setAttribute('aria-current', name === step ? 'step' : 'false');
    for (const [name, part] of Object.entries(parts)) part.hidden = name !== step;
    for (const [name, input] of fields) if (input.value !== state[name]) input.value = state[name];
    const unit = units === 'inch' ? 'in' : 'mm';
    const mm = (v: number, digits = 3): string => (units === 'inch' ? (v / mmPerInch).toFixed(digits + 1) : v.toFixed(digits));
    about.textContent = content.opening ? 'Opening …' : `${picture.name}, ${picture.width} × ${picture.height} px.`;
    pressed(rectangleKey, state.method === 'rectangle');
    pressed(rulersKey, state.method === 'rulers');
    rectangleFields.hidden = state.method !== 'rectangle';
    rulerFields.hidden = state.method !== 'rulers';
    methodHint.textContent = state.method === 'rectangle' ? 'For a photo: a rectangle of known size in the plane of the profile (a square, a plate, a sheet checked with calipers) takes out the tilt of the camera.' : 'For a flatbed scan, whose two directions have a scale each: a ruler along, and one upright. In a photo rulers cannot take out a tilt.';
    clearZero.disabled = state.zero.length === 0;
    say.textContent = step === 'known' ? missing || (scale?.ok ? 'Scaled. Next, say where zero is.' : 'All there, but it does not fit together yet.') : step === 'zero' ? ['Tap station 0, height 0: the foot of the front wall.', 'Tap a second point at height 0, towards the back.', 'Zero and level are set. Next, tap the profile.'][state.zero.length]! : scale?.ok ? `${content.picks.length} ${content.picks.length === 1 ? 'reading' : 'readings'} from the picture. Tap along the profile, closer together where it turns.` : 'Set the known sizes first.';
    byKeys.disabled = !content.aiming;
    now.hidden = step === 'picture';
    remove.disabled = !content.canDelete;
    readout.textContent = content.chosenMm && content.chosenError ? `Station ${mm(content.chosenMm[0])}, height ${mm(content.chosenMm[1])} ${unit}; ±${mm(content.chosenError.own)} by itself, ±${mm(content.chosenError.common)} with all the others (one sigma).` : '';
    readout.hidden = readout.textContent === '';
    const doubt: Node[] = [];
    if (content.picks.length > 0 && content.others > 0) doubt.push(row(`The table also holds ${content.others} other ${content.others === 1 ? 'reading' : 'readings'}.`, key('Remove the others', events.onlyPicture)));
    if (content.astray > 0) doubt.push(row(`${content.astray} ${content.astray === 1 ? 'reading has' : 'readings have'} a place in a picture but another value: changed by hand, or taken with another scale.`, key('Take them again', events.again)));
    if (content.picks.length > 0 && content.tip > 0) doubt.push(h('p', { class: 'hint bad' }, `A tip radius of ${mm(content.tip, 2)} ${unit} is stated and would be taken off these readings too. A picture has no ball tip: set it to 0.`));
    fill(doubts, ...doubt);
    fill(problems, ...issuesOf(scale).map((issue) => h('p', { class: 'hint bad' }, sayIssue({ ...issue, at: '' }))));
    moving.hidden = step === 'picture';
    fill(result, ...(step !== 'profile' && scale?.ok ? worth(scale.value, content, (v) => `±${mm(v)} ${unit}`) : []));
    result.hidden = result.children.length === 0;
  }

  return { element, openKey, shownKey, show };
}

const row = (text: string, act: HTMLElement): HTMLElement => h('div', { class: 'fields now' }, h('p', { class: 'say' }, text), act);

/** What a tap is worth, where the taps are: in their middle, or in the picture's before there are any. */
function worth(scale: PictureScale, { picks, picture }: BarContent, say: (mm: number) => string): readonly HTMLElement[] {
  const at: Vec2 = picks.length > 0 ? [picks.reduce((s, p) => s + p[0], 0) / picks.length, picks.reduce((s, p) => s + p[1], 0) / picks.length] : [(picture?.width ?? 0) / 2, (picture?.height ?? 0) / 2];
  const error = scale.errorAt(at);
  if (error === null) return [];
  const line = (what: string, sigma: number, why: string) => h('tr', {}, h('td', { class: 'wrap' }, what), h('td', { class: 'n' }, say(sigma)), h('td', { class: 'wrap' }, why));
  return [
    h('thead', {}, h('tr', {}, h('th', {}, 'Scaled'), h('th', { class: 'n' }, 'One sigma'), h('th', {}, picks.length > 0 ? 'where the readings are' : 'in the middle'))),
    h('tbody', {}, line('A tap by itself', meanSigma(error.own), 'carried by its reading'), line('All together', meanSigma(error.common), 'known points, zero, plane')),
  ];
}
