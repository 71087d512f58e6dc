/**
 * A held part -> the files the shop needs to hold it: billet and part as they lie in the first operation, part on its
 * fixture in the second, the part after the first operation, the fixture by itself, and hole tables. Each STEP stands in
 * the machine frame of its operation, origin at the zero that was chosen.
 */
import type { HeldUp } from '../holding/holdUp.ts';
import type { Holding } from '../holding/holding.ts';
import { movedMesh } from '../holding/motion.ts';
import type { Job } from '../job/schema.ts';
import type { Kernel, SolidRef, StepPart } from '../solid/door.ts';
import type { SolidPlan } from '../solid/plan.ts';
import { dxfText } from './dxf.ts';
import { textFile, type OutputFile } from './file.ts';
import { fixtureDrawing } from './fixtureDrawing.ts';
import { machineHoleCsv } from './machineHoleTable.ts';
import { stlBytes } from './stl.ts';
import { svgText } from './svg.ts';

/** Screen colours of what is not the part. */
const colours = { billet: '#d8d2c4', fixture: '#c2a46b', pin: '#4d5560' } as const;

export interface HeldPart {
  readonly job: Job;
  readonly plan: SolidPlan;
  readonly part: SolidRef;
  readonly holding: Holding;
  readonly held: HeldUp;
}

/** One after the other: a STEP takes long, and whoever packs them may take each as it comes. */
export function* holdingFiles({ job, plan, part, holding, held: { solids } }: HeldPart, kernel: Kernel, stem: string, date: string): Generator<OutputFile> {
  const units = job.files.units ?? job.units;
  const name = `${job.partNumber}-${job.revision}`;
  const { op1, op2 } = holding;
  const step = (file: string, purpose: string, description: string, parts: readonly StepPart[]): OutputFile => ({
    name: `${stem}-${file}.step`,
    mimetype: 'model/step',
    purpose: `${purpose} ${job.files.stepSchema}, ${units}.`,
    bytes: kernel.step(parts, { schema: job.files.stepSchema, units, fileName: `${stem}-${file}.step`, description, author: '', date, lean: true }),
  });
  const cover: Omit<StepPart, 'placed'> = { solid: part, name, colour: job.files.colour };
  const fixture: readonly StepPart[] = [
    { solid: solids.fixture, name: `${name} fixture`, colour: colours.fixture, placed: op2.motion },
    ...solids.pins.map(({ pin, solid }) => ({ solid, name: `${name} ${pin.kind} pin`, colour: colours.pin, placed: op2.motion })),
  ];
  const drawing = fixtureDrawing(holding, plan, units);
  yield step('op1', 'Part and billet as they lie in the first operation, underside up, zero as chosen.', `${name}: first operation`, [{ ...cover, placed: op1.motion }, { solid: solids.billet, name: `${name} billet`, colour: colours.billet, placed: op1.motion }]);
  yield step('op2', 'Part on its fixture as it stands in the second operation, top up, zero as chosen.', `${name}: second operation`, [{ ...cover, placed: op2.motion }, ...fixture]);
  if (solids.afterFirst !== null) yield step('after-op1', 'What is left of the billet after the first operation, as it stands in the second: the stock CAM starts from.', `${name} after the first operation`, [{ solid: solids.afterFirst, name: `${name} after op 1`, colour: colours.billet, placed: op2.motion }]);
  yield step('fixture', 'Fixture of the second operation with its pins.', `${name} fixture`, fixture);
  yield { name: `${stem}-fixture.stl`, mimetype: 'model/stl', purpose: `Mesh of the fixture within ${job.files.deviation} mm, in mm.`, bytes: stlBytes(movedMesh(solids.fixtureMesh, op2.motion), `${name} fixture`) };
  yield textFile(`${stem}-fixture.dxf`, 'image/vnd.dxf', `Plan of the fixture with its hole table, ${units}.`, dxfText(drawing, units));
  yield textFile(`${stem}-fixture.svg`, 'image/svg+xml', 'Plan of the fixture with its hole table, 1:1.', svgText(drawing, { title: `Fixture of ${name}` }));
  yield textFile(`${stem}-fixture-holes.csv`, 'text/csv', 'Holes of the fixture from its zero.', machineHoleCsv(holding.fixtureHoles, units));
  for (const { name: operation, holes } of [op1, op2]) {
    if (holes.length > 0) yield textFile(`${stem}-${operation.replace(' ', '')}-holes.csv`, 'text/csv', `Holes of ${operation} from its zero.`, machineHoleCsv(holes, units));
  }
}
