/** Sheets of all presets: everything inside the frame, no text over another, true sizes where they are promised. */
import { describe, expect, test } from 'vitest';
import { boundsOf } from '../../../src/outputs/drawing.ts';
import { marksOf, paperSizes, type Page } from '../../../src/outputs/paper/page.ts';
import { characteristicsOf } from '../../../src/fit/firstArticle.ts';
import { pens } from '../../../src/outputs/pens.ts';
import { overlaps, outside, texts } from './looks.ts';
import { date, presetPart, presets, sheetsOf } from './part.ts';
import { headOf } from '../../../src/outputs/paper/paper.ts';
import { coverSheets } from '../../../src/outputs/paper/coverSheets.ts';
import type { Finding } from '../../../src/checks/finding.ts';

describe.each(presets)('%s', (preset) => {
  test.each(['A4', 'Letter'] as const)('on %s nothing leaves the paper and no text covers another', async (size) => {
    for (const set of await sheetsOf(preset, { size })) {
      for (const page of set.pages) {
        const paper = paperSizes[size];
        expect([page.width, page.height].sort((a, b) => a - b)).toEqual([paper.width, paper.height]);
        expect(outside(page), `${set.name}, ${page.name}`).toBe(0);
        expect(overlaps(page), `${set.name}, ${page.name}`).toEqual([]);
      }
    }
  });

  test('the drawing gives length, width and every hole', async () => {
    const part = await presetPart(preset);
    const drawing = (await sheetsOf(preset)).find((set) => set.name === 'drawing')!;
    const said = drawing.pages.flatMap(texts).map((text) => text.text);
    for (const tab of part.plan.tabs) expect(said).toContain(tab.name);
    for (const boss of part.plan.bosses) if (boss.hole !== null) expect(said).toContain(boss.name);
    const inch = part.file.job.units === 'inch';
    const say = (mm: number): string => (inch ? (mm / 25.4).toFixed(3) : String(Number(mm.toFixed(2))));
    expect(said).toContain(say(part.plan.body.length));
    expect(said).toContain(say(part.plan.body.width));
  });

  test('every number of the first article is on the sheets', async () => {
    const part = await presetPart(preset);
    const sheets = (await sheetsOf(preset)).find((set) => set.name === 'first-article')!;
    const said = new Set(sheets.pages.flatMap(texts).map((text) => text.text));
    for (const one of characteristicsOf(part.file.job, part.plan)) expect(said).toContain(String(one.number));
  });
});

describe('templates', () => {
  /** Sizes of the black bars, edge to edge. */
  const bars = (page: Page): number[][] =>
    page.layers
      .filter((layer) => layer.clip === undefined)
      .flatMap((layer) => layer.marks)
      .filter((mark) => mark.kind === 'path' && mark.pen === 'dimension' && mark.fill === true)
      .map((mark) => {
        const { least, most } = boundsOf({ marks: [mark] });
        return [most[0] - least[0] + pens.dimension.width, most[1] - least[1] + pens.dimension.width];
      });

  test.each([
    ['as drawn', {}, 100, 100],
    ['corrected by measured bars', { barAcross: 99.2, barUp: 100.4 }, 100 * (100 / 99.2), 100 * (100 / 100.4)],
  ] as const)('%s: a bar each way on every tile', async (_, paper, across, up) => {
    const set = (await sheetsOf('worm-drive-cover.job.json', paper)).find((one) => one.name === 'templates')!;
    for (const page of set.pages) {
      expect(bars(page).some(([x, y]) => Math.abs(x! - across) < 1e-9 && Math.abs(y! - 2) < 1e-9)).toBe(true);
      expect(bars(page).some(([x, y]) => Math.abs(x! - 2) < 1e-9 && Math.abs(y! - up) < 1e-9)).toBe(true);
    }
  });

  test('tiles together show the whole plan at full size, and neighbours the same crosses', async () => {
    const part = await presetPart('worm-drive-cover.job.json');
    const set = (await sheetsOf('worm-drive-cover.job.json')).find((one) => one.name === 'templates')!;
    const plans = set.pages.filter((page) => texts(page).some((text) => text.text.startsWith('Plan')));
    expect(plans.length).toBeGreaterThan(1);
    // The drawing is the same on each tile but for its place; the tile shows a window of it.
    const seen = plans.map((page) => {
      const { marks, clip } = page.layers.find((layer) => layer.clip !== undefined)!;
      const box = boundsOf({ marks });
      return { from: clip!.least[0] - box.least[0], to: clip!.most[0] - box.least[0], size: box.most[0] - box.least[0] };
    });
    const reach = part.plan.tabs.filter((tab) => tab.wall === 'front' || tab.wall === 'back').reduce((sum, tab) => Math.max(sum, tab.reach), 0);
    expect(seen[0]!.size).toBeGreaterThanOrEqual(part.plan.body.length + 2 * reach);
    expect(Math.min(...seen.map((one) => one.from))).toBeLessThanOrEqual(0);
    expect(Math.max(...seen.map((one) => one.to))).toBeGreaterThanOrEqual(seen[0]!.size);
    const ordered = [...seen].sort((a, b) => a.from - b.from);
    ordered.slice(1).forEach((one, i) => expect(ordered[i]!.to - one.from).toBeCloseTo(12, 6));
  });
});

test('a stop nobody took on is told first, one taken on with its name', async () => {
  const part = await presetPart('worm-drive-cover.job.json');
  const stop = (takenOnBy?: string): Finding => ({ code: 'skin-above-hole', level: 'stop', message: 'B1 leaves 0.4 mm.', value: 0.4, limit: 1.5, unit: 'mm', at: 'bosses[0]', place: null, cure: 'Drill less deep.', restsOn: '', ...(takenOnBy === undefined ? {} : { takenOnBy }) });
  const said = (findings: readonly Finding[]): string =>
    coverSheets({ findings, files: [], figures: [] }, { paper: 'A4', landscape: false }, headOf(part.file.job, date)).flatMap((page) => marksOf(page)).map((mark) => (mark.kind === 'text' ? mark.text : '')).join(' ');
  expect(said([stop()])).toContain('Do not cut from this pack');
  expect(said([stop('A. Turner')])).not.toContain('Do not cut');
  expect(said([stop('A. Turner')])).toContain('A. Turner');
});
