/**
 * A photo or flatbed scan as the source of readings: scaled by what is known in it, then tapped along the profile. Every tap
 * is a reading of the job at once, its place in the picture in its note, so undo, the table and the curve all follow it.
 * The picture and what is known of it stay on this machine; the job file only gets the readings and the words.
 */
import type { Homography } from '../../maths/homography.ts';
import { distance2, type Vec2 } from '../../maths/vec.ts';
import type { Units } from '../../job/quantity.ts';
import type { Mark } from '../../outputs/drawing.ts';
import type { PictureScale } from '../../readings/picture.ts';
import { meanSigma } from '../../readings/pictureError.ts';
import { keptPlace, pictureReadings, placeOf } from '../../readings/pictureReadings.ts';
import { sayIssue, type Result } from '../../result.ts';
import type { BoardContent, BoardPicture, Handle } from '../board/board.ts';
import { chooseFile } from '../files.ts';
import { makeLoupe, type Loupe } from './loupe.ts';
import { openPicture, type OpenPicture } from './pictureIn.ts';
import { readingDocuments, setReadings, type TypedReading } from './readingsEdit.ts';
import type { Bench, Stage } from './stage.ts';
import { makeUnderlayBar, type Step } from './underlayBar.ts';
import { flip, seenCurve, underlayMarks } from './underlayMarks.ts';
import { putAmong, tappedIn, type Tapped } from './underlayPicks.ts';
import { freshState, knownList, mostPoints, scaleOf, stateFrom, stillMissing, type PointList, type UnderlayState } from './underlayState.ts';

export interface Underlay extends Required<Pick<Stage, 'choose' | 'drag' | 'nudge' | 'remove' | 'aim' | 'put'>> {
  /** True while the picture is on the board to be scaled and tapped; the rest of these then answers for the stage. */
  readonly isOpen: () => boolean;
  readonly content: () => BoardContent;
  /** The picture under the contour, in mm; null when there is none, or none wanted. */
  readonly under: () => BoardPicture | null;
  readonly keys: readonly HTMLElement[];
  readonly bar: HTMLElement;
  readonly take: (file: File) => Promise<void>;
  readonly refresh: () => void;
}

/** Kinds of files offered; what a file really is, its first bytes tell. */
const accept = 'image/png,image/jpeg,image/webp';
export const looksLikePicture = (file: File): boolean => file.type.startsWith('image/') && file.type !== 'image/svg+xml';

/** The picture's px as the board's units while it is scaled. */
const asSeen: Homography = [1, 0, 0, 0, -1, 0, 0, 0, 1];
/** How strongly the picture shows under the contour. */
const underStrength = 0.5;

