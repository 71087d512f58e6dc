/**
 * One browser and one served bench for all tests of a file, opened before the first and closed after the last. Apart from
 * `browser.ts`, which pictures and timings use without a test runner.
 */
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll } from 'vitest';
import { openBench, openBrowser, serveBench, type Opened, type Served } from './browser.ts';

export interface InBrowser {
  readonly browser: () => Browser;
  readonly url: () => string;
  /** A fresh profile with the bench in it, wide unless told otherwise. */
  readonly open: (size?: { readonly width: number; readonly height: number }) => Promise<Opened>;
}

export function inBrowser(): InBrowser {
  let browser: Browser;
  let served: Served;
  beforeAll(async () => {
    [browser, served] = await Promise.all([openBrowser(), serveBench()]);
  });
  // What did not open is not there to be closed.
  afterAll(async () => {
    await browser?.close();
    await served?.close();
  });
  return { browser: () => browser, url: () => served.url, open: (size) => openBench(browser, served.url, size) };
}
