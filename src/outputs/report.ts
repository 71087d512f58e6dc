/**
 * The part -> report.json: every number a program may want, with its unit in its key. The schema below is published as
 * public/report.schema.json. Everything but `run` is the same for the same job.
 */
import { z } from 'zod';
import type { FairedContour } from '../contour/contour.ts';
import type { Finding } from '../checks/finding.ts';
import type { Job } from '../job/schema.ts';
import type { Section } from '../section/section.ts';
import type { Built, Measured } from '../solid/door.ts';
import type { SolidPlan } from '../solid/plan.ts';
import type { Holding } from '../holding/holding.ts';
import type { HeldUp } from '../holding/holdUp.ts';
import { density } from '../standards/materials.ts';
import { holdingReport, holdingReportSchema } from './holdingReport.ts';
import { holeTable } from './holeTable.ts';

const point2 = z.tuple([z.number(), z.number()]);
const point3 = z.tuple([z.number(), z.number(), z.number()]);
const radius = z.object({ radius_mm: z.number(), at_mm: point2 }).nullable();

const shape = {
  length_mm: z.number(),
  inflections_mm: z.array(point2).describe('Station and height where the bend changes side.'),
  least_convex_radius: radius.describe('Tightest crown.'),
  least_concave_radius: radius.describe('Tightest dip.'),
};

export const contourReportSchema = z
  .object({
    readings_given: z.number(),
    readings_used: z.number(),
    smoothing_rule: z.string(),
    reading_error_mm: z.number(),
    reading_error_stated: z.boolean(),
    rms_mm: z.number(),
    largest_residual: z.object({ reading: z.number().describe('1 for the first.'), distance_mm: z.number() }),
    free_parameters: z.number(),
    tip_shift_mm: z.number(),
    ...shape,
    through_the_points: z.object({ ...shape, largest_departure_mm: z.number() }).describe('The same readings joined without smoothing.'),
    odd_readings: z.array(z.object({ reading: z.number(), distance_mm: z.number(), times_its_error: z.number(), limit: z.number() })),
    residuals: z.array(z.object({ reading: z.number(), at_mm: point2, foot_mm: point2, distance_mm: z.number(), used: z.boolean() })),
    band_95: z.array(z.object({ at_mm: point2, half_width_mm: z.number() })),
    curves: z.array(z.object({ degree: z.number(), knots: z.array(z.number()), poles_mm: z.array(point2) })).describe('The curve that is cut, stations as typed: B-spline, not rational, clamped.'),
  })
  .describe('The faired contour.');

const findingSchema = z.object({
  code: z.string(),
  level: z.enum(['stop', 'warn', 'note']),
  message: z.string(),
  value: z.number().nullable(),
  limit: z.number().nullable(),
  unit: z.string(),
  at: z.string().describe('Path into the job.'),
  place_mm: point3.nullable(),
  cure: z.string(),
  rests_on: z.string(),
  taken_on_by: z.string().describe('Who answers for a stop; empty when nobody does.'),
});

const fileSchema = z.object({ name: z.string(), bytes: z.number(), sha256: z.string(), purpose: z.string() });

export const reportSchema = z
  .object({
    coverwright_report: z.literal(1),
    title: z.string(),
    part_number: z.string(),
    revision: z.string(),
    material: z.string(),
    typed_in: z.enum(['mm', 'inch']),
    contour: contourReportSchema,
    section: z.object({ length_mm: z.number(), wall_mm: z.number(), skin_mm: z.number(), front_station_mm: z.number(), roof_error_mm: z.number().describe('Largest distance of the roof from the true offset of the contour.') }),
    solid: z.object({
      volume_mm3: z.number(),
      area_mm2: z.number(),
      mass_g: z.number(),
      box_mm: z.object({ least: point3, most: point3, size: point3 }),
      faces: z.number(),
      top_faces: z.number(),
      valid: z.boolean(),
      closed: z.boolean(),
      solids: z.number(),
      route: z.enum(['assembled', 'cut']),
      route_reason: z.string(),
    }),
    holes: z.array(
      z.object({
        name: z.string(),
        kind: z.string(),
        x_mm: z.number(),
        y_mm: z.number(),
        z_mm: z.number(),
        diameter_mm: z.number(),
        depth_mm: z.number().nullable(),
        thread: z.string(),
        thread_depth_mm: z.number().nullable(),
        slot_mm: z.number(),
        head: z.string(),
      }),
    ),
    holding: holdingReportSchema,
    findings: z.array(findingSchema),
    files: z.array(fileSchema).describe('The files written beside this report.'),
    run: z.object({ date: z.string(), stages_ms: z.record(z.string(), z.number()) }).describe('The only part that differs from run to run.'),
  })
  .meta({ title: 'coverwright report', description: 'Plan positions are in the part frame: X across the section from the front wall, Y along the sweep from the left end, Z up from the lower seat plane.' });

export type Report = z.output<typeof reportSchema>;
export type ContourReportJson = z.output<typeof contourReportSchema>;

