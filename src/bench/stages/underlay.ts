/** A photo or flatbed scan on the board: scaled by what is known in it, then tapped along the profile. */
import type { Homography } from '../../maths/homography.ts';
import type { Vec2 } from '../../maths/vec.ts';
import type { Mark } from '../../outputs/drawing.ts';
import { meanSigma } from '../../readings/pictureError.ts';
import { keptPlace } from '../../readings/pictureReadings.ts';
import type { BoardContent, BoardPicture } from '../board/content.ts';
import { chooseFile } from '../files.ts';
import { makeLoupe, type Loupe } from './loupe.ts';
import type { Bench, Stage } from './stage.ts';
import { makeUnderlayBar, type Step } from './underlayBar.ts';
import { flip, seenCurve, underlayMarks } from './underlayMarks.ts';
import { makeUnderlayModel } from './underlayModel.ts';
import { makeUnderlayPoints } from './underlayPoints.ts';
import { stillMissing } from './underlayState.ts';

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
  let open = false;
  let step: Step = 'known';
  let loupe: Loupe | null = null;

  const model = makeUnderlayModel(bench, {
    opening: () => refresh(),
    taken() {
      open = true;
      step = 'known';
    },
    dropped() {
      open = false;
      points.letGo();
      loupe?.hide();
    },
  });
  const { state, picture, units, readings, good, picks, change } = model;
  const points = makeUnderlayPoints(model, () => step, bench.tell);

  const inside = ([x, y]: Vec2): boolean => x >= 0 && y >= 0 && x <= (picture()?.width ?? -1) && y <= (picture()?.height ?? -1);
  const into = ([x, y]: Vec2): Vec2 => [Math.min(Math.max(x, 0), picture()?.width ?? 0), Math.min(Math.max(y, 0), picture()?.height ?? 0)];

  function laid(toBoard: Homography, strength: number): BoardPicture | null {
    const shown = picture();
    return shown && { url: shown.url, width: shown.width, height: shown.height, toBoard, strength };
  }

  async function choosePicture(): Promise<void> {
    const file = await chooseFile(accept);
    if (file) await model.take(file);
  }

  function goOpen(): void {
    if (picture() === null) return void choosePicture();
    open = !open;
    step = good() === null ? 'known' : 'profile';
    points.letGo();
    loupe?.hide();
    bench.redraw();
  }

  function look(px: Vec2): void {
    const shown = picture();
    if (shown === null) return;
    const board = bench.board();
    loupe ??= startLoupe(board.sheet);
    loupe.show(shown.bitmap, px, board.onSheet(flip(px)), board.scale());
  }

  function startLoupe(sheet: HTMLElement): Loupe {
    const made = makeLoupe(sheet);
    for (const gone of ['pointerup', 'pointercancel', 'focusout']) sheet.addEventListener(gone, () => made.hide());
    return made;
  }

  /** Twelve CSS px, at least ten of the picture's: to cross it in a few dozen strokes. */
  const longStep = (): number => Math.max(10, Math.round(12 / bench.board().scale()));

  function marks(): readonly Mark[] {
    const shown = picture();
    if (shown === null) return [];
    const [by, mine] = [good(), picks()];
    const curve = by !== null && by === model.taken() && mine.length > 0 ? seenCurve(store.derived.contour?.spans ?? [], by) : [];
    return [...underlayMarks(state(), [shown.width, shown.height], step === 'profile' ? [] : mine.map((p) => p.px)), ...curve];
  }

  function remove(id: string): void {
    loupe?.hide();
    points.remove(id);
  }

  const bar = makeUnderlayBar({
    step: (next) => {
      step = next;
      points.letGo();
      bench.redraw();
    },
    change: (values) => change(values),
    another: () => void choosePicture(),
    takeAway: model.takeAway,
    done: goOpen,
    byKeys: () => {
      if (!points.aiming()) return;
      const px = into(flip(bench.board().middle()));
      points.put(px);
      bench.board().focusHandle(points.chosen());
      look(px);
    },
    remove: () => points.chosen() !== '' && remove(points.chosen()),
    clearZero: () => change({ zero: [] }),
    onlyPicture: model.onlyPicture,
    again: model.again,
  });

  const mainKey = bar.openKey;
  mainKey.addEventListener('click', goOpen);
  bar.shownKey.addEventListener('click', () => change({ shown: !state().shown }));

  /** The board takes a dropped picture while this stage is up. */
  function letDrop(sheet: HTMLElement): void {
    const here = (event: DragEvent): boolean => bar.element.isConnected && event.dataTransfer?.types.includes('Files') === true;
    sheet.addEventListener('dragover', (event) => here(event) && event.preventDefault());
    sheet.addEventListener('drop', (event) => {
      if (!here(event)) return;
      event.preventDefault();
      const file = event.dataTransfer?.files[0];
      if (file && looksLikePicture(file)) void model.take(file);
      else if (file) bench.tell(`${file.name}: expected a picture, PNG, JPEG or WebP. Drop tables and drawings on the table.`, true);
    });
  }
  let dropping = false;

  function refresh(): void {
    model.followUndo();
    if (!dropping) letDrop(bench.board().sheet);
    dropping = true;
    void model.ensure();
    const [by, mine, shown] = [good(), picks(), picture()];
    const place = points.chosenReading();
    const error = place && by?.errorAt(place);
    bar.show({
      open,
      opening: model.opening(),
      picture: shown && { name: model.name(), width: shown.width, height: shown.height },
      step,
      state: state(),
      scale: model.scale(),
      units: units(),
      missing: stillMissing(state()),
      chosenMm: place && (by?.toMm(place) ?? null),
      chosenError: error ? { own: meanSigma(error.own), common: meanSigma(error.common) } : null,
      picks: mine.map((p) => p.px),
      others: shown ? readings().length - mine.length : 0,
      astray: model.astray(),
      tip: store.derived.job?.trace.tipRadius ?? 0,
      canDelete: points.chosen() !== '',
      aiming: points.aiming(),
    });
  }

  return {
    isOpen: () => open && picture() !== null,
    content() {
      model.followUndo();
      const aims = points.aiming();
      return {
        drawing: { marks: marks() },
        handles: points.handles(),
        picture: laid(asSeen, 1),
        aiming: aims,
        wide: true,
        note: aims ? 'A wheel or two fingers enlarge; a mouse pulls the picture along, a finger aims.' : 'A wheel or two fingers enlarge; pull the picture along with a mouse or a finger.',
        subject: `picture ${picture()?.url}`,
      };
    },
    under: () => {
      const by = good();
      return by && state().shown ? laid(by.matrix, underStrength) : null;
    },
    keys: [mainKey, bar.shownKey],
    bar: bar.element,
    take: model.take,
    refresh,
    choose(id) {
      const px = points.placeOf(id);
      if (px === null) return;
      points.choose(id, px);
      bench.redraw();
      look(px);
    },
    drag(id, to, phase) {
      const px = into(flip(to));
      points.move(id, px, phase === 'end');
      if (phase === 'move') look(px);
      else loupe?.hide();
      return { guides: [] };
    },
    nudge(id, by) {
      const now = points.placeOf(id);
      if (now === null) return;
      const k = Math.hypot(...by) > 0.5 ? longStep() : 10;
      const px = keptPlace(into([now[0] + by[0] * k, now[1] - by[1] * k]));
      points.move(id, px, true);
      bench.board().focusHandle(points.chosen());
      look(px);
    },
    remove,
    aim(at) {
      if (at === null || !inside(flip(at))) loupe?.hide();
      else look(flip(at));
    },
    put(at) {
      if (inside(flip(at))) points.put(flip(at));
    },
  };
}
