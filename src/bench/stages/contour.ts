/** The stage Contour: the curve among its readings; a reading tapped on can be marked a corner, left out or given its own error. */
import type { FairedContour } from '../../contour/contour.ts';
import { fairContour } from '../../contour/fair.ts';
import { contourDrawing } from '../../outputs/contourDrawing.ts';
import { sayLengthUnit, sayMiss } from '../../outputs/say.ts';
import type { Handle } from '../board/content.ts';
import { fill, h } from '../dom.ts';
import { readingDocument, setReading } from './readingsEdit.ts';
import { nothing, type Bench, type Stage } from './stage.ts';
import type { Underlay } from './underlay.ts';

export function contourStage(bench: Bench, underlay: Underlay): Stage {
  const { store } = bench;
  let chosen = -1;
  const figures = h('div');
  const marks = h('div', { class: 'head', role: 'toolbar', 'aria-label': 'The chosen reading' });
  const desk = h('div', {}, marks, figures);
  const contour = () => (store.derived.contour ? store.derived : store.good);

  /** The curve through every reading beside the faired one, for the eye. */
  let compared = false;
  const compareKey = h('button', { type: 'button', class: 'key small', 'aria-pressed': 'false' }, 'Through every reading');
  compareKey.addEventListener('click', () => {
    compared = !compared;
    compareKey.setAttribute('aria-pressed', compared ? 'true' : 'false');
    bench.redraw();
  });
  let last: { readonly of: unknown; readonly spans: FairedContour['spans'] } | null = null;
  function throughAll(): FairedContour['spans'] {
    const derived = contour();
    if (!compared || !derived?.job || !derived.contour) return [];
    if (last?.of !== derived.contour) {
      const through = fairContour(derived.job.trace, { ...derived.job.contour, smoothing: 'through the points' });
      last = { of: derived.contour, spans: through.ok ? through.value.spans : [] };
    }
    return last.spans;
  }

  function refreshMarks(): void {
    const typed = readingDocument(store.document, chosen);
    if (typed === null) return fill(marks, h('h2', {}, 'Tap a reading on the board to mark it.'));
    const toggle = (name: string, key: 'corner' | 'leaveOut') =>
      h('button', { type: 'button', class: 'key', 'aria-pressed': typed[key] === true ? 'true' : 'false', onclick: () => setReading(store, chosen, key, typed[key] === true ? undefined : true, `Reading ${chosen + 1}: ${name.toLowerCase()}`) }, name);
    const error = h('input', { class: 'key', size: 7, 'aria-label': 'Reading error of this reading', placeholder: 'error', value: typed.error === undefined ? '' : String(typed.error) });
    error.addEventListener('change', () => setReading(store, chosen, 'error', error.value.trim() === '' ? undefined : error.value.trim(), `Reading ${chosen + 1}: error`));
    fill(marks, h('h2', {}, `Reading ${chosen + 1}: ${String(typed.x)}, ${String(typed.z)}`), toggle('Corner', 'corner'), toggle('Leave out', 'leaveOut'), error);
  }

  return {
    name: 'Contour',
    deskTitle: 'How the curve fits',
    desk,
    tools: [compareKey],
    content: () => {
      const derived = contour();
      if (!derived?.contour) return { drawing: { marks: [] }, handles: [], note: 'No contour yet: give at least three readings.', subject: 'contour' };
      const drawing = contourDrawing(derived.contour, false, throughAll());
      const handles: Handle[] = derived.contour.report.residuals.length > 400 ? [] : derived.contour.report.residuals.map((r) => ({ id: String(r.index), at: r.foot, name: `Reading ${r.index + 1}`, chosen: r.index === chosen, free: 'none' }));
      return { drawing, handles, picture: underlay.under(), note: `Misses and 95 % band ×${drawing.missFactor}.${throughAll().length > 0 ? ' Red: bends of the curve through every reading, to the same scale.' : ''} Tap a reading to mark it.`, subject: 'contour' };
    },
    groups: () => [
      { path: 'contour', title: 'Contour' },
      { path: 'trace', title: 'Readings', without: ['source'] },
    ],
    noGroups: '',
    refresh() {
      refreshMarks();
      const derived = contour();
      if (!derived?.contour || !derived.job) return fill(figures, h('p', { class: 'empty' }, 'The curve appears with the third reading.'));
      const { report } = derived.contour;
      const { units } = derived.job;
      const small = (mm: number): string => sayMiss(mm, units);
      const radius = (r: typeof report.leastConvex): string => (r === null ? 'none' : `${sayLengthUnit(r.radius, units)} at ${sayLengthUnit(r.at[0], units)}`);
      const rows: readonly (readonly [string, string, string])[] = [
        ['', 'Faired', 'Through every reading'],
        ['Bend changes', String(report.inflections.length), String(report.through.inflections.length)],
        ['Tightest crown', radius(report.leastConvex), radius(report.through.leastConvex)],
        ['Tightest dip', radius(report.leastConcave), radius(report.through.leastConcave)],
        ['Length', sayLengthUnit(report.length, units), sayLengthUnit(report.through.length, units)],
        ['Misses, rms', small(report.rms), small(0)],
        ['Largest miss', `${small(Math.abs(report.largest.distance))} at reading ${report.largest.index + 1}`, ''],
        ['Reading error', `${small(report.readingError)} ${report.readingErrorStated ? 'stated' : 'estimated'}`, ''],
        ['Smoothing', report.rule, ''],
        ['Farthest from each other', '', small(report.through.largestDeparture)],
      ];
      fill(
        figures,
        h('table', { class: 'grid' }, h('thead', {}, h('tr', {}, ...rows[0]!.map((c, i) => h('th', { class: i ? 'n' : '' }, c)))), h('tbody', {}, ...rows.slice(1).map((r) => h('tr', {}, ...r.map((c, i) => h('td', { class: i ? 'n' : '' }, c)))))),
        ...report.outliers.map((o) => h('p', { class: 'hint bad' }, `Reading ${o.index + 1} stands ${small(Math.abs(o.distance))} off, ${Math.abs(o.studentised).toFixed(1)} times its error. Measure it again; it is still in use.`)),
      );
    },
    reveal(path) {
      const reading = /^trace\.points\[(\d+)\]/.exec(path)?.[1];
      if (reading !== undefined) chosen = Number(reading);
      return path.startsWith('contour') || path.startsWith('trace');
    },
    ...nothing,
    choose(id) {
      chosen = Number(id);
      bench.redraw();
    },
  };
}
