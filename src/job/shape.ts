/**
 * The job schema looked at from outside: what stands at a path, which names are known there, what a face should show.
 * The panel, `--set`, the nearest-name hints and the published JSON Schema all walk the schema through this file.
 */
import { z } from 'zod';
import type { FieldMeta } from './fields.ts';

/** One step into a document: a name or a list index. */
export type Step = string | number;
export type Path = readonly Step[];

/** A schema without its optional, default and reading wrappers, and whether it may be left out or null. */
export interface Bare {
  readonly schema: z.core.$ZodType;
  readonly meta: FieldMeta | undefined;
  readonly optional: boolean;
  readonly nullable: boolean;
}

const metaOf = (schema: z.core.$ZodType): FieldMeta | undefined => z.globalRegistry.get(schema) as FieldMeta | undefined;

/** Peels wrappers off `schema`; the outermost meta found on the way in wins. */
export function bare(schema: z.core.$ZodType): Bare {
  let current = schema;
  let meta: FieldMeta | undefined;
  let optional = false;
  let nullable = false;
  for (;;) {
    meta ??= metaOf(current);
    const { def } = (current as z.core.$ZodTypes)._zod;
    if (def.type === 'optional' || def.type === 'default' || def.type === 'prefault') {
      optional = true;
      current = def.innerType;
    } else if (def.type === 'nullable') {
      nullable = true;
      current = def.innerType;
    } else if (def.type === 'pipe') {
      // A reading pipe keeps its shape on the side that is not the bare transform.
      current = (def.in as z.core.$ZodTypes)._zod.def.type === 'transform' ? def.out : def.in;
    } else {
      return { schema: current, meta, optional, nullable };
    }
  }
}

/** The fields of an object schema in order of declaration, or null when it is not an object. */
export function fieldsOf(schema: z.core.$ZodType): Readonly<Record<string, z.core.$ZodType>> | null {
  const { def } = (bare(schema).schema as z.core.$ZodTypes)._zod;
  return def.type === 'object' ? def.shape : null;
}

/** The schema of the items of a list, or null when it is not a list. */
export function itemOf(schema: z.core.$ZodType): z.core.$ZodType | null {
  const { def } = (bare(schema).schema as z.core.$ZodTypes)._zod;
  return def.type === 'array' ? def.element : null;
}

/** Allowed words of a choice field, or null. */
export function choicesOf(schema: z.core.$ZodType): readonly string[] | null {
  const { def } = (bare(schema).schema as z.core.$ZodTypes)._zod;
  return def.type === 'enum' ? (Object.values(def.entries) as string[]) : null;
}

/** The value a field takes when left out, in mm or degrees; undefined when it has none. */
export function fallbackOf(schema: z.core.$ZodType): unknown {
  const { def } = (schema as z.core.$ZodTypes)._zod;
  return def.type === 'default' ? def.defaultValue : undefined;
}

/** What stands at `path`, or how far the path could be followed and which names are known there. */
export function schemaAt(
  root: z.core.$ZodType,
  path: Path,
): { readonly found: z.core.$ZodType } | { readonly found: null; readonly depth: number; readonly known: readonly string[] } {
  let current = root;
  for (const [depth, step] of path.entries()) {
    const fields = fieldsOf(current);
    const item = itemOf(current);
    const next = typeof step === 'number' ? item : fields && Object.hasOwn(fields, step) ? fields[step] : undefined;
    if (next === undefined || next === null) return { found: null, depth, known: fields ? Object.keys(fields) : [] };
    current = next;
  }
  return { found: current };
}

/** `tabs[2].reach`, the way paths are written for people. */
export const sayPath = (path: readonly PropertyKey[]): string =>
  path.reduce<string>((text, step) => (typeof step === 'number' ? `${text}[${step}]` : text === '' ? String(step) : `${text}.${String(step)}`), '');

/** Reads `tabs[2].reach`; null when it is not a path. */
export function readPath(text: string): Path | null {
  if (!/^[A-Za-z_$][\w$]*(\[\d{1,6}\]|\.[A-Za-z_$][\w$]*)*$/.test(text)) return null;
  return [...text.matchAll(/\[(\d+)\]|([A-Za-z_$][\w$]*)/g)].map((part) => (part[1] === undefined ? (part[2] as string) : Number(part[1])));
}
