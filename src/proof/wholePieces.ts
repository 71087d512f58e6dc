/** The whole part as one piece, or split to the bed with straps over its seams. */
import type { Vec2, Vec3 } from '../maths/vec.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import type { MeshForm, MeshStep } from '../solid/meshRecipe.ts';
import { turnToFit } from './bed.ts';
import { cellsOf, gridFor, type Cell, type Grid } from './cells.ts';
import { ownShare, pinPlaces, strapJoint, type Joint } from './joints.ts';
import { letteringOn, wallFields, warning } from './labels.ts';
import { planCorners, refusal, standingOn, uprightHoles, type JoinedReadings, type PiecePlan, type ProofShop, type WantedReading } from './proofPlan.ts';
import type { Kept } from './seams.ts';

/** mm kept between a seam or a pin and any feature. */
const clear = 2;
/** mm. Past everything a part has. */
export const farOut = 50;

export interface Pieces {
  readonly pieces: readonly PiecePlan[];
  readonly joined: readonly JoinedReadings[];
}

export function wholePieces(shop: ProofShop): Result<Pieces> {
  const { plan, bed, stretch, job, say } = shop;
  const high = highestOf(shop);
  if (high > bed.z) return refuse(refusal('proof-too-high', 'proof.bedZ', `The part stands ${say(high)} high and the printer builds ${say(bed.z)}.`, 'State a higher print, or turn proof.whole off.'));
  const corners = planCorners(plan);
  const turn = turnToFit(corners, bed, stretch);
  if (turn !== null) return ok({ pieces: [onePiece(shop, turn)], joined: [] });
  const [from, to] = [0, 1].map((end) => [0, 1].map((k) => (end === 0 ? Math.min : Math.max)(...corners.map((p) => p[k]!))) as unknown as Vec2) as [Vec2, Vec2];
  const grid = gridFor(shop, { from, to, lap: job.proof.lap, kept: (axis) => keptFrom(shop, axis), name: 'part', at: 'proof.whole' });
  return grid.ok ? splitPieces(shop, grid.value) : grid;
}

/** The highest point of the contour, with a strap on it where there may be one. */
export const highestOf = ({ plan: { body }, skin }: ProofShop): number => {
  const count = Math.ceil(body.length);
  return Math.max(...Array.from({ length: count + 1 }, (_, i) => skin.top((body.length * i) / count)));
};

/** Part number, revision and which piece, and the warning, where the walls have room. */
export function markWalls(shop: ProofShop, what: string, least: Vec2, most: Vec2, high: number | null): { readonly forms: MeshForm[]; readonly lines: readonly string[] } {
  if (!shop.job.proof.text) return { forms: [], lines: [] };
  const lines = [`${shop.job.partNumber} ${shop.job.revision} ${what}`.trim(), warning] as const;
  const forms = letteringOn(wallFields(shop.plan, { least, most }, high), lines);
  if (forms.length === 0) shop.notes.push(`${what || 'The whole part'}: no wall has room for the marking; write it on by hand: ${lines.join(', ')}.`);
  return { forms, lines: forms.length === 0 ? [] : lines };
}

function onePiece(shop: ProofShop, turn: number): PiecePlan {
  const mark = markWalls(shop, '', [-farOut, -farOut], [shop.plan.body.length + farOut, shop.plan.body.width + farOut], null);
  return {
    kind: 'whole',
    title: 'Whole part',
    at: 'proof.whole',
    purpose: 'The part itself, to try on the casting.',
    from: 'part',
    corrected: true,
    steps: [{ do: 'cut', with: mark.forms }],
    lay: standingOn(turn),
    turn,
    readings: [...holeReadings(shop, () => true), ...bodyReadings(shop, true, true)],
    marking: mark.lines,
  };
}