/** Rounds to the nanometre, so that the last bits of arithmetic do not make reports differ. */
const tidy = (value: number): number => Number(value.toFixed(6));
const tidy2 = ([a, b]: readonly [number, number]): [number, number] => [tidy(a), tidy(b)];
const tidy3 = ([a, b, c]: readonly [number, number, number]): [number, number, number] => [tidy(a), tidy(b), tidy(c)];

export function contourReport({ report, spans }: FairedContour): ContourReportJson {
  const shapeOf = (s: Pick<typeof report, 'inflections' | 'leastConvex' | 'leastConcave' | 'length'>) => ({
    length_mm: tidy(s.length),
    inflections_mm: s.inflections.map(tidy2),
    least_convex_radius: s.leastConvex && { radius_mm: tidy(s.leastConvex.radius), at_mm: tidy2(s.leastConvex.at) },
    least_concave_radius: s.leastConcave && { radius_mm: tidy(s.leastConcave.radius), at_mm: tidy2(s.leastConcave.at) },
  });
  return {
    readings_given: report.given,
    readings_used: report.used,
    smoothing_rule: report.rule,
    reading_error_mm: tidy(report.readingError),
    reading_error_stated: report.readingErrorStated,
    rms_mm: tidy(report.rms),
    largest_residual: { reading: report.largest.index + 1, distance_mm: tidy(report.largest.distance) },
    free_parameters: tidy(report.freedom),
    tip_shift_mm: tidy(report.tipShift),
    ...shapeOf(report),
    through_the_points: { ...shapeOf(report.through), largest_departure_mm: tidy(report.through.largestDeparture) },
    odd_readings: report.outliers.map((o) => ({ reading: o.index + 1, distance_mm: tidy(o.distance), times_its_error: tidy(o.studentised), limit: tidy(o.limit) })),
    residuals: report.residuals.map((r) => ({ reading: r.index + 1, at_mm: tidy2(r.at), foot_mm: tidy2(r.foot), distance_mm: tidy(r.distance), used: r.used })),
    band_95: report.band.map((b) => ({ at_mm: tidy2(b.at), half_width_mm: tidy(b.half) })),
    // Poles and knots exactly as cut: not rounded.
    curves: spans.map((s) => ({ degree: s.degree, knots: [...s.knots], poles_mm: s.poles.map(([x, z]): [number, number] => [x, z]) })),
  };
}

export interface ReportInput {
  readonly job: Job;
  readonly contour: FairedContour;
  readonly section: Section;
  readonly plan: SolidPlan;
  readonly built: Built;
  readonly measured: Measured;
  readonly holding: Holding;
  readonly held: HeldUp | null;
  readonly findings: readonly Finding[];
  readonly files: Report['files'];
  readonly run: Report['run'];
}

/** g */
export const massOf = (job: Job, volume: number): number => (volume / 1000) * density(job.material);

export function reportOf({ job, contour, section, plan, built, measured, holding, held, findings, files, run }: ReportInput): Report {
  const { least, most } = measured.box;
  return {
    coverwright_report: 1,
    title: job.title,
    part_number: job.partNumber,
    revision: job.revision,
    material: job.material,
    typed_in: job.units,
    contour: contourReport(contour),
    section: { length_mm: tidy(section.length), wall_mm: section.wall, skin_mm: section.skin, front_station_mm: tidy(section.frontStation), roof_error_mm: section.roofError },
    solid: {
      volume_mm3: Number(measured.volume.toFixed(2)),
      area_mm2: Number(measured.area.toFixed(2)),
      mass_g: Number(massOf(job, measured.volume).toFixed(2)),
      box_mm: { least: tidy3(least), most: tidy3(most), size: tidy3([most[0] - least[0], most[1] - least[1], most[2] - least[2]]) },
      faces: measured.faces,
      top_faces: measured.topFaces,
      valid: measured.valid,
      closed: measured.closed,
      solids: measured.solids,
      route: built.route,
      route_reason: built.routeReason,
    },
    holes: holeTable(plan).map((h) => ({
      name: h.name,
      kind: h.kind,
      x_mm: tidy(h.x),
      y_mm: tidy(h.y),
      z_mm: tidy(h.z),
      diameter_mm: tidy(h.diameter),
      depth_mm: h.depth === null ? null : tidy(h.depth),
      thread: h.thread,
      thread_depth_mm: h.threadDepth === null ? null : tidy(h.threadDepth),
      slot_mm: tidy(h.slot),
      head: h.head,
    })),
    holding: holdingReport(holding, held?.evidence ?? null),
    findings: findings.map((f) => ({
      code: f.code,
      level: f.level,
      message: f.message,
      value: f.value === null ? null : tidy(f.value),
      limit: f.limit === null ? null : tidy(f.limit),
      unit: f.unit,
      at: f.at,
      place_mm: f.place && tidy3(f.place),
      cure: f.cure,
      rests_on: f.restsOn,
      taken_on_by: f.takenOnBy ?? '',
    })),
    files: [...files],
    run,
  };
}
