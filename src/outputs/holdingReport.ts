/** How the part is held -> its section of report.json, and of the report to read. Every number with its unit in its key. */
import { z } from 'zod';
import type { Holding, Operation } from '../holding/holding.ts';
import type { HoldingEvidence } from '../holding/holdUp.ts';
import type { Units } from '../job/quantity.ts';
import { sayLength, sayLengthUnit, sayMass } from './say.ts';
import { escapeMarkup } from './svg.ts';

const point2 = z.tuple([z.number(), z.number()]);
const point3 = z.tuple([z.number(), z.number(), z.number()]);
const box = z.object({ least: point3, most: point3 });
const operation = z.object({
  said: z.array(z.string()),
  zero: z.object({ choice: z.string(), at_mm: point3.describe('Part frame.'), said: z.string() }),
  rotation: z.tuple([point3, point3, point3]).describe('Row by row: machine = rotation x part + shift.'),
  shift_mm: point3,
  box_mm: box.describe('Machine frame: billet in op 1, part on its fixture in op 2.'),
});

export const holdingReportSchema = z
  .object({
    stock: z.object({ size_mm: point3, box_mm: box.describe('Part frame.'), grip_mm: z.number(), outline_to_mm: z.number(), flip_corner_mm: z.object({ least: point2, most: point2 }).nullable() }),
    op1: operation,
    op2: operation,
    screws: z.array(
      z.object({
        boss: z.string(),
        screw: z.string().describe('Empty where none fits.'),
        grip_mm: z.number().nullable(),
        engagement_mm: z.number().nullable(),
        legal: z.array(z.string()),
        skin_left_mm: z.number().nullable().describe('Shortest distance from the whole drill to the top.'),
        refused: z.array(z.string()),
      }),
    ),
    pins: z.array(z.object({ kind: z.enum(['round', 'relieved']), in: z.string(), at_mm: point2, diameter_mm: z.number(), hole_mm: z.number(), play_mm: z.number() })),
    supports: z.array(z.object({ name: z.string(), at_mm: point2, top_mm: z.number() })),
    touch_off: z.array(z.object({ axis: z.enum(['X', 'Y', 'Z']), value_mm: z.number(), tolerance_mm: z.number(), said: z.string() })).describe('Machine frame of op 2.'),
    wrong_flips: z.array(z.object({ what: z.string(), shows_mm: z.array(z.number().nullable()), told: z.boolean() })),
    step_expected: z.object({ skew_mm_per_100: z.number(), reach_mm: z.number(), step_mm: z.number() }),
    held_by: z.enum(['bosses', 'tabs', 'nothing']),
    fixture: z.object({ material: z.string(), plate_mm: box, overlap_mm3: z.number().nullable(), least_gap_mm: z.number().nullable().describe('Contacts left out; no farther than looked_mm was looked.'), looked_mm: z.number().nullable() }),
    mass_g: z.object({ stock: z.number(), part: z.number().nullable(), chips: z.number().nullable(), fixture: z.number().nullable() }),
  })
  .describe('How the part is held and cut from both sides.');

export type HoldingReport = z.output<typeof holdingReportSchema>;

const tidy = (value: number): number => Number(value.toFixed(6));
const maybe = (value: number | null | undefined): number | null => (value === null || value === undefined ? null : tidy(value));
const tidied = <T extends readonly number[]>(values: T): { -readonly [K in keyof T]: number } => values.map(tidy) as never;
const tidyBox = ({ least, most }: { readonly least: readonly [number, number, number]; readonly most: readonly [number, number, number] }) => ({ least: tidied(least), most: tidied(most) });

const operationReport = ({ said, zero, motion, box: around }: Operation): HoldingReport['op1'] => ({
  said: [...said],
  zero: { choice: zero.choice, at_mm: tidied(zero.at), said: zero.said },
  rotation: motion.rotation.map((row) => [...row]) as unknown as HoldingReport['op1']['rotation'],
  shift_mm: tidied(motion.shift),
  box_mm: tidyBox(around),
});

