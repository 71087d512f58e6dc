/** Things on the plan as the job holds them: which one is chosen, how it is changed, added, copied and mirrored. */
import { mmPerInch, type Units } from '../../job/quantity.ts';
import type { JobDocument } from '../../job/schema.ts';
import type { Vec2 } from '../../maths/vec.ts';
import type { SolidPlan } from '../../solid/plan.ts';
import type { Store } from '../state/store.ts';

export type ListName = 'tabs' | 'bosses' | 'holes' | 'notches' | 'grooves' | 'engraving';

export interface Chosen {
  readonly list: ListName;
  readonly index: number;
}

export type Typed = Readonly<Record<string, unknown>>;

export const titles: Readonly<Record<ListName, string>> = { tabs: 'Tab', bosses: 'Boss', holes: 'Hole', notches: 'Notch', grooves: 'Groove', engraving: 'Lettering' };

export const chosenOf = (path: string): Chosen | null => {
  const found = /^(tabs|bosses|holes|notches|grooves|engraving)\[(\d+)\]/.exec(path);
  return found ? { list: found[1] as ListName, index: Number(found[2]) } : null;
};

export const pathOf = (c: Chosen): string => `${c.list}[${c.index}]`;

export const unitsOf = (document: JobDocument): Units => (document.units === 'inch' ? 'inch' : 'mm');

/** A length as it is typed in a job, rounded to what a drag can mean. */
export const typedLength = (mm: number, units: Units): number => (units === 'inch' ? Number((mm / mmPerInch).toFixed(4)) : Number(mm.toFixed(3)));

export const listOf = (document: JobDocument, name: ListName): readonly Typed[] => (document[name] ?? []) as unknown as readonly Typed[];

export const writeList = (store: Store, name: ListName, items: readonly unknown[], label: string, place = ''): void => store.replace({ ...store.document, [name]: items } as JobDocument, label, place);

/** Values of one thing changed; undefined takes a value back to its default. */
export function change(store: Store, c: Chosen, values: Typed, label: string, place: string): void {
  const merged = (item: Typed): Typed => Object.fromEntries(Object.entries({ ...item, ...values }).filter(([, value]) => value !== undefined));
  writeList(store, c.list, listOf(store.document, c.list).map((item, i) => (i === c.index ? merged(item) : item)), label, place);
}

/** A new thing in the middle of the part. */
export function freshItem(name: ListName, plan: SolidPlan, document: JobDocument): Typed {
  const units = unitsOf(document);
  const typed = (mm: number): number => typedLength(mm, units);
  const [x, y] = [typed(plan.body.length / 2), typed(plan.body.width / 2)];
  const screw = units === 'inch' ? '#8-32' : 'M5';
  const all: Readonly<Record<ListName, Typed>> = {
    tabs: { wall: 'left', at: x },
    bosses: { x, y, thread: screw, holeDepth: typed(12), endHeight: typed(10) },
    holes: { in: 'skin', x, y, screw },
    notches: { wall: 'back', at: y },
    grooves: { run: 'along', at: y, from: typed(plan.body.length * 0.25), to: typed(plan.body.length * 0.75) },
    engraving: { text: String(document.partNumber ?? 'COVER'), x, y, angle: 0 },
  };
  return all[name];
}

const opposite = { front: 'back', back: 'front', left: 'right', right: 'left' } as const;

/** A copy a little to the side, or mirrored front to back (x) or left to right (y). */
export function copyOfItem({ list, index }: Chosen, mirror: 'none' | 'x' | 'y', plan: SolidPlan, document: JobDocument): Typed | null {
  const item = listOf(document, list)[index];
  if (item === undefined) return null;
  const typed = (mm: number): number => typedLength(mm, unitsOf(document));
  const { name: _, ...rest } = item;
  const size = mirror === 'x' ? plan.body.length : plan.body.width;
  if (list === 'tabs') {
    const tab = plan.tabs[index];
    if (tab === undefined) return null;
    const upright = tab.wall === 'front' || tab.wall === 'back';
    if (mirror === 'none') return { ...rest, at: typed(tab.middle + tab.length + 10) };
    if ((mirror === 'x') === upright) return { ...rest, wall: opposite[tab.wall] };
    const along = tab.hole === null ? 0 : (upright ? tab.hole.entry[1] : tab.hole.entry[0]) - tab.middle;
    return { ...rest, at: typed(size - tab.middle), ...(item['holeAlong'] === undefined ? {} : { holeAlong: typed(-along) }) };
  }
  const at = centreOf(plan, { list, index });
  if (at !== null && (list === 'bosses' || list === 'holes' || list === 'engraving')) {
    if (mirror === 'none') return { ...rest, x: typed(at[0] + 15), y: typed(at[1]) };
    return { ...rest, [mirror]: typed(size - at[mirror === 'x' ? 0 : 1]) };
  }
  const middle = list === 'notches' ? plan.notches[index]?.middle : plan.grooves[index]?.middle;
  return middle === undefined ? rest : { ...rest, at: typed(mirror === 'none' ? middle + 12 : size - middle) };
}

/** Where a boss, hole or line of lettering stands in plan, or the hole of a tab; null for what has no centre. */
export function centreOf(plan: SolidPlan, { list, index }: Chosen): Vec2 | null {
  if (list === 'tabs') {
    const hole = plan.tabs[index]?.hole;
    return hole ? [hole.entry[0], hole.entry[1]] : null;
  }
  if (list === 'bosses') {
    const boss = plan.bosses[index];
    return boss ? [boss.x, boss.y] : null;
  }
  if (list === 'holes') {
    const hole = plan.holes[index];
    return hole ? [hole.entry[0], hole.entry[1]] : null;
  }
  return list === 'engraving' ? (plan.engravings[index]?.centre ?? null) : null;
}
