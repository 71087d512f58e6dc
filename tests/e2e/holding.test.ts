/** The stage Holding in a real browser: the part on its fixture, taken apart and in its billet; screws, numbers, bosses suggested. */
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { checked, solid, stage } from './browser.ts';
import { inBrowser } from './inBrowser.ts';

const bench = inBrowser();

const desk = (page: Page) => page.locator('#desk');
/** Waits until the fixture was made and held against the part shown. */
const held = (page: Page): Promise<void> => desk(page).getByText('contacts left out').waitFor({ timeout: 120_000 });
/** The picture as it stands; another picture is another text. */
const picture = async (page: Page): Promise<string> => (await page.locator('canvas.part-canvas').screenshot()).toString('base64');

test('screws, skin, touch-off numbers and proof are listed; the view shows it closed, apart and turned over; bosses are suggested and taken back', { timeout: 300_000 }, async () => {
  const { page, context, errors } = await bench.open();
  // Entered when everything else is long done, and nothing but the stage itself asks for the fixture.
  await checked(page);
  await page.waitForTimeout(1500);
  await stage(page, 'Holding');
  await held(page);
  const row = desk(page).locator('tr', { hasText: 'B3' }).first();
  expect(await row.locator('td').allInnerTexts()).toEqual(['B3', 'M5 x 45', '18.08', '7.9', '']);
  expect(await desk(page).locator('tr', { hasText: 'Metal shared' }).innerText()).toContain('0 mm³');
  expect(await desk(page).locator('tr', { hasText: 'Touch off X' }).innerText()).toContain('50 mm ± 0.2 mm');
  // What is on the board is the fixture, with screw and skin at each boss.
  expect(await page.locator('#board').innerText()).toContain('M5 x 40');
  expect(await page.locator('#board').innerText()).toContain('skin 14.22');

  const closed = await picture(page);
  for (const pose of ['Taken apart', 'First operation', 'Set down, to touch off']) {
    await page.getByLabel('Show').selectOption({ label: pose });
    await page.waitForTimeout(400);
    expect(await picture(page), pose).not.toBe(closed);
  }
  await page.getByLabel('Show').selectOption({ label: 'On the fixture' });

  // A value of the panel goes into the fixture; what it breaks is a finding with its cure.
  await page.locator('#panel').getByLabel('Stock over').fill('3');
  await held(page);
  await checked(page);
  await page.locator('#findings').getByText('The jaws hold 6 mm of the billet').waitFor({ timeout: 60_000 });
  await page.getByRole('button', { name: 'Undo' }).click();

  const before = await solid(page);
  await desk(page).getByRole('button', { name: 'Suggest bosses' }).click();
  await page.getByText(/M5 bosses put in instead of 8/).waitFor();
  await solid(page, before);
  await held(page);
  expect(await desk(page).locator('tr', { hasText: 'none fits' }).count()).toBe(0);
  await page.getByRole('button', { name: 'Undo' }).click();
  await row.waitFor();

  // Another stage shows the part alone again.
  await stage(page, 'Body');
  await page.waitForTimeout(400);
  expect(await picture(page)).not.toBe(closed);
  expect(errors).toEqual([]);
  await context.close();
});
