/** The bench in a real browser, used the way he would. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { run } from '../cli/run.ts';
import { readStep, volumeOf } from '../stepReader.ts';
import { checked, eachBoard, solid, stage } from './browser.ts';
import { inBrowser } from './inBrowser.ts';

const bench = inBrowser();

const cell = (page: Page, row: number, column: 'x' | 'z') => page.locator(`input[data-row="${row}"][data-column="${column}"]`);
const miss = (page: Page, row: number) => page.locator(`tr[data-row="${row}"] td`).nth(4).innerText();

/** Makes the files and answers the text of the STEP. */
async function stepText(page: Page): Promise<string> {
  await stage(page, 'Release');
  await page.getByRole('button', { name: /Make the files|Make them again/ }).click();
  const save = page.getByRole('button', { name: 'Save OB-210-A.step', exact: true });
  await save.waitFor({ timeout: 120_000 });
  const [download] = await Promise.all([page.waitForEvent('download'), save.click()]);
  return readFileSync(await download.path(), 'utf8');
}

describe('the bench', () => {
  test('first load to first solid; typing a reading changes its miss; a bad one keeps the last part and says the cure', async () => {
    const { page, context, errors } = await bench.open();
    await stage(page, 'Readings');
    const before = await miss(page, 12);
    const built = Number(await page.locator('#part').getAttribute('data-built'));
    await cell(page, 12, 'z').fill('55.6');
    await expect.poll(() => miss(page, 12)).not.toBe(before);
    await solid(page, built);
    await cell(page, 12, 'z').fill('1 3/32');
    await page.getByText(/fraction without a unit/).first().waitFor();
    expect(await cell(page, 12, 'z').inputValue()).toBe('1 3/32');
    await cell(page, 12, 'z').fill('2.189in');
    await expect.poll(() => page.locator('tr[data-row="12"] td').nth(3).innerText()).toContain('55.601');
    expect(errors).toEqual([]);
    await context.close();
  });

  test('the faired curve is compared with passing through every reading, in figures and by the combs of both', async () => {
    const { page, context, errors } = await bench.open();
    await stage(page, 'Contour');
    await page.getByText('Through every reading', { exact: true }).first().waitFor();
    const red = () => page.locator('.board-svg .m-warning').count();
    expect(await red()).toBe(0);
    await page.getByRole('button', { name: 'Through every reading' }).click();
    await page.getByText(/Red: bends of the curve through every reading/).waitFor();
    expect(await red()).toBeGreaterThan(30);
    // A reading tapped on the board is marked a corner, and left out.
    await page.locator('[data-handle="12"]').press('Enter');
    await page.getByRole('button', { name: 'Leave out' }).click();
    await expect.poll(() => page.getByRole('button', { name: 'Leave out' }).getAttribute('aria-pressed')).toBe('true');
    await page.getByRole('button', { name: 'Corner', exact: true }).click();
    await expect.poll(() => page.getByRole('button', { name: 'Corner', exact: true }).getAttribute('aria-pressed')).toBe('true');
    expect(errors).toEqual([]);
    await context.close();
  });

  test('a hole dragged on the plan stands where it was put in the STEP', async () => {
    const { page, context, errors } = await bench.open();
    await stage(page, 'Mounts');
    const grip = page.locator('[data-handle="tabs[0].hole"]');
    const box = (await grip.boundingBox())!;
    const built = Number(await page.locator('#part').getAttribute('data-built'));
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width / 2 - 2, box.y + box.height / 2 - 6, { steps: 6 });
    await page.mouse.up();
    await solid(page, built);
    // Nudged by keys: a hundredth with Alt, a whole millimetre with Shift.
    await grip.press('Alt+ArrowUp');
    await grip.press('Shift+ArrowUp');
    const typed = (column: string) => page.getByLabel(`${column} of T1`, { exact: true }).inputValue();
    const [x, y] = [Number(await typed('X')), Number(await typed('Y'))];
    expect(Math.abs(x + 8) + Math.abs(y - 30)).toBeGreaterThan(1);
    const step = await stepText(page);
    // The axis of the hole in the file: a point of a cylinder of that radius at the same X and Y.
    const found = [...step.matchAll(/CARTESIAN_POINT\('[^']*',\(([-\d.E+]+),([-\d.E+]+),([-\d.E+]+)\)\)/g)].some(([, a, b]) => Math.abs(Number(a) - x) < 0.006 && Math.abs(Number(b) - y) < 0.006);
    expect(found).toBe(true);
    expect(errors).toEqual([]);
    await context.close();
  });

  test('the hole table is typed into in place, as spoken, and keeps what was typed', async () => {
    const { page, context, errors } = await bench.open();
    await stage(page, 'Mounts');
    const x = page.getByLabel('X of B3', { exact: true });
    await x.fill('5 1/8in');
    await x.press('Enter');
    // Enter goes down to the next hole, as in any table.
    await expect.poll(() => page.evaluate(() => document.activeElement?.getAttribute('aria-label'))).toBe('X of B4');
    expect(await x.inputValue()).toBe('5 1/8in');
    await expect.poll(() => page.locator('[data-handle="bosses[2]"]').getAttribute('transform')).toContain('130.175');
    const size = page.getByLabel('Size of T1', { exact: true });
    await size.fill('6.6');
    await size.press('Tab');
    await expect.poll(() => page.locator('table.holes tbody tr').first().locator('td.rest').innerText()).toBe('');
    await expect.poll(() => size.inputValue()).toBe('6.6');
    const outOfWall = page.getByLabel('X of T1', { exact: true });
    await outOfWall.fill('-9');
    await outOfWall.press('Tab');
    await expect.poll(() => page.locator('[data-handle="tabs[0].hole"]').getAttribute('transform')).toContain('-9 ');
    const depth = page.getByLabel('Depth of B1', { exact: true });
    await depth.fill('deep');
    await depth.press('Tab');
    await expect.poll(() => depth.getAttribute('aria-invalid')).toBe('true');
    expect(await depth.inputValue()).toBe('deep');
    await page.getByText(/Expected a length, got "deep"/).first().waitFor();
    await page.keyboard.press('Control+z');
    await expect.poll(() => depth.inputValue()).toBe('14');
    expect(errors).toEqual([]);
    await context.close();
  });

  test('things on the plan are added, copied, mirrored and deleted; a drag settles in line unless that is off', async () => {
    const { page, context, errors } = await bench.open();
    await stage(page, 'Mounts');
    const grips = (list: string) => page.locator(`[data-handle^="${list}["]:not([data-handle$=".hole"])`).count();
    const place = async (id: string): Promise<number[]> => /translate\(([-\d.]+) ([-\d.]+)\)/.exec((await page.locator(`[data-handle="${id}"]`).getAttribute('transform'))!)!.slice(1).map(Number);
    await page.getByLabel('Add', { exact: true }).selectOption('bosses');
    await expect.poll(() => grips('bosses')).toBe(9);
    await page.getByRole('button', { name: 'Copy', exact: true }).click();
    await expect.poll(() => grips('bosses')).toBe(10);
    await page.getByRole('button', { name: 'Mirror X: a copy front to back' }).click();
    await expect.poll(() => grips('bosses')).toBe(11);
    const [copy, mirrored] = [await place('bosses[9]'), await place('bosses[10]')];
    expect(copy[0]! + mirrored[0]!).toBeCloseTo(380, 3);
    await page.getByRole('button', { name: 'Delete', exact: true }).click();
    await expect.poll(() => grips('bosses')).toBe(10);
    for (const list of ['tabs', 'holes', 'notches', 'grooves', 'engraving']) {
      const before = await grips(list);
      await page.getByLabel('Add', { exact: true }).selectOption(list);
      await expect.poll(() => grips(list)).toBe(before + 1);
    }
    // Dragged to within a hair of another boss's station it stands exactly there; with snapping off it stays where it was put.
    const drag = async (id: string, by: readonly [number, number], guided: boolean): Promise<void> => {
      const box = (await page.locator(`[data-handle="${id}"] .dot`).boundingBox())!;
      const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
      await page.mouse.move(x, y);
      await page.mouse.down();
      await page.mouse.move(x + by[0], y + by[1], { steps: 4 });
      await expect.poll(() => page.locator('.board-svg .snap').count().then((n) => n > 0)).toBe(guided);
      await page.mouse.up();
    };
    await drag('bosses[0]', [1, -12], true);
    expect((await place('bosses[0]'))[0]).toBeCloseTo(40, 6);
    await page.getByRole('button', { name: 'Snap while dragging' }).click();
    await drag('bosses[0]', [7, 0], false);
    const free = (await place('bosses[0]'))[0]!;
    expect(Math.abs(free * 2 - Math.round(free * 2))).toBeGreaterThan(1e-3);
    await page.getByRole('button', { name: /^From above/ }).click();
    await page.getByText('Plan seen from the MATING FACE').waitFor();
    expect((await place('bosses[0]'))[0]).toBeCloseTo(380 - free, 3);
    expect(errors).toEqual([]);
    await context.close();
  });

  test('a bad table is refused with its rows named, and the readings stay', async () => {
    const { page, context } = await bench.open();
    await stage(page, 'Readings');
    const first = await cell(page, 0, 'z').inputValue();
    await cell(page, 0, 'x').focus();
    await page.evaluate(() => {
      const data = new DataTransfer();
      data.setData('text/plain', '0\t20\n10\tabc\n20\t25\n');
      document.activeElement?.dispatchEvent(new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true }));
    });
    await page.locator('#notices').getByText(/abc/).waitFor();
    expect(await cell(page, 0, 'z').inputValue()).toBe(first);
    await context.close();
  });

  test('a tablet held upright: nothing is cut off sideways, everything can be reached', async () => {
    const { page, context } = await bench.open({ width: 820, height: 1180 });
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(820);
    await eachBoard(page, async (name) => {
      expect(await page.evaluate(() => document.documentElement.scrollWidth), name).toBeLessThanOrEqual(820);
    });
    await context.close();
  });

  test('by keyboard alone to a STEP whose part is the one the terminal makes', async () => {
    const { page, context } = await bench.open();
    await page.locator('#stage-Readings').focus();
    for (let i = 0; i < 6; i += 1) {
      if ((await page.locator('#stage-Release').getAttribute('aria-selected')) === 'true') break;
      await page.keyboard.press('ArrowRight');
    }
    await checked(page);
    for (let i = 0; i < 60; i += 1) {
      await page.keyboard.press('Tab');
      if ((await page.evaluate(() => document.activeElement?.textContent)) === 'Make the files') break;
    }
    await page.keyboard.press('Enter');
    const save = page.getByRole('button', { name: 'Save OB-210-A.step', exact: true });
    await save.waitFor({ timeout: 120_000 });
    for (let i = 0; i < 60; i += 1) {
      if ((await page.evaluate(() => document.activeElement?.getAttribute('aria-label')))?.endsWith(' OB-210-A.step')) break;
      await page.keyboard.press('Tab');
    }
    const [download] = await Promise.all([page.waitForEvent('download'), page.keyboard.press('Enter')]);
    const step = readFileSync(await download.path());
    const terminal = await run(['check', 'presets/worm-drive-cover.job.json', '--json']);
    const { report } = JSON.parse(terminal.out) as { report: { solid: { volume_mm3: number } } };
    expect(volumeOf((await readStep(step))[0]!) / report.solid.volume_mm3).toBeCloseTo(1, 3);
    await context.close();
  });

  test('what a job says stays text: markup in it is shown, not run', async () => {
    const { page, context, errors } = await bench.open();
    const hostile = '<img src=x onerror="document.title=1"><script>document.title=2</script>';
    await page.getByLabel('Title', { exact: true }).fill(hostile);
    await stage(page, 'Mounts');
    await page.getByLabel('Add').selectOption('tabs');
    await page.getByLabel('Name', { exact: true }).fill('<b>x</b>');
    await page.locator('table.grid').getByText('<b>x</b>').waitFor();
    expect(await page.title()).not.toMatch(/^[12]$/);
    expect(await page.locator('main img:not([class])').count()).toBe(0);
    expect(errors).toEqual([]);
    await context.close();
  });

  test('axe finds no serious fault on any stage, light or dark', async () => {
    const { page, context } = await bench.open();
    // Evaluated rather than added as a script: the page's content policy allows no other scripts.
    await page.evaluate(readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8'));
    for (const dark of [false, true]) {
      if (dark) await page.getByRole('button', { name: 'Dark' }).click();
      await eachBoard(page, async (name) => {
        const faults = await page.evaluate(async () => {
          const axe = (window as unknown as { axe: { run(options: object): Promise<{ violations: { id: string; impact: string; nodes: { html: string; failureSummary: string }[] }[] }> } }).axe;
          const { violations } = await axe.run({ resultTypes: ['violations'] });
          return violations.filter((v) => v.impact === 'serious' || v.impact === 'critical').map((v) => `${v.id}: ${v.nodes.slice(0, 3).map((n) => `${n.html.slice(0, 160)} ${n.failureSummary}`).join(' | ')}`);
        });
        expect(faults, `${name}${dark ? ' dark' : ''}`).toEqual([]);
      });
    }
    await context.close();
  });
});
