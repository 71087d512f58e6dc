/**
 * How the part is held -> what the person at the machine needs: billet, zeros, how it is turned over, screws with their
 * lengths, holes in machine coordinates, cutters, what to check before each cut, cautions. One sheet an operation, more
 * where the tables run on.
 */
import type { Job } from '../../job/schema.ts';
import type { Box, Holding, MachineHole, Operation } from '../../holding/holding.ts';
import { sayNeed, type CutterNeed, type Step } from '../../holding/cutting.ts';
import { add3, dot3, scale3, type Vec2, type Vec3 } from '../../maths/vec.ts';
import type { SolidPlan } from '../../solid/plan.ts';
import { cautions } from '../cautions.ts';
import { boundsOf, label, placed, polyline, type Bounds, type Drawing, type Mark } from '../drawing.ts';
import { sayLength, sayMass } from '../say.ts';
import type { Viewer } from '../view.ts';
import { Flow } from './flow.ts';
import { letter, points, rectangle, roomOf, sheets, type Page, type Set, type SheetForm, type SheetHead } from './page.ts';

export interface SetupInput {
  readonly job: Job;
  readonly plan: SolidPlan;
  readonly holding: Holding;
  readonly look: Viewer;
  readonly needs: readonly CutterNeed[];
  readonly steps: readonly Step[];
  /** Whether the cutters were looked for in a drawer. */
  readonly drawer: boolean;
}

export function setupSheets(input: SetupInput, form: SheetForm, head: SheetHead): Page[] {
  const room = roomOf(form);
  return sheets(form, { ...head, kind: 'Setup' }, [...operationPages(input, input.holding.op1, room), ...operationPages(input, input.holding.op2, room)]);
}

function operationPages(input: SetupInput, operation: Operation, room: Bounds): { marks: Mark[] }[] {
  const { job, holding } = input;
  const say = (mm: number): string => sayLength(mm, job.units);
  const width = room.most[0] - room.least[0];
  const first = operation.name === 'op 1';
  const flow = new Flow(room);
  flow.heading(first ? 'First operation: the underside, part lying top down' : 'Second operation: the top, part on its fixture');
  flow.add(pictures(input, operation, flow.at, width), 1);
  const turned = `Turned over ${job.holding.turnOver} from the first operation: look for FRONT and LEFT END in the picture.`;
  flow.add(points([...operation.said, ...(first ? [] : [turned]), `Zero. ${operation.zero.said}`], flow.at, width));
  if (first) {
    flow.table(
      [{ title: 'Billet', width: 46 }, { title: 'Over the part: ends, sides, under, top', width: 58 }, { title: 'Jaw depth', width: 22 }, { title: 'Masses: billet, part, chips', width: width - 126 }],
      [[holding.stock.size.map(say).join(' x '), [holding.stock.allowance.ends, holding.stock.allowance.sides, holding.stock.allowance.under, holding.stock.allowance.over].map(say).join(', '), say(holding.stock.grip), [holding.mass.stock, holding.mass.part, holding.mass.chips].map((g) => (g === null ? '-' : sayMass(g))).join(', ')]],
    );
  } else {
    touchOff(holding, job, flow, width);
    screws(holding, job, flow, width);
  }
  holeTable(operation.holes, job, flow, width);
  cutters(input, operation.name, flow, width);
  flow.beside([
    { title: 'Order of the cuts', set: (at, room) => points(input.steps.filter((step) => step.operation === operation.name).map((step) => step.said), at, room) },
    { title: 'Before the cut', set: (at, room) => points(first ? firstChecks(input, say) : secondChecks(holding, say), at, room) },
  ]);
  if (!first) {
    flow.heading('Cautions');
    flow.add(points(cautions, flow.at, width));
  }
  return flow.pages();
}

function firstChecks({ plan, holding: { stock, step } }: SetupInput, say: (mm: number) => string): string[] {
  const blind = plan.bosses.some((boss) => boss.hole !== null);
  return [
    `Billet at least ${stock.size.map(say).join(' x ')}; saw marks and skew inside the allowances. Jaws ${say(stock.grip)} deep, no cutter lower than that.`,
    'Every cutter measured in the holder it will run in; the longest reach tried by hand along the deepest wall before the spindle turns.',
    ...(blind ? ['Blind holes: drill and thread depth set from the faced boss ends, not from the billet. A depth stop or a first hole measured saves the skin.'] : []),
    `A billet out of line by ${say(step.skew)} over ${say(100)} shows as a step of ${say(step.step)} where the two operations meet.`,
    'Rough the whole inside before finishing any of it. Deburr feet, seats and holes before the part leaves the vice: a burr under a foot is a tilt on the fixture.',
  ];
}

