/**
 * Billet, fixture and choices of the job -> both operations: zero, motion from the part frame to the machine frame, and
 * what is said on the sheet. In the first the part lies top down, turned about X or Y; in the second it stands top up and
 * nothing is turned.
 */
import type { Job } from '../job/schema.ts';
import type { Vec2, Vec3 } from '../maths/vec.ts';
import type { RigidMotion } from '../solid/door.ts';
import type { SolidPlan } from '../solid/plan.ts';
import type { FixturePlan, Operation, Stock, Zero, ZeroChoice } from './holding.ts';
import { movedBox, toOrigin, turned } from './motion.ts';
import { firstHoles, secondHoles } from './machineHoles.ts';

/** Turned over about X: Y and Z change sign; about Y: X and Z. */
export const overTurn = (about: Job['holding']['turnOver']): RigidMotion['rotation'] =>
  about === 'about X' ? [[1, 0, 0], [0, -1, 0], [0, 0, -1]] : [[-1, 0, 0], [0, 1, 0], [0, 0, -1]];

const upright: RigidMotion['rotation'] = [[1, 0, 0], [0, 1, 0], [0, 0, 1]];

/** What a choice of zero is called on the sheet, for the piece it is taken from. */
const sayPlace = (choice: ZeroChoice, piece: 'billet' | 'plate'): string =>
  ({ centre: `middle of the ${piece}`, corner: `corner of the ${piece} nearest to you on the left`, pin: piece === 'billet' ? 'axis of the hole the round pin will enter' : 'axis of the round pin', bore: 'axis of the touch-off bore' })[choice];

const middle = (a: Vec3, b: Vec3): Vec2 => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];

/** Part frame plan of the corner that becomes least X, least Y once turned. */
function cornerOf({ least, most }: { readonly least: Vec3; readonly most: Vec3 }, rotation: RigidMotion['rotation']): Vec2 {
  const pick = (k: 0 | 1): number => (turned({ rotation }, k === 0 ? [1, 0, 0] : [0, 1, 0])[k] > 0 ? least[k] : most[k]);
  return [pick(0), pick(1)];
}

/** Without a pin its zero falls back to the middle, and says so. */
export function zeroOf(choice: ZeroChoice, piece: 'billet' | 'plate', rotation: RigidMotion['rotation'], box: { readonly least: Vec3; readonly most: Vec3 }, height: number, face: string, fixture: FixturePlan): Zero {
  const pin = fixture.pins.find((one) => one.kind === 'round');
  const taken = choice === 'pin' && pin === undefined ? 'centre' : choice;
  const at = taken === 'pin' ? pin!.at : taken === 'bore' ? fixture.touchOffBore.at : taken === 'corner' ? cornerOf(box, rotation) : middle(box.least, box.most);
  const instead = taken === choice ? '' : ' (there is no pin)';
  return { choice: taken, at: [at[0], at[1], height], said: `X and Y: ${sayPlace(taken, piece)}${instead}. Z: ${face}.` };
}

export function firstOperation(job: Job, plan: SolidPlan, stock: Stock, fixture: FixturePlan): Operation {
  const rotation = overTurn(job.holding.turnOver);
  const zero = zeroOf(job.holding.firstZero, 'billet', rotation, stock.box, stock.box.least[2], 'raw upper face of the billet', fixture);
  const motion = toOrigin(rotation, zero.at);
  return {
    name: 'op 1',
    said: [
      'Underside up: the part lies top down in the billet.',
      'Hold the billet by its sides in the jaws, on parallels, as deep as stated; keep the ends clear of the jaws.',
      'Cut feet and tab seats, hollow, bosses, drill and tap, tab holes, the outline past the tabs, notches, the flip corner.',
    ],
    zero,
    motion,
    box: movedBox(motion, stock.box),
    holes: firstHoles(plan, motion),
  };
}

export function secondOperation(job: Job, plan: SolidPlan, stock: Stock, fixture: FixturePlan): Operation {
  const zero = zeroOf(job.holding.secondZero, 'plate', upright, fixture.plate, fixture.plate.most[2], 'upper face of the plate', fixture);
  const motion = toOrigin(upright, zero.at);
  const both = { least: fixture.plate.least, most: [fixture.plate.most[0], fixture.plate.most[1], stock.box.most[2]] as const };
  return {
    name: 'op 2',
    said: [
      'Top up: the part stands on the fixture, placed by the pins.',
      fixture.heldBy === 'bosses'
        ? 'Pull it down by the screws from below, crosswise; then bolt the plate to the table.'
        : fixture.heldBy === 'tabs'
          ? 'Clamp over the walls, cut the tops of the tabs, put the screws through the tabs, then take the clamps off and cut the rest.'
          : 'Nothing holds the part yet: see the findings.',
      'Touch off the three numbers before anything is cut. Cut top and outside; leave all screws in until the last cut.',
    ],
    zero,
    motion,
    box: movedBox(motion, both),
    holes: secondHoles(plan, motion),
  };
}
