/**
 * The tab ring: the foot of the walls with the tabs and their holes, nothing else, to try every mounting hole at once in
 * little time. Too large for the bed, it is cut into corners and bars that are joined by pads outside the walls.
 */
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2, Vec3 } from '../maths/vec.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import type { MeshForm } from '../solid/meshRecipe.ts';
import { circleOutline, polygonOutline } from '../solid/outline.ts';
import { alongY, standing } from '../solid/recipe.ts';
import { wallFrame } from '../solid/walls.ts';
import type { WallName } from '../job/schema.ts';
import { turnToFit } from './bed.ts';
import { cellsOf, gridFor, type Cell } from './cells.ts';
import { padJoint, type Worked } from './joints.ts';
import { planCorners, refusal, standingOn, tabBox, type PiecePlan, type ProofShop, type WantedReading } from './proofPlan.ts';
import type { Kept } from './seams.ts';
import { acrossReadings, farOut, holeReadings, markWalls, type Pieces } from './wholePieces.ts';

/** mm. */
const clear = 2;

export function ringPieces(shop: ProofShop): Result<Pieces> {
  const { plan, bed, stretch } = shop;
  const tool = ringTool(shop);
  const corners = planCorners(plan);
  const turn = turnToFit(corners, bed, stretch);
  if (turn !== null) {
    const mark = markWalls(shop, 'RING', [-farOut, -farOut], [plan.body.length + farOut, plan.body.width + farOut], heightOf(shop));
    return ok({ pieces: [piece(shop, 'Tab ring', 'Tries every mounting hole.', [{ do: 'common', with: tool }, { do: 'cut', with: [...hangingBosses(shop, heightOf(shop)), ...mark.forms] }], turn, () => true, mark.lines)], joined: [] });
  }
  const pad = padSizes(shop);
  const [from, to] = [Math.min, Math.max].map((pick) => [0, 1].map((k) => pick(...corners.map((p) => p[k]!), k === 1 ? (pick === Math.min ? -pad.reach : plan.body.width + pad.reach) : 0)) as unknown as Vec2) as [Vec2, Vec2];
  const grid = gridFor(shop, { from, to, lap: pad.length / 2, kept: (axis) => keptFrom(shop, axis, pad.length), name: 'tab ring', at: 'proof.ring' });
  return grid.ok ? cutRing(shop, tool, cellsOf(grid.value)) : grid;
}

/** Nothing may cut the ring through: it stands above notches too. */
const heightOf = ({ job, plan }: ProofShop): number => Math.max(job.proof.ringHeight, ...plan.notches.map((notch) => notch.height + 2 * clear));

/** Body of all that belongs to the ring, however high its feet and tabs stand. */
function ringTool(shop: ProofShop): MeshForm[] {
  const { body, tabs } = shop.plan;
  const high = heightOf(shop);
  const [front, back, both] = [body.frontFoot + high, body.backFoot + high, Math.max(body.frontFoot, body.backFoot) + high];
  const far = body.length + farOut;
  const outline: Vec2[] = [[-farOut, -farOut], [far, -farOut], [far, back], [body.stepAt + high, back], [body.stepAt + high, both], [body.stepAt - high, both], [body.stepAt - high, front], [-farOut, front]];
  const level: Vec2[] = [[-farOut, -farOut], [far, -farOut], [far, front], [-farOut, front]];
  const foot = alongY(polygonOutline(Math.abs(front - back) < tolerance.point ? level : outline), -farOut, body.width + farOut);
  return [foot, ...tabs.map((tab): MeshForm => {
    const [a, b] = tabBox(body, tab);
    const own = wallFrame(body, tab.wall).foot(tab.middle);
    const depth = Math.max(body.wall, body.left.thickness, body.right.thickness);
    const least: Vec3 = [a[0] - (tab.wall === 'back' ? depth : 1), a[1] - (tab.wall === 'right' ? depth : 1), Math.min(own, tab.seat) - 1];
    return { kind: 'box', least, most: [b[0] + (tab.wall === 'front' ? depth : 1), b[1] + (tab.wall === 'left' ? depth : 1), Math.max(own + high, tab.seat + tab.thickness + tab.rootRadius)] };
  })];
}

/** Bosses that hang down into the ring without touching a wall: no part of it. */
function hangingBosses({ plan: { body, bosses }, skin }: ProofShop, high: number): MeshForm[] {
  return bosses.flatMap((boss): MeshForm[] => {
    const top = Math.max(body.frontFoot, body.backFoot) + high;
    const room = Math.min(boss.x - body.wall, body.length - body.wall - boss.x, boss.y - body.left.thickness, body.width - body.right.thickness - boss.y) - boss.diameter / 2;
    // Where the ring reaches the roof they hang on to it.
    if (room <= tolerance.point || skin.roof(boss.x) <= top) return [];
    return [standing(circleOutline([boss.x, boss.y], boss.diameter / 2 + Math.min(room, clear) / 2), -farOut, top + tolerance.leastCorner)];
  });
}

