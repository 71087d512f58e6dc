/** Job + plan -> Holding: billet, fixture, both operations, screws and touch-off numbers. Always an answer; what is wrong with it are findings. */
import type { Job } from '../job/schema.ts';
import type { SolidPlan } from '../solid/plan.ts';
import { density } from '../standards/materials.ts';
import { fixtureOf } from './fixture.ts';
import { footprints } from './footprint.ts';
import type { Holding, Operation, StepExpected } from './holding.ts';
import { fixtureHoleRows } from './machineHoles.ts';
import { firstOperation, secondOperation } from './operations.ts';
import { stockOf } from './stock.ts';
import { touchOffOf } from './touchOff.ts';

/** Volumes measured by the kernel, mm3; what rests on one that is not there stays open. */
export interface Volumes {
  readonly part?: number;
  readonly fixture?: number;
}

/** mm3 and g/cm3 -> g. */
const grams = (volume: number, perCubicCentimetre: number): number => (volume / 1000) * perCubicCentimetre;

export function holdingOf(job: Job, plan: SolidPlan, volumes: Volumes = {}): Holding {
  const stock = stockOf(job, plan);
  const { plan: fixture, screws, longSpans } = fixtureOf(job, plan);
  const op1 = firstOperation(job, plan, stock, fixture);
  const op2 = secondOperation(job, plan, stock, fixture);
  const whole = grams(stock.size[0] * stock.size[1] * stock.size[2], density(job.material));
  const part = volumes.part === undefined ? null : grams(volumes.part, density(job.material));
  return {
    stock,
    op1,
    op2,
    fixture,
    fixtureHoles: fixtureHoleRows(fixture, op2.motion),
    screws,
    touchOff: touchOffOf(job, stock, fixture, op2),
    step: stepExpected(job, plan, op1),
    mass: { stock: whole, part, chips: part === null ? null : whole - part, fixture: volumes.fixture === undefined ? null : grams(volumes.fixture, density(fixture.material)) },
    longSpans,
  };
}

/** A piece turned over carries its skew the other way, so that the two sides differ by twice of it. */
function stepExpected(job: Job, plan: SolidPlan, op1: Operation): StepExpected {
  const [x, y] = op1.zero.at;
  const corners = footprints(plan).flatMap(({ least, most }) => [least, most, [least[0], most[1]] as const, [most[0], least[1]] as const]);
  const reach = Math.max(...corners.map(([a, b]) => Math.hypot(a - x, b - y)));
  return { skew: job.holding.skew, reach, step: (2 * job.holding.skew * reach) / 100 };
}
