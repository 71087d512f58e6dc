/** What is drawn and listed before there is a solid: section and plan 1:1, the inspection to fill in, the job itself, and pictures for the report. */
import { inspectionSheet } from '../fit/firstArticle.ts';
import { contourDrawing } from './contourDrawing.ts';
import type { PlannedData } from './desk.ts';
import { dxfText } from './dxf.ts';
import { textFile, type OutputFile } from './file.ts';
import { fullTitle } from './meshFiles.ts';
import { planDrawing } from './planDrawing.ts';
import type { ReportPicture } from './reportHtml.ts';
import { sayLengthUnit } from './say.ts';
import { sectionDrawing } from './sectionDrawing.ts';
import { svgText } from './svg.ts';

export function planFiles({ job, typed, section, plan, stem }: PlannedData): OutputFile[] {
  const units = job.files.units ?? job.units;
  const title = fullTitle(job);
  const [across, above] = [sectionDrawing(section, units), planDrawing(plan, units)];
  return [
    textFile(`${stem}-section.svg`, 'image/svg+xml', 'Section at mid width, 1:1.', svgText(across, { title: `Section of ${title}` })),
    textFile(`${stem}-section.dxf`, 'image/vnd.dxf', `Section at mid width, ${units}.`, dxfText(across, units)),
    textFile(`${stem}-plan.svg`, 'image/svg+xml', 'Plan from outside with the hole table, 1:1.', svgText(above, { title: `Plan of ${title}` })),
    textFile(`${stem}-plan.dxf`, 'image/vnd.dxf', `Plan from outside with the hole table, ${units}.`, dxfText(above, units)),
    textFile(`${stem}-first-article.csv`, 'text/csv', 'What to measure on the first part, to fill in and give to the verb "fit".', inspectionSheet(job, plan)),
    textFile(`${stem}.job.json`, 'application/json', 'The job this was made from.', `${JSON.stringify(typed, null, 2)}\n`),
  ];
}

export function planPictures({ job, contour: faired, section, plan }: PlannedData): ReportPicture[] {
  const units = job.files.units ?? job.units;
  const contour = contourDrawing(faired, false);
  return [
    { caption: `The contour and its readings. Misses and 95 % band are drawn ${contour.missFactor} times too large; the comb shows curvature.`, svg: svgText(contour, { title: 'Contour and readings', fluid: true }), wide: true },
    { caption: `Section at mid width; skin ${sayLengthUnit(section.skin, units)} square to the top.`, svg: svgText(sectionDrawing(section, units, false), { title: 'Section', fluid: true }), wide: true },
    { caption: 'Plan from outside; what is dashed lies under the skin.', svg: svgText(planDrawing(plan, units, false), { title: 'Plan', fluid: true }), wide: true },
  ];
}