/** Where a seam across this axis may not stand. */
function keptFrom({ plan: { body, tabs, bosses, holes, notches }, job: { proof } }: ProofShop, axis: 'x' | 'y'): Kept[] {
  const k = axis === 'x' ? 0 : 1;
  const crossed = axis === 'x' ? ['left', 'right'] : ['front', 'back'];
  const own = proof.lap * ownShare;
  const around = (middle: number, half: number): Kept => ({ from: middle - half, to: middle + half });
  const size = k === 0 ? body.length : body.width;
  const end = Math.max(body.outsideRadius, body.wall, body.left.thickness, body.right.thickness) + own + clear;
  return [
    { from: -Infinity, to: end },
    { from: size - end - proof.lap, to: Infinity },
    ...tabs.filter((tab) => crossed.includes(tab.wall)).map((tab) => around(tab.middle, tab.length / 2 + clear)),
    ...notches.filter((notch) => crossed.includes(notch.wall)).map((notch) => around(notch.middle, notch.width / 2 + clear)),
    ...bosses.map((boss) => around(k === 0 ? boss.x : boss.y, boss.diameter / 2 + boss.rootRadius + clear)),
    ...holes.map(({ entry, axis: way, diameter, slot }): Kept => {
      const half = (diameter + slot) / 2 + clear;
      // A strap lies over the skin from `own` before the seam to `lap` past it.
      return Math.abs(way[2]) > 0.5 ? { from: entry[k]! - proof.lap - half, to: entry[k]! + own + half } : around(entry[k]!, half);
    }),
    ...(axis === 'x' && body.frontFoot !== body.backFoot ? [around(body.stepAt, clear)] : []),
  ];
}

interface Seam {
  readonly less: Cell;
  readonly more: Cell;
  readonly joint: Joint;
}

function splitPieces(shop: ProofShop, grid: Grid): Result<Pieces> {
  const cells = cellsOf(grid);
  const issues: Issue[] = [];
  const seams = cells.flatMap((less) => {
    const beside = (column: number, row: number): Cell[] => cells.filter((one) => one.column === less.column + column && one.row === less.row + row);
    return [...beside(1, 0).map((more) => ({ less, more, axis: 'x' as const })), ...beside(0, 1).map((more) => ({ less, more, axis: 'y' as const }))];
  });
  const taken: Vec2[] = [];
  const joints = seams.flatMap(({ less, more, axis }): Seam[] => {
    const task = strapTask(shop, less, axis, taken);
    if (!task.ok) {
      issues.push(...task.issues);
      return [];
    }
    taken.push([task.value.pins[0] - task.value.span[0], task.value.pins[1] - task.value.span[0]]);
    return [{ less, more, joint: strapJoint(task.value, shop.skin, shop.sizes) }];
  });
  const pieces = cells.map((cell, i) => cellPiece(shop, cell, i, cells.length, joints));
  for (const [i, piece] of pieces.entries()) if (piece === null) issues.push(refusal('proof-piece-too-large', 'proof.bedX', `Piece ${i + 1} of the part does not fit the bed with its strap.`, 'State a larger bed or a shorter proof.lap.'));
  if (issues.length > 0) return refuse(...issues);
  const lay = standingOn(0);
  return ok({
    pieces: pieces as PiecePlan[],
    joined: [{ title: 'Whole part, joined', kind: 'whole', lay, readings: [...joints.flatMap(({ joint }, i) => marksReading(joint, i)), ...acrossReadings(shop, cells), ...bodyReadings(shop, true, false)] }],
  });
}

const marksReading = ({ marks }: Joint, i: number): WantedReading[] => (marks === null ? [] : [{ what: 'centres', name: `Marks across joint ${i + 1}`, from: marks[0], to: marks[1] }]);

