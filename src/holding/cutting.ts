/**
 * The part and the shop's cutter drawer -> what each cut needs, which cutter of the drawer does it, and the order of the
 * cuts. mm, degrees. Geometry decides what fits; reach is counted from the rim the holder has to stay above.
 * Order and rules of thumb are common practice, no source. Feeds, speeds and how far a cutter may stand out of its holder
 * are the shop's own and not told here.
 */
import type { Job } from '../job/schema.ts';
import { mmPerInch, type Units } from '../job/quantity.ts';
import { tolerance } from '../maths/tolerance.ts';
import { scallopHeight } from '../standards/scallop.ts';
import { threadNames, type ThreadName } from '../standards/threads.ts';
import type { SolidPlan, ThroughHole } from '../solid/plan.ts';
import type { Cutter, CutterDrawer, CutterKind } from './cutterFile.ts';

export interface CutterNeed {
  readonly operation: 'op 1' | 'op 2';
  readonly what: string;
  /** Path into the job of what asks for it. */
  readonly at: string;
  readonly kinds: readonly CutterKind[];
  /** Exactly this diameter (drills), within `tolerance.drill`; null where a range is given. */
  readonly exact: number | null;
  readonly most: number | null;
  /** Largest radius its corner may have: half its diameter for a ball. Null where any does. */
  readonly cornerMost: number | null;
  readonly reach: number | null;
  readonly thread: ThreadName | null;
  readonly chosen: Cutter | null;
  /** Why none was chosen; empty when one was, or when no drawer is known. */
  readonly without: string;
}

export interface Step {
  readonly operation: CutterNeed['operation'];
  readonly said: string;
}

export interface Cutting {
  readonly needs: readonly CutterNeed[];
  readonly steps: readonly Step[];
  /** Height of the ridges the ball leaves on a flat, mm. */
  readonly scallop: number;
}

type Want = Omit<CutterNeed, 'chosen' | 'without'>;

const bare: Omit<Want, 'operation' | 'what' | 'at' | 'kinds'> = { exact: null, most: null, cornerMost: null, reach: null, thread: null };

export function cuttingOf(job: Job, plan: SolidPlan, drawer: CutterDrawer | null): Cutting {
  const wants = merged([...firstSide(job, plan), ...secondSide(job, plan)]);
  return {
    needs: wants.map((want) => ({ ...want, ...choose(want, drawer) })),
    steps: stepsOf(job, plan),
    scallop: scallopHeight(job.machining.ballDiameter / 2, job.machining.stepOver),
  };
}

/** Deepest the inside goes below the rim of the feet, and the tallest the outside stands. */
export function depthsOf({ body }: SolidPlan): { readonly inside: number; readonly outside: number } {
  const foot = Math.min(body.frontFoot, body.backFoot);
  const highest = (curves: SolidPlan['body']['top']): number => Math.max(...curves.flatMap((curve) => curve.poles.map((pole) => pole[1])));
  return { inside: highest(body.roof) - foot, outside: highest(body.top) - foot };
}

function firstSide(job: Job, plan: SolidPlan): Want[] {
  const { body, bosses, tabs } = plan;
  const { inside, outside } = depthsOf(plan);
  const foot = Math.min(body.frontFoot, body.backFoot);
  const closed = body.left.closed || body.right.closed;
  const wants: Want[] = [
    { ...bare, operation: 'op 1', what: 'Outline, feet and seats', at: 'holding.topCutter', kinds: ['end mill'], most: job.holding.topCutter, reach: outside },
    { ...bare, operation: 'op 1', what: 'Inside, rough and walls', at: 'machining.cutterDiameter', kinds: ['end mill', 'bull-nose'], most: Math.min(job.machining.cutterDiameter, closed ? 2 * body.insideCornerRadius : Infinity), cornerMost: body.insideRoofRadius, reach: inside },
    { ...bare, operation: 'op 1', what: 'Inside roof', at: 'body.insideRoofRadius', kinds: ['ball', 'bull-nose'], most: job.machining.cutterDiameter, cornerMost: body.insideRoofRadius > 0 ? body.insideRoofRadius : null, reach: inside },
  ];
  for (const boss of bosses) {
    if (boss.hole === null) continue;
    const thread = threadNames.find((name) => name === boss.hole!.thread) ?? null;
    const deep = boss.endHeight - foot + boss.hole.depth;
    wants.push({ ...bare, operation: 'op 1', what: `Drill ${boss.name}`, at: `${boss.at}.holeDepth`, kinds: ['drill'], exact: boss.hole.diameter, reach: deep });
    if (thread !== null) wants.push({ ...bare, operation: 'op 1', what: `Tap ${boss.name}`, at: `${boss.at}.thread`, kinds: ['tap'], thread, reach: boss.endHeight - foot + boss.hole.threadDepth });
  }
  for (const tab of tabs) if (tab.hole !== null) wants.push(...holeWants('op 1', tab.name, `${tab.at}.hole`, tab.hole));
  for (const notch of plan.notches) wants.push({ ...bare, operation: 'op 1', what: 'Notches', at: notch.at, kinds: ['end mill', 'ball', 'bull-nose'], most: notch.width, reach: notch.height });
  if (job.edgeBreaks.feet > 0 || job.edgeBreaks.holes > 0) wants.push({ ...bare, operation: 'op 1', what: 'Broken edges underneath', at: 'edgeBreaks', kinds: ['chamfer', 'spot drill'] });
  return wants;
}

