/** A first article as the terminal tells it: what is out, the places of the holes, how many rows are in. */
import type { Inspection } from '../fit/inspection.ts';
import type { Units } from '../job/quantity.ts';
import { sayLengthUnit, sayLength } from '../outputs/say.ts';
import { paint, table } from './words.ts';

export function sayInspection({ rows, places, move, counts }: Inspection, units: Units): string[] {
  const fine = (mm: number): string => (units === 'inch' ? sayLength(mm, units) : mm.toFixed(3));
  const lines = [paint('bold', `First article: ${counts.in} in, ${counts.out} out, ${counts['not measured']} not measured.`)];
  const out = rows.filter((row) => row.verdict === 'out' && (row.characteristic.kind === 'size' || row.characteristic.kind === 'thread'));
  if (out.length > 0) {
    lines.push(table(out.map(({ characteristic: one, measured, off }) => [`${one.number} ${one.feature}`, one.kind === 'thread' ? `${one.what}: ${paint('red', 'the gauge does not pass')}` : `${one.what}: ${fine(measured!)}, ${paint('red', `off by ${fine(off!)}`)}; ${fine(one.lower)} to ${fine(one.upper)} allowed`])));
  }
  if (places.length > 0) {
    lines.push(`Places, 2 x root of (dX2 + dY2), circle ${sayLengthUnit(places[0]!.allowed, units)}:`);
    lines.push(table([['hole', `${'from datums'.padEnd(14)}${'best fit'.padEnd(12)}dX, dY`], ...places.map((one): [string, string] => [one.hole, `${paint(one.position > one.allowed ? 'red' : 'dim', fine(one.position).padEnd(14))}${fine(one.bestFit).padEnd(12)}${fine(one.measured[0] - one.nominal[0])}, ${fine(one.measured[1] - one.nominal[1])}`])]));
  }
  if (move !== null) lines.push(`Best fit of all places: shifted ${fine(move.shift[0])}, ${fine(move.shift[1])} and turned ${move.degrees.toFixed(4)} deg from nominal.`);
  return lines;
}

/** The same for programs: without the job that carries it. */
export const told = ({ file: _, ...rest }: Inspection): Omit<Inspection, 'file'> => rest;