function strapTask(shop: ProofShop, cell: Cell, axis: 'x' | 'y', taken: readonly Vec2[]): Result<Parameters<typeof strapJoint>[0]> {
  const { body, bosses, holes } = shop.plan;
  const { say, job: { proof: { lap, pin } } } = shop;
  const [k, other] = axis === 'x' ? [0, 1] : [1, 0];
  const at = cell.most[k]!;
  const size = other === 0 ? body.length : body.width;
  const rounded = (end: boolean): number => (end ? body.outsideRadius : 0) + clear;
  const span: Vec2 = [
    !Number.isFinite(cell.least[other]) ? rounded(other === 0 || body.left.closed) : cell.least[other]! + lap + clear,
    !Number.isFinite(cell.most[other]) ? size - rounded(other === 0 || body.right.closed) : cell.most[other]! - lap * ownShare - clear,
  ];
  const wallEnd = Math.max(body.wall, body.left.thickness, body.right.thickness) + body.insideRoofRadius + pin / 2 + clear;
  const across = at + lap / 2;
  const pinClear = (along: number): boolean => {
    if (along < Math.max(span[0] + pin, wallEnd) || along > Math.min(span[1] - pin, size - wallEnd)) return false;
    const [x, y] = axis === 'x' ? [across, along] : [along, across];
    const away = (px: number, py: number, r: number): boolean => Math.hypot(px - x, py - y) > r + pin / 2 + clear;
    return bosses.every((boss) => away(boss.x, boss.y, boss.diameter / 2 + boss.rootRadius)) && holes.every((hole) => Math.abs(hole.axis[2]) < 0.5 || away(hole.entry[0], hole.entry[1], (hole.diameter + hole.slot) / 2));
  };
  const pins = pinPlaces(span, pinClear, 2.5 * pin, taken);
  if (pins !== null) return ok({ axis, at, span, pins });
  return refuse(refusal('proof-no-room-for-pins', 'proof.pin', `A seam at ${axis.toUpperCase()} ${say(at)} has no room for two pins of ${say(pin)} clear of walls, bosses and holes.`, 'State thinner pins, a larger bed, or turn proof.whole off.'));
}

function cellPiece(shop: ProofShop, cell: Cell, index: number, count: number, seams: readonly Seam[]): PiecePlan | null {
  const { plan, bed, stretch, sizes } = shop;
  const mine = seams.flatMap(({ less, more, joint }) => (less === cell ? [joint.less] : more === cell ? [joint.more] : []));
  const touching = seams.filter(({ less, more }) => less === cell || more === cell);
  const strapped = seams.filter(({ less }) => less === cell);
  const lapOver: Vec2 = [strapped.some(({ more }) => more.column > cell.column) ? shop.job.proof.lap : 0, strapped.some(({ more }) => more.row > cell.row) ? shop.job.proof.lap : 0];
  const corners = planCorners(plan, cell.least, [cell.most[0] + lapOver[0], cell.most[1] + lapOver[1]]);
  const turn = turnToFit(corners, bed, stretch);
  if (turn === null) return null;
  const [least, most] = [cell.least, cell.most].map((end, side) => [0, 1].map((k) => (Number.isFinite(end[k]!) ? end[k]! + ((side === 0 ? 1 : -1) * sizes.gap) / 2 : side === 0 ? -farOut * 5 : [plan.body.length, plan.body.width][k]! + farOut * 5)) as unknown as Vec2) as [Vec2, Vec2];
  const mark = markWalls(shop, `${index + 1}/${count}`, least, most, null);
  const high = highestOf(shop) + farOut;
  const steps: MeshStep[] = [
    { do: 'common', with: [{ kind: 'box', least: [...least, -farOut], most: [...most, high] }] },
    { do: 'fuse', with: mine.flatMap((worked) => worked.add) },
    { do: 'cut', with: [...mine.flatMap((worked) => worked.cut), ...mark.forms] },
  ];
  const within = ([x, y]: Vec3): boolean => x > cell.least[0] && x < cell.most[0] && y > cell.least[1] && y < cell.most[1];
  return {
    kind: 'whole',
    title: `Whole part, piece ${index + 1} of ${count}`,
    at: 'proof.whole',
    purpose: `X ${rangeText(shop, cell.least[0], cell.most[0], plan.body.length)}, Y ${rangeText(shop, cell.least[1], cell.most[1], plan.body.width)}. Join on a flat plate with ${shop.say(shop.job.proof.pin)} pins.`,
    from: 'part',
    corrected: true,
    steps,
    lay: standingOn(turn),
    turn,
    readings: [
      ...holeReadings(shop, within),
      ...touching.flatMap(({ joint }): WantedReading[] => [{ what: 'hole', name: 'Pin hole', size: shop.job.proof.pin + shop.job.proof.pinClearance }, { what: 'centres', name: 'Pin to pin', from: flatly(joint.round), to: flatly(joint.slot) }]),
      ...bodyReadings(shop, cell.least[0] === -Infinity && cell.most[0] === Infinity, cell.least[1] === -Infinity && cell.most[1] === Infinity),
    ],
    marking: mark.lines,
  };
}

