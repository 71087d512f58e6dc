/** What instruments should show on a piece, and what they do: each reading typed is judged at once. */
import { readLength, type Units } from '../../job/quantity.ts';
import { fine, readingWords } from '../../outputs/proofSheet.ts';
import { band95, judgeReading, type ExpectedReading } from '../../proof/expected.ts';
import { h } from '../dom.ts';

/** What was read, as typed, by piece and reading; kept while the page is. */
export type ReadBacks = Map<string, string>;

/** Without a profile nothing is known of what comes out; a reading then tells how far it is from the design. */
export function readingsTable(title: string, readings: readonly ExpectedReading[], units: Units, profiled: boolean, typed: ReadBacks): HTMLElement {
  if (readings.length === 0) return h('p', { class: 'hint' }, 'Nothing on it can be read with calipers or pins.');
  const heads = ['Reading', 'Design', 'Drawn', ...(profiled ? ['Should read', '95 in 100 within'] : []), 'Reads', ''];
  return h(
    'table',
    { class: 'grid' },
    h('thead', {}, h('tr', {}, ...heads.map((name, i) => h('th', { class: i > 0 && i < heads.length - 1 ? 'n' : '' }, name)))),
    h(
      'tbody',
      {},
      ...readings.map((one, i) => {
        const key = `${title}|${i}|${one.name}`;
        const verdict = h('td', { class: 'wrap', role: 'status' });
        const input = h('input', { 'aria-label': `${one.name}: what it reads`, autocomplete: 'off', size: 7, value: typed.get(key) ?? '' });
        const judge = (): void => {
          typed.set(key, input.value);
          const said = sayVerdict(one, input.value, units);
          verdict.textContent = said.text;
          verdict.className = said.bad ? 'wrap bad' : 'wrap';
        };
        input.addEventListener('input', judge);
        judge();
        return h(
          'tr',
          {},
          h('td', { class: 'wrap' }, `${one.name}, ${readingWords[one.what]}${one.beyond ? '; outside what the printer was measured on' : ''}`),
          ...[one.design, one.drawn].map((mm) => h('td', { class: 'n' }, fine(mm, units))),
          ...(profiled ? [h('td', { class: 'n' }, one.printed === null ? '–' : fine(one.printed, units)), h('td', { class: 'n' }, one.error === null ? '–' : `±${fine(band95 * one.error, units)}`)] : []),
          h('td', { class: 'n write' }, input),
          verdict,
        );
      }),
    ),
  );
}

function sayVerdict(one: ExpectedReading, text: string, units: Units): { readonly text: string; readonly bad: boolean } {
  if (text.trim() === '') return { text: '', bad: false };
  const read = readLength(text, units);
  if (!read.ok) return { text: read.issues[0]!.message, bad: true };
  const { off, within, slip } = judgeReading(one, read.value.mm);
  const far = `${fine(Math.abs(off), units)} ${off < 0 ? 'small' : 'large'}`;
  if (slip) return { text: `${far}: read it again, on this piece?`, bad: true };
  if (within === null) return { text: Math.abs(off) < 0.005 ? 'as designed' : `${far} against the design`, bad: false };
  return within ? { text: 'within', bad: false } : { text: `${far}: the printer no longer does what its file says`, bad: true };
}
