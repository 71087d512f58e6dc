/**
 * Fixture -> which of its columns stand clear on the plate, and which of its holes are bored inside one post, one pad or
 * the bare plate and meet nothing else: those are put in without booleans. By figures alone, and strict: what is in doubt
 * is left to a boolean. Part frame, mm.
 */
import { tolerance } from '../maths/tolerance.ts';
import { insidePolygon } from '../maths/polygon.ts';
import { distance2, dot2, sub2, type Vec2 } from '../maths/vec.ts';
import { alongOutline, type Outline } from '../solid/outline.ts';
import type { Bore } from '../solid/recipe.ts';
import type { Column, FixtureHole, FixturePlan } from './holding.ts';

/** mm round bodies keep clear of everything here, at least. */
const clear = 0.05;
/** mm outlines are taken apart to, for measuring to them. */
const chord = 0.005;

/** Metal or room in plan: an outline with holes in it. */
interface Area {
  readonly rim: readonly Vec2[];
  readonly holes: readonly (readonly Vec2[])[];
}

const areaOf = (rim: Outline, holes: readonly Outline[] = []): Area => ({ rim: alongOutline(rim, chord), holes: holes.map((hole) => alongOutline(hole, chord)) });

const within = ({ rim, holes }: Area, at: Vec2): boolean => insidePolygon(rim, at) && !holes.some((hole) => insidePolygon(hole, at));

/** mm from a point to the nearest edge of an area. */
const toEdge = ({ rim, holes }: Area, at: Vec2): number => Math.min(...[rim, ...holes].map((loop) => toLoop(loop, at)));

function toLoop(loop: readonly Vec2[], at: Vec2): number {
  let least = Infinity;
  loop.forEach((a, i) => {
    const along = sub2(loop[(i + 1) % loop.length]!, a);
    const size = dot2(along, along);
    const share = size === 0 ? 0 : Math.max(0, Math.min(1, dot2(sub2(at, a), along) / size));
    least = Math.min(least, distance2(at, [a[0] + share * along[0], a[1] + share * along[1]]));
  });
  return least;
}

/** Whether a circle keeps off an area altogether. */
const off = (area: Area, at: Vec2, radius: number): boolean => !within(area, at) && toEdge(area, at) > radius + clear;
/** Whether it lies inside it altogether. */
const inside = (area: Area, at: Vec2, radius: number): boolean => within(area, at) && toEdge(area, at) > radius + clear;

export interface PutIn {
  /** Columns that stand clear on the bare plate. */
  readonly posts: readonly Column[];
  readonly bores: readonly Bore[];
  readonly otherColumns: readonly Column[];
  readonly otherHoles: readonly FixtureHole[];
  readonly otherMouths: FixturePlan['mouths'];
}

export function putInOf(plan: FixturePlan): PutIn {
  const blocks = plan.blocks.map(({ outline, holes }) => areaOf(outline, holes));
  const reliefs = plan.reliefs.map(({ outline }) => areaOf(outline));
  const plateTop = plan.plate.most[2];
  const stands = (column: Column): boolean =>
    column.top > plateTop + tolerance.point &&
    onPlate(plan, column.at, column.radius) &&
    [...blocks, ...reliefs].every((area) => off(area, column.at, column.radius)) &&
    plan.columns.every((other) => other === column || distance2(column.at, other.at) > column.radius + other.radius + clear);
  const posts = plan.columns.filter(stands);
  const bored = boredPlaces(plan).map((place) => ({ place, bore: boreAt(plan, place, posts, blocks, reliefs) }));
  // Those that come near one another meet below: neither is easy.
  const apart = (one: Place): boolean => bored.every(({ place }) => place === one || distance2(place.at, one.at) > place.radius + one.radius + clear);
  const easy = bored.filter(({ place, bore }) => bore !== null && apart(place));
  const done = new Set(easy.flatMap(({ place }) => [place.hole, place.mouth]));
  return {
    posts,
    bores: easy.map(({ bore }) => bore!),
    otherColumns: plan.columns.filter((column) => !posts.includes(column)),
    otherHoles: plan.holes.filter((hole) => !done.has(hole)),
    otherMouths: plan.mouths.filter((mouth) => !done.has(mouth)),
  };
}

