/** The verb fair: a table, DXF or SVG of readings in, the contour's figures and files out. */
import { basename, extname } from 'node:path';
import { fair } from '../fair.ts';
import type { JobDocument } from '../job/schema.ts';
import { contourFiles } from '../outputs/contourFiles.ts';
import { safeName } from '../outputs/file.ts';
import { contourReport } from '../outputs/report.ts';
import { sayLengthUnit } from '../outputs/say.ts';
import type { FileUnit } from '../readings/reading.ts';
import { kindOf, readReadings } from '../readings/read.ts';
import { sayIssue, type Issue } from '../result.ts';
import { readText, writeFiles } from './disk.ts';
import { paint, sayIssues, table, sayWritten } from './words.ts';

export interface FairFlags {
  readonly out?: string;
  readonly units?: 'mm' | 'inch';
  readonly error?: string;
  readonly smoothing: NonNullable<NonNullable<JobDocument['contour']>['smoothing']>;
  readonly stiffness?: string;
  readonly tip?: string;
  readonly pick?: string;
  readonly path?: number;
  readonly json?: boolean;
}

export async function runFair(path: string, flags: FairFlags): Promise<number> {
  const refuse = (issues: readonly Issue[]): number => {
    if (flags.json) process.stdout.write(`${JSON.stringify({ readings: path, ok: false, issues }, null, 2)}\n`);
    else process.stderr.write(`${sayIssues(issues, path)}\n`);
    return 2;
  };
  const text = readText(path);
  if (!text.ok) return refuse(text.issues);
  const units = flags.units ?? 'mm';
  const drawn = kindOf(path, text.value) !== 'table';
  const fileUnit: FileUnit | undefined = flags.units === undefined ? undefined : flags.units === 'inch' ? 'in' : 'mm';
  const read = readReadings(text.value, {
    units,
    ...(path === '-' ? {} : { file: basename(path) }),
    ...(drawn && fileUnit ? { fileUnit } : {}),
    ...(flags.pick === undefined ? {} : { name: flags.pick }),
    ...(flags.path === undefined ? {} : { which: flags.path }),
  });
  if (!read.ok) return refuse(read.issues);
  const faired = fair([...read.value.points], {
    units,
    ...(flags.error === undefined ? {} : { readingError: flags.error }),
    ...(flags.tip === undefined ? {} : { tipRadius: flags.tip }),
    contour: { smoothing: flags.smoothing, ...(flags.stiffness === undefined ? {} : { stiffness: Number(flags.stiffness) }) },
  });
  if (!faired.ok) return refuse(faired.issues);
  const { contour } = faired.value;
  const files = contourFiles(contour, units, path === '-' ? 'readings' : safeName(basename(path, extname(path))));
  if (flags.out !== undefined) {
    const written = writeFiles(flags.out, files);
    if (!written.ok) return refuse(written.issues);
  }
  if (flags.json) {
    process.stdout.write(`${JSON.stringify({ readings: path, ok: true, provenance: read.value.provenance, remarks: read.value.remarks, contour: contourReport(contour) }, null, 2)}\n`);
    return 0;
  }
  const { report } = contour;
  const small = (mm: number): string => (units === 'inch' ? `${(mm / 25.4).toFixed(4)} in` : `${mm.toFixed(3)} mm`);
  const radius = (r: typeof report.leastConvex): string => (r === null ? 'none' : `${sayLengthUnit(r.radius, units)} at station ${sayLengthUnit(r.at[0], units)}`);
  const lines = [
    read.value.provenance.words,
    table([
      ['readings', `${report.used} used of ${report.given}`],
      ['smoothing', `${report.rule}; reading error ${small(report.readingError)} ${report.readingErrorStated ? 'as stated' : 'as estimated'}`],
      ['misses', `${small(report.rms)} rms, ${small(Math.abs(report.largest.distance))} at reading ${report.largest.index + 1}`],
      ['bend changes', `${report.inflections.length}; through every reading ${report.through.inflections.length}`],
      ['tightest crown', radius(report.leastConvex)],
      ['tightest dip', radius(report.leastConcave)],
      ['length', sayLengthUnit(report.length, units)],
    ]),
    ...report.outliers.map((o) => `  ${paint('yellow', 'odd')}   Reading ${o.index + 1} stands ${small(Math.abs(o.distance))} off, ${Math.abs(o.studentised).toFixed(1)} times its error. Measure it again; it is still in use.`),
    ...read.value.remarks.map((remark) => `  ${paint('yellow', 'look')}  ${sayIssue(remark)}`),
  ];
  if (flags.out !== undefined) lines.push(sayWritten(flags.out, files.map((f) => ({ ...f, bytes: f.bytes.length }))));
  process.stdout.write(`${lines.join('\n')}\n`);
  return 0;
}