const padSizes = ({ job: { proof } }: ProofShop): { readonly length: number; readonly reach: number } => ({ length: Math.max(proof.lap, 3 * proof.pin + 10), reach: proof.pin + 8 });

function keptFrom({ plan: { body, tabs, holes, notches } }: ProofShop, axis: 'x' | 'y', pad: number): Kept[] {
  const k = axis === 'x' ? 0 : 1;
  const crossed: readonly WallName[] = axis === 'x' ? ['left', 'right'] : ['front', 'back'];
  const around = (middle: number, half: number): Kept => ({ from: middle - half, to: middle + half });
  const size = k === 0 ? body.length : body.width;
  const end = body.outsideRadius + pad / 2 + clear;
  return [
    { from: -Infinity, to: end },
    { from: size - end, to: Infinity },
    ...tabs.filter((tab) => crossed.includes(tab.wall)).map((tab) => around(tab.middle, (tab.length + pad) / 2 + clear)),
    ...notches.filter((notch) => crossed.includes(notch.wall)).map((notch) => around(notch.middle, notch.width / 2 + clear)),
    ...holes.filter((hole) => Math.abs(hole.axis[1 - k]!) > 0.5).map((hole) => around(hole.entry[k]!, (hole.diameter + hole.slot) / 2 + clear)),
    ...(axis === 'x' && body.frontFoot !== body.backFoot ? [around(body.stepAt, heightOfStep(body) + pad / 2 + clear)] : []),
  ];
}

const heightOfStep = (body: ProofShop['plan']['body']): number => Math.abs(body.frontFoot - body.backFoot);

interface RingJoint {
  readonly wall: WallName;
  readonly less: Cell;
  readonly more: Cell;
  readonly worked: ReturnType<typeof padJoint>;
}

/** Pads on each wall a seam crosses. Pins stand differently at every joint. */
function jointsOf(shop: ProofShop, cells: readonly Cell[]): RingJoint[] {
  const { body } = shop.plan;
  const { pin } = shop.job.proof;
  const { length, reach } = padSizes(shop);
  return cells.flatMap((less) => (['left', 'right', 'front', 'back'] as const).flatMap((wall): RingJoint[] => {
    const frame = wallFrame(body, wall);
    const k = wall === 'left' || wall === 'right' ? 0 : 1;
    const on = frame.plan(0, 0)[1 - k]!;
    const more = cells.find((one) => (k === 0 ? one.column === less.column + 1 && one.row === less.row : one.row === less.row + 1 && one.column === less.column));
    if (!frame.exists || more === undefined || on < less.least[1 - k]! || on > less.most[1 - k]!) return [];
    const at = less.most[k]!;
    const foot = frame.foot(at);
    const [x, y] = frame.plan(0, 0);
    // One step further along for each seam, so that no piece goes where another belongs.
    const shift = (less.column + less.row) % 2 === 0 ? 0 : pin / 2;
    const out = reach - pin / 2 - clear;
    const worked = padJoint(
      { along: frame.along, out: frame.out, up: [0, 0, 1], origin: k === 0 ? [0, y, 0] : [x, 0, 0], at, thick: [foot, foot + shop.job.proof.ringHeight], foot: () => 0, reach, length, round: [at - length / 4 - shift, out], slot: [at + length / 4, out] },
      shop.sizes,
    );
    return [{ wall, less, more, worked }];
  }));
}

