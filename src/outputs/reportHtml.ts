/**
 * Report -> one page a person can read, print and keep: numbers, findings, pictures. No script, nothing fetched; a strict
 * content policy inside. Text from the job is escaped, pictures are our own SVG.
 */
import type { Units } from '../job/quantity.ts';
import type { SolidPlan } from '../solid/plan.ts';
import { cautions } from './cautions.ts';
import { holeCells } from './planDrawing.ts';
import { holdingHtml } from './holdingReport.ts';
import { holeTable } from './holeTable.ts';
import type { Report } from './report.ts';
import { sayBytes, sayLength, sayLengthUnit, sayMass, sayMiss } from './say.ts';
import { escapeMarkup } from './svg.ts';

export interface ReportPicture {
  readonly caption: string;
  readonly svg: string;
  readonly wide: boolean;
}

export const sheetStyle = `
:root{color-scheme:light;--paper:#f6f1e4;--sheet:#fdfaf2;--ink:#1d1b16;--thin:#c9c0ab;--faint:#5d574b;--blue:#1f4e8c;--red:#a8321e;--amber:#8a5a00}
*{box-sizing:border-box}
body{margin:0;background:var(--paper);color:var(--ink);font:15px/1.5 Barlow,"Helvetica Neue",Arial,sans-serif;font-variant-numeric:tabular-nums}
main{max-width:1080px;margin:24px auto;background:var(--sheet);border:1px solid var(--ink);padding:32px 40px}
h1{font-size:26px;line-height:1.2;margin:0}h2{font-size:17px;margin:36px 0 10px;border-bottom:1px solid var(--ink);padding-bottom:4px}
.head{display:flex;flex-wrap:wrap;gap:8px 32px;justify-content:space-between;align-items:end;border-bottom:2px solid var(--ink);padding-bottom:14px}
.head dl,.figures{display:grid;gap:2px 14px;margin:0}.head dl{grid-template-columns:auto auto}.figures{grid-template-columns:max-content 1fr max-content 1fr}
dt{color:var(--faint)}dd{margin:0}
figure{margin:0;display:flex;flex-direction:column;justify-content:space-between;border:1px solid var(--thin);padding:14px;background:#fffdf7;break-inside:avoid}figure svg{display:block;width:100%;height:auto;max-height:420px}
figcaption{color:var(--faint);margin-top:8px}
.pictures{display:grid;grid-template-columns:1fr 1fr;gap:16px}.wide{grid-column:1/-1}
table{border-collapse:collapse;width:100%}th,td{text-align:left;padding:5px 10px 5px 0;border-bottom:1px solid var(--thin);vertical-align:top}th{font-weight:600;border-bottom-color:var(--ink)}
td.n,th.n{text-align:right;white-space:nowrap}code{font-family:inherit;color:var(--blue);overflow-wrap:anywhere}
.findings{list-style:none;margin:0;padding:0}.findings li{display:grid;grid-template-columns:64px 1fr;gap:0 12px;padding:9px 0;border-bottom:1px solid var(--thin);break-inside:avoid}
.level{font-weight:600}.stop .level{color:var(--red)}.warn .level{color:var(--amber)}.note .level{color:var(--blue)}
.rest{color:var(--faint);font-size:13px}.hash{font-size:12px;color:var(--faint);overflow-wrap:anywhere}
.cautions{border:1px solid var(--red);padding:10px 16px;margin-top:28px;break-inside:avoid}.cautions p{margin:4px 0}
.table{overflow-x:auto}td.name{white-space:nowrap}
@media(max-width:760px){main{padding:20px;margin:0;border:0}.pictures,.figures{grid-template-columns:minmax(0,1fr)}.figures{grid-template-columns:max-content 1fr}.wide .svg{overflow-x:auto}.wide svg{min-width:640px}.hash{display:none}}
@media print{body{background:#fff}main{border:0;margin:0;max-width:none;padding:0;background:#fff}}
`;

const sayAt = (at: readonly [number, number], units: Units): string => `station ${sayLength(at[0], units)}`;

