/** Readings of a job document, seen and changed one at a time, whichever of the two forms they are typed in. */
import { readLength, type Units } from '../../job/quantity.ts';
import type { JobDocument } from '../../job/schema.ts';
import type { TraceReading } from '../../readings/reading.ts';
import type { Store } from '../state/store.ts';

type Points = NonNullable<NonNullable<JobDocument['trace']>['points']>;

/** A reading in its long form, as typed. */
export type TypedReading = TraceReading;

const long = (point: unknown): TypedReading => (Array.isArray(point) ? { x: point[0] as string | number, z: point[1] as string | number } : (point as TypedReading));

/** A bare pair stays a bare pair in the file as long as it is nothing more. */
function short(reading: TypedReading): unknown {
  const rest = Object.fromEntries(Object.entries(reading).filter(([, value]) => value !== undefined && value !== false));
  return Object.keys(rest).length === 2 ? [reading.x, reading.z] : rest;
}

export const readingDocuments = (document: JobDocument): readonly TypedReading[] => ((document.trace?.points ?? []) as readonly unknown[]).map(long);

export function readingDocument(document: JobDocument, index: number): TypedReading | null {
  const point = (document.trace?.points as readonly unknown[] | undefined)?.[index];
  return point === undefined ? null : long(point);
}

/** `source`: where they come from, when that changes with them. */
export function setReadings(store: Store, readings: readonly TypedReading[], label: string, place = '', source?: string): void {
  const { document } = store;
  store.replace({ ...document, trace: { ...document.trace, points: readings.map(short) as Points, ...(source === undefined ? {} : { source }) } }, label, place);
}

export function setReading<K extends keyof TypedReading>(store: Store, index: number, key: K, value: TypedReading[K] | undefined, label: string): void {
  const points = (store.document.trace?.points ?? []) as readonly unknown[];
  const changed = points.map((point, i) => (i === index ? short({ ...long(point), [key]: value } as TypedReading) : point));
  store.replace({ ...store.document, trace: { ...store.document.trace, points: changed as Points } }, label, `trace.points[${index}].${key}`);
}

/** mm, or null while what is typed does not read. */
export function millimetres(typed: string | number, units: Units): number | null {
  const read = readLength(typed, units);
  return read.ok ? read.value.mm : null;
}
