/**
 * The shop's cutter drawer, `*.cutters.json`: what is there to cut with, as typed. Reading it through `cutterSchema(units)`
 * gives millimetres.
 */
import { z } from 'zod';
import { fieldsIn } from '../job/fields.ts';
import type { Units } from '../job/quantity.ts';
import { threadNames } from '../standards/threads.ts';

/** The version of the cutter file written today. */
export const cutterFileVersion = 1;

export const cutterKinds = ['end mill', 'bull-nose', 'ball', 'face mill', 'drill', 'spot drill', 'tap', 'chamfer', 'counterbore', 'engraver'] as const;
export type CutterKind = (typeof cutterKinds)[number];

function buildCutterSchema(units: Units) {
  const f = fieldsIn(units);
  const cutter = z.strictObject({
    name: f.text({ label: 'Name', help: 'What it is called in the shop: drawer, pocket, holder.', longest: 60 }).min(1, { error: 'Name: expected a name.' }),
    kind: f.choice(cutterKinds, { label: 'Kind', help: 'What sort of cutter it is.' }),
    diameter: f.length({ label: 'Diameter', help: 'Cutting diameter; for a tap, chamfer or spot drill the largest it cuts.', least: 0.1, most: 200, step: 0.5 }),
    cornerRadius: f.length({ label: 'Corner radius', help: 'Radius of the corner of a bull-nose cutter.', least: 0, most: 100, step: 0.5 }).default(0),
    reach: f.length({ label: 'Reach', help: 'How deep it cuts before shank or holder touch.', least: 0.1, most: 500, step: 1 }).optional(),
    thread: f.choice(threadNames, { label: 'Thread', help: 'Thread a tap cuts.' }).optional(),
    pointAngle: f.angle({ label: 'Point', help: 'Included angle of a drill point, chamfer or spot drill.', least: 30, most: 180 }).optional(),
    note: f.text({ label: 'Note', help: 'Anything to remember about it.', longest: 300 }).default(''),
  });
  return z.strictObject({
    $schema: z.string().max(500).optional(),
    coverwrightCutters: z.literal(cutterFileVersion, { error: `Expected coverwrightCutters: ${cutterFileVersion}.` }),
    shop: f.text({ label: 'Shop', help: 'Whose drawer it is.', longest: 120 }).default(''),
    units: f.choice(['mm', 'inch'], { label: 'Units', help: 'What a number typed without a unit means.' }).default('mm'),
    cutters: z.array(cutter, { error: 'Cutters: expected a list.' }).max(500, { error: 'Cutters: expected at most 500.' }).default([]).meta({ label: 'Cutters', help: 'What is there to cut with.' }),
  });
}

const schemas = { mm: buildCutterSchema('mm'), inch: buildCutterSchema('inch') } as const;

export const cutterSchema = (units: Units): (typeof schemas)['mm'] => schemas[units];

/** The drawer in mm. */
export type CutterDrawer = z.output<(typeof schemas)['mm']>;
export type Cutter = CutterDrawer['cutters'][number];
/** The file as typed. */
export type CutterDocument = z.input<(typeof schemas)['mm']>;
