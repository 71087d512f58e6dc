/**
 * The points of the picture that can be taken hold of: corners, ends of rulers, zero, and the readings tapped along the
 * profile. They are put, moved, deleted and chosen here, by the names of their handles: `corners 2`, `pick 5`. Places are
 * px of the picture, y down.
 */
import { distance2, type Vec2 } from '../../maths/vec.ts';
import { keptPlace } from '../../readings/pictureReadings.ts';
import type { Handle } from '../board/content.ts';
import type { Step } from './underlayBar.ts';
import { flip } from './underlayMarks.ts';
import type { UnderlayModel } from './underlayModel.ts';
import { knownList, mostPoints, type PointList } from './underlayState.ts';

export interface UnderlayPoints {
  /** Whether a tap puts a point in this step. */
  readonly aiming: () => boolean;
  readonly put: (px: Vec2) => void;
  /** `settle` false while it is still being moved. */
  readonly move: (id: string, px: Vec2, settle: boolean) => void;
  readonly remove: (id: string) => void;
  readonly choose: (id: string, px: Vec2) => void;
  /** Nothing of the known sizes is chosen any more; a chosen reading stays. */
  readonly letGo: () => void;
  /** Handle of the chosen point, empty when there is none. */
  readonly chosen: () => string;
  /** Where the chosen reading is, as long as it is there. */
  readonly chosenReading: () => Vec2 | null;
  readonly placeOf: (id: string) => Vec2 | null;
  readonly handles: () => Handle[];
}

const names: Readonly<Record<PointList, (i: number) => string>> = {
  corners: (i) => `Corner ${i + 1}`,
  rulers: (i) => ['Left end along', 'Right end along', 'Lower end', 'Upper end'][i] ?? '',
  zero: (i) => ['Zero', 'Level'][i] ?? '',
};

const samePlace = (a: Vec2, b: Vec2): boolean => distance2(a, keptPlace(b)) === 0;

function parted(id: string): readonly [PointList | 'pick', number] {
  const [list, index] = id.split(' ') as [PointList | 'pick', string];
  return [list, Number(index)];
}

export function makeUnderlayPoints(model: UnderlayModel, step: () => Step, tell: (text: string, bad: boolean) => void): UnderlayPoints {
  const { state, good, picks, change, writePicks } = model;
  /** Of the known sizes and zero. */
  let chosen = '';
  /** Of the readings: their order may change, their places stay. */
  let chosenPlace: Vec2 | null = null;
  /** A pick under way: its order may change while it moves, its place is where it was last put. */
  let held: Vec2 | null = null;
  let drags = 0;

  /** The list of points the present step taps into; null on the profile. */
  const list = (): PointList | null => (step() === 'known' ? knownList(state()) : step() === 'zero' ? 'zero' : null);
  const pickAt = (index: number): Vec2 | undefined => picks().find((p) => p.index === index)?.px;

  function chosenId(): string {
    if (step() !== 'profile') return chosen;
    const pick = chosenPlace && picks().find((p) => samePlace(p.px, chosenPlace!));
    return pick ? `pick ${pick.index}` : '';
  }

  function put(px: Vec2): void {
    const into = list();
    if (into !== null) {
      chosen = `${into} ${state()[into].length}`;
      return change({ [into]: [...state()[into], px] });
    }
    if (good()?.toMm(px) == null) return tell('That place lies beyond the horizon of the plane that was scaled; nothing can be read there.', true);
    chosenPlace = keptPlace(px);
    writePicks([...picks().map((p) => p.px), px], 'Reading tapped in the picture');
  }

  function movePick(index: number, px: Vec2, settle: boolean): void {
    // One drag is one step of undo, strokes of the keys on one point another.
    const group = held === null && settle ? `picture nudge ${index}` : `picture drag ${held === null ? (drags += 1) : drags}`;
    held ??= pickAt(index) ?? null;
    if (held === null || good()?.toMm(px) == null) return;
    const from = held;
    held = settle ? null : keptPlace(px);
    chosenPlace = keptPlace(px);
    writePicks(picks().map((p) => (samePlace(p.px, from) ? px : p.px)), 'Moved a reading in the picture', group);
  }

  function remove(id: string): void {
    const [from, index] = parted(id);
    if (from !== 'pick') return change({ [from]: state()[from].filter((_, i) => i !== index) });
    chosenPlace = null;
    writePicks(picks().flatMap((p) => (p.index === index ? [] : [p.px])), 'Reading deleted in the picture');
  }

  function handles(): Handle[] {
    const now = chosenId();
    const handle = (id: string, px: Vec2, name: string): Handle => ({ id, at: flip(px), name, chosen: id === now, free: 'both' });
    const shown = list();
    if (shown !== null) return state()[shown].map((px, i) => handle(`${shown} ${i}`, px, names[shown](i)));
    return step() === 'profile' ? picks().map((p) => handle(`pick ${p.index}`, p.px, `Reading ${p.index + 1}`)) : [];
  }

  return {
    aiming() {
      if (step() === 'picture') return false;
      const into = list();
      return into === null ? good() !== null : state()[into].length < mostPoints[into];
    },
    put,
    move(id, px, settle) {
      const [of, index] = parted(id);
      if (of === 'pick') movePick(index, px, settle);
      else change({ [of]: state()[of].map((p, i) => (i === index ? px : p)) }, settle);
    },
    remove,
    choose(id, px) {
      if (parted(id)[0] === 'pick') chosenPlace = px;
      else chosen = id;
    },
    letGo() {
      chosen = '';
    },
    chosen: chosenId,
    chosenReading: () => (step() === 'profile' && chosenPlace && picks().some((p) => samePlace(p.px, chosenPlace!)) ? chosenPlace : null),
    placeOf(id) {
      const [of, index] = parted(id);
      return (of === 'pick' ? pickAt(index) : state()[of]?.[index]) ?? null;
    },
    handles,
  };
}
