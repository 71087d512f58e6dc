/**
 * The kinds of field a job is made of. A parameter is declared once, in schema.ts, with label, unit, default, range and
 * help; the panel, the terminal, the published JSON Schema and the types all read it from there.
 */
import { z } from 'zod';
import { readAngle, readLength, mmPerInch, type Units } from './quantity.ts';

/** What a face needs to show one parameter. `unit` is the unit of the value after reading, not of the typing. */
export interface FieldMeta {
  readonly label: string;
  readonly help: string;
  readonly unit?: 'mm' | 'deg' | '';
  readonly kind?: 'length' | 'angle' | 'number' | 'count' | 'choice' | 'flag' | 'text';
  readonly least?: number;
  readonly most?: number;
  readonly step?: number;
}

interface RangeSpec {
  readonly label: string;
  readonly help: string;
  readonly least?: number;
  readonly most?: number;
  readonly step?: number;
}

const typedLength = z.union([z.number(), z.string()], { error: 'Expected a length: a number, or text such as "27.5mm" or "1 3/32in".' });

const sayLength = (mm: number, units: Units): string =>
  units === 'mm' ? `${trim(mm)} mm` : `${trim(mm / mmPerInch)} in (${trim(mm)} mm)`;

const trim = (value: number): string => String(Number(value.toPrecision(6)));

function angle(spec: RangeSpec) {
  const { least = -360, most = 360 } = spec;
  return z
    .union([z.number(), z.string()])
    .transform((typed, context): number => {
      const read = readAngle(typed);
      if (!read.ok) {
        for (const issue of read.issues) context.addIssue({ code: 'custom', message: issue.message, params: { hint: issue.hint } });
        return z.NEVER;
      }
      if (read.value < least || read.value > most) {
        context.addIssue({ code: 'custom', message: `${spec.label} is ${read.value} deg; expected ${least} to ${most} deg.`, params: { hint: 'Correct the angle.' } });
        return z.NEVER;
      }
      return read.value;
    })
    .meta({ ...spec, unit: 'deg', kind: 'angle' } satisfies FieldMeta);
}

function number(spec: RangeSpec) {
  const { least = -1e12, most = 1e12 } = spec;
  return z
    .number({ error: `${spec.label}: expected a number.` })
    .min(least, { error: `${spec.label}: expected ${least} or more.` })
    .max(most, { error: `${spec.label}: expected ${most} or less.` })
    .meta({ ...spec, unit: '', kind: 'number' } satisfies FieldMeta);
}

function choice<const T extends readonly [string, ...string[]]>(values: T, spec: { label: string; help: string }) {
  return z.enum(values, { error: `${spec.label}: expected one of ${values.join(', ')}.` }).meta({ ...spec, kind: 'choice' } satisfies FieldMeta);
}

function flag(spec: { label: string; help: string }) {
  return z.boolean({ error: `${spec.label}: expected true or false.` }).meta({ ...spec, kind: 'flag' } satisfies FieldMeta);
}

export function text(spec: { label: string; help: string; longest?: number }) {
  const { longest = 200, ...meta } = spec;
  return z
    .string({ error: `${spec.label}: expected text.` })
    .max(longest, { error: `${spec.label}: expected at most ${longest} characters.` })
    .meta({ ...meta, kind: 'text' } satisfies FieldMeta);
}

/** Builders for one unit system: what a bare number means is bound in here, so reading needs no second pass. */
export function fieldsIn(units: Units) {
  /** A length in mm after reading. `fallback` in mm; leave it out for a field that must be given. */
  function length(spec: RangeSpec) {
    const { least = -1e5, most = 1e5 } = spec;
    return typedLength
      .transform((typed, context): number => {
        const read = readLength(typed, units);
        if (!read.ok) {
          for (const issue of read.issues) context.addIssue({ code: 'custom', message: issue.message, params: { hint: issue.hint } });
          return z.NEVER;
        }
        const { mm } = read.value;
        if (mm < least || mm > most) {
          context.addIssue({
            code: 'custom',
            message: `${spec.label} is ${sayLength(mm, units)}; expected ${sayLength(least, units)} to ${sayLength(most, units)}.`,
            params: { hint: Math.abs(mm) >= most * 20 && units === 'inch' ? 'Was it typed in mm? Add "mm".' : 'Correct the value or its unit.' },
          });
          return z.NEVER;
        }
        return mm;
      })
      .meta({ ...spec, unit: 'mm', kind: 'length' } satisfies FieldMeta);
  }

  return { length, angle, number, choice, flag, text };
}

export type Fields = ReturnType<typeof fieldsIn>;
