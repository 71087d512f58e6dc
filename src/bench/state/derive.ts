/**
 * Document as typed -> job, contour, section and plan, as far as they go. What does not depend on the change is taken over
 * from the last time. The last good part stays while what is typed does not read.
 */
import type { FairedContour } from '../../contour/contour.ts';
import { fairContour } from '../../contour/fair.ts';
import { readDocument } from '../../job/read.ts';
import type { Job, JobDocument } from '../../job/schema.ts';
import type { Issue, Result } from '../../result.ts';
import type { Section } from '../../section/section.ts';
import { sectionOf } from '../../section/sectionOf.ts';
import { planSolid, type SolidPlan } from '../../solid/plan.ts';

export interface Derived {
  readonly document: JobDocument;
  /** Null while the document does not read. */
  readonly job: Job | null;
  readonly contour: FairedContour | null;
  readonly section: Section | null;
  readonly plan: SolidPlan | null;
  /** Why the chain stopped where it did. */
  readonly issues: readonly Issue[];
}

/** `before` is the last result; its parts are kept where what they read has not changed. */
export function derive(document: JobDocument, before: Derived | null): Derived {
  const read = readDocument(document);
  if (!read.ok) return { document, job: null, contour: null, section: null, plan: null, issues: read.issues };
  const { job } = read.value;
  const same = (...keys: readonly (keyof JobDocument)[]): boolean => before !== null && keys.every((key) => before.document[key] === document[key]);
  const stop = (issues: readonly Issue[], rest: Partial<Derived> = {}): Derived => ({ document, job, contour: null, section: null, plan: null, ...rest, issues });
  const contour = kept(same('trace', 'contour', 'units') ? before?.contour : null, () => fairContour(job.trace, job.contour));
  if (!contour.ok) return stop(contour.issues);
  const section = kept(before?.contour === contour.value && same('body', 'units') ? before.section : null, () => sectionOf(contour.value, job.body));
  if (!section.ok) return stop(section.issues, { contour: contour.value });
  const plan = planSolid(job, section.value);
  if (!plan.ok) return stop(plan.issues, { contour: contour.value, section: section.value });
  return { document, job, contour: contour.value, section: section.value, plan: plan.value, issues: [] };
}

const kept = <T>(value: T | null | undefined, make: () => Result<T>): Result<T> => (value ? { ok: true, value } : make());
