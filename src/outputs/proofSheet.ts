/**
 * Proof -> the sheet that goes with the prints: what was corrected and what not, pieces with volume and mass, beds, and what
 * instruments should show on each, with room to write down what they do. Beside it the same readings as CSV, and a sheet of
 * offsets to fill in at the test fit.
 */
import type { Job } from '../job/schema.ts';
import { mmPerInch, type Units } from '../job/quantity.ts';
import { sheetText } from '../fit/fitSheet.ts';
import type { PatternHole } from '../fit/offsets.ts';
import { band95, readingMiss, type ExpectedReading } from '../proof/expected.ts';
import type { Proof } from '../proof/formProof.ts';
import type { PiecePlan } from '../proof/proofPlan.ts';
import type { PrintLine } from '../proof/profile.ts';
import { cautions } from './cautions.ts';
import { sheetStyle } from './reportHtml.ts';
import { sayLength, sayMass } from './say.ts';
import { escapeMarkup, svgText } from './svg.ts';
import { bedsDrawing, pieceDrawing } from './proofDrawing.ts';

export const readingWords: Readonly<Record<ExpectedReading['what'], string>> = { hole: 'diameter, by pin', slot: 'width, by pin', shaft: 'diameter', centres: 'centre to centre', outside: 'outside' };

/** Finer than lengths elsewhere: these are held against an instrument. */
export const fine = (mm: number, units: Units): string => (units === 'inch' ? (mm / mmPerInch).toFixed(4) : mm.toFixed(2));

/** How a line of the profile reads in words: `0.30 % small, 0.12 mm smaller at every edge`. */
export function sayLine(line: PrintLine | null, what: string): string {
  if (line === null) return 'not measured';
  const share = (1 - line.factor) * 100;
  const scale = `${Math.abs(share).toFixed(3)} % ${share >= 0 ? 'small' : 'large'}, ±${(band95 * line.factorError * 100).toFixed(3)}`;
  return `${scale}; and ${Math.abs(line.growth).toFixed(3)} mm ${line.growth < 0 ? 'smaller' : 'larger'} ${what}, ±${(band95 * line.growthError).toFixed(3)}`;
}

export function profileRows({ profile }: Pick<Proof, 'profile'>): readonly (readonly [string, string])[] {
  if (profile === null) return [];
  const { x, y, z } = profile.axes;
  return [
    ['Printer', profile.printer],
    ['Material', profile.material || 'not stated'],
    ['Along X', sayLine(x, 'outside')],
    ['Along Y', sayLine(y, 'outside')],
    ['Along Z', sayLine(z, 'outside')],
    ['Holes', sayLine(profile.hole, 'in diameter')],
    ['Plugs', sayLine(profile.shaft, 'in diameter')],
    ['Skew', profile.skew === null ? 'not measured' : `${profile.skew.degrees.toFixed(3)}°, ±${(band95 * profile.skew.error).toFixed(3)}`],
    ['First layer', profile.flare === null ? 'not measured' : `${profile.flare.mm.toFixed(2)} mm larger at the bed, ±${(band95 * profile.flare.error).toFixed(2)}`],
  ];
}

export const proofSummary = ({ profile }: Pick<Proof, 'profile'>): string =>
  profile === null
    ? 'Nothing is corrected: no printer profile was given. Print the hole bar and the square, measure them, and hand the readings in as a printer file.'
    : `Drawn for ${profile.printer}${profile.material ? `, ${profile.material}` : ''}. The design and the files for the machine know nothing of it.`;

function readingRows(readings: readonly ExpectedReading[], units: Units, profiled: boolean): string {
  const e = escapeMarkup;
  return readings
    .map((one) => {
      const told = one.printed === null ? '–' : fine(one.printed, units);
      const error = one.error === null ? '–' : `±${fine(band95 * one.error, units)}`;
      return `<tr><td>${e(one.name)}<div class="rest">${readingWords[one.what]}${one.beyond ? '; outside what the printer was measured on' : ''}</div></td><td class="n">${fine(one.design, units)}</td><td class="n">${fine(one.drawn, units)}</td>${profiled ? `<td class="n">${told}</td><td class="n">${error}</td>` : ''}<td class="write"></td></tr>`;
    })
    .join('');
}

