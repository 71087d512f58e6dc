/**
 * How a room answers when the input may be bad: a value, or every reason why not, all at once.
 * A bug is not an Issue: a bug throws.
 */

/** One thing wrong with what came in, in one sentence a person can act on. */
export interface Issue {
  /** Stable, kebab-case, for programs: `wall-too-thick`. */
  readonly code: string;
  /** Where: a path into the job (`tabs[2].reach`), a row (`row 14`), a file name. Empty when it is the whole input. */
  readonly at: string;
  /** What was expected and what came, with the unit. */
  readonly message: string;
  /** The cure. */
  readonly hint: string;
}

export type Result<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly issues: readonly Issue[] };

export const ok = <T>(value: T): Result<T> => ({ ok: true, value });

export const refuse = (...issues: readonly Issue[]): { readonly ok: false; readonly issues: readonly Issue[] } => {
  if (issues.length === 0) throw new Error('refuse() needs at least one issue');
  return { ok: false, issues };
};

/** One line per issue, the way every face prints it: `tabs[2].reach: … Cure.` */
export const sayIssue = (issue: Issue): string =>
  `${issue.at ? `${issue.at}: ` : ''}${issue.message}${issue.hint ? ` ${issue.hint}` : ''}`;

/** For callers that hold input already known to be good; a refusal here is a bug and throws. */
export function unwrap<T>(result: Result<T>): T {
  if (result.ok) return result.value;
  throw new Error(result.issues.map(sayIssue).join('\n'));
}
