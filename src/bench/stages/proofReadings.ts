/** What instruments should show on a piece, as a table. */
import type { Units } from '../../job/quantity.ts';
import { band, fine, readingWords } from '../../outputs/proofSheet.ts';
import type { ExpectedReading } from '../../proof/expected.ts';
import { h } from '../dom.ts';

/** Without a profile nothing is known of what comes out. */
export function readingsTable(readings: readonly ExpectedReading[], units: Units, profiled: boolean): HTMLElement {
  if (readings.length === 0) return h('p', { class: 'hint' }, 'Nothing on it can be read with calipers or pins.');
  const heads = ['Reading', 'Design', 'Drawn', ...(profiled ? ['Should read', '95 in 100 within'] : [])];
  return h(
    'table',
    { class: 'grid' },
    h('thead', {}, h('tr', {}, ...heads.map((name, i) => h('th', { class: i > 0 ? 'n' : '' }, name)))),
    h(
      'tbody',
      {},
      ...readings.map((one) =>
        h(
          'tr',
          {},
          h('td', { class: 'wrap' }, `${one.name}, ${readingWords[one.what]}${one.beyond ? '; outside what the printer was measured on' : ''}`),
          ...[one.design, one.drawn].map((mm) => h('td', { class: 'n' }, fine(mm, units))),
          ...(profiled ? [h('td', { class: 'n' }, one.printed === null ? '–' : fine(one.printed, units)), h('td', { class: 'n' }, one.error === null ? '–' : `±${fine(band * one.error, units)}`)] : []),
        ),
      ),
    ),
  );
}
