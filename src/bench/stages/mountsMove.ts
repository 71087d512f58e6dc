/** What can be taken hold of on the plan, and what it means for the job when it is put somewhere else. Plan as seen from above, mm. */
import { mmPerInch, type Units } from '../../job/quantity.ts';
import type { Vec2 } from '../../maths/vec.ts';
import type { SolidPlan, TabPlan } from '../../solid/plan.ts';
import { wallFrame } from '../../solid/walls.ts';
import type { Handle } from '../board/content.ts';
import { chosenOf, titles, typedLength, type Chosen, type Typed } from './mountsEdit.ts';

/** A handle before the plan is turned and something is chosen. */
export type Grip = Omit<Handle, 'chosen'>;

const isUpright = (wall: TabPlan['wall']): boolean => wall === 'front' || wall === 'back';

/** A tab is taken by its corner where its middle is a hole. */
const gripAlong = (tab: TabPlan): number => tab.middle + (tab.hole ? tab.length * 0.36 : 0);

export function gripsOf(p: SolidPlan): Grip[] {
  const put = (id: string, name: string, at: Vec2, free: Handle['free'] = 'both'): Grip => ({ id, name, at, free });
  return [
    ...p.tabs.flatMap((tab) => {
      const grip = put(tab.at, `${tab.name}, tab on the ${tab.wall} wall`, wallFrame(p.body, tab.wall).plan(gripAlong(tab), tab.reach * (tab.hole ? 0.25 : 0.5)), isUpright(tab.wall) ? 'y' : 'x');
      return tab.hole ? [grip, put(`${tab.at}.hole`, `${tab.name} hole`, [tab.hole.entry[0], tab.hole.entry[1]])] : [grip];
    }),
    ...p.bosses.map((boss) => put(boss.at, `${boss.name}, boss`, [boss.x, boss.y])),
    ...p.holes.map((hole) => put(hole.at, `${hole.name}, hole`, [hole.entry[0], hole.entry[1]], Math.abs(hole.axis[2]) > 0.5 ? 'both' : Math.abs(hole.axis[0]) > 0.5 ? 'y' : 'x')),
    ...p.notches.map((notch) => put(notch.at, `Notch in the ${notch.wall} wall`, wallFrame(p.body, notch.wall).plan(notch.middle, 0), isUpright(notch.wall) ? 'y' : 'x')),
    ...p.grooves.map((groove) => put(groove.at, 'Groove', groove.run === 'along' ? [(groove.from + groove.to) / 2, groove.middle] : [groove.middle, (groove.from + groove.to) / 2])),
    ...p.engravings.map((text) => put(text.at, `Lettering "${text.text}"`, text.centre)),
  ];
}

export interface Moved {
  readonly chosen: Chosen;
  readonly values: Typed;
  /** What was moved, for the list of steps: `T2 hole`. */
  readonly what: string;
}

/** The values of the job that put the centre of the thing at `id` to `to`. */
export function movedTo(p: SolidPlan, id: string, to: Vec2, units: Units): Moved | null {
  const chosen = chosenOf(id);
  if (chosen === null) return null;
  const { list, index } = chosen;
  const typed = (mm: number): number => typedLength(mm, units);
  const moved = (values: Typed, what = titles[list].toLowerCase()): Moved => ({ chosen, values, what });
  if (list === 'tabs') {
    const tab = p.tabs[index];
    if (tab === undefined) return null;
    const along = isUpright(tab.wall) ? to[1] : to[0];
    if (!id.endsWith('.hole')) return moved({ at: typed(along - gripAlong(tab) + tab.middle) }, tab.name);
    return moved({ holeAlong: typed(along - tab.middle), holeOut: typed(outOf(p, tab, to)) }, `${tab.name} hole`);
  }
  if (list === 'grooves') {
    const groove = p.grooves[index];
    if (groove === undefined) return null;
    const [run, across] = groove.run === 'along' ? [to[0], to[1]] : [to[1], to[0]];
    const by = run - (groove.from + groove.to) / 2;
    return moved({ at: typed(across), from: typed(groove.from + by), to: typed(groove.to + by) });
  }
  if (list === 'notches') {
    const notch = p.notches[index];
    return notch === undefined ? null : moved({ at: typed(isUpright(notch.wall) ? to[1] : to[0]) });
  }
  const both = { x: typed(to[0]), y: typed(to[1]) };
  const axis = list === 'holes' ? p.holes[index]?.axis : undefined;
  if (axis === undefined || Math.abs(axis[2]) > 0.5) return moved(both);
  return moved(Math.abs(axis[0]) > 0.5 ? { y: both.y } : { x: both.x });
}

/** How far out of a tab's wall a place stands. */
export const outOf = ({ body }: SolidPlan, { wall }: TabPlan, [x, y]: Vec2): number => ({ front: -x, back: x - body.length, left: -y, right: y - body.width })[wall];

/** mm to which a drag settles when nothing else is near. */
const gridStep = { mm: 0.5, inch: mmPerInch / 64 } as const;
/** mm within which a dragged centre settles in line with another. */
const inLine = 1.5;

/** Where a drag settles: in line with another centre, else on the grid. The guides show what it settled on. */
export function settled(id: string, to: Vec2, handles: readonly Handle[], units: Units): { readonly to: Vec2; readonly guides: readonly (readonly [Vec2, Vec2])[] } {
  const others = handles.filter((other) => other.id !== id && !other.id.startsWith(`${id}.`) && !id.startsWith(`${other.id}.`));
  const guides: (readonly [Vec2, Vec2])[] = [];
  const axis = (k: 0 | 1): number => {
    const near = others.map((o) => o.at).filter((o) => Math.abs(o[k] - to[k]) < inLine).sort((a, b) => Math.abs(a[k] - to[k]) - Math.abs(b[k] - to[k]))[0];
    if (near === undefined) return Math.round(to[k] / gridStep[units]) * gridStep[units];
    guides.push([near, k === 0 ? [near[0], to[1]] : [to[0], near[1]]]);
    return near[k];
  };
  return { to: [axis(0), axis(1)], guides };
}