export function holdingReport(holding: Holding, evidence: HoldingEvidence | null): HoldingReport {
  const { stock, fixture, screws, touchOff, step, mass } = holding;
  return {
    stock: { size_mm: tidied(stock.size), box_mm: tidyBox(stock.box), grip_mm: stock.grip, outline_to_mm: tidy(stock.outlineTo), flip_corner_mm: stock.flipCorner && { least: tidied(stock.flipCorner.least), most: tidied(stock.flipCorner.most) } },
    op1: operationReport(holding.op1),
    op2: operationReport(holding.op2),
    screws: screws.map((screw) => ({
      boss: screw.name,
      screw: screw.chosen?.said ?? '',
      grip_mm: maybe(screw.window?.grip),
      engagement_mm: maybe(screw.chosen?.engagement),
      legal: screw.window?.screws.map((one) => one.said) ?? [],
      skin_left_mm: maybe(screw.skin?.left),
      refused: screw.refused.map((issue) => `${issue.message} ${issue.hint}`),
    })),
    pins: fixture.pins.map((pin) => ({ kind: pin.kind, in: pin.name, at_mm: tidied(pin.at), diameter_mm: tidy(pin.diameter), hole_mm: tidy(pin.hole), play_mm: tidy(pin.play) })),
    supports: fixture.columns.filter((column) => column.what === 'support').map((column) => ({ name: column.name, at_mm: tidied(column.at), top_mm: tidy(column.top) })),
    touch_off: touchOff.numbers.map((number) => ({ axis: number.axis, value_mm: tidy(number.value), tolerance_mm: number.tolerance, said: number.said })),
    wrong_flips: touchOff.wrong.map((wrong) => ({ what: wrong.what, shows_mm: wrong.shows.map(maybe), told: wrong.told })),
    step_expected: { skew_mm_per_100: step.skew, reach_mm: tidy(step.reach), step_mm: tidy(step.step) },
    held_by: fixture.heldBy,
    fixture: { material: fixture.material, plate_mm: tidyBox(fixture.plate), overlap_mm3: maybe(evidence?.overlap), least_gap_mm: maybe(evidence?.gap), looked_mm: maybe(evidence?.looked) },
    mass_g: { stock: tidy(mass.stock), part: maybe(mass.part), chips: maybe(mass.chips), fixture: maybe(mass.fixture) },
  };
}

/** The section to read: billet, zeros, numbers to touch off, screws. */
export function holdingHtml(report: HoldingReport, units: Units): string {
  const e = escapeMarkup;
  const say = (mm: number): string => sayLengthUnit(mm, units);
  const unit = units === 'inch' ? 'in' : 'mm';
  const figures: readonly (readonly [string, string])[] = [
    ['Billet X × Y × Z', `${report.stock.size_mm.map((v) => sayLength(v, units)).join(' × ')} ${unit}`],
    ['Stock, part, chips', [report.mass_g.stock, report.mass_g.part, report.mass_g.chips].map((g) => (g === null ? '?' : sayMass(g))).join(', ')],
    ['First zero', report.op1.zero.said],
    ['Second zero', report.op2.zero.said],
    ['Touch off', report.touch_off.map((t) => `${t.axis} ${sayLength(t.value_mm, units)}`).join(', ')],
    ['Step to expect', `${say(report.step_expected.step_mm)} from ${say(report.step_expected.skew_mm_per_100)} of skew over 100 mm`],
    ['Pins', report.pins.length === 0 ? 'none' : report.pins.map((pin) => `${pin.kind} ${say(pin.diameter_mm)} in ${pin.in}`).join(', ')],
    ['Fixture', `${report.mass_g.fixture === null ? 'not made' : `${sayMass(report.mass_g.fixture)} of ${report.fixture.material}`}; metal shared with the part ${report.fixture.overlap_mm3 ?? '?'} mm3, least gap ${report.fixture.least_gap_mm === null ? '?' : say(report.fixture.least_gap_mm)}`],
  ];
  const rows = report.screws
    .map((s) => `<tr><td>${e(s.boss)}</td><td>${s.screw === '' ? '<strong>none</strong>' : e(s.screw)}</td><td class="n">${s.skin_left_mm === null ? '' : sayLength(s.skin_left_mm, units)}</td><td>${e(s.refused.length > 0 ? s.refused.join(' ') : s.legal.length > 1 ? `also ${s.legal.filter((one) => one !== s.screw).join(', ')}` : '')}</td></tr>`)
    .join('');
  const screws = rows === '' ? '' : `<div class="table"><table><thead><tr><th>Boss</th><th>Screw from below</th><th class="n">Skin left, ${unit}</th><th></th></tr></thead><tbody>${rows}</tbody></table></div>`;
  return `<h2>Holding</h2><dl class="figures">${figures.map(([name, value]) => `<dt>${e(name)}</dt><dd>${e(value)}</dd>`).join('')}</dl>${screws}`;
}
