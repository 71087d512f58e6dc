/** Whether a part turned over wrongly is noticed: by the three numbers, and by not going onto its fixture. */
import { distance2, type Vec2 } from '../maths/vec.ts';
import type { SolidPlan } from '../solid/plan.ts';
import { finding, type HoldingCheck } from './holdingInput.ts';

export const flipProven: HoldingCheck = ({ holding: { touchOff, stock } }) => {
  const untold = touchOff.wrong.filter((wrong) => !wrong.told).map((wrong) => wrong.what);
  if (untold.length === 0) return [];
  const cure = stock.flipCorner === null ? 'Leave 4 mm or more of stock at the ends, so that there is room for the flip corner.' : 'Choose another zero.';
  return [finding('flip-not-proven', 'warn', stock.flipCorner === null ? 'holding.stockEnds' : 'holding.secondZero', `The three touch-off numbers do not tell: ${untold.join('; ')}.`, cure, 'Each mistake tried on the outline of the billet.', { value: untold.length, limit: 0, unit: 'count' })];
};

/** mm by which things have to be out of place for the part not to go on. */
const noticed = 1;

/** Whether the part goes onto its pins end for end as well: then everything that hangs down must have a partner. */
export function goesOnTurned({ bosses, tabs }: SolidPlan, a: Vec2, b: Vec2): boolean {
  const turned = ([x, y]: Vec2): Vec2 => [a[0] + b[0] - x, a[1] + b[1] - y];
  const stands = bosses.every((boss) => bosses.some((other) => Math.abs(other.endHeight - boss.endHeight) < noticed && distance2(turned([boss.x, boss.y]), [other.x, other.y]) < noticed));
  const rests = tabs.filter((tab) => tab.hole !== null).every((tab) => tabs.some((other) => other.hole !== null && Math.abs(other.seat - tab.seat) < noticed && distance2(turned([tab.hole!.entry[0], tab.hole!.entry[1]]), [other.hole.entry[0], other.hole.entry[1]]) < noticed));
  return stands && rests;
}

export const oddOneOut: HoldingCheck = ({ plan, holding: { fixture } }) => {
  const [round, relieved] = fixture.pins;
  if (round === undefined || relieved === undefined || !goesOnTurned(plan, round.at, relieved.at)) return [];
  return [finding('goes-on-turned', 'note', 'bosses', 'The part goes onto its fixture end for end as well: nothing that hangs down is out of step.', 'Move one boss or tab a few millimetres, or rely on the touch-off numbers and the word FRONT.', 'Bosses and tab holes turned half round between the pins, within 1 mm.')];
};
