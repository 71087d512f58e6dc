/**
 * The picture behind the readings, as data: which one it is, what is known of it, the scale that follows, and the readings
 * that were tapped in it. Every tap is a reading of the job at once, its place in the picture in its note, so undo, the
 * table and the curve all follow it. The picture and what is known of it stay on this machine.
 */
import type { Vec2 } from '../../maths/vec.ts';
import type { Units } from '../../job/quantity.ts';
import type { PictureScale } from '../../readings/picture.ts';
import { pictureReadings, placeOf } from '../../readings/pictureReadings.ts';
import { sayIssue, type Result } from '../../result.ts';
import { openPicture, type OpenPicture } from './pictureIn.ts';
import { readingDocuments, setReadings, type TypedReading } from './readingsEdit.ts';
import type { Bench } from './stage.ts';
import { putAmong, tappedIn, type Tapped } from './underlayPicks.ts';
import { freshState, scaleOf, stateFrom, type UnderlayState } from './underlayState.ts';

export interface UnderlayModel {
  readonly state: () => UnderlayState;
  readonly picture: () => OpenPicture | null;
  readonly name: () => string;
  /** A picture is being decoded, which takes seconds for a large one. */
  readonly opening: () => boolean;
  readonly units: () => Units;
  readonly readings: () => readonly TypedReading[];
  readonly scale: () => Result<PictureScale> | null;
  /** The scale where it is complete. */
  readonly good: () => PictureScale | null;
  /** The scale the readings in the job were taken with. */
  readonly taken: () => PictureScale | null;
  readonly picks: () => readonly Tapped[];
  /** Readings with a place in a picture that say something else now. */
  readonly astray: () => number;
  /** `settle` false while a point is still being moved. */
  readonly change: (values: Partial<UnderlayState>, settle?: boolean) => void;
  /** The places of the picks changed. */
  readonly writePicks: (places: readonly Vec2[], what: string, group?: string) => void;
  /** Only the readings of the picture stay. */
  readonly onlyPicture: () => void;
  /** Readings that were typed over are taken from the picture again. */
  readonly again: () => void;
  readonly take: (file: File) => Promise<void>;
  readonly takeAway: () => void;
  /** Brings back the picture of another job, or of this one after a reload. */
  readonly ensure: () => Promise<void>;
  readonly followUndo: () => void;
}

export interface UnderlayEvents {
  /** A picture begins or ends being decoded. */
  readonly opening: () => void;
  readonly taken: () => void;
  readonly dropped: () => void;
}

export function makeUnderlayModel(bench: Bench, events: UnderlayEvents): UnderlayModel {
  const { store } = bench;
  let state: UnderlayState = freshState;
  let picture: OpenPicture | null = null;
  let name = '';
  let job = '';
  let opening = false;
  let taken: PictureScale | null = null;
  /** What was set on the picture when a document was written, so that undo brings both back. Gone with the page. */
  let setFor = new WeakMap<object, UnderlayState>();
  let seen: object | null = null;
  let last: { readonly of: string; readonly scale: Result<PictureScale> | null } | null = null;

  const units = (): Units => (store.document.units === 'inch' ? 'inch' : 'mm');
  const readings = (): readonly TypedReading[] => readingDocuments(store.document);

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
  const astray = (): number => picture === null ? 0 : readings().filter((r) => placeOf(r.note) !== null).length - picks().length;

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
    events.dropped();
  }

  async function take(file: File): Promise<void> {
    if (!store.editable) return;
    const mine = bench.keeping.job();
    opening = true;
    events.opening();
    const opened = await openPicture(file, file.name);
    opening = false;
    events.opening();
    if (!opened.ok) return bench.tell(opened.issues.map(sayIssue).join(' '), true);
    if (mine !== bench.keeping.job()) return opened.value.close();
    job = mine;
    drop();
    picture = opened.value;
    name = file.name;
    events.taken();
    keep();
    await bench.keeping.keeper?.keepPicture({ id: mine, name, blob: file }).catch(() => bench.tell('The picture could not be kept: no room or no permission. It is here until the page is closed.', true));
    bench.redraw();
  }

  return {
    state: () => state,
    picture: () => picture,
    name: () => name,
    opening: () => opening,
    units,
    readings,
    scale,
    good,
    taken: () => taken,
    picks,
    astray,
    change,
    writePicks,
    onlyPicture() {
      const by = good();
      // With them goes what was said of where they came from.
      state = { ...state, words: '' };
      if (by) write(by, picks().map((p) => p.px), [], 'Other readings removed', '');
    },
    again() {
      const by = good();
      if (by === null) return;
      const readable = (r: TypedReading): Vec2 | null => {
        const px = placeOf(r.note);
        return px && by.toMm(px) && px;
      };
      write(by, readings().flatMap((r) => { const px = readable(r); return px ? [px] : []; }), readings().filter((r) => readable(r) === null), 'Readings taken again from the picture', '');
    },
    take,
    takeAway() {
      const gone = job;
      drop();
      void bench.keeping.keeper?.forgetPicture(gone);
      bench.redraw();
    },
    ensure,
    followUndo,
  };
}