const readingTable = (title: string, readings: readonly ExpectedReading[], units: Units, profiled: boolean): string =>
  readings.length === 0
    ? ''
    : `<h3>${escapeMarkup(title)}</h3><div class="table"><table class="readings"><thead><tr><th>Reading</th><th class="n">Design</th><th class="n">Drawn</th>${profiled ? '<th class="n">Should read</th><th class="n">95 in 100 within</th>' : ''}<th>Reads</th></tr></thead><tbody>${readingRows(readings, units, profiled)}</tbody></table></div>`;

const ownStyle = 'h3{font-size:15px;margin:22px 0 6px}td.write{border-bottom-color:var(--ink);width:16%;min-width:80px}.readings td{break-inside:avoid}.lead{font-weight:600}.pieces figure{padding:8px}.pieces{display:grid;grid-template-columns:repeat(auto-fill,minmax(220px,1fr));gap:12px}.pieces figure svg{max-height:200px}';

export function proofHtml(proof: Proof, job: Job, date: string, stem: string): string {
  const { units } = job;
  const e = escapeMarkup;
  const unit = units === 'inch' ? 'inches' : 'mm';
  const size = (v: readonly number[]): string => v.map((mm) => sayLength(mm, units)).join(' × ');
  const pieces = proof.pieces
    .map((p) => `<tr><td class="n">${p.number}</td><td>${e(p.plan.title)}<div class="rest">${e(p.plan.purpose)} ${e(`${stem}-${p.number}.stl, .3mf`)}</div></td><td class="n">${size(p.size)}</td><td class="n">${(p.volume / 1000).toFixed(1)} cm³</td><td class="n">${sayMass(p.mass)}</td><td class="n">${p.bed + 1}</td></tr>`)
    .join('');
  const total = proof.pieces.reduce((sum, p) => sum + p.mass, 0);
  const profile = profileRows(proof);
  const title = `Proof of ${job.partNumber} ${job.revision}`;
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>${e(title)}: ${e(job.title)}</title><style>${sheetStyle}${ownStyle}</style></head>
<body><main>
<div class="head"><h1>Proof: ${e(job.title)}</h1><dl><dt>Part</dt><dd>${e(job.partNumber)}</dd><dt>Revision</dt><dd>${e(job.revision)}</dd><dt>Date</dt><dd>${e(date.slice(0, 10))}</dd></dl></div>
<p class="lead">Test fit, not a guard. ${e(proofSummary(proof))}</p>
${profile.length === 0 ? '' : `<h2>What this printer does</h2><dl class="figures">${profile.map(([name, value]) => `<dt>${e(name)}</dt><dd>${e(value)}</dd>`).join('')}</dl>`}
<h2>To know</h2><ul>${proof.plan.notes.map((note) => `<li>${e(note)}</li>`).join('')}<li>Meshes lie within ${job.files.deviation} mm of the solid; round holes of it are drawn with flats that far inside the circle at most.</li></ul>
<h2>Pieces</h2><div class="table"><table><thead><tr><th class="n">No</th><th>Piece</th><th class="n">Size on the bed, ${unit}</th><th class="n">Volume</th><th class="n">Mass</th><th class="n">Bed</th></tr></thead><tbody>${pieces}</tbody></table></div>
<p class="rest">Mass in ${e(job.proof.material)}, solid through and through: ${sayMass(total)} in all. Infill makes it less.</p>
<div class="pieces">${proof.pieces.map((p) => `<figure>${svgText(pieceDrawing(p), { title: p.plan.title, fluid: true })}<figcaption>${p.number}. ${e(p.plan.title)}</figcaption></figure>`).join('')}</div>
<h2>On the bed</h2><figure class="wide">${svgText(bedsDrawing(proof, job.proof), { title: 'Beds', fluid: true })}<figcaption>Seen from above, X to the right. Pieces stand in their files as they lie here; parts that hang free need supports.</figcaption></figure>
<h2>${proof.profile === null ? 'Sizes to read' : 'What instruments should show'}, ${unit}</h2>
<p>Read these before the print is trusted. ${proof.profile === null ? 'What comes out is not known without a printer file; how far it is from the design is what these readings tell.' : 'A reading outside its band says the printer no longer does what the profile says.'}</p>
${proof.pieces.map((p) => readingTable(`${p.number}. ${p.plan.title}`, p.expected, units, proof.profile !== null)).join('')}
${proof.joined.map((one) => readingTable(one.title, one.expected, units, proof.profile !== null)).join('')}
<div class="cautions">${cautions.slice(2).map((c) => `<p>${c}</p>`).join('')}</div>
</main></body></html>
`;
}

/** For a spreadsheet. */
export function readingsCsv(proof: Proof): string {
  const quoted = (text: string): string => `"${text.replaceAll('"', '""')}"`;
  const rows = [...proof.pieces.map((p) => [`${p.number}. ${p.plan.title}`, p.expected] as const), ...proof.joined.map((one) => [one.title, one.expected] as const)];
  const cell = (value: number | null): string => (value === null ? '' : value.toFixed(4));
  const lines = rows.flatMap(([title, readings]) => readings.map((r) => [quoted(title), quoted(r.name), readingWords[r.what].replace(',', ''), cell(r.design), cell(r.drawn), cell(r.printed), cell(r.error), cell(readingMiss(r)), ''].join(',')));
  return ['piece,reading,kind,design (mm),drawn (mm),should read (mm),one sigma (mm),should read less design (mm),reads (mm)', ...lines, ''].join('\r\n');
}

