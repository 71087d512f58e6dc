/** `--set path=value` flags -> a changed document. */
import { readDocument, readJob, setInDocument, typedFor, type JobFile } from '../job/read.ts';
import { refuse, type Issue, type Result } from '../result.ts';

/** Reads a job and applies the changes in order; what the changes break is told with everything else. */
export function readWithSets(text: string, sets: readonly string[]): Result<JobFile> {
  const read = readJob(text);
  if (sets.length === 0 || !read.ok) return read;
  let { document } = read.value;
  const issues: Issue[] = [];
  for (const flag of sets) {
    const cut = flag.indexOf('=');
    if (cut < 1) {
      issues.push({ code: 'not-a-set', at: '--set', message: `Expected path=value, got "${flag.slice(0, 60)}".`, hint: 'Write it like body.wall=3.5.' });
      continue;
    }
    const path = flag.slice(0, cut).trim();
    const changed = setInDocument(document, path, typedFor(document, path, flag.slice(cut + 1)));
    if (changed.ok) document = changed.value;
    else issues.push(...changed.issues);
  }
  const whole = readDocument(document);
  if (issues.length === 0) return whole;
  return refuse(...issues, ...(whole.ok ? [] : whole.issues));
}
