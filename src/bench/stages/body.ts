/** The stage Body: the section with true dimensions, and everything that makes the shell. */
import { sectionDrawing } from '../../outputs/sectionDrawing.ts';
import { sayLengthUnit, sayMass } from '../../outputs/say.ts';
import { density } from '../../standards/materials.ts';
import type { Measured } from '../../solid/door.ts';
import { fill, h } from '../dom.ts';
import { lettering, nothing, type Bench, type Stage } from './stage.ts';

export function bodyStage({ store }: Bench, measured: () => Measured | null): Stage {
  const figures = h('tbody');
  const desk = h('table', { class: 'grid' }, h('thead', {}, h('tr', {}, h('th', {}, 'Figure'), h('th', { class: 'n' }, 'Value'))), figures);
  return {
    name: 'Body',
    deskTitle: 'Figures of the part',
    desk,
    content: () => {
      const good = store.good;
      return {
        drawing: good?.section && good.job ? sectionDrawing(good.section, good.job.units, false, good.section.length * lettering) : { marks: [] },
        handles: [],
        note: good === null ? 'No section yet: see the findings.' : store.derived.plan === null ? 'The last section that could be drawn.' : `Section at mid width, seen from the left end. Skin ${sayLengthUnit(good.section?.skin ?? 0, good.job?.units ?? 'mm')} square to the top.`,
        subject: 'section',
      };
    },
    groups: () => [
      { path: 'body', title: 'Body' },
      { path: 'edgeBreaks', title: 'Edge breaks' },
      { path: 'machining', title: 'Machining' },
    ],
    noGroups: '',
    refresh() {
      const { good } = store;
      const now = measured();
      if (!good?.section || !good.job) return fill(figures, h('tr', {}, h('td', { colspan: 2 }, 'No figures yet.')));
      const { units } = good.job;
      const rows: [string, string][] = [
        ['Length along X', sayLengthUnit(good.section.length, units)],
        ['Width along Y', sayLengthUnit(good.job.body.width, units)],
        ['Least radius over a crown', good.contour?.report.leastConvex ? sayLengthUnit(good.contour.report.leastConvex.radius, units) : 'none'],
        ['Least radius in a dip', good.contour?.report.leastConcave ? sayLengthUnit(good.contour.report.leastConcave.radius, units) : 'none'],
        ['Roof from the true offset', `${(good.section.roofError * 1000).toFixed(2)} µm`],
        ['Volume', now ? `${(now.volume / 1000).toFixed(2)} cm³` : 'being measured'],
        [`Mass in ${good.job.material}`, now ? sayMass((now.volume / 1000) * density(good.job.material)) : 'being measured'],
        ['Faces', now ? String(now.faces) : 'being measured'],
      ];
      fill(figures, ...rows.map(([name, value]) => h('tr', {}, h('td', {}, name), h('td', { class: 'n' }, value))));
    },
    reveal: (path) => path.startsWith('body') || path.startsWith('edgeBreaks') || path.startsWith('machining'),
    ...nothing,
  };
}
