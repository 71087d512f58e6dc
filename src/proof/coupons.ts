/**
 * What the printer is measured with, drawn as it is and corrected by nothing: a bar with holes and plugs of the sizes the
 * part uses, and a square frame with a post. Their drawn and measured sizes are the readings of a printer file.
 */
import { tolerance } from '../maths/tolerance.ts';
import type { Vec2, Vec3 } from '../maths/vec.ts';
import { ok, refuse, type Result } from '../result.ts';
import type { MeshForm } from '../solid/meshRecipe.ts';
import { circleOutline, rectangleOutline } from '../solid/outline.ts';
import { standing } from '../solid/recipe.ts';
import { turnToFit } from './bed.ts';
import { letteringIn, warning } from './labels.ts';
import { refusal, standingOn, uprightHoles, type PiecePlan, type ProofShop, type WantedReading } from './proofPlan.ts';

/** mm. */
const thickness = 6;
const plugHigh = 8;
const between = 6;
const labelHigh = 12;
/** mm. Spread of sizes below which readings cannot tell scale from allowance (tolerance.barsApart, with room): others are added. */
const leastSpread = 4 * tolerance.barsApart * tolerance.readingError;
const mostSizes = 10;

/** Distinct hole diameters of the part and its pins, enough of them to fix a line. */
export function barSizes({ plan, job: { proof } }: ProofShop): number[] {
  const own = [...uprightHoles(plan).map((hole) => hole.diameter), proof.pin + proof.pinClearance].map((d) => Number(d.toFixed(3)));
  const sizes = [...new Set(own)].sort((a, b) => a - b);
  const spread = sizes.at(-1)! - sizes[0]!;
  const all = spread < leastSpread ? [...new Set([...sizes, Math.max(2, sizes[0]! - leastSpread / 2), sizes.at(-1)! + leastSpread / 2])].sort((a, b) => a - b) : sizes;
  const step = Math.max(1, (all.length - 1) / (mostSizes - 1));
  return all.length <= mostSizes ? all : Array.from({ length: mostSizes }, (_, i) => all[Math.round(i * step)]!);
}

export function holeBar(shop: ProofShop): Result<PiecePlan> {
  const sizes = barSizes(shop);
  const lines = [`${shop.job.partNumber} ${shop.job.revision} HOLE BAR`, warning];
  const largest = sizes.at(-1)!;
  const places: number[] = [];
  let used = between;
  for (const size of sizes) {
    places.push(used + size / 2);
    used += size + between;
  }
  const length = Math.max(used, 72);
  const [plugY, textY, holeY] = [labelHigh + between / 2 + largest / 2, labelHigh + between + largest + 3, labelHigh + between + largest + 6 + largest / 2];
  const depth = holeY + largest / 2 + between / 2;
  const turn = turnToFit([[0, 0], [length, depth]], shop.bed);
  if (turn === null) return refuse(refusal('proof-larger-than-bed', 'proof.holeBar', `The hole bar is ${shop.say(length)} by ${shop.say(depth)} and does not fit the bed.`, 'State a larger bed, or turn proof.holeBar off.'));
  const up: Vec3 = [0, 1, 0];
  const plate = standing(rectangleOutline([0, 0], [length, depth], 2), 0, thickness);
  const letters = shop.job.proof.text
    ? [
        ...letteringIn({ middle: [length / 2, labelHigh / 2, thickness], right: [1, 0, 0], up, size: [length - 4, labelHigh - 1], behind: thickness }, lines),
        ...sizes.map((size, i): MeshForm => ({ kind: 'letters', text: String(size), height: 2.5, frame: { origin: [places[i]!, textY, thickness], x: [1, 0, 0], y: up }, from: -0.4, to: 1 })),
      ]
    : [];
  return ok({
    kind: 'bar',
    title: 'Hole bar',
    at: 'proof.holeBar',
    purpose: 'Measure its holes and plugs for the printer file. Drawn as it is, corrected by nothing.',
    from: [plate, ...sizes.map((size, i) => standing(circleOutline([places[i]!, plugY], size / 2), 0, thickness + plugHigh))],
    corrected: false,
    steps: [{ do: 'cut', with: [...sizes.map((size, i) => standing(circleOutline([places[i]!, holeY], size / 2), -1, thickness + 1)), ...letters] }],
    lay: standingOn(turn),
    turn,
    readings: [...sizes.map((size): WantedReading => ({ what: 'hole', name: `Hole ${size}`, size })), ...sizes.map((size): WantedReading => ({ what: 'shaft', name: `Plug ${size}`, size }))],
    marking: shop.job.proof.text ? lines : [],
  });
}

/** Longest side: more tells no more of the scale than calipers read. */
const longestSide = 200;
const member = 14;
const postHigh = 30;

export function squareFrame(shop: ProofShop): Result<PiecePlan> {
  const side = Math.floor(Math.min(shop.bed.x, shop.bed.y, longestSide));
  if (shop.bed.z < postHigh) return refuse(refusal('proof-too-high', 'proof.bedZ', `The square's post is ${shop.say(postHigh)} high and the printer builds ${shop.say(shop.bed.z)}.`, 'State a higher print, or turn proof.square off.'));
  const lines = [`${shop.job.partNumber} ${shop.job.revision} SQUARE`, warning];
  const square = (at: number, size: number): ReturnType<typeof rectangleOutline> => rectangleOutline([at, at], [at + size, at + size]);
  const post: MeshForm = standing(square(0, member), 0, postHigh);
  const field = { middle: [side / 2 + member / 2, member / 2, thickness] as Vec3, right: [1, 0, 0] as Vec3, up: [0, 1, 0] as Vec3, size: [side - 2 * member, member - 2] as Vec2, behind: thickness };
  const outside = (name: string, along: Vec3, size: number): WantedReading => ({ what: 'outside', name, along, size });
  const corner = (x: number, y: number): Vec3 => [x, y, 0];
  return ok({
    kind: 'square',
    title: 'Square',
    at: 'proof.square',
    purpose: 'Measure it along X, Y and Z and over its corners for the printer file. Drawn as it is, corrected by nothing.',
    from: [standing(square(0, side), 0, thickness, [square(member, side - 2 * member)]), post],
    corrected: false,
    steps: [{ do: 'cut', with: shop.job.proof.text ? letteringIn(field, lines) : [] }],
    lay: standingOn(0),
    turn: 0,
    readings: [
      outside('Side along X', [1, 0, 0], side),
      outside('Member along X', [1, 0, 0], member),
      outside('Side along Y', [0, 1, 0], side),
      outside('Member along Y', [0, 1, 0], member),
      outside('Frame height', [0, 0, 1], thickness),
      outside('Post height', [0, 0, 1], postHigh),
      { what: 'centres', name: 'Rising diagonal', from: corner(0, 0), to: corner(side, side) },
      { what: 'centres', name: 'Falling diagonal', from: corner(side, 0), to: corner(0, side) },
    ],
    marking: shop.job.proof.text ? lines : [],
  });
}
