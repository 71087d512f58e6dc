/** The printer a proof is drawn for: what it does in words, and the readings that say so, each with its miss. */
import { profileRows } from '../../outputs/proofSheet.ts';
import type { PrinterFile } from '../../proof/readPrinter.ts';
import type { PrintLine } from '../../proof/profile.ts';
import { sayIssue, type Issue } from '../../result.ts';
import { h } from '../dom.ts';

export function printerBlock(file: PrinterFile | null, name: string, refused: readonly Issue[], open: boolean): Node[] {
  const bad = refused.map((issue) => h('div', { class: 'notice bad' }, h('p', {}, sayIssue(issue))));
  if (file === null) {
    return [
      ...bad,
      h('p', { class: 'hint' }, 'No printer file: nothing is corrected, and every size comes out as the printer makes it. Print the hole bar and the square (values beside), measure them, type the readings into a printer file, and open it or drop it here.'),
    ];
  }
  const { profile } = file;
  return [
    ...bad,
    h('p', { class: 'hint' }, `Drawn for ${profile.printer}${profile.material ? `, ${profile.material}` : ''} (${name}).`),
    h(
      'details',
      { open },
      h('summary', { class: 'key' }, 'What this printer does'),
      h('p', { class: 'hint' }, 'Each with the band that holds it 95 times in 100.'),
      h('table', { class: 'grid' }, h('tbody', {}, ...profileRows({ profile }).map(([what, value]) => h('tr', {}, h('td', {}, what), h('td', { class: 'wrap' }, value))))),
      h('p', { class: 'hint' }, `The ${readingRows(file).length} calibration readings it rests on, and what the fitted line makes of each, mm.`),
      calibrationTable(file),
    ),
    ...profile.notes.map((note) => h('p', { class: 'hint' }, note)),
  ];
}

interface Row {
  readonly what: string;
  readonly drawn: number;
  readonly measured: number;
  readonly line: PrintLine | null;
  readonly error: number;
}

function readingRows({ readings, profile }: PrinterFile): Row[] {
  const usual = readings.readingError;
  return [
    ...readings.bars.map((bar): Row => ({ what: `Bar along ${bar.axis.toUpperCase()}`, drawn: bar.drawn, measured: bar.measured, line: profile.axes[bar.axis], error: bar.error ?? usual })),
    ...readings.holes.map((hole): Row => ({ what: 'Hole', drawn: hole.drawn, measured: hole.measured, line: profile.hole, error: hole.error ?? usual })),
    ...readings.shafts.map((shaft): Row => ({ what: 'Plug', drawn: shaft.drawn, measured: shaft.measured, line: profile.shaft, error: shaft.error ?? usual })),
  ];
}

function calibrationTable(file: PrinterFile): HTMLElement {
  return h(
    'table',
    { class: 'grid' },
    h('thead', {}, h('tr', {}, ...['Reading', 'Drawn', 'Measured', 'Line says', 'Miss'].map((name, i) => h('th', { class: i > 0 ? 'n' : '' }, name)))),
    h(
      'tbody',
      {},
      ...readingRows(file).map(({ what, drawn, measured, line, error }) => {
        const says = line === null ? null : line.factor * drawn + line.growth;
        const miss = says === null ? null : measured - says;
        // Beyond two reading errors it is worth a second look.
        const odd = miss !== null && Math.abs(miss) > 2 * error;
        return h('tr', {}, h('td', {}, what), ...[drawn, measured].map((mm) => h('td', { class: 'n' }, mm.toFixed(2))), h('td', { class: 'n' }, says === null ? '–' : says.toFixed(3)), h('td', { class: odd ? 'n bad' : 'n' }, miss === null ? '–' : `${miss >= 0 ? '+' : ''}${miss.toFixed(3)}${odd ? ' read again' : ''}`));
      }),
    ),
  );
}
