/**
 * Holding -> recipes of its solids: fixture, pins, billet, and the part as it is after the first operation. Part frame, mm.
 *
 * After the first operation: the billet above where the outline was cut to, and below that the outline of body and tabs,
 * less the hollow, the tab holes and the notches. What is cut from above later (top, heads, holes through the skin) is
 * still metal. Chamfers on the feet are left out: there the model has more metal than the piece.
 */
import type { Vec2, Vec3 } from '../maths/vec.ts';
import type { SolidRef } from '../solid/door.ts';
import { rectangleOutline, roundedPolygon, type Outline } from '../solid/outline.ts';
import type { SolidPlan, TabPlan, ThroughHole } from '../solid/plan.ts';
import { rod, standing, type Form, type Recipe, type RecipeStep } from '../solid/recipe.ts';
import { footBeside, wallFrame } from '../solid/walls.ts';
import { putInOf } from './boring.ts';
import { bodyOnPlan, tabOnPlan } from './footprint.ts';
import type { FixtureHole, FixturePlan, FixtureText, Pin, Stock } from './holding.ts';

/** mm tools run past the faces they go through. */
const overrun = 1;

/** mm blocks and columns go down into the plate, so that they join it by volume. */
const rooted = 1;

export function fixtureRecipe(plan: FixturePlan): Recipe {
  const { least, most } = plan.plate;
  const highest = Math.max(most[2], ...plan.blocks.map((block) => block.top), ...plan.columns.map((column) => column.top)) + overrun;
  const { posts, bores, otherColumns, otherHoles, otherMouths } = putInOf(plan);
  const bottom = most[2] - Math.min(rooted, (most[2] - least[2]) / 2);
  return {
    name: 'fixture',
    at: 'holding',
    start: [
      { kind: 'box', least, most },
      ...plan.blocks.map((block) => standing(block.outline, bottom, block.top, block.holes)),
      ...otherColumns.map(({ at, radius, top }) => rod([...at, bottom], [0, 0, 1], radius, top - bottom)),
    ],
    steps: [
      { do: 'cut', with: plan.reliefs.map(({ outline, from }) => standing(outline, from, highest)) },
      { do: 'stand', posts: posts.map(({ at, radius, top }) => ({ at, radius, from: most[2], top })) },
      { do: 'cut', with: [...otherMouths.map(({ at, radius, from }) => rod([...at, from], [0, 0, 1], radius, highest - from)), ...otherHoles.flatMap((hole) => drills(hole, least[2], highest))] },
      { do: 'drill', bores },
      { do: 'sink', with: plan.text.map((text) => letters(text, most[2])) },
    ],
  };
}

/** The drill and, where there is one, the counterbore. A column above a hole is drilled with it. */
function drills(hole: FixtureHole, bottom: number, highest: number): Form[] {
  const from = hole.through ? bottom - overrun : hole.from;
  const bore = rod([...hole.at, from], [0, 0, 1], hole.diameter / 2, highest - from);
  const tool = hole.slot === null ? bore : standing(slotOutline(hole.at, hole.diameter, hole.slot.length + overrun, hole.slot.along), from, highest);
  if (hole.counterbore === null) return [tool];
  const { diameter, depth, from: side } = hole.counterbore;
  const head = side === 'below' ? rod([...hole.at, bottom - overrun], [0, 0, 1], diameter / 2, depth + overrun) : rod([...hole.at, hole.to - depth], [0, 0, 1], diameter / 2, highest - hole.to + depth);
  return [tool, head];
}

/** A slot from its round end on, square at the far end. */
function slotOutline(at: Vec2, width: number, length: number, [ux, uy]: Vec2): Outline {
  const put = (u: number, v: number): Vec2 => [at[0] + u * ux - v * uy, at[1] + u * uy + v * ux];
  const r = width / 2;
  return roundedPolygon([{ at: put(-r, -r), radius: r * 0.999 }, { at: put(length, -r) }, { at: put(length, r) }, { at: put(-r, r), radius: r * 0.999 }]);
}

function letters({ text, at, height, depth, angle }: FixtureText, top: number): Form {
  const [cos, sin] = [Math.cos((angle * Math.PI) / 180), Math.sin((angle * Math.PI) / 180)];
  return { kind: 'letters', text, height, frame: { origin: [...at, top], x: [cos, sin, 0], y: [-sin, cos, 0] }, from: -depth, to: 0 };
}

/** A pin as it is turned: round, the relieved one with two flats beside its lands where it enters the part. */
export function pinRecipe(pin: Pin, plateTop: number): Recipe {
  const foot: Vec3 = [...pin.at, pin.bottom];
  const whole = rod(foot, [0, 0, 1], pin.diameter / 2, pin.top - pin.bottom);
  if (pin.land === null) return { name: `${pin.kind} pin`, at: 'holding', start: [whole], steps: [] };
  const [lx, ly] = pin.land.along;
  const half = pin.land.width / 2;
  const far = pin.diameter;
  const put = (along: number, across: number): Vec2 => [pin.at[0] + lx * across - ly * along, pin.at[1] + ly * across + lx * along];
  // From half the width of the lands outwards, either side, above the mouth of the hole.
  const flats = [1, -1].map((side): Form => standing(roundedPolygon([{ at: put(side * half, -far) }, { at: put(side * far, -far) }, { at: put(side * far, far) }, { at: put(side * half, far) }]), Math.max(plateTop, pin.top - pin.engaged), pin.top + overrun));
  return { name: `${pin.kind} pin`, at: 'holding', start: [whole], steps: [{ do: 'cut', with: flats }] };
}

