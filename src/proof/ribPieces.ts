/**
 * Contour ribs: thin slices of the part at stations along the sweep, clear of tabs, bosses and holes, printed lying. Held
 * against the casting they show the side contour inside and out. Too long for the bed, a rib is cut and joined by a pad above
 * the contour.
 */
import type { Vec2, Vec3 } from '../maths/vec.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import type { MeshForm } from '../solid/meshRecipe.ts';
import { afterwards } from '../solid/meshRecipe.ts';
import { turnToFit } from './bed.ts';
import { bandForm, padJoint, type PadTask, type Worked } from './joints.ts';
import { letteringIn, warning } from './labels.ts';
import { lying, refusal, standingOn, type PiecePlan, type ProofShop, type WantedReading } from './proofPlan.ts';
import { seamsFor, type Kept } from './seams.ts';
import { farOut, highestOf, type Pieces } from './wholePieces.ts';

/** mm. */
const clear = 1;
/** Plate above the contour that carries the marking. */
const plate = { high: 12, longest: 76 } as const;

export function ribPieces(shop: ProofShop): Result<Pieces> {
  const stations = stationsOf(shop);
  const issues: Issue[] = [];
  const pieces: PiecePlan[] = [];
  const joined: Pieces['joined'][number][] = [];
  for (const [i, y] of stations.entries()) {
    const rib = ribAt(shop, y, `${i + 1}`);
    if (!rib.ok) issues.push(...rib.issues);
    else {
      pieces.push(...rib.value);
      if (rib.value.length > 1) joined.push({ title: `Rib ${i + 1}, joined`, kind: 'rib', lay: lying, readings: ribReadings(shop, y, true) });
    }
  }
  // The same is wrong with every rib: say it once.
  return issues.length > 0 ? refuse(issues[0]!) : ok({ pieces, joined });
}

/** Middles of the ribs along Y: evenly spread, each moved to the nearest clear place; left out where there is none. */
export function stationsOf(shop: ProofShop): number[] {
  const { body } = shop.plan;
  const { ribThickness, ribSpacing } = shop.job.proof;
  const end = (closed: boolean, thickness: number): number => (closed ? thickness + body.insideRoofRadius : 0) + ribThickness / 2 + clear;
  const [from, to] = [end(body.left.closed, body.left.thickness), body.width - end(body.right.closed, body.right.thickness)];
  if (to < from) {
    shop.notes.push(`The part is too narrow for a rib ${shop.say(ribThickness)} thick between its ends.`);
    return [];
  }
  const count = Math.max(1, Math.round((to - from) / ribSpacing));
  const reach = (to - from) / count / 2;
  // Where tabs leave no gap a rib goes through one, beside its hole.
  const ways = [takenAlongY(shop, true), takenAlongY(shop, false)].map((taken) => (y: number): boolean => y >= from && y <= to && !taken.some((one) => y > one.from && y < one.to));
  return Array.from({ length: count }, (_, i) => from + ((i + 0.5) * (to - from)) / count).flatMap((wanted) => {
    for (const isFree of ways) for (let off = 0; off <= reach; off += 0.5) for (const y of [wanted - off, wanted + off]) if (isFree(y)) return [Math.round(y * 2) / 2].filter(isFree).concat(y).slice(0, 1);
    shop.notes.push(`No clear place for a rib near Y ${shop.say(wanted)}: bosses or holes are everywhere there.`);
    return [];
  });
}

