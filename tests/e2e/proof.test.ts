/** The stage Proof in a real browser: a printer file in, pieces on the bed, files out. */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { stage } from './browser.ts';
import { inBrowser } from './inBrowser.ts';

const bench = inBrowser();

test('a test print is drawn for the printer file opened, its pieces are on the bed, what they should read is listed, and its files are saved', { timeout: 300_000 }, async () => {
  const { page, context, errors } = await bench.open();
  await stage(page, 'Proof');
  const desk = page.locator('#desk');
  await desk.getByText('No printer file: nothing is corrected').waitFor();

  // Readings typed one by one: what is missing is said, and as soon as they read they are the printer.
  await desk.getByRole('button', { name: 'Type readings' }).click();
  await desk.getByText('Printer: expected a name.').first().waitFor();
  await desk.getByLabel('Printer', { exact: true }).fill('bench one');
  await desk.getByText(/Expected measured X bars, got none/).waitFor();
  for (const [label, value] of [['Bar along X, drawn 200: measured', '199.5'], ['Bar along X, drawn 14: measured', '14.02'], ['Bar along Y, drawn 200: measured', '199.6'], ['Bar along Y, drawn 14: measured', '14,0']] as const) await desk.getByLabel(label).fill(value);
  await desk.getByText('Drawn for bench one').waitFor();
  await desk.getByText('Along X', { exact: true }).waitFor();
  expect(await desk.getByLabel('Bar along Y, drawn 14: measured').inputValue()).toBe('14,0');
  const [saved] = await Promise.all([page.waitForEvent('download'), desk.getByRole('button', { name: 'Save the printer file' }).click()]);
  expect([saved.suggestedFilename(), (JSON.parse(readFileSync(await saved.path(), 'utf8')) as { bars: unknown[] }).bars.length]).toEqual(['bench-one.printer.json', 4]);
  await desk.getByRole('button', { name: 'Put it away' }).click();
  await desk.getByText('No printer file: nothing is corrected').waitFor();

  // A wrong file is refused by name; what stands stays.
  const drop = async (text: string, name: string): Promise<void> => {
    const data = await page.evaluateHandle(([content, called]) => {
      const transfer = new DataTransfer();
      transfer.items.add(new File([content!], called!, { type: 'application/json' }));
      return transfer;
    }, [text, name]);
    await page.locator('#desk .dropzone').dispatchEvent('drop', { dataTransfer: data });
  };
  await drop('{"coverwright": 1}', 'job.json');
  await desk.getByText(/Printer is missing|is not a name used here/).first().waitFor();
  await drop(readFileSync('presets/left.printer.json', 'utf8'), 'left.printer.json');
  await desk.getByText('Drawn for left one').waitFor();
  expect(await desk.getByLabel('Bar along X, drawn 72: measured').inputValue()).toBe('71.88');

  // A bed too small is told before anything is made.
  await page.locator('#panel').getByLabel('Bed X').fill('60');
  await page.locator('#panel').getByLabel('Bed Y').fill('60');
  await desk.getByText(/no seams clear of holes|does not fit/).first().waitFor();
  expect(await desk.getByRole('button', { name: 'Make the proof' }).isDisabled()).toBe(true);
  await page.locator('#panel').getByLabel('Bed X').fill('');
  await page.locator('#panel').getByLabel('Bed Y').fill('');

  await desk.getByRole('button', { name: 'Make the proof' }).click();
  await desk.getByRole('button', { name: 'Make it again' }).waitFor({ timeout: 150_000 });
  await desk.getByRole('button', { name: /Tab ring, piece 1 of/ }).click();
  await desk.getByRole('heading', { name: /Tab ring, piece 1 of \d+: what instruments should show/ }).waitFor();
  const row = desk.locator('tr', { hasText: 'T1 to T2' }).first();
  const [design, drawn, read] = (await row.locator('td.n').allInnerTexts()).map(Number);
  expect(drawn!).toBeGreaterThan(design!);
  expect(read).toBe(design);
  await row.getByLabel('T1 to T2: what it reads').fill('60.4');
  await row.getByText('0.40 large: the printer no longer does what its file says').waitFor();
  await row.getByLabel('T1 to T2: what it reads').fill('59,98');
  await row.getByText('within', { exact: true }).waitFor();
  expect(await page.locator('#board').innerText()).toContain('Bed 1');

  const [download] = await Promise.all([page.waitForEvent('download'), desk.getByRole('button', { name: /^Save .*-proof-4\.stl$/ }).click()]);
  expect(readFileSync(await download.path(), 'latin1').slice(0, 80)).toContain('TEST FIT, NOT A GUARD');
  // Another value of the job makes it stale; a reload still knows the printer.
  await page.locator('#panel').getByLabel('Ring height').fill('9');
  await desk.getByText('has changed since this proof was made').waitFor();
  await page.reload();
  await page.locator('#desk').getByText('Drawn for left one').waitFor({ timeout: 60_000 });
  // A test fit is told which printer made the piece; asked again, it is not told twice.
  await desk.getByRole('button', { name: 'Test fit', exact: true }).click();
  await desk.getByRole('button', { name: 'New test fit' }).click();
  await desk.getByRole('button', { name: 'Printed on left one' }).click();
  await page.locator('#panel').getByLabel('Print scale X').waitFor();
  expect(Number(await page.locator('#panel').getByLabel('Print scale X').inputValue())).toBeCloseTo(0.997, 3);
  await desk.getByRole('button', { name: 'Printed on left one' }).waitFor({ state: 'hidden' });
  expect(errors).toEqual([]);
  await context.close();
});
