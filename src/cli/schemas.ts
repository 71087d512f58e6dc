/** Writes the JSON Schemas that editors and programs read: job, printer and cutter files as typed, the report as written. */
import { z } from 'zod';
import { jobSchema } from '../job/schema.ts';
import { textFile } from '../outputs/file.ts';
import { cutterSchema } from '../holding/cutterFile.ts';
import { printerSchema } from '../proof/printerFile.ts';
import { reportSchema } from '../outputs/report.ts';
import { writeFiles } from './disk.ts';
import { sayIssues } from './words.ts';

/** A schema for editors: what may be typed, with labels, help and defaults. */
const inputSchema = (schema: z.ZodType, title: string): object => ({
  ...z.toJSONSchema(schema, {
    io: 'input',
    unrepresentable: 'any',
    override: ({ zodSchema, jsonSchema }) => {
      const meta = z.globalRegistry.get(zodSchema) as { label?: string; help?: string } | undefined;
      if (meta?.label) {
        jsonSchema.title = meta.label;
        jsonSchema.description = meta.help ?? '';
      }
      // Editors do not need our own words for ranges; the reader checks them with units.
      for (const key of ['label', 'help', 'kind', 'unit', 'least', 'most', 'step']) delete (jsonSchema as Record<string, unknown>)[key];
      const points = (jsonSchema.properties as Record<string, { items?: unknown }> | undefined)?.['points'];
      if (points?.items !== undefined) {
        const length = { anyOf: [{ type: 'number' }, { type: 'string' }] };
        points.items = { anyOf: [{ type: 'array', prefixItems: [length, length], items: false, minItems: 2, description: 'Station, height.' }, points.items] };
      }
    },
  }),
  title,
});

export const jobJsonSchema = (): object => inputSchema(jobSchema('mm'), 'coverwright job');
export const printerJsonSchema = (): object => inputSchema(printerSchema('mm'), 'coverwright printer');
export const cuttersJsonSchema = (): object => inputSchema(cutterSchema('mm'), 'coverwright cutters');

export const reportJsonSchema = (): object => z.toJSONSchema(reportSchema, { io: 'output' });

export async function runSchemas(folder: string): Promise<number> {
  const text = (schema: object): string => `${JSON.stringify(schema, null, 1)}\n`;
  const written = writeFiles(folder, [
    textFile('job.schema.json', 'application/schema+json', 'Job files, for editors.', text(jobJsonSchema())),
    textFile('printer.schema.json', 'application/schema+json', 'Printer files, for editors.', text(printerJsonSchema())),
    textFile('cutters.schema.json', 'application/schema+json', 'Cutter files, for editors.', text(cuttersJsonSchema())),
    textFile('report.schema.json', 'application/schema+json', 'report.json, for programs.', text(reportJsonSchema())),
  ]);
  if (!written.ok) process.stderr.write(`${sayIssues(written.issues, '')}\n`);
  return written.ok ? 0 : 2;
}
