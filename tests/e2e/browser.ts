/**
 * A real browser on the built bench, with no system install: CHROME_PATH, else an installed Chromium or Chrome, else the
 * one shipped inside an npm package. The bench is served from this machine only.
 */
import { existsSync } from 'node:fs';
import { resolve } from 'node:path';
import bundled from '@sparticuz/chromium';
import { chromium, type Browser, type BrowserContext, type Page } from 'playwright-core';
import { preview } from 'vite';

const installed = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome', '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome'];

export async function openBrowser(): Promise<Browser> {
  const executablePath = process.env['CHROME_PATH'] ?? installed.find((path) => existsSync(path)) ?? (await bundled.executablePath());
  return chromium.launch({
    executablePath,
    args: ['--no-sandbox', '--use-gl=angle', '--use-angle=swiftshader', '--enable-unsafe-swiftshader', '--disable-background-networking', '--disable-component-update', '--disable-sync', '--no-first-run'],
  });
}

export interface Served {
  readonly url: string;
  close(): Promise<void>;
}

export async function serveBench(): Promise<Served> {
  const server = await preview({ configFile: false, base: './', build: { outDir: resolve('dist/bench') }, logLevel: 'error', preview: { host: '127.0.0.1', port: 0, open: false } });
  const url = server.resolvedUrls?.local[0];
  if (url === undefined) throw new Error('the bench is not served');
  return { url, close: () => server.close() };
}

export interface Opened {
  readonly page: Page;
  readonly context: BrowserContext;
  /** Errors of the page, console included: a test ends by expecting none. */
  readonly errors: string[];
}

/** A fresh profile with the bench in it, the first strip put away. */
export async function openBench(browser: Browser, url: string, size: { width: number; height: number } = { width: 1440, height: 900 }): Promise<Opened> {
  const context = await browser.newContext({ viewport: size, acceptDownloads: true, reducedMotion: 'reduce' });
  const page = await context.newPage();
  const errors: string[] = [];
  page.on('pageerror', (error) => errors.push(error.message));
  page.on('console', (message) => message.type() === 'error' && errors.push(message.text()));
  await page.goto(url);
  await solid(page);
  await page.getByRole('button', { name: 'Begin' }).click();
  return { page, context, errors };
}

/** Waits until a solid stands on the screen; with a number, until one newer than that. */
export async function solid(page: Page, after = 0): Promise<number> {
  await page.waitForFunction((n) => Number(document.querySelector<HTMLElement>('#part')?.dataset['built'] ?? 0) > n, after, { timeout: 90_000 });
  return Number(await page.locator('#part').getAttribute('data-built'));
}

export const stage = (page: Page, name: string): Promise<void> => page.getByRole('tab', { name: new RegExp(name) }).click();

/** Every board of every stage put up in turn; `look` is told its name. */
export async function eachBoard(page: Page, look: (name: string) => Promise<void>): Promise<void> {
  for (const tab of await page.getByRole('tab').all()) {
    await tab.click();
    const name = (await tab.innerText()).replace(/[\W\d]/g, '');
    const keys = page.getByRole('group', { name: `What ${name} shows` }).getByRole('button');
    const count = await keys.count();
    if (count === 0) await look(name);
    for (let i = 0; i < count; i += 1) {
      await keys.nth(i).click();
      await look(`${name} ${await keys.nth(i).innerText()}`);
    }
  }
}

/** Waits until the checks of the part shown are there. */
export async function checked(page: Page): Promise<void> {
  await page.waitForFunction(() => document.querySelector('#findings .finding, #findings .empty')?.textContent !== 'The part is being checked.', undefined, { timeout: 90_000 });
}