export function reportHtml(report: Report, plan: SolidPlan, pictures: readonly ReportPicture[]): string {
  const units = report.typed_in;
  const { contour, solid } = report;
  const e = escapeMarkup;
  const length = (mm: number): string => sayLengthUnit(mm, units);
  const small = (mm: number): string => sayMiss(mm, units);
  const radius = (r: { readonly radius_mm: number; readonly at_mm: readonly [number, number] } | null): string => (r === null ? 'none' : `${length(r.radius_mm)} at ${sayAt(r.at_mm, units)}`);
  const figures: readonly (readonly [string, string])[] = [
    ['Size X × Y × Z', solid.box_mm.size.map((v) => sayLength(v, units)).join(' × ') + (units === 'inch' ? ' in' : ' mm')],
    ['Volume', `${(solid.volume_mm3 / 1000).toFixed(2)} cm3`],
    ['Mass', `${sayMass(solid.mass_g)} in ${report.material}`],
    ['Solid', solid.valid && solid.closed && solid.solids === 1 ? `one, closed, valid; ${solid.faces} faces` : 'NOT a valid single solid'],
    ['Readings', `${contour.readings_used} used of ${contour.readings_given}`],
    ['Smoothing', contour.smoothing_rule],
    ['Reading error', `${small(contour.reading_error_mm)} one sigma, ${contour.reading_error_stated ? 'as stated' : 'estimated from the readings'}`],
    ['Misses', `${small(contour.rms_mm)} rms; largest ${small(Math.abs(contour.largest_residual.distance_mm))} at reading ${contour.largest_residual.reading}`],
    ['Tightest crown', radius(contour.least_convex_radius)],
    ['Tightest dip', radius(contour.least_concave_radius)],
    ['Bend changes', `${contour.inflections_mm.length}; through every reading ${contour.through_the_points.inflections_mm.length}`],
    ['Roof', `within ${(report.section.roof_error_mm * 1000).toFixed(1)} µm of the true offset`],
  ];
  const findings = report.findings
    .map(
      (f) =>
        `<li class="${f.level}"><span class="level">${f.level}</span><div>${e(f.message)} ${e(f.cure)}${f.taken_on_by ? ` <strong>Taken on by ${e(f.taken_on_by)}.</strong>` : ''}${f.at ? ` <code>${e(f.at)}</code>` : ''}<div class="rest">${e(f.rests_on)}</div></div></li>`,
    )
    .join('');
  const [header, ...rows] = holeCells(holeTable(plan), units);
  const numeric = (column: number): string => (column >= 1 && column <= 3 ? ' class="n"' : '');
  const holes =
    rows.length === 0
      ? ''
      : `<h2>Holes, seen from outside, ${units === 'inch' ? 'inches' : 'mm'}</h2><div class="table"><table><thead><tr>${(header ?? []).map((c, i) => `<th${numeric(i)}>${e(c)}</th>`).join('')}</tr></thead><tbody>${rows
          .map((cells) => `<tr>${cells.map((c, i) => `<td${numeric(i)}>${e(c)}</td>`).join('')}</tr>`)
          .join('')}</tbody></table></div>`;
  const files = report.files.map((f) => `<tr><td class="name">${e(f.name)}</td><td>${e(f.purpose)}<div class="hash">sha256 ${f.sha256}</div></td><td class="n">${sayBytes(f.bytes)}</td></tr>`).join('');
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>${e(report.part_number)} ${e(report.revision)}: ${e(report.title)}</title><style>${sheetStyle}</style></head>
<body><main>
<div class="head"><h1>${e(report.title)}</h1><dl><dt>Part</dt><dd>${e(report.part_number)}</dd><dt>Revision</dt><dd>${e(report.revision)}</dd><dt>Date</dt><dd>${e(report.run.date.slice(0, 10))}</dd></dl></div>
<h2>Findings</h2>${findings === '' ? '<p>No findings.</p>' : `<ul class="findings">${findings}</ul>`}
<h2>Figures</h2><dl class="figures">${figures.map(([name, value]) => `<dt>${e(name)}</dt><dd>${e(value)}</dd>`).join('')}</dl>
<h2>Pictures</h2><div class="pictures">${pictures.map((p) => `<figure${p.wide ? ' class="wide"' : ''}><div class="svg">${p.svg}</div><figcaption>${e(p.caption)}</figcaption></figure>`).join('')}</div>
${holes}
${holdingHtml(report.holding, units)}
<h2>Files</h2><div class="table"><table><thead><tr><th>File</th><th>For</th><th class="n">Size</th></tr></thead><tbody>${files}</tbody></table></div>
<div class="cautions">${cautions.map((c) => `<p>${e(c)}</p>`).join('')}</div>
</main></body></html>
`;
}