export function makeUnderlay(bench: Bench): Underlay {
  const { store } = bench;
  let state: UnderlayState = freshState;
  let picture: OpenPicture | null = null;
  let name = '';
  let open = false;
  let step: Step = 'known';
  let job = '';
  /** A picture is being decoded, which takes seconds for a large one. */
  let opening = false;
  let loupe: Loupe | null = null;
  /** `corners 2`, or `pick` with the place below. */
  let chosen = '';
  let chosenPlace: Vec2 | null = null;
  /** A pick under way: its order may change while it moves, its place is where it was last put. */
  let held: Vec2 | null = null;
  let drags = 0;
  /** The scale the readings in the job were taken with. */
  let taken: PictureScale | null = null;
  /** What was set on the picture when a document was written, so that undo brings both back. Gone with the page. */
  let setFor = new WeakMap<object, UnderlayState>();
  let seen: object | null = null;
  let last: { readonly of: string; readonly scale: Result<PictureScale> | null } | null = null;

  const units = (): Units => (store.document.units === 'inch' ? 'inch' : 'mm');
  const readings = (): readonly TypedReading[] => readingDocuments(store.document);
  const inside = ([x, y]: Vec2): boolean => picture !== null && x >= 0 && y >= 0 && x <= picture.width && y <= picture.height;
  const into = ([x, y]: Vec2): Vec2 => [Math.min(Math.max(x, 0), picture?.width ?? 0), Math.min(Math.max(y, 0), picture?.height ?? 0)];

  function scale(): Result<PictureScale> | null {
    if (picture === null) return null;
    // The same scale stays the same object, so that one can ask whether readings were taken with it.
    const of = JSON.stringify([{ ...state, words: '', shown: true }, picture.url, units()]);
    if (last?.of !== of) last = { of, scale: scaleOf(state, [picture.width, picture.height], units()) };
    return last.scale;
  }
  const good = (): PictureScale | null => {
    const now = scale();
    return now?.ok ? now.value : null;
  };

  const picks = (): readonly Tapped[] => (taken === null ? [] : tappedIn(readings(), taken, units()));
  /** Readings with a place in a picture that say something else now. */
  const astray = (): number => picture === null ? 0 : readings().filter((r) => placeOf(r.note) !== null).length - picks().length;
  const samePlace = (a: Vec2, b: Vec2): boolean => distance2(a, keptPlace(b)) === 0;
  const handleId = (place: Vec2): string => {
    const pick = picks().find((p) => samePlace(p.px, place));
    return pick ? `pick ${pick.index}` : '';
  };

  /** Puts the readings of these places in order of station among the others. */
  function write(by: PictureScale, places: readonly Vec2[], others: readonly TypedReading[], what: string, group: string): void {
    if (!store.editable || picture === null) return;
    const words = `Picture ${name} (${picture.width} x ${picture.height} px), ${by.words}.`;
    const source = String(store.document.trace?.source ?? '');
    const next = state.words !== '' && source.includes(state.words) ? source.replace(state.words, words) : [others.length > 0 ? source : '', words].filter(Boolean).join(' ');
    state = { ...state, words };
    taken = by;
    keep();
    setReadings(store, putAmong(others, pictureReadings(by, places, units()), units()), what, group, next.slice(0, 2000));
    setFor.set(store.document, state);
  }

  /** The places of the picks changed. */
  function writePicks(places: readonly Vec2[], what: string, group = ''): void {
    const by = good();
    if (by === null) return;
    const mine = new Set(picks().map((p) => p.index));
    write(by, places, readings().filter((_, i) => !mine.has(i)), what, group);
  }

  /** The scale changed: readings taken with the last one follow; what was typed over since stays. */
  function retake(): void {
    const by = good();
    if (by === null || by === taken) return;
    // A place beyond the new scale's horizon keeps the reading it had.
    const before = picks().filter((p) => by.toMm(p.px) !== null);
    const mine = new Set(before.map((p) => p.index));
    if (before.length > 0) write(by, before.map((p) => p.px), readings().filter((_, i) => !mine.has(i)), 'Picture scaled again', 'picture scale');
    taken = by;
  }

  function keep(): void {
    if (!store.editable) return;
    void bench.keeping.keeper?.keepScale(job, state).catch(() => bench.tell('What was set on the picture could not be kept: no room or no permission.', true));
  }

  function change(values: Partial<UnderlayState>, settle = true): void {
    if (!store.editable) return;
    state = { ...state, ...values };
    if (settle) {
      retake();
      setFor.set(store.document, state);
      keep();
    }
    bench.redraw();
  }

  /** Undo or redo brought back readings taken with another scale: what was set on the picture then comes back with them. */
  function followUndo(): void {
    if (seen === store.document) return;
    seen = store.document;
    const then = setFor.get(seen);
    if (then === undefined || picture === null || astray() === 0) return;
    const [was, by] = [state, taken];
    state = { ...then, shown: state.shown };
    taken = good();
    if (astray() === 0) return keep();
    [state, taken] = [was, by];
  }

  /** Another job was opened, or the page was: its picture comes back. */
  async function ensure(): Promise<void> {
    const now = bench.keeping.job();
    if (now === job) return;
    job = now;
    drop();
    const { keeper } = bench.keeping;
    const [kept, keptScale] = await Promise.all([keeper?.picture(now), keeper?.scale(now)]).catch(() => [null, null] as const);
    if (!kept || job !== now) return;
    const opened = await openPicture(kept.blob, kept.name);
    if (job !== now || picture !== null) return opened.ok ? opened.value.close() : undefined;
    if (!opened.ok) return bench.tell(opened.issues.map(sayIssue).join(' '), true);
    picture = opened.value;
    name = kept.name;
    state = stateFrom(keptScale);
    taken = good();
    bench.redraw();
  }

  function drop(): void {
    picture?.close();
    picture = null;
    name = '';
    state = freshState;
    taken = null;
    last = null;
    setFor = new WeakMap();
    open = false;
    chosen = '';
    loupe?.hide();
  }

  async function take(file: File): Promise<void> {
    if (!store.editable) return;
    const mine = bench.keeping.job();
    opening = true;
    refresh();
    const opened = await openPicture(file, file.name);
    opening = false;
    refresh();
    if (!opened.ok) return bench.tell(opened.issues.map(sayIssue).join(' '), true);
    if (mine !== bench.keeping.job()) return opened.value.close();
    job = mine;
    drop();
    picture = opened.value;
    name = file.name;
    open = true;
    step = 'known';
    keep();
    await bench.keeping.keeper?.keepPicture({ id: mine, name, blob: file }).catch(() => bench.tell('The picture could not be kept: no room or no permission. It is here until the page is closed.', true));
    bench.redraw();
  }

  async function choosePicture(): Promise<void> {
    const file = await chooseFile(accept);
    if (file) await take(file);
  }

  function goOpen(): void {
    if (picture === null) return void choosePicture();
    open = !open;
    step = good() === null ? 'known' : 'profile';
    chosen = '';
    loupe?.hide();
    bench.redraw();
  }

  /** The list of points the present step taps into; null on the profile. */
  const listOf = (): PointList | null => (step === 'known' ? knownList(state) : step === 'zero' ? 'zero' : null);
  const aiming = (): boolean => {
    const list = listOf();
    if (step === 'picture') return false;
    return list === null ? good() !== null : state[list].length < mostPoints[list];
  };

  function look(px: Vec2): void {
    if (picture === null) return;
    const board = bench.board();
    loupe ??= startLoupe(board.sheet);
    loupe.show(picture.bitmap, px, board.onSheet(flip(px)), board.scale());
  }

  function startLoupe(sheet: HTMLElement): Loupe {
    const made = makeLoupe(sheet);
    for (const gone of ['pointerup', 'pointercancel', 'focusout']) sheet.addEventListener(gone, () => made.hide());
    return made;
  }

  function addPoint(px: Vec2): void {
    const list = listOf();
    if (list !== null) {
      chosen = `${list} ${state[list].length}`;
      return change({ [list]: [...state[list], px] });
    }
    const at = good()?.toMm(px);
    if (at === null || at === undefined) return bench.tell('That place lies beyond the horizon of the plane that was scaled; nothing can be read there.', true);
    chosenPlace = keptPlace(px);
    writePicks([...picks().map((p) => p.px), px], 'Reading tapped in the picture');
  }

  function movePoint(id: string, px: Vec2, settle: boolean): void {
    const [list, index] = id.split(' ') as [PointList | 'pick', string];
    if (list !== 'pick') return change({ [list]: state[list].map((p, i) => (i === Number(index) ? px : p)) }, settle);
    // One drag is one step of undo, strokes of the keys on one point another.
    const group = held === null && settle ? `picture nudge ${index}` : `picture drag ${held === null ? (drags += 1) : drags}`;
    held ??= picks().find((p) => p.index === Number(index))?.px ?? null;
    if (held === null || good()?.toMm(px) == null) return;
    const from = held;
    held = settle ? null : keptPlace(px);
    chosenPlace = keptPlace(px);
    writePicks(picks().map((p) => (samePlace(p.px, from) ? px : p.px)), 'Moved a reading in the picture', group);
  }

  function removePoint(id: string): void {
    const [list, index] = id.split(' ') as [PointList | 'pick', string];
    loupe?.hide();
    if (list !== 'pick') return change({ [list]: state[list].filter((_, i) => i !== Number(index)) });
    chosenPlace = null;
    writePicks(picks().flatMap((p) => (p.index === Number(index) ? [] : [p.px])), 'Reading deleted in the picture');
  }

  const chosenId = (): string => (step === 'profile' ? (chosenPlace ? handleId(chosenPlace) : '') : chosen);
  const placeOfHandle = (id: string): Vec2 | null => {
    const [list, index] = id.split(' ') as [PointList | 'pick', string];
    return (list === 'pick' ? picks().find((p) => p.index === Number(index))?.px : state[list]?.[Number(index)]) ?? null;
  };

  /** Twelve CSS px, at least ten of the picture's: to cross it in a few dozen strokes. */
  const longStep = (): number => Math.max(10, Math.round(12 / bench.board().scale()));

  function handles(): Handle[] {
    const now = chosenId();
    const handle = (id: string, px: Vec2, said: string): Handle => ({ id, at: flip(px), name: said, chosen: id === now, free: 'both' });
    const list = listOf();
    if (list !== null) return state[list].map((px, i) => handle(`${list} ${i}`, px, { corners: `Corner ${i + 1}`, rulers: ['Left end along', 'Right end along', 'Lower end', 'Upper end'][i] ?? '', zero: ['Zero', 'Level'][i] ?? '' }[list]));
    return step === 'profile' ? picks().map((p) => handle(`pick ${p.index}`, p.px, `Reading ${p.index + 1}`)) : [];
  }

  function marks(): readonly Mark[] {
    if (picture === null) return [];
    const [by, mine] = [good(), picks()];
    const curve = by !== null && by === taken && mine.length > 0 ? seenCurve(store.derived.contour?.spans ?? [], by) : [];
    return [...underlayMarks(state, [picture.width, picture.height], step === 'profile' ? [] : mine.map((p) => p.px)), ...curve];
  }

  const bar = makeUnderlayBar({
    step: (next) => {
      step = next;
      chosen = '';
      bench.redraw();
    },
    change: (values) => change(values),
    another: () => void choosePicture(),
    takeAway: () => {
      const gone = job;
      drop();
      void bench.keeping.keeper?.forgetPicture(gone);
      bench.redraw();
    },
    done: goOpen,
    byKeys: () => {
      if (!aiming()) return;
      const px = into(flip(bench.board().middle()));
      addPoint(px);
      bench.board().focusHandle(chosenId());
      look(px);
    },
    remove: () => chosenId() !== '' && removePoint(chosenId()),
    clearZero: () => change({ zero: [] }),
    onlyPicture: () => {
      const by = good();
      // With them goes what was said of where they came from.
      state = { ...state, words: '' };
      if (by) write(by, picks().map((p) => p.px), [], 'Other readings removed', '');
    },
    again: () => {
      const by = good();
      if (by === null) return;
      const readable = (r: TypedReading): Vec2 | null => {
        const px = placeOf(r.note);
        return px && by.toMm(px) && px;
      };
      write(by, readings().flatMap((r) => { const px = readable(r); return px ? [px] : []; }), readings().filter((r) => readable(r) === null), 'Readings taken again from the picture', '');
    },
  });

  const mainKey = bar.openKey;
  mainKey.addEventListener('click', goOpen);
  bar.shownKey.addEventListener('click', () => change({ shown: !state.shown }));

  /** The board takes a dropped picture while this stage is up. */
  function letDrop(sheet: HTMLElement): void {
    const here = (event: DragEvent): boolean => bar.element.isConnected && event.dataTransfer?.types.includes('Files') === true;
    sheet.addEventListener('dragover', (event) => here(event) && event.preventDefault());
    sheet.addEventListener('drop', (event) => {
      if (!here(event)) return;
      event.preventDefault();
      const file = event.dataTransfer?.files[0];
      if (file && looksLikePicture(file)) void take(file);
      else if (file) bench.tell(`${file.name}: expected a picture, PNG, JPEG or WebP. Drop tables and drawings on the table.`, true);
    });
  }
  let dropping = false;

  function refresh(): void {
    followUndo();
    if (!dropping) letDrop(bench.board().sheet);
    dropping = true;
    void ensure();
    const by = good();
    const mine = picks();
    const place = step === 'profile' && chosenPlace && mine.some((p) => samePlace(p.px, chosenPlace!)) ? chosenPlace : null;
    const error = place && by?.errorAt(place);
    bar.show({
      open,
      opening,
      picture: picture && { name, width: picture.width, height: picture.height },
      step,
      state,
      scale: scale(),
      units: units(),
      missing: stillMissing(state),
      chosenMm: place && (by?.toMm(place) ?? null),
      chosenError: error ? { own: meanSigma(error.own), common: meanSigma(error.common) } : null,
      picks: mine.map((p) => p.px),
      others: picture ? readings().length - mine.length : 0,
      astray: astray(),
      tip: store.derived.job?.trace.tipRadius ?? 0,
      canDelete: chosenId() !== '',
      aiming: aiming(),
    });
  }

  return {
    isOpen: () => open && picture !== null,
    content() {
      followUndo();
      const aims = aiming();
      return {
        drawing: { marks: marks() },
        handles: handles(),
        picture: picture && { url: picture.url, width: picture.width, height: picture.height, toBoard: asSeen, strength: 1 },
        aiming: aims,
        wide: true,
        note: aims ? 'A wheel or two fingers enlarge; a mouse pulls the picture along, a finger aims.' : 'A wheel or two fingers enlarge; pull the picture along with a mouse or a finger.',
        subject: `picture ${picture?.url}`,
      };
    },
    under: () => {
      const by = good();
      return picture && by && state.shown ? { url: picture.url, width: picture.width, height: picture.height, toBoard: by.matrix, strength: underStrength } : null;
    },
    keys: [mainKey, bar.shownKey],
    bar: bar.element,
    take,
    refresh,
    choose(id) {
      const px = placeOfHandle(id);
      if (px === null) return;
      if (id.startsWith('pick')) chosenPlace = px;
      else chosen = id;
      bench.redraw();
      look(px);
    },
    drag(id, to, phase) {
      const px = into(flip(to));
      movePoint(id, px, phase === 'end');
      if (phase === 'move') look(px);
      else loupe?.hide();
      return { guides: [] };
    },
    nudge(id, by) {
      const now = placeOfHandle(id);
      if (now === null) return;
      const k = Math.hypot(...by) > 0.5 ? longStep() : 10;
      const px = keptPlace(into([now[0] + by[0] * k, now[1] - by[1] * k]));
      movePoint(id, px, true);
      bench.board().focusHandle(chosenId());
      look(px);
    },
    remove: removePoint,
    aim(at) {
      if (at === null || !inside(flip(at))) loupe?.hide();
      else look(flip(at));
    },
    put(at) {
      if (inside(flip(at))) addPoint(flip(at));
    },
  };
}
