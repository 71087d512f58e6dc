/**
 * Job + plan -> the fixture of the second operation. The part stands on it top up, where it stands in its own frame: feet
 * on lips, tabs on pads, bosses on posts, skin over supports; nest posts and pins place it; screws from below pull it down.
 * Part frame, mm.
 */
import type { Job } from '../job/schema.ts';
import type { Vec2 } from '../maths/vec.ts';
import { circleOutline } from '../solid/outline.ts';
import type { SolidPlan, TabPlan } from '../solid/plan.ts';
import { footBeside } from '../solid/walls.ts';
import { clearanceHole, majorDiameter, tapDrill, threadNames, threadPitch, type ThreadName } from '../standards/threads.ts';
import { footBlocks, pads } from './blocks.ts';
import { bossScrew } from './bossScrews.ts';
import { bossPost, nestPosts, supports } from './columns.ts';
import { partBox } from './footprint.ts';
import { hollowOf } from './hollow.ts';
import type { Box, BossScrew, Column, Contact, FixtureHole, FixturePlan, FixtureText, Holding, Pin } from './holding.ts';
import { pinsFor } from './pins.ts';
import { layPlate, tableHoles, type PlateLayout } from './tablePlaces.ts';

/** mm a relief for burrs round the mouth of a hole goes down, and how much wider than the mouth it is. */
const mouthDeep = 1;
const mouthWide = 0.8;
/** Height of a capital on the plate, mm, at most, and its depth. */
const letterMost = 8;
const letterDepth = 0.4;
/** Share of its strip of plate a line of letters takes, at most. */
const stripShare = 0.7;
/** Mean advance of a letter over its height. */
const advance = 0.8;

export interface Fixture {
  readonly plan: FixturePlan;
  readonly screws: readonly BossScrew[];
  readonly longSpans: Holding['longSpans'];
}

/** The plate stays clear of the cutter and of what hangs lowest. */
export const plateTopUnder = ({ holding }: Job, part: Box): number => part.least[2] - Math.max(holding.cutterGap, 2 * holding.burrRelief);

export function fixtureOf(job: Job, plan: SolidPlan): Fixture {
  const { holding } = job;
  const { body } = plan;
  const hollow = hollowOf(body);
  const part = partBox(plan);
  const plateTop = plateTopUnder(job, part);
  const layout = layPlate(job, part);
  const plate: Box = { least: [...layout.least, plateTop - holding.plate], most: [...layout.most, plateTop] };
  const feet = footBlocks(job, body, plateTop);
  const tabs = pads(job, plan);
  const posts = plan.bosses.map((boss) => bossPost(plan, hollow, boss));
  const skin = supports(job, plan, hollow, plateTop);
  const screws = plan.bosses.map((boss, i) => bossScrew(job, plan, boss, posts[i] ?? null, { bottom: plate.least[2], top: plateTop }));
  const pins = pinsFor(job, plan, plate.least[2]);
  const held = screws.filter((screw) => screw.chosen !== null);
  const padHoles = held.length > 0 ? [] : plan.tabs.flatMap((tab) => padHole(tab, pins, plate));
  return {
    screws,
    longSpans: skin.longSpans,
    plan: {
      material: holding.material,
      plate,
      blocks: [...feet.blocks, ...tabs.blocks],
      columns: [...posts.filter((post) => post !== null), ...nestPosts(job, plan, hollow), ...skin.columns],
      reliefs: [...tabs.reliefs, ...lowBosses(job, plan)],
      mouths: mouths(plan, posts, pins),
      pins,
      holes: [...screws.flatMap((screw) => screwHole(screw, plate)), ...pins.map((pin) => pinHole(pin, plan)), ...padHoles, ...tableHoles(job, layout, plate), boreHole(job, layout, plate)],
      text: texts(job, layout),
      touchOffBore: { at: layout.bore, diameter: holding.touchOffBore },
      contacts: [...feet.contacts, ...tabs.contacts, ...posts.flatMap((post) => (post === null ? [] : [postContact(post)]))],
      nestClearance: holding.nestGap,
      leastGap: Math.min(holding.nestGap, holding.supportGap),
      heldBy: held.length > 0 ? 'bosses' : padHoles.length > 0 ? 'tabs' : 'nothing',
      clamps: held.length > 0 ? held.map(({ name, place }) => ({ name, at: place })) : padHoles.map(({ name, at }) => ({ name, at })),
      table: { kind: holding.table, pitch: holding.tablePitch, screw: holding.tableScrew, places: layout.bolts },
    },
  };
}

const postContact = (post: Column): Contact => ({ what: 'boss', name: post.name, height: post.top, outline: circleOutline(post.at, post.radius), holes: [] });

