/** What the diagnosis of a test fit says, in lines. */
import type { Diagnosis, Remedy } from '../../fit/diagnosis.ts';
import type { Units } from '../../job/quantity.ts';
import { sayIssue } from '../../result.ts';
import { sayMiss } from '../../outputs/say.ts';
import { h } from '../dom.ts';
import { type Line } from './networkWords.ts';

const remedyWords: Readonly<Record<Remedy, string>> = { nothing: 'Leave as it is', design: 'In the design', 'print profile': 'In the printer profile', machine: 'At the machine', 'measure again': 'Measure again' };

/** X and Y without their unit; null where only a distance was read. */
export const sayPair = (v: readonly number[] | null, units: Units): string => (v === null ? 'distance only' : v.map((one) => sayMiss(one, units).replace(/ (mm|in)$/, '')).join(', '));

export const hintLines = (list: readonly Line[]): HTMLElement[] => list.map((line) => h('p', { class: `hint${line.bad ? ' bad' : ''}` }, line.text));

export function diagnosisLines(found: Diagnosis): HTMLElement[] {
  return [
    h('p', { class: 'say strong' }, found.summary),
    ...found.findings.map((finding) => h('p', { class: 'hint' }, h('strong', {}, `${remedyWords[finding.remedy]}. `), `${finding.words} Noise alone would show that ${finding.chance < 0.001 ? 'less than 1 time in 1000' : `1 time in ${Math.round(1 / finding.chance)}`}. ${finding.todo}`)),
    ...found.rivals.map((rival) => h('p', { class: 'hint' }, `Almost as likely: ${rival}.`)),
    ...hintLines(found.doubts.map((doubt) => ({ text: sayIssue(doubt), bad: true }))),
  ];
}