function secondChecks({ fixture, touchOff, screws: list }: Holding, say: (mm: number) => string): string[] {
  const used = list.filter((one) => one.chosen !== null).length;
  return [
    `All ${touchOff.numbers.length} touch-off numbers above read true. One that does not means a wrong flip, a wrong zero or a chip under the part: stop and find it.`,
    `Feet and tabs sit all round: a ${say(0.05)} feeler enters nowhere.`,
    used > 0 ? `${used} screws from below, each of the length in the table and no other: a longer one comes through the skin. Hand tight, then even, from the middle out.` : 'Held from above: clamp only over its supports.',
    `Keep everything tight until the last cut is done. Least gap of the cutter to fixture and table screws ${say(fixture.leastGap)}.`,
  ];
}

function touchOff({ touchOff: { numbers } }: Holding, job: Job, flow: Flow, width: number): void {
  flow.heading('Three numbers that prove the flip');
  flow.table(
    [{ title: 'Axis', width: 12 }, { title: 'Must read', width: 24, align: 'end' }, { title: 'Within ±', width: 20, align: 'end' }, { title: 'Where', width: width - 56 - 22 }, { title: 'Reads', width: 22 }],
    numbers.map((one) => [one.axis, sayLength(one.value, job.units), sayLength(one.tolerance, job.units), one.said, '']),
  );
}

function screws({ screws: list }: Holding, job: Job, flow: Flow, width: number): void {
  if (list.length === 0) return;
  const say = (mm: number): string => sayLength(mm, job.units);
  flow.heading('Screws from below');
  flow.table(
    [{ title: 'Boss', width: 16 }, { title: 'Screw', width: 28 }, { title: 'Engaged', width: 18, align: 'end' }, { title: 'Thread left', width: 22, align: 'end' }, { title: 'Skin left', width: 20, align: 'end' }, { title: '', width: width - 104 }],
    list.map((one) => {
      const skin = one.skin === null ? '-' : say(one.skin.left);
      if (one.chosen === null) return [one.name, 'NONE', '', '', skin, one.refused.map((issue) => `${issue.message} ${issue.hint}`).join(' ') || 'No thread, so no screw.'];
      return [one.name, one.chosen.said, say(one.chosen.engagement), say(one.chosen.threadLeft), skin, one.window === null || one.window.screws.length < 2 ? '' : `or ${one.window.screws.filter((screw) => screw !== one.chosen).map((screw) => screw.said).join(', ')}`];
    }),
  );
}

function holeTable(holes: readonly MachineHole[], job: Job, flow: Flow, width: number): void {
  if (holes.length === 0) return;
  const say = (mm: number): string => (job.units === 'inch' ? sayLength(mm, 'inch') : mm.toFixed(2));
  flow.heading(`Holes in machine coordinates, ${job.units === 'inch' ? 'inches' : 'mm'}`);
  flow.table(
    [{ title: 'Hole', width: 18 }, { title: 'X', width: 22, align: 'end' }, { title: 'Y', width: 22, align: 'end' }, { title: 'Z', width: 20, align: 'end' }, { title: 'Drill', width: 20, align: 'end' }, { title: 'Depth, thread, head', width: width - 102 }],
    holes.map((hole) => [
      hole.name,
      say(hole.at[0]),
      say(hole.at[1]),
      say(hole.at[2]),
      say(hole.diameter),
      [hole.depth === null ? 'through' : `${say(hole.depth)} deep`, hole.thread === '' ? '' : `${hole.thread}${hole.threadDepth === null ? '' : ` x ${say(hole.threadDepth)}`}`, hole.slot > 0 ? `slot +${say(hole.slot)}` : '', hole.head, hole.from === 'below' ? 'from below' : ''].filter(Boolean).join(', '),
    ]),
  );
}

function cutters({ needs, drawer, job }: SetupInput, operation: Operation['name'], flow: Flow, width: number): void {
  const own = needs.filter((need) => need.operation === operation);
  flow.heading('Cutters');
  flow.table(
    [{ title: 'For', width: 50 }, { title: 'What is needed', width: drawer ? 72 : width - 50 }, ...(drawer ? [{ title: 'From the drawer', width: width - 122 }] : [])],
    own.map((need) => [need.what, sayNeed(need, job.units), need.chosen === null ? need.without : need.chosen.name]),
  );
}

