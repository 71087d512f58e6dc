/** A faired contour -> its own files: true-size SVG and DXF of the curve, tables of curve and readings, figures as JSON. */
import type { FairedContour } from '../contour/contour.ts';
import { mmPerInch, type Units } from '../job/quantity.ts';
import { tolerance } from '../maths/tolerance.ts';
import { curvatureAt, domainOf, pointAt, tangentAt } from '../maths/bspline.ts';
import { contourDrawing } from './contourDrawing.ts';
import { curvePath, type Drawing, type Mark } from './drawing.ts';
import { dxfText } from './dxf.ts';

import { textFile, type OutputFile } from './file.ts';
import { contourReport } from './report.ts';
import { svgText } from './svg.ts';

/** Points of the curve in its table, per span. */
const tablePoints = 200;

/** The curve and the readings as taken, nothing enlarged: what another program may cut from. */
export function contourTrueDrawing({ spans, report }: FairedContour): Drawing {
  const readings = report.residuals.map(({ at }): Mark => ({ kind: 'circle', pen: 'reading', centre: at, radius: Math.max(report.readingError, 0.05) }));
  return { marks: [curvePath('accent', spans), ...readings] };
}

const scaleOf = (units: Units): number => (units === 'inch' ? 1 / mmPerInch : 1);
const digits = (units: Units): number => (units === 'inch' ? 6 : 4);

export function curveTable({ spans }: FairedContour, units: Units): string {
  const k = scaleOf(units);
  const n = digits(units);
  const rows = spans.flatMap((curve) => {
    const [from, to] = domainOf(curve);
    return Array.from({ length: tablePoints + 1 }, (_, i) => {
      const u = from + ((to - from) * i) / tablePoints;
      const [x, z] = pointAt(curve, u);
      const [tx, tz] = tangentAt(curve, u);
      const bend = curvatureAt(curve, u);
      return [(x * k).toFixed(n), (z * k).toFixed(n), ((Math.atan2(tz, tx) * 180) / Math.PI).toFixed(4), Math.abs(bend) < tolerance.straightBend ? 'straight' : (k / bend).toFixed(3)].join(',');
    });
  });
  const unit = units === 'inch' ? 'in' : 'mm';
  return [`station (${unit}),height (${unit}),slope (deg),radius (${unit}; negative over a crown)`, ...rows, ''].join('\r\n');
}

export function readingsTable({ report }: FairedContour, units: Units): string {
  const k = scaleOf(units);
  const n = digits(units);
  const odd = new Set(report.outliers.map((o) => o.index));
  const rows = report.residuals.map((r) => [r.index + 1, (r.at[0] * k).toFixed(n), (r.at[1] * k).toFixed(n), (r.distance * k).toFixed(n), r.used ? 'yes' : 'no', odd.has(r.index) ? 'odd' : ''].join(','));
  const unit = units === 'inch' ? 'in' : 'mm';
  return [`reading,station (${unit}),height (${unit}),miss square to the curve (${unit}),used,remark`, ...rows, ''].join('\r\n');
}

export function contourFiles(contour: FairedContour, units: Units, stem: string): OutputFile[] {
  const judged = contourDrawing(contour);
  return [
    textFile(`${stem}-contour.svg`, 'image/svg+xml', 'The curve with its readings, misses enlarged as stated in it.', svgText(judged, { title: `Contour of ${stem}` })),
    textFile(`${stem}-contour.dxf`, 'image/vnd.dxf', `The curve as cut and the readings, true to size, ${units}.`, dxfText(contourTrueDrawing(contour), units)),
    textFile(`${stem}-curve.csv`, 'text/csv', 'Points, slope and radius along the curve.', curveTable(contour, units)),
    textFile(`${stem}-readings.csv`, 'text/csv', 'Each reading and how far it misses the curve.', readingsTable(contour, units)),
    textFile(`${stem}-contour.json`, 'application/json', 'All figures of the contour, for programs.', `${JSON.stringify(contourReport(contour), null, 2)}\n`),
  ];
}