function secondSide(job: Job, plan: SolidPlan): Want[] {
  const { body, tabs, grooves, engravings, holes } = plan;
  const { outside } = depthsOf(plan);
  const roots = tabs.map((tab) => tab.rootRadius).filter((r) => r > 0);
  const wants: Want[] = [
    { ...bare, operation: 'op 2', what: 'Top, rough', at: 'holding.topCutter', kinds: ['end mill', 'bull-nose'], most: job.holding.topCutter, reach: outside },
    { ...bare, operation: 'op 2', what: 'Top and outside radius, finish', at: 'machining.ballDiameter', kinds: ['ball'], most: job.machining.ballDiameter, cornerMost: job.machining.ballDiameter / 2, reach: body.outsideRadius },
  ];
  if (tabs.length > 0) wants.push({ ...bare, operation: 'op 2', what: 'Tab tops and their roots', at: 'tabs', kinds: roots.length > 0 ? ['bull-nose', 'ball'] : ['end mill'], most: job.holding.topCutter, cornerMost: roots.length > 0 ? Math.min(...roots) : null, reach: outside - Math.min(...tabs.map((tab) => tab.seat + tab.thickness)) });
  for (const groove of grooves) wants.push({ ...bare, operation: 'op 2', what: 'Grooves', at: groove.at, kinds: ['end mill'], most: groove.width, reach: groove.depth });
  for (const text of engravings.filter((one) => one.on === 'top')) wants.push({ ...bare, operation: 'op 2', what: 'Lettering', at: text.at, kinds: ['engraver', 'end mill', 'ball'], most: strokeWidth(text.height), reach: text.depth });
  for (const text of engravings.filter((one) => one.on === 'underside')) wants.push({ ...bare, operation: 'op 1', what: 'Lettering underneath', at: text.at, kinds: ['engraver', 'end mill', 'ball'], most: strokeWidth(text.height), reach: depthsOf(plan).inside });
  for (const hole of holes) wants.push(...holeWants('op 2', hole.name, hole.at, hole));
  if (job.edgeBreaks.tabs > 0) wants.push({ ...bare, operation: 'op 2', what: 'Broken edges of the tabs', at: 'edgeBreaks.tabs', kinds: ['chamfer', 'spot drill'] });
  return wants;
}

/** mm. Strokes of the bundled letters are about an eighth of a capital wide. */
const strokeWidth = (height: number): number => height / 8;

function holeWants(operation: Want['operation'], name: string, at: string, hole: ThroughHole): Want[] {
  const wants: Want[] = [hole.slot > 0 ? { ...bare, operation, what: `Slot ${name}`, at, kinds: ['end mill'], most: hole.diameter, reach: hole.depth } : { ...bare, operation, what: `Drill ${name}`, at, kinds: ['drill'], exact: hole.diameter, reach: hole.depth }];
  if (hole.head.kind === 'counterbore') wants.push({ ...bare, operation, what: `Counterbore ${name}`, at, kinds: ['counterbore', 'end mill'], most: hole.head.diameter, reach: hole.head.depth });
  if (hole.head.kind === 'countersink') wants.push({ ...bare, operation, what: `Countersink ${name}`, at, kinds: ['chamfer', 'spot drill'] });
  return wants;
}

/** One line for all holes that take the same drill or tap: `Drill B1, B2`. */
function merged(wants: readonly Want[]): Want[] {
  const groups = new Map<string, Want[]>();
  for (const want of wants) {
    const [verb] = want.what.split(' ');
    const key = JSON.stringify([want.operation, want.kinds, want.exact, want.most, want.thread, want.exact === null && want.thread === null && want.kinds[0] !== 'counterbore' && verb !== 'Slot' ? want.what : verb]);
    groups.set(key, [...(groups.get(key) ?? []), want]);
  }
  return [...groups.values()].map((group) => {
    const [first] = group as [Want, ...Want[]];
    const verb = first.what.split(' ')[0]!;
    const names = group.map((one) => one.what.slice(verb.length + 1));
    const reach = group.map((one) => one.reach).filter((one) => one !== null);
    const same = group.every((one) => one.what === first.what);
    return { ...first, what: same ? first.what : `${verb} ${names.join(', ')}`, reach: reach.length > 0 ? Math.max(...reach) : null };
  });
}