/** Part in its billet or on its fixture, from above and from the operator's side, with the zero. Not to scale. */
function pictures(input: SetupInput, operation: Operation, at: Vec2, width: number): Set {
  const height = 62;
  const half = (width - 6) / 2;
  const above = machineDrawing(input, operation, 'above');
  const side = machineDrawing(input, operation, 'side');
  const rise = (drawing: Drawing): number => {
    const { least, most } = boundsOf(drawing);
    return Math.min((most[1] - least[1]) * scaleFor(drawing, half, height), height);
  };
  const tall = Math.max(rise(above), rise(side));
  const put = (drawing: Drawing, x: number): Mark[] => {
    const { least, most } = boundsOf(drawing);
    const scale = scaleFor(drawing, half, height);
    const size: Vec2 = [(most[0] - least[0]) * scale, (most[1] - least[1]) * scale];
    return [...placed(drawing, scale, [x + (half - size[0]) / 2 - least[0] * scale, at[1] - 2 - (tall + size[1]) / 2 - least[1] * scale], true).marks];
  };
  const below = at[1] - 2 - tall - 2 * letter.text;
  const captions = [
    label([at[0] + half / 2, below], `From above: X right, Y away from you. Not to scale.`, letter.small),
    label([at[0] + half + 6 + half / 2, below], 'From where you stand: X right, Z up.', letter.small),
  ];
  return { marks: [...put(above, at[0]), ...put(side, at[0] + half + 6), ...captions], below: below - letter.text };
}

function scaleFor(drawing: Drawing, width: number, height: number): number {
  const { least, most } = boundsOf(drawing);
  return Math.min(width / (most[0] - least[0]), height / (most[1] - least[1]));
}

/** Machine coordinates, mm: (X, Y) from above, (X, Z) from the operator's side. */
function machineDrawing({ look, plan, holding }: SetupInput, operation: Operation, from: 'above' | 'side'): Drawing {
  const [x, y, z] = operation.motion.rotation;
  const up: 1 | 2 = from === 'above' ? 1 : 2;
  const shift: Vec2 = [operation.motion.shift[0], operation.motion.shift[up]];
  const towards = from === 'above' ? z : scale3(y, -1);
  const part = placed(look({ towards, right: x }, { hidden: false }), 1, shift);
  const flat = (p: Vec3): Vec2 => [p[0], p[up]];
  const boxes = [operation.box, ...(operation.name === 'op 2' ? [moved(holding.fixture.plate, operation)] : [])];
  const size = Math.max(operation.box.most[0] - operation.box.least[0], 1);
  return { marks: [...part.marks, ...(from === 'above' ? sideNames(plan, operation) : []), ...boxes.map((box) => rectangle('hidden', { least: flat(box.least), most: flat(box.most) })), ...zeroMark(size / 40)] };
}

/** Which side is which as the part lies: what a wrong flip gets wrong. */
function sideNames({ body }: SolidPlan, operation: Operation): Mark[] {
  const inset = 0.06 * body.length;
  const named: readonly (readonly [string, Vec3])[] = [['FRONT', [inset, body.width / 2, 0]], ['LEFT END', [body.length / 2, inset, 0]]];
  return named.map(([name, p]) => {
    const [x, y] = moveTo(p, operation);
    const turn = name === 'FRONT' ? 90 : 0;
    return label([x, y], name, letter.small, 'middle', 'accent', turn);
  });
}

const moveTo = (p: Vec3, { motion }: Operation): Vec3 => add3([dot3(motion.rotation[0], p), dot3(motion.rotation[1], p), dot3(motion.rotation[2], p)], motion.shift);

/** A box turned by quarter turns stays a box. */
function moved(box: Box, operation: Operation): Box {
  const corners = [box.least, box.most].map((p) => moveTo(p, operation));
  const pick = (take: (...values: number[]) => number): Vec3 => [0, 1, 2].map((i) => take(corners[0]![i]!, corners[1]![i]!)) as unknown as Vec3;
  return { least: pick(Math.min), most: pick(Math.max) };
}

/** Where the machine counts from. */
const zeroMark = (radius: number): Mark[] => [
  { kind: 'circle', pen: 'accent', centre: [0, 0], radius },
  polyline('accent', [[-1.8 * radius, 0], [4 * radius, 0]]),
  polyline('accent', [[0, -1.8 * radius], [0, 4 * radius]]),
];

