/** The list of findings: what is typed wrong, what could not be built, and what the checks found; each leads to its place. */
import type { Finding } from '../checks/finding.ts';
import type { Issue } from '../result.ts';
import { fill, h } from './dom.ts';

export interface FindingsPane {
  /** `checks` is null while the part is still being checked. */
  refresh(typing: readonly Issue[], refused: readonly Finding[], checks: readonly Finding[] | null): void;
}

const asFinding = (issue: Issue, restsOn: string): Finding => ({
  code: issue.code,
  level: 'stop',
  message: issue.message,
  value: null,
  limit: null,
  unit: '',
  at: issue.at,
  place: null,
  cure: issue.hint,
  restsOn,
});

export const refusedFindings = (issues: readonly Issue[]): readonly Finding[] => issues.map((issue) => asFinding(issue, 'The solid modeller could not build it.'));

export function makeFindingsPane(root: HTMLElement, open: (finding: Finding) => void): FindingsPane {
  const title = h('h2', {}, 'Findings');
  const body = h('div', { class: 'scroll', tabindex: 0, role: 'group', 'aria-label': 'List of findings' });
  root.append(h('div', { class: 'head' }, title), body);

  const line = (finding: Finding): HTMLElement =>
    h(
      'button',
      { type: 'button', class: `finding ${finding.level}`, onclick: () => open(finding) },
      h('span', { class: 'level' }, finding.level),
      h('span', {}, finding.message),
      h('span', { class: 'rest' }, [finding.cure, finding.restsOn].filter(Boolean).join(' ')),
    );

  return {
    refresh(typing, refused, checks) {
      const typed = typing.map((issue) => asFinding({ ...issue, message: `${issue.at ? `${issue.at}: ` : ''}${issue.message}` }, 'What is typed does not make a part; the last one that did is shown.'));
      const all = [...typed, ...refused, ...(typing.length === 0 ? (checks ?? []) : [])];
      const counts = (['stop', 'warn', 'note'] as const).flatMap((level) => {
        const n = all.filter((f) => f.level === level).length;
        return n > 0 ? [`${n} ${level}`] : [];
      });
      title.textContent = all.length === 0 ? 'Findings' : `Findings: ${counts.join(', ')}`;
      const waiting = typing.length === 0 && checks === null;
      if (all.length === 0) fill(body, h('p', { class: 'empty' }, waiting ? 'The part is being checked.' : 'No findings. That proves these rules on this model, not the set-up or the fit.'));
      else fill(body, ...all.map(line));
    },
  };
}