function choose(want: Want, drawer: CutterDrawer | null): Pick<CutterNeed, 'chosen' | 'without'> {
  if (drawer === null) return { chosen: null, without: '' };
  const kind = drawer.cutters.filter((cutter) => want.kinds.includes(cutter.kind));
  const fits = kind.filter((cutter) => fitsSize(want, cutter));
  const reaches = fits.filter((cutter) => want.reach === null || cutter.reach === undefined || cutter.reach >= want.reach - tolerance.point);
  // The largest that fits is the stiffest; of equals, the one that reaches with least to spare.
  const [best] = [...reaches].sort((a, b) => b.diameter - a.diameter || (a.reach ?? Infinity) - (b.reach ?? Infinity));
  if (best !== undefined) return { chosen: best, without: '' };
  const said = want.kinds.join(' or ');
  if (kind.length === 0) return { chosen: null, without: `No ${said} in the drawer.` };
  if (fits.length === 0) return { chosen: null, without: `No ${said} of that size in the drawer.` };
  const longest = Math.max(...fits.map((cutter) => cutter.reach ?? 0));
  return { chosen: null, without: `The longest of that size reaches ${Number(longest.toFixed(1))} mm, ${Number(want.reach!.toFixed(1))} mm needed.` };
}

function fitsSize(want: Want, cutter: Cutter): boolean {
  if (want.thread !== null) return cutter.thread === want.thread;
  if (want.exact !== null) return Math.abs(cutter.diameter - want.exact) <= tolerance.drill;
  if (want.most !== null && cutter.diameter > want.most + tolerance.point) return false;
  const corner = cutter.kind === 'ball' ? cutter.diameter / 2 : cutter.cornerRadius;
  return want.cornerMost === null || corner <= want.cornerMost + tolerance.point;
}

const sayLength = (mm: number, units: Units): string => (units === 'inch' ? `${(mm / mmPerInch).toFixed(3)} in` : `${Number(mm.toFixed(2))} mm`);

/** What is asked for, in words. */
export function sayNeed(need: CutterNeed, units: Units): string {
  const say = (mm: number): string => sayLength(mm, units);
  if (need.thread !== null) return `tap ${need.thread}${need.reach === null ? '' : `, reach ${say(need.reach)}`}`;
  const size = need.exact !== null ? ` ${say(need.exact)}` : need.most !== null && Number.isFinite(need.most) ? ` up to ${say(need.most)}` : '';
  const corner = need.cornerMost !== null && need.kinds.some((kind) => kind === 'bull-nose') ? `, corner up to R${say(need.cornerMost)}` : '';
  return `${need.kinds.join(' or ')}${size}${corner}${need.reach === null ? '' : `, reach ${say(need.reach)}`}`;
}

/** Wall height over thickness from which a wall springs when its neighbour is cut away (common practice, no source). */
const springs = 10;

function stepsOf(job: Job, plan: SolidPlan): Step[] {
  const { body, bosses, tabs, grooves, engravings, holes, notches } = plan;
  const { inside } = depthsOf(plan);
  const thin = inside / Math.min(body.wall, body.skin) > springs;
  const left = sayLength(job.machining.leaveOn, job.units);
  const list = (...steps: (string | false)[]): string[] => steps.filter((step) => step !== false);
  const first = list(
    'Face the billet to the lower foot.',
    `Rough the outline and the whole inside, leaving ${left} everywhere.`,
    thin && 'Loosen the vice, let the billet move, clamp again lightly: walls this thin spring once the middle is gone.',
    body.frontFoot !== body.backFoot ? 'Finish the feet at their two heights and the seats of the tabs.' : tabs.length > 0 && 'Finish feet and tab seats in one level.',
    'Finish the inside walls, then the roof, from the middle outwards.',
    bosses.length > 0 && 'Face the boss ends, spot, drill, break the mouths, tap.',
    tabs.some((tab) => tab.hole !== null) && 'Drill the tab holes in this clamping: they are what the second side is placed by.',
    notches.length > 0 && 'Cut the notches.',
    engravings.some((text) => text.on === 'underside') && 'Cut the lettering underneath.',
    'Break every edge that can be reached, deburr, wash, measure the blind holes.',
  );
  const second = list(
    'Put the part on its pins and feet, hold it down as told, and read the three numbers.',
    `Rough the top, leaving ${left}.`,
    thin && 'Loosen what holds it, let the skin move, tighten evenly again.',
    `Finish the top with the ball, ${sayLength(job.machining.stepOver, job.units)} a step.`,
    tabs.length > 0 && 'Finish walls, tab tops and their roots.',
    grooves.length > 0 && 'Cut the grooves.',
    engravings.some((text) => text.on === 'top') && 'Cut the lettering.',
    holes.some((hole) => Math.abs(hole.axis[2]) > 0.5) && 'Drill the holes through the skin.',
    holes.some((hole) => Math.abs(hole.axis[2]) <= 0.5) && 'Holes square through a wall need a third set-up on their side, or an angle head.',
    'Break the edges with the part still held.',
  );
  return [...first.map((said): Step => ({ operation: 'op 1', said })), ...second.map((said): Step => ({ operation: 'op 2', said }))];
}