function takenAlongY({ plan: { tabs, bosses, holes, notches, grooves }, job: { proof } }: ProofShop, wholeTabs: boolean): Kept[] {
  const around = (middle: number, half: number): Kept => ({ from: middle - half - proof.ribThickness / 2 - clear, to: middle + half + proof.ribThickness / 2 + clear });
  const endWall = (wall: string): boolean => wall === 'front' || wall === 'back';
  return [
    ...tabs.filter((tab) => endWall(tab.wall)).flatMap((tab) => (wholeTabs ? [around(tab.middle, tab.length / 2)] : tab.hole === null ? [] : [around(tab.hole.entry[1], (tab.hole.diameter + tab.hole.slot) / 2)])),
    ...notches.filter((notch) => endWall(notch.wall)).map((notch) => around(notch.middle, notch.width / 2)),
    ...bosses.map((boss) => around(boss.y, boss.diameter / 2 + boss.rootRadius)),
    ...holes.map((hole) => around(hole.entry[1], (hole.diameter + hole.slot) / 2)),
    ...grooves.filter((groove) => groove.run === 'along').map((groove) => around(groove.middle, groove.width / 2)),
  ];
}

function ribAt(shop: ProofShop, y: number, name: string): Result<PiecePlan[]> {
  const { plan: { body }, bed, job, stretch, say } = shop;
  const top = highestOf(shop);
  const corners = (from: number, to: number): Vec2[] => [[from, 0], [to, 0], [to, top + reachOver(shop)], [from, top + reachOver(shop)]];
  const whole = turnToFit(corners(0, body.length), bed, stretch);
  if (whole !== null) return ok([ribPiece(shop, y, name, '', [-Infinity, Infinity], [], whole)]);
  const length = padLength(shop);
  const longest = Math.max(bed.x, bed.y) / stretch;
  const end = body.wall + body.insideRoofRadius + length / 2 + clear;
  const seams = job.proof.split ? seamsFor({ from: 0, to: body.length, longest, lap: length / 2, kept: [{ from: -Infinity, to: end }, { from: body.length - end, to: Infinity }] }) : null;
  if (seams === null) {
    return refuse(refusal('proof-larger-than-bed', job.proof.split ? 'proof.bedX' : 'proof.split', `A rib is ${say(body.length)} long and does not fit the bed of ${say(bed.x)} by ${say(bed.y)} inside its margin${job.proof.split ? '' : ', and splitting is off'}.`, `${job.proof.split ? 'State a larger bed' : 'Turn proof.split on, state a larger bed'}, or turn proof.ribs off.`));
  }
  const joints = seams.map((at, i) => padJoint(padAt(shop, y, at, i), shop.sizes));
  const edges = [-Infinity, ...seams, Infinity];
  const pieces: PiecePlan[] = [];
  for (let i = 0; i + 1 < edges.length; i++) {
    const range: Vec2 = [edges[i]!, edges[i + 1]!];
    const turn = turnToFit(corners(Math.max(0, range[0] - (i > 0 ? length / 2 : 0)), Math.min(body.length, range[1] + length / 2)), bed, stretch);
    if (turn === null) return refuse(refusal('proof-piece-too-large', 'proof.bedY', `A piece of a rib does not fit the bed: it stands ${say(top + reachOver(shop))} high with its pad.`, 'State a larger bed, or turn proof.ribs off.'));
    const mine = [...(i > 0 ? [joints[i - 1]!.more] : []), ...(i < joints.length ? [joints[i]!.less] : [])];
    pieces.push(ribPiece(shop, y, name, `${i + 1}/${edges.length - 1}`, range, mine, turn));
  }
  return ok(pieces);
}

const padLength = ({ job: { proof } }: ProofShop): number => Math.max(proof.lap, 3 * proof.pin + 10);
const reachOver = ({ job: { proof } }: ProofShop): number => Math.max(plate.high, proof.pin + 8);

function padAt(shop: ProofShop, y: number, at: number, index: number): PadTask {
  const { skin, job: { proof } } = shop;
  const length = padLength(shop);
  const stations = Array.from({ length: Math.ceil(length) + 1 }, (_, i) => at - length / 2 + i);
  const high = Math.max(...stations.map(skin.top));
  const out = high + 2 + proof.pin / 2;
  return {
    along: [1, 0, 0],
    out: [0, 0, 1],
    // What lies on the bed looks to +Y: up from the bed is -Y.
    up: [0, -1, 0],
    origin: [0, 0, 0],
    at,
    thick: [-y - proof.ribThickness / 2, -y + proof.ribThickness / 2],
    foot: skin.top,
    reach: high + proof.pin + 6,
    length,
    round: [at - length / 4 - (index % 2) * (proof.pin / 2), out],
    slot: [at + length / 4, out],
  };
}