const flatly = ([x, y]: Vec3): Vec3 => [x, y, 0];
const rangeText = ({ say }: ProofShop, from: number, to: number, size: number): string => `${say(Math.max(0, from))} to ${say(Math.min(size, to))}`;

/** Hole sizes and distances between centres, for the holes a piece has: neighbours in their order, and the two farthest apart. */
export function holeReadings({ plan }: ProofShop, within: (at: Vec3) => boolean, only: readonly ('tab' | 'skin' | 'boss')[] = ['tab', 'skin', 'boss']): WantedReading[] {
  const holes = uprightHoles(plan).filter((hole) => only.includes(hole.in) && within(hole.at));
  const bySize = new Map<string, string[]>();
  for (const { diameter, slot, name } of holes) {
    const key = `${diameter}|${slot > 0}`;
    bySize.set(key, [...(bySize.get(key) ?? []), name]);
  }
  const sizes = [...bySize].map(([key, names]): WantedReading => {
    const [size, slotted] = key.split('|');
    return { what: slotted === 'true' ? 'slot' : 'hole', name: `${slotted === 'true' ? 'Slot width' : 'Hole'} ${names.join(' ')}`, size: Number(size) };
  });
  const pairs = new Map<string, WantedReading>();
  const pair = (a: (typeof holes)[number], b: (typeof holes)[number]): void => {
    if (a !== b && Math.hypot(a.at[0] - b.at[0], a.at[1] - b.at[1]) > 0) pairs.set([a.name, b.name].sort().join(' '), { what: 'centres', name: `${a.name} to ${b.name}`, from: flatly(a.at), to: flatly(b.at) });
  };
  for (let i = 1; i < holes.length; i++) pair(holes[i - 1]!, holes[i]!);
  const far = holes.flatMap((a, i) => holes.slice(i + 1).map((b) => ({ a, b, d: Math.hypot(a.at[0] - b.at[0], a.at[1] - b.at[1]) }))).sort((p, q) => q.d - p.d)[0];
  if (far !== undefined) pair(far.a, far.b);
  return [...sizes, ...pairs.values()];
}

/** Centre distances that cross a seam: every tab hole to the next one in another cell. */
export function acrossReadings({ plan }: ProofShop, cells: readonly Cell[]): WantedReading[] {
  const holes = uprightHoles(plan).filter((hole) => hole.in === 'tab');
  const cellAt = ([x, y]: Vec3): Cell | undefined => cells.find((cell) => x > cell.least[0] && x < cell.most[0] && y > cell.least[1] && y < cell.most[1]);
  return holes.flatMap((a, i) => holes.slice(i + 1).flatMap((b): WantedReading[] => (cellAt(a.at) === cellAt(b.at) ? [] : [{ what: 'centres', name: `${a.name} to ${b.name}`, from: flatly(a.at), to: flatly(b.at) }])));
}

/** Outer sizes of the body where calipers reach both sides. */
export function bodyReadings({ plan: { body, tabs } }: ProofShop, alongX: boolean, alongY: boolean): WantedReading[] {
  const tab = tabs[0];
  return [
    ...(alongX ? [{ what: 'outside' as const, name: 'Body along X', along: [1, 0, 0] as Vec3, size: body.length }] : []),
    ...(alongY ? [{ what: 'outside' as const, name: 'Body along Y', along: [0, 1, 0] as Vec3, size: body.width }] : []),
    ...(tab !== undefined && alongX && alongY ? [{ what: 'outside' as const, name: `${tab.name} thickness`, along: [0, 0, 1] as Vec3, size: tab.thickness }] : []),
  ];
}

