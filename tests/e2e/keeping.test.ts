/** What was typed is kept, and the bench goes on: across reloads, dead kernels, a lost network, a second tab, other jobs. */
import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { checked, solid, stage } from './browser.ts';
import { inBrowser } from './inBrowser.ts';

const bench = inBrowser();

const kept = (page: Page) => page.getByText('Kept on this machine').waitFor();

describe('work is kept', () => {
  test('undo goes on across a reload; nothing typed is lost', async () => {
    const { page, context } = await bench.open();
    await page.getByLabel('Title', { exact: true }).fill('My cover');
    await stage(page, 'Body');
    const wall = page.getByLabel('Wall', { exact: true });
    await wall.fill('4');
    await kept(page);
    await page.reload();
    await solid(page);
    await stage(page, 'Body');
    await expect.poll(() => page.getByLabel('Wall', { exact: true }).inputValue()).toBe('4');
    expect(await page.getByLabel('Title', { exact: true }).inputValue()).toBe('My cover');
    await page.keyboard.press('Control+z');
    await expect.poll(() => page.getByLabel('Wall', { exact: true }).inputValue()).toBe('3');
    await page.getByRole('button', { name: 'Redo' }).click();
    await expect.poll(() => page.getByLabel('Wall', { exact: true }).inputValue()).toBe('4');
    await context.close();
  });

  test('a kernel that dies is started again, with the last part on the screen and a notice', async () => {
    const { page, context } = await bench.open();
    const built = Number(await page.locator('#part').getAttribute('data-built'));
    await page.evaluate(() => (window as unknown as { coverwright: { endKernel(): void } }).coverwright.endKernel());
    await page.getByText(/being started again. Nothing typed is lost/).waitFor();
    expect(await page.locator('#part .veil').isVisible()).toBe(false);
    await solid(page, built);
    await context.close();
  });

  test('a kernel that hangs is noticed by its silence and replaced, with the last part on the screen', async () => {
    const { page, context } = await bench.open();
    await checked(page);
    const built = Number(await page.locator('#part').getAttribute('data-built'));
    // The kernel's own thread, caught in a loop that never ends and says nothing.
    const worker = page.workers().find((one) => one.url().includes('worker'))!;
    void worker.evaluate(() => { for (;;); }).catch(() => {});
    await stage(page, 'Body');
    await page.getByLabel('Wall', { exact: true }).fill('3.5');
    await page.getByText(/stopped \(it did not answer\) and is being started again/).waitFor({ timeout: 30_000 });
    expect(await page.locator('#part .veil').isVisible()).toBe(false);
    await solid(page, built);
    expect(await page.getByLabel('Wall', { exact: true }).inputValue()).toBe('3.5');
    await context.close();
  });

  test('a kernel that hangs over the files is replaced, and the files are made after all', async () => {
    const { page, context } = await bench.open();
    await checked(page);
    await stage(page, 'Release');
    // Caught before it is asked: in the midst of the files it might come to the loop only when they are done.
    const worker = page.workers().find((one) => one.url().includes('worker'))!;
    void worker.evaluate(() => { for (;;); }).catch(() => {});
    await page.getByRole('button', { name: 'Make the files' }).click();
    await page.getByText(/stopped \(it did not answer\) and is being started again/).waitFor({ timeout: 30_000 });
    expect(await page.locator('#part .veil').isVisible()).toBe(false);
    await page.getByText('OB-210-A-release.zip').waitFor({ timeout: 60_000 });
    await context.close();
  });

  test('opens and builds without a network once it has been loaded', async () => {
    const { page, context } = await bench.open();
    await page.evaluate(async () => {
      await navigator.serviceWorker.ready;
    });
    // The worker answers from the next load on.
    await page.reload();
    await solid(page);
    await context.setOffline(true);
    await page.reload();
    await solid(page);
    expect(await page.getByRole('tab').count()).toBeGreaterThanOrEqual(5);
    await context.close();
  });

  test('a second tab is told, may take over, and the first is told in turn', async () => {
    const { page, context } = await bench.open();
    await kept(page);
    const second = await context.newPage();
    await second.goto(page.url());
    await second.getByText('This job is open in another tab.').waitFor();
    await expect.poll(() => second.locator('#titleblock').evaluate((block) => (block as HTMLElement).inert)).toBe(true);
    await second.getByRole('button', { name: 'Edit it here' }).click();
    await page.getByText(/now edited in another tab/).waitFor();
    await second.getByLabel('Title', { exact: true }).fill('Changed here');
    await expect.poll(() => second.getByRole('button', { name: 'Undo' }).isDisabled()).toBe(false);
    await context.close();
  });

  test('jobs are started from presets, taken up again, saved and opened; what is no job or far too large is refused', async () => {
    const { page, context, errors } = await bench.open();
    // Browsers that hand out files by themselves ask a person where; the others load up and down.
    await page.evaluate(() => void Object.assign(window, { showOpenFilePicker: undefined, showSaveFilePicker: undefined }));
    const title = page.locator('#titleblock').getByLabel('Title', { exact: true });
    const job = () => page.getByRole('button', { name: 'Job', exact: true }).click();
    await title.fill('First job');
    await kept(page);
    await job();
    await page.getByRole('dialog').getByRole('button', { name: /clamp-cover/ }).click();
    await expect.poll(() => title.inputValue()).toMatch(/clamp cover/i);
    await kept(page);
    await job();
    await page.getByRole('dialog').getByRole('button', { name: /First job/ }).click();
    await expect.poll(() => title.inputValue()).toBe('First job');
    await job();
    const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: /^Save to a file/ }).click()]);
    expect(download.suggestedFilename()).toBe('OB-210-A.job.json');
    const saved = readFileSync(await download.path());
    expect(JSON.parse(saved.toString('utf8'))).toMatchObject({ coverwright: 1, title: 'First job' });
    const open = async (name: string, buffer: Buffer): Promise<void> => {
      await job();
      const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: /^Open a file/ }).click()]);
      await chooser.setFiles({ name, mimeType: 'application/json', buffer });
    };
    await open('saved.job.json', Buffer.from(saved.toString('utf8').replace('First job', 'Opened again')));
    await expect.poll(() => title.inputValue()).toBe('Opened again');
    await open('other.json', Buffer.from('{"coverwright":1,"bodie":{}}'));
    await page.locator('#notices').getByText(/"bodie" is not a name used here. Did you mean body\?/).waitFor();
    expect(await title.inputValue()).toBe('Opened again');
    await page.evaluate(() => {
      // Handed in as a person drops it: 65 MB, more than any table of readings.
      const data = new DataTransfer();
      data.items.add(new File([new Uint8Array(65 * 2 ** 20)], 'scan.csv', { type: 'text/csv' }));
      document.querySelector('#desk .dropzone')!.dispatchEvent(new DragEvent('drop', { dataTransfer: data, bubbles: true, cancelable: true }));
    });
    await page.locator('#notices').getByText(/64 MB/).waitFor();
    expect(errors).toEqual([]);
    await context.close();
  });
});
