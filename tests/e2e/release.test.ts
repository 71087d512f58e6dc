/** Release driven as a person would: make the files, look at the sheets, hold the cuts against the shop's cutters. */
import { readFileSync } from 'node:fs';
import { strFromU8, unzipSync } from 'fflate';
import { expect, test } from 'vitest';
import type { Manifest } from '../../src/outputs/pack.ts';
import { checked, stage } from './browser.ts';
import { inBrowser } from './inBrowser.ts';

const bench = inBrowser();

test('files are made, sheets can be opened wide, and all of it saved as one zip', async () => {
  const { page, context, errors } = await bench.open();
  await checked(page);
  await stage(page, 'Release');
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: 'Open a cutter file' }).click()]);
  await chooser.setFiles('presets/small-shop.cutters.json');
  await page.getByRole('button', { name: 'Cutters: small-shop.cutters.json' }).waitFor();
  await page.getByRole('button', { name: 'Make the files' }).click();
  const setup = page.getByRole('button', { name: 'Setup, sheet 1 of' });
  await setup.waitFor({ timeout: 120_000 });
  expect(await setup.getAttribute('aria-expanded')).toBe('false');
  await setup.focus();
  await page.keyboard.press('Enter');
  expect(await setup.getAttribute('aria-expanded')).toBe('true');
  const wide = await setup.boundingBox();
  expect(wide!.width).toBeGreaterThan(300);
  expect(await setup.locator('img').evaluate((image: HTMLImageElement) => image.naturalWidth)).toBeGreaterThan(100);
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save all as one zip' }).click()]);
  const pack = unzipSync(readFileSync((await download.path())!));
  const manifest = JSON.parse(strFromU8(pack[Object.keys(pack).find((name) => name.endsWith('manifest.json'))!]!)) as Manifest;
  expect(manifest.files.map((file) => file.name)).toContain('OB-210-A-setup.pdf');
  expect(Object.keys(pack).length).toBe(manifest.files.length + 1);
  if (process.env['SHOTS']) await page.setViewportSize({ width: 1440, height: 1800 });
  if (process.env['SHOTS']) await page.screenshot({ path: `${process.env['SHOTS']}/release.png`, fullPage: true });
  // What was opened for the shop stays for the next visit.
  await page.reload();
  await stage(page, 'Release');
  await page.getByRole('button', { name: 'Cutters: small-shop.cutters.json' }).waitFor();
  const [again] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: 'Cutters: small-shop' }).click()]);
  await again.setFiles({ name: 'bad.cutters.json', mimeType: 'application/json', buffer: Buffer.from('{"coverwrightCutters":1,"cutters":[{"name":"a","kind":"bal","diameter":6}]}') });
  await page.getByText('Did you mean ball?').waitFor();
  expect(errors).toEqual([]);
  await context.close();
});