const onPlate = ({ plate: { least, most } }: FixturePlan, [x, y]: Vec2, radius: number): boolean =>
  x - radius > least[0] + clear && x + radius < most[0] - clear && y - radius > least[1] + clear && y + radius < most[1] - clear;

/** A hole and the relief round its mouth, or either by itself. */
interface Place {
  readonly at: Vec2;
  /** Where it is widest. */
  readonly radius: number;
  readonly hole: FixtureHole | null;
  readonly mouth: FixturePlan['mouths'][number] | null;
}

function boredPlaces({ holes, mouths }: FixturePlan): Place[] {
  const mouthOf = (hole: FixtureHole): Place['mouth'] => mouths.find((mouth) => mouth.name === hole.name && distance2(mouth.at, hole.at) < tolerance.point) ?? null;
  const taken = new Set(holes.map(mouthOf));
  const widest = (hole: FixtureHole): number => Math.max(hole.diameter, hole.counterbore?.diameter ?? 0, hole.slot === null ? 0 : 2 * hole.slot.length + hole.diameter) / 2;
  return [
    ...holes.map((hole): Place => ({ at: hole.at, hole, mouth: mouthOf(hole), radius: Math.max(widest(hole), mouthOf(hole)?.radius ?? 0) })),
    ...mouths.filter((mouth) => !taken.has(mouth)).map((mouth): Place => ({ at: mouth.at, hole: null, mouth, radius: mouth.radius })),
  ];
}

/** The face it opens in from above: its height and how wide a bore it takes. */
function hostOf(plan: FixturePlan, { at, hole, mouth }: Place, posts: readonly Column[], blocks: readonly Area[]): { readonly top: number; readonly takes: (radius: number) => boolean } {
  const name = hole?.name ?? mouth!.name;
  const post = posts.find((column) => distance2(column.at, at) < tolerance.point);
  if (post !== undefined) return { top: post.top, takes: (radius) => radius < post.radius - clear };
  const others = (keep: (i: number) => boolean, radius: number): boolean =>
    blocks.every((block, i) => keep(i) || off(block, at, radius)) && plan.columns.every((column) => distance2(column.at, at) > column.radius + radius + clear);
  const pad = plan.blocks.findIndex((block) => block.what === 'pad' && block.name === name);
  if (pad >= 0) return { top: plan.blocks[pad]!.top, takes: (radius) => inside(blocks[pad]!, at, radius) && others((i) => i === pad, radius) };
  return { top: plan.plate.most[2], takes: (radius) => others(() => false, radius) };
}

function boreAt(plan: FixturePlan, place: Place, posts: readonly Column[], blocks: readonly Area[], reliefs: readonly Area[]): Bore | null {
  const { at, radius, hole, mouth } = place;
  const host = hostOf(plan, place, posts, blocks);
  const [low, plateTop] = [plan.plate.least[2], plan.plate.most[2]];
  if (!onPlate(plan, at, radius) || !reliefs.every((area) => off(area, at, radius))) return null;
  if (hole !== null && (hole.slot !== null || Math.abs(hole.to - host.top) > tolerance.point)) return null;
  const steps = stepsOf(place, low, host.top);
  const from = hole === null ? mouth!.from : hole.through ? low : hole.from;
  const growing = steps.every(({ to }, i) => to > (i === 0 ? from : steps[i - 1]!.to) + clear);
  // Above the plate it stays inside its post or pad; in the plate only the plate's own edge and other holes count.
  const fits = steps.every(({ radius: r, to }) => to <= plateTop + tolerance.point || host.takes(r)) && host.takes(steps.at(-1)!.radius);
  return growing && fits && from >= low - tolerance.point ? { at, from, steps, open: { below: hole?.through === true, above: true } } : null;
}

function stepsOf({ hole, mouth }: Place, low: number, top: number): Bore['steps'] {
  if (hole === null) return [{ radius: mouth!.radius, to: top }];
  const { diameter, counterbore } = hole;
  const below = counterbore?.from === 'below' ? [{ radius: counterbore.diameter / 2, to: low + counterbore.depth }] : [];
  const [wide, wideFrom] = counterbore?.from === 'above' ? [counterbore.diameter / 2, top - counterbore.depth] : [mouth?.radius ?? 0, mouth?.from ?? top];
  return [...below, { radius: diameter / 2, to: wide > 0 ? wideFrom : top }, ...(wide > 0 ? [{ radius: wide, to: top }] : [])];
}