function cutRing(shop: ProofShop, tool: readonly MeshForm[], cells: readonly Cell[]): Result<Pieces> {
  const { sizes, bed, stretch } = shop;
  const joints = jointsOf(shop, cells);
  const runs = cells.flatMap((cell) => runsOf(shop, cell));
  const issues: Issue[] = [];
  const pieces = runs.flatMap(({ cell, walls, least, most }, i): PiecePlan[] => {
    const mine = joints.filter(({ wall, less, more }) => walls.includes(wall) && (less === cell || more === cell));
    const worked: Worked[] = mine.map((joint) => (joint.less === cell ? joint.worked.less : joint.worked.more));
    const title = `Tab ring, piece ${i + 1} of ${runs.length}`;
    const inner = [least, most].map((end, side) => [0, 1].map((k) => end[k]! + ((side === 0 ? 1 : -1) * sizes.gap) / 2) as unknown as Vec2) as [Vec2, Vec2];
    const turn = turnToFit(cornersWithPads(shop, cell, walls, mine), bed, stretch);
    if (turn === null) {
      issues.push(refusal('proof-piece-too-large', 'proof.bedX', `${title} does not fit the bed with its pads.`, 'State a larger bed, or turn proof.ring off.'));
      return [];
    }
    // Letters stay clear of the pads.
    const free = [least, most].map((end, side) => [0, 1].map((k) => (Number.isFinite((side === 0 ? cell.least : cell.most)[k]!) ? end[k]! + ((side === 0 ? 1 : -1) * padSizes(shop).length) / 2 : end[k]!)) as unknown as Vec2) as [Vec2, Vec2];
    const mark = markWalls(shop, `RING ${i + 1}/${runs.length}`, free[0], free[1], heightOf(shop));
    const within = ([x, y]: Vec3): boolean => x > least[0] && x < most[0] && y > least[1] && y < most[1];
    const pins = mine.flatMap(({ worked: { pins: both } }): WantedReading[] => [{ what: 'hole', name: 'Pin hole', size: shop.job.proof.pin + shop.job.proof.pinClearance }, { what: 'centres', name: 'Pin to pin', from: both[0]!, to: both[1]! }]);
    return [
      {
        ...piece(shop, title, `Tries the mounting holes. Join on a flat plate with ${shop.say(shop.job.proof.pin)} pins; supports under the upper half of a pad.`, [
          { do: 'common', with: tool },
          { do: 'cut', with: hangingBosses(shop, heightOf(shop)) },
          { do: 'common', with: [{ kind: 'box', least: [...inner[0], -farOut], most: [...inner[1], farOut * 20] }] },
          { do: 'fuse', with: worked.flatMap((one) => one.add) },
          { do: 'cut', with: [...worked.flatMap((one) => one.cut), ...mark.forms] },
        ], turn, within, mark.lines),
        readings: [...holeReadings(shop, within, ['tab']), ...pins],
      },
    ];
  });
  if (issues.length > 0) return refuse(...issues);
  return ok({ pieces, joined: [{ title: 'Tab ring, joined', kind: 'ring', lay: standingOn(0), readings: acrossReadings(shop, cells) }] });
}

/** What a cell has of the ring: one run of wall, or two bars where it reaches from wall to wall without an end. */
function runsOf({ plan: { body } }: ProofShop, cell: Cell): { readonly cell: Cell; readonly walls: readonly WallName[]; readonly least: Vec2; readonly most: Vec2 }[] {
  const has = (['front', 'back', 'left', 'right'] as const).filter((wall) => {
    const frame = wallFrame(body, wall);
    const k = wall === 'left' || wall === 'right' ? 0 : 1;
    const on = frame.plan(0, 0)[1 - k]!;
    return frame.exists && on >= cell.least[1 - k]! && on <= cell.most[1 - k]!;
  });
  const bounded = (end: Vec2, side: number): Vec2 => [0, 1].map((k) => (Number.isFinite(end[k]!) ? end[k]! : side === 0 ? -farOut * 5 : [body.length, body.width][k]! + farOut * 5)) as unknown as Vec2;
  const [least, most] = [bounded(cell.least, 0), bounded(cell.most, 1)];
  if (has.length === 0) return [];
  const opposite = has.length === 2 && ((has.includes('left') && has.includes('right')) || (has.includes('front') && has.includes('back')));
  if (!opposite) return [{ cell, walls: has, least, most }];
  const k = has.includes('left') ? 1 : 0;
  const middle = [body.length, body.width][k]! / 2;
  const cut = (at: Vec2): Vec2 => (k === 1 ? [at[0], middle] : [middle, at[1]]);
  const [first, second] = k === 1 ? (['left', 'right'] as const) : (['front', 'back'] as const);
  return [{ cell, walls: [first], least, most: cut(most) }, { cell, walls: [second], least: cut(least), most }];
}

/** Plan points of a run: what the body and tabs have there, and its pads. */
function cornersWithPads({ plan, job }: ProofShop, cell: Cell, walls: readonly WallName[], joints: readonly RingJoint[]): Vec2[] {
  const { length, reach } = padSizes({ job } as ProofShop);
  const own = planCorners(plan, cell.least, cell.most).filter((p) => walls.length > 1 || nearWall(plan, walls[0]!, p));
  const pads = joints.flatMap(({ wall, less }): Vec2[] => {
    const frame = wallFrame(plan.body, wall);
    const at = less.most[wall === 'left' || wall === 'right' ? 0 : 1]!;
    return [frame.plan(at - length / 2, 0), frame.plan(at + length / 2, 0), frame.plan(at - length / 2, reach), frame.plan(at + length / 2, reach)];
  });
  return [...own, ...pads];
}

/** In a bar only one wall of the cell is there. */
function nearWall({ body }: ProofShop['plan'], wall: WallName, [x, y]: Vec2): boolean {
  if (wall === 'left') return y <= body.width / 2;
  if (wall === 'right') return y >= body.width / 2;
  return wall === 'front' ? x <= body.length / 2 : x >= body.length / 2;
}

const piece = (shop: ProofShop, title: string, purpose: string, steps: PiecePlan['steps'], turn: number, within: (at: Vec3) => boolean, marking: readonly string[]): PiecePlan => ({
  kind: 'ring',
  title,
  at: 'proof.ring',
  purpose,
  from: 'part',
  corrected: true,
  steps,
  lay: standingOn(turn),
  turn,
  readings: holeReadings(shop, within, ['tab']),
  marking,
});