/** Room for bosses that hang lower than the feet beside them. */
function lowBosses(job: Job, { body, bosses }: SolidPlan): FixturePlan['reliefs'] {
  return bosses
    .filter((boss) => boss.endHeight < Math.max(body.frontFoot, body.backFoot, footBeside(body, boss)))
    .map((boss) => ({ name: boss.name, outline: circleOutline([boss.x, boss.y], boss.diameter / 2 + job.holding.burrRelief), from: boss.endHeight }));
}

/** Room for the burrs round the mouths of holes: in posts under bosses and in pads under tab holes. */
function mouths(plan: SolidPlan, posts: readonly (Column | null)[], pins: readonly Pin[]): FixturePlan['mouths'] {
  const inPosts = plan.bosses.flatMap((boss, i) => {
    const post = posts[i];
    if (boss.hole === null || post == null) return [];
    const radius = Math.min(boss.hole.diameter / 2 + boss.hole.mouthBreak + mouthWide, post.radius - mouthWide);
    return radius > boss.hole.diameter / 2 ? [{ name: boss.name, at: post.at, radius, from: boss.endHeight - mouthDeep }] : [];
  });
  const inPads = plan.tabs.flatMap((tab) => {
    if (tab.hole === null) return [];
    const radius = (tab.hole.diameter + tab.hole.slot) / 2 + tab.hole.mouthBreak + mouthWide;
    return pins.some((pin) => pin.name === tab.name) || 2 * radius < Math.min(tab.length, tab.reach) ? [{ name: tab.name, at: [tab.hole.entry[0], tab.hole.entry[1]] as Vec2, radius, from: tab.seat - mouthDeep }] : [];
  });
  return [...inPosts, ...inPads];
}

function screwHole(screw: BossScrew, plate: Box): FixtureHole[] {
  const { name, place, endHeight, seat: { counterbore } } = screw;
  if (screw.window === null || counterbore === null) return [];
  return [{ name, what: 'screw hole', at: place, diameter: clearanceHole(screw.window.thread, 'medium'), from: plate.least[2], to: endHeight, through: true, counterbore: { ...counterbore, from: 'below' }, thread: '', threadDepth: null, slot: null }];
}

/** Through, so that a pin can be driven out again. */
const pinHole = (pin: Pin, plan: SolidPlan): FixtureHole => ({
  name: pin.name,
  what: 'pin hole',
  at: pin.at,
  diameter: pin.diameter,
  from: pin.bottom,
  to: mouthOf(plan, pin.name),
  through: true,
  counterbore: null,
  thread: '',
  threadDepth: null,
  slot: null,
});

const mouthOf = (plan: SolidPlan, name: string): number => plan.tabs.find((tab) => tab.name === name)?.seat ?? plan.bosses.find((boss) => boss.name === name)!.endHeight;

/** A tapped hole in the pad, for a screw down through the tab; none where a pin stands or no thread suits. */
function padHole(tab: TabPlan, pins: readonly Pin[], plate: Box): FixtureHole[] {
  if (tab.hole === null || pins.some((pin) => pin.name === tab.name)) return [];
  const thread = threadFor(tab.hole.diameter);
  if (thread === null) return [];
  const room = tab.seat - plate.least[2];
  return [{ name: tab.name, what: 'pad hole', at: [tab.hole.entry[0], tab.hole.entry[1]], diameter: tapDrill(thread), from: plate.least[2], to: tab.seat, through: true, counterbore: null, thread, threadDepth: Math.min(room, 2.5 * majorDiameter(thread) + threadPitch(thread)), slot: null }];
}

/** The largest screw a hole of this size lets through by its fine clearance. */
const threadFor = (hole: number): ThreadName | null =>
  threadNames.filter((name) => clearanceHole(name, 'fine') <= hole + 1e-6).reduce<ThreadName | null>((best, name) => (best === null || majorDiameter(name) > majorDiameter(best) ? name : best), null);

const boreHole = (job: Job, layout: PlateLayout, plate: Box): FixtureHole => ({
  name: 'BORE',
  what: 'touch-off bore',
  at: layout.bore,
  diameter: job.holding.touchOffBore,
  from: plate.least[2],
  to: plate.most[2],
  through: true,
  counterbore: null,
  thread: '',
  threadDepth: null,
  slot: null,
});

/** FRONT before the front, part number and revision behind the back, read along Y. */
function texts(job: Job, { labels }: PlateLayout): readonly FixtureText[] {
  const [across, along] = labels.room;
  const fit = (text: string, at: Vec2): FixtureText => ({ text, at, height: Math.max(1, Math.min(letterMost, across * stripShare, (along * stripShare) / (text.length * advance))), depth: letterDepth, angle: 90 });
  return [fit('FRONT', labels.front), fit(`${job.partNumber} ${job.revision}`, labels.back)];
}

/** For checks: every screw of the fixture that a person puts in from below. */
export const fromBelow = (plan: FixturePlan): readonly FixtureHole[] => plan.holes.filter((hole) => hole.counterbore?.from === 'below');