/** A printer file with every size of the coupons as drawn and room for what was measured; null when none is printed. */
export function blankPrinterFile(proof: { readonly pieces: readonly { readonly plan: Pick<PiecePlan, 'kind'>; readonly expected: readonly ExpectedReading[] }[] }): string | null {
  const read = proof.pieces.filter((piece) => piece.plan.kind === 'bar' || piece.plan.kind === 'square').flatMap((piece) => piece.expected);
  if (read.length === 0) return null;
  const of = (what: ExpectedReading['what']): ExpectedReading[] => read.filter((one) => one.what === what);
  const axis = (name: string): 'x' | 'y' | 'z' => (/along X/.test(name) ? 'x' : /along Y/.test(name) ? 'y' : 'z');
  const side = (along: string): number | undefined => of('outside').find((one) => one.name === `Side along ${along}`)?.drawn;
  const pair = ({ drawn }: ExpectedReading): object => ({ drawn, measured: '' });
  const document = {
    coverwrightPrinter: 1,
    printer: '',
    material: '',
    note: '',
    units: 'mm',
    readingError: 0.03,
    bars: of('outside').map((one) => ({ axis: axis(one.name), ...pair(one) })),
    holes: of('hole').map(pair),
    shafts: of('shaft').map(pair),
    ...(side('X') === undefined ? {} : { rectangles: [{ x: side('X'), y: side('Y'), rising: '', falling: '' }], flares: [{ atBed: '', above: '' }] }),
  };
  return `${JSON.stringify(document, null, 2)}\n`;
}

/** A sheet for the verb fit, its head filled in; the rows are for the person. */
export function offsetsSheet(proof: Proof, job: Job, holes: readonly PatternHole[], printerFile: string): string {
  const { profile } = proof;
  const turns = [...new Set(proof.pieces.filter((p) => p.plan.kind === 'whole' || p.plan.kind === 'ring').map((p) => p.plan.turn))];
  const turn = turns.length === 1 && (turns[0] === 0 || turns[0] === 90) ? turns[0] : turns.length === 0 ? 0 : null;
  return [
    `# Offsets of a test fit of ${sheetText(job.partNumber)} ${job.revision}. Fill in how far each hole has to move to be right, in ${job.units === 'inch' ? 'inches' : 'mm'}, 0 where it fits;`,
    '# take the rows out that were not looked at. Then: coverwright fit JOB THIS-SHEET' + (profile === null ? '' : ` --printer ${sheetText(printerFile)}`),
    'on: print',
    `revision: ${job.revision}`,
    'seen from: outside',
    'error: ' + (job.units === 'inch' ? '.004' : '0.1'),
    ...(profile === null ? ['compensated: no'] : [`profile: ${sheetText(profile.material || profile.printer)}`, `printer: ${sheetText(profile.printer)}`, `printed on: ${sheetText(profile.printer)}`, 'compensated: yes']),
    ...(turn === null ? ['# The pieces lay slantwise or each its own way: scale cannot be told along X and Y apart.'] : turn === 90 ? ['quarter turn: yes'] : []),
    'hole, dx, dy',
    ...holes.map(({ name }) => `${sheetText(name)}, , `),
    '',
  ].join('\n');
}
