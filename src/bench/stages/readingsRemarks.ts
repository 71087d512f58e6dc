/** What the table of readings says beside a row: an issue of its typing, an odd reading, a remark of the screening. The first said of a row stays. */
import type { Remark } from '../../readings/reading.ts';
import { screenTrace } from '../../readings/screen.ts';
import type { Derived } from '../state/derive.ts';

export function remarksByRow({ issues, contour, job }: Pick<Derived, 'issues' | 'contour' | 'job'>): ReadonlyMap<number, string> {
  const said = new Map<number, string>();
  const put = (row: number, text: string): void => void (said.has(row) || said.set(row, text));
  for (const issue of issues) {
    const row = /^trace\.points\[(\d+)\]/.exec(issue.at)?.[1];
    if (row !== undefined) put(Number(row), `${issue.message} ${issue.hint}`);
  }
  for (const odd of contour?.report.outliers ?? []) put(odd.index, `Odd: ${Math.abs(odd.studentised).toFixed(1)} times its error off the others. Measure it again.`);
  for (const remark of screened(job)) for (const row of remark.points) put(row, `${remark.message} ${remark.hint}`);
  return said;
}

function screened(job: Derived['job']): readonly Remark[] {
  const points = job?.trace.points;
  return points && points.length > 3 ? screenTrace(points) : [];
}
