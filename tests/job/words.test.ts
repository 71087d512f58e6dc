/** Every parameter of the job has a label and a help text, wherever it stands in the schema. */
import { expect, test } from 'vitest';
import { z } from 'zod';
import { jobSchema } from '../../src/job/schema.ts';

interface Field {
  readonly path: string;
  readonly meta: { readonly label?: unknown; readonly help?: unknown } | undefined;
}

/** All fields of all objects below a schema, through lists, unions, tuples, defaults and reading pipes. */
function fieldsBelow(schema: z.core.$ZodType, path: string, inherited: Field['meta'] = undefined): readonly Field[] {
  const meta = (z.globalRegistry.get(schema) as Field['meta']) ?? inherited;
  const { def } = (schema as z.core.$ZodTypes)._zod;
  switch (def.type) {
    case 'object':
      return Object.entries(def.shape).flatMap(([key, field]) => [{ path: `${path}.${key}`, meta: metaWithin(field) }, ...fieldsBelow(field, `${path}.${key}`)]);
    case 'array':
      return fieldsBelow(def.element, `${path}[]`);
    case 'union':
      return def.options.flatMap((option, i) => fieldsBelow(option, `${path}|${i}`));
    case 'tuple':
      return def.items.flatMap((item, i) => [{ path: `${path}[${i}]`, meta: metaWithin(item) }, ...fieldsBelow(item, `${path}[${i}]`)]);
    case 'optional':
    case 'nullable':
    case 'default':
    case 'prefault':
      return fieldsBelow(def.innerType, path, meta);
    case 'pipe':
      return [...fieldsBelow(def.in, path), ...fieldsBelow(def.out, path)];
    default:
      return [];
  }
}

/** Label and help of a field: on itself or on what its wrappers hold. */
function metaWithin(schema: z.core.$ZodType): Field['meta'] {
  const meta = z.globalRegistry.get(schema) as Field['meta'];
  if (meta !== undefined) return meta;
  const { def } = (schema as z.core.$ZodTypes)._zod;
  return 'innerType' in def ? metaWithin(def.innerType as z.core.$ZodType) : undefined;
}

// Marks of the file itself, not parameters of the part.
const notParameters = new Set(['job.$schema', 'job.coverwright']);

test.each(['mm', 'inch'] as const)('every field has a label and a help sentence (%s)', (units) => {
  const fields = fieldsBelow(jobSchema(units), 'job').filter(({ path }) => !notParameters.has(path));
  expect(fields.length).toBeGreaterThan(100);
  const bare = fields.filter(({ meta }) => typeof meta?.label !== 'string' || meta.label.trim() === '' || typeof meta.help !== 'string' || !/\S.*[.)]$/.test(meta.help));
  expect(bare.map(({ path }) => path)).toEqual([]);
});

test('the walk sees a field without words, also inside a list, a union and a default', () => {
  const planted = z.object({
    said: z.string().meta({ label: 'Said', help: 'Has both.' }).default('x'),
    list: z.array(z.union([z.tuple([z.number()]), z.object({ bare: z.number() })])).meta({ label: 'List', help: 'A list.' }),
  });
  const bare = fieldsBelow(planted, 'p').filter(({ meta }) => meta?.label === undefined);
  expect(bare.map(({ path }) => path)).toEqual(['p.list[]|0[0]', 'p.list[]|1.bare']);
});