export const billetRecipe = ({ box }: Stock): Recipe => ({ name: 'billet', at: 'holding', start: [{ kind: 'box', ...box }], steps: [] });

/** `hollow`: what the kernel takes away below the roof, bosses and their holes taken out of it. */
export function afterFirstRecipe(plan: SolidPlan, stock: Stock, hollow: SolidRef): Recipe {
  const { body } = plan;
  const { box, outlineTo, flipCorner } = stock;
  const corner: RecipeStep[] = flipCorner === null ? [] : [{ do: 'cut', with: [standing(rectangleOutline(...grown(flipCorner, box)), outlineTo - overrun, box.most[2] + overrun)] }];
  const lowBosses = plan.bosses.filter((boss) => boss.endHeight < footBeside(body, boss));
  return {
    name: 'part after the first operation',
    at: 'holding',
    start: [{ kind: 'box', least: [box.least[0], box.least[1], outlineTo], most: box.most }],
    steps: [
      ...corner,
      { do: 'fuse', with: [...bodyForms(plan, outlineTo), ...plan.tabs.map((tab) => standing(tabOnPlan(body, tab), tab.seat, outlineTo)), ...lowBosses.map((boss) => rod([boss.x, boss.y, boss.endHeight], [0, 0, 1], boss.diameter / 2, outlineTo - boss.endHeight))] },
      { do: 'cut', with: [{ kind: 'solid', solid: hollow }, ...plan.tabs.flatMap((tab) => (tab.hole === null ? [] : [tabDrill(tab, tab.hole, outlineTo)])), ...plan.notches.map((notch) => notchForm(plan, notch))] },
    ],
  };
}

/** The flip corner with its two outer sides run past the billet. */
function grown({ least, most }: NonNullable<Stock['flipCorner']>, { least: a, most: b }: Stock['box']): [Vec2, Vec2] {
  const out = (k: 0 | 1): [number, number] => [least[k] <= a[k] + 1e-9 ? least[k] - overrun : least[k], most[k] >= b[k] - 1e-9 ? most[k] + overrun : most[k]];
  const [x, y] = [out(0), out(1)];
  return [[x[0], y[0]], [x[1], y[1]]];
}

/** The body from its feet up to where the outline is cut to, each half from its own foot. */
function bodyForms({ body }: SolidPlan, to: number): Form[] {
  const { frontFoot, backFoot, stepAt, length } = body;
  if (frontFoot === backFoot) return [standing(bodyOnPlan(body), frontFoot, to)];
  return [standing(bodyOnPlan(body, 0, stepAt), frontFoot, to), standing(bodyOnPlan(body, stepAt, length), backFoot, to)];
}

/** A tab hole, through the tab and as far up as its own diameter into the block above it. */
function tabDrill(tab: TabPlan, hole: ThroughHole, to: number): Form {
  const foot: Vec3 = [hole.entry[0], hole.entry[1], tab.seat - overrun];
  const height = Math.max(to, tab.seat + tab.thickness) + hole.diameter - foot[2];
  if (hole.slot === 0) return rod(foot, [0, 0, 1], hole.diameter / 2, height);
  const [ux, uy] = hole.slotAlong;
  const [half, r] = [hole.slot / 2, hole.diameter / 2];
  const put = (u: number, v: number): Vec2 => [foot[0] + u * ux - v * uy, foot[1] + u * uy + v * ux];
  const outline: Outline = {
    from: put(-half, -r),
    strokes: [{ kind: 'line', to: put(half, -r) }, { kind: 'arc', by: put(half + r, 0), to: put(half, r) }, { kind: 'line', to: put(-half, r) }, { kind: 'arc', by: put(-half - r, 0), to: put(-half, -r) }],
  };
  return standing(outline, foot[2], foot[2] + height);
}

/** A notch, cut from its foot up through its wall. */
function notchForm({ body }: SolidPlan, { wall, middle, width, foot, height, radius, through }: SolidPlan['notches'][number]): Form {
  const frame = wallFrame(body, wall);
  const low = foot - overrun;
  const [a, b] = [middle - width / 2, middle + width / 2];
  const outline = roundedPolygon([{ at: [a, low] }, { at: [b, low] }, { at: [b, foot + height], radius }, { at: [a, foot + height], radius }]);
  const [x, y] = frame.plan(0, 0);
  // Along the wall and up; the plane's own third axis is along x up, so the wall is cut from outside by going in.
  const out: Vec3 = [frame.along[1], -frame.along[0], 0];
  const inwards = out[0] * frame.out[0] + out[1] * frame.out[1] > 0 ? -1 : 1;
  const origin: Vec3 = [x * Math.abs(frame.out[0]), y * Math.abs(frame.out[1]), 0];
  return { kind: 'prism', outline, frame: { origin, x: frame.along, y: [0, 0, 1] }, from: -inwards * overrun, to: inwards * through };
}

