/** PDFs read back by an outside renderer (pdfium): page sizes, and the check bars measured in pixels. */
import { PDFiumLibrary } from '@hyzyla/pdfium';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { headOf, pdfFile } from '../../../src/outputs/paper/paper.ts';
import { pdfBytes } from '../../../src/outputs/paper/pdf.ts';
import { polyline } from '../../../src/outputs/drawing.ts';
import { sharedKernel } from '../../solid/part.ts';
import { date, presetPart, sheetsOf } from './part.ts';

const preset = 'clamp-cover.job.json';
let pdfium: PDFiumLibrary;
beforeAll(async () => {
  pdfium = await PDFiumLibrary.init();
});
afterAll(() => pdfium.destroy());

const pixelsPerPoint = 4;
const pixelsPerMm = (pixelsPerPoint * 72) / 25.4;

interface Picture {
  readonly width: number;
  readonly height: number;
  readonly dark: (x: number, y: number) => boolean;
}

async function rendered(bytes: Uint8Array): Promise<Picture[]> {
  const document = await pdfium.loadDocument(bytes);
  const pictures: Picture[] = [];
  for (const page of document.pages()) {
    const { width, height, data } = await page.render({ scale: pixelsPerPoint, render: 'bitmap' });
    const copy = data.slice();
    pictures.push({ width, height, dark: (x, y) => copy[4 * (y * width + x)]! < 100 });
  }
  document.destroy();
  return pictures;
}

/** The longest unbroken dark run along one way, in pixels. */
function longestRun({ width, height, dark }: Picture, way: 'across' | 'up', within: { x: readonly [number, number]; y: readonly [number, number] }): number {
  const [x0, x1] = within.x.map((mm) => Math.round(mm * pixelsPerMm)) as [number, number];
  const [y0, y1] = within.y.map((mm) => height - Math.round(mm * pixelsPerMm)).reverse() as [number, number];
  let best = 0;
  const lines = way === 'across' ? [y0, y1] : [x0, x1];
  for (let k = Math.max(0, lines[0]!); k < Math.min(way === 'across' ? height : width, lines[1]!); k++) {
    let run = 0;
    const [from, to] = way === 'across' ? [x0, x1] : [y0, y1];
    for (let i = Math.max(0, from); i < to; i++) {
      run = dark(way === 'across' ? i : k, way === 'across' ? k : i) ? run + 1 : 0;
      best = Math.max(best, run);
    }
  }
  return best;
}

test.each([
  ['as drawn', {}, 100, 100],
  ['corrected', { barAcross: 98, barUp: 101 }, 100 / 0.98, 100 / 1.01],
] as const)('templates %s: both bars have their length on the rendered page', async (_, paper, across, up) => {
  const part = await presetPart(preset);
  const set = (await sheetsOf(preset, paper)).find((one) => one.name === 'templates')!;
  const kernel = await sharedKernel();
  const file = await pdfFile('x', set, headOf(part.file.job, date), kernel.font!);
  const [page] = await rendered(file.bytes);
  // The bar across lies under the tile, the one up beside it.
  const bar = longestRun(page!, 'across', { x: [16, 140], y: [28, 44] });
  const upright = longestRun(page!, 'up', { x: [12, 21], y: [45, 170] });
  // A pixel is 0.09 mm; the edge of the black may fall inside one.
  expect(Math.abs(bar / pixelsPerMm - across)).toBeLessThan(0.15);
  expect(Math.abs(upright / pixelsPerMm - up)).toBeLessThan(0.15);
});

test('pages have the size of the paper, to a hundredth of a millimetre', async () => {
  const kernel = await sharedKernel();
  const part = await presetPart(preset);
  for (const size of ['A4', 'Letter'] as const) {
    for (const set of await sheetsOf(preset, { size })) {
      const bytes = await pdfBytes(set.pages, { title: 't', subject: 's', date }, kernel.font!);
      const boxes = [...new TextDecoder('latin1').decode(bytes).matchAll(/\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/g)].map((found) => [Number(found[1]), Number(found[2])]);
      expect(boxes.length).toBe(set.pages.length);
      boxes.forEach(([w, h], i) => {
        expect(w! * (25.4 / 72)).toBeCloseTo(set.pages[i]!.width, 2);
        expect(h! * (25.4 / 72)).toBeCloseTo(set.pages[i]!.height, 2);
      });
    }
  }
  expect(part.file.job.partNumber).not.toBe('');
});

test('same pages and date, same bytes; another date, other bytes', async () => {
  const kernel = await sharedKernel();
  const pages = [{ name: 'p', width: 100, height: 50, layers: [{ marks: [polyline('outline', [[10, 10], [90, 40]])] }] }];
  const make = (when: string): Promise<Uint8Array> => pdfBytes(pages, { title: 't', subject: 's', date: when }, kernel.font!);
  const [a, b, c] = [await make(date), await make(date), await make('2026-01-03T00:00:00Z')];
  expect(Buffer.from(a).equals(Buffer.from(b))).toBe(true);
  expect(Buffer.from(a).equals(Buffer.from(c))).toBe(false);
});
