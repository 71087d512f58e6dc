/** A job -> its plan, without building the solid: what the verbs about holes need. */
import { fairContour } from '../contour/fair.ts';
import type { JobFile } from '../job/read.ts';
import type { Result } from '../result.ts';
import { sectionOf } from '../section/sectionOf.ts';
import { planSolid, type SolidPlan } from '../solid/plan.ts';

export function planOf({ job }: JobFile): Result<SolidPlan> {
  const contour = fairContour(job.trace, job.contour);
  if (!contour.ok) return contour;
  const section = sectionOf(contour.value, job.body);
  return section.ok ? planSolid(job, section.value) : section;
}