function ribPiece(shop: ProofShop, y: number, name: string, part: string, [from, to]: Vec2, joints: readonly Worked[], turn: number): PiecePlan {
  const { plan: { body }, sizes, say, job: { proof } } = shop;
  const [y0, y1] = [y - proof.ribThickness / 2, y + proof.ribThickness / 2];
  const bound = (end: number, side: 1 | -1): number => (Number.isFinite(end) ? end + (side * sizes.gap) / 2 : -side * (body.length + farOut * 5));
  const box: MeshForm = { kind: 'box', least: [bound(from, 1), y0, -farOut], most: [bound(to, -1), y1, highestOf(shop) + farOut] };
  const label = labelOn(shop, [Math.max(from, 0), Math.min(to, body.length)], [y0, y1], `RIB ${name} Y${Number(y.toFixed(1))} ${part}`.trim());
  return {
    kind: 'rib',
    title: `Rib ${name}${part === '' ? '' : `, piece ${part.replace('/', ' of ')}`}`,
    at: 'proof.ribs',
    purpose: `Checks the side contour at Y ${say(y)}, ${say(proof.ribThickness)} thick.`,
    from: 'part',
    corrected: true,
    steps: [
      { do: 'common', with: [box] },
      { do: 'fuse', with: [...joints.flatMap((joint) => joint.add), ...label.add] },
      { do: 'cut', with: [...joints.flatMap((joint) => joint.cut), ...label.cut] },
    ],
    lay: afterwards(lying, standingOn(turn)),
    turn,
    readings: ribReadings(shop, y, from === -Infinity && to === Infinity),
    marking: label.lines,
  };
}

/** A plate on the outside of the contour, between the pads, lettered on the side that looks up from the bed. */
function labelOn(shop: ProofShop, [from, to]: Vec2, [y0, y1]: Vec2, what: string): Worked & { readonly lines: readonly string[] } {
  if (!shop.job.proof.text) return { add: [], cut: [], lines: [] };
  const lines = [`${shop.job.partNumber} ${shop.job.revision} ${what}`, warning];
  const middle = (from + to) / 2;
  const half = Math.min(plate.longest, to - from - padLength(shop) - 2 * clear) / 2;
  if (half <= 0) return { add: [], cut: [], lines: [] };
  const stations = Array.from({ length: Math.ceil(2 * half) + 1 }, (_, i) => Math.min(middle + half, middle - half + i));
  const high = Math.max(...stations.map(shop.skin.top));
  const field = { middle: [middle, y0, high + plate.high / 2] as Vec3, right: [1, 0, 0] as Vec3, up: [0, 0, 1] as Vec3, size: [2 * half - 2 * clear, plate.high - 2 * clear] as Vec2, behind: y1 - y0 };
  const cut = letteringIn(field, lines);
  if (cut.length === 0) {
    shop.notes.push(`${what}: no room for the marking; write it on by hand: ${lines.join(', ')}.`);
    return { add: [], cut: [], lines: [] };
  }
  return { add: [bandForm([middle - half, middle + half], [y0, y1], (x) => shop.skin.top(x) - shop.sizes.bite, () => high + plate.high)], cut, lines };
}

function ribReadings(shop: ProofShop, y: number, whole: boolean): WantedReading[] {
  const { plan: { body }, say, job: { proof } } = shop;
  return [
    { what: 'outside', name: 'Rib thickness', along: [0, 1, 0], size: proof.ribThickness },
    ...(whole ? [{ what: 'outside' as const, name: `Feet along X at Y ${say(y)}`, along: [1, 0, 0] as Vec3, size: body.length }] : []),
  ];
}
