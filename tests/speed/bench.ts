/**
 * The bench in a real browser, timed in the page itself: page open to first solid, readings and holes moved by a key, a
 * kernel that hangs. Graphics in software, so that a machine with a graphics card does better. Needs the built bench.
 */
import type { Page } from 'playwright-core';
import { openBench, openBrowser, serveBench, solid, stage } from '../e2e/browser.ts';
import { median, ms, quantile, type Row } from './rows.ts';

/** ms the bench is left alone between edits: the checks of one run after a pause, and an edit is timed with the kernel at rest. */
const rest = 900;

export async function benchRows(): Promise<readonly Row[]> {
  const [browser, served] = await Promise.all([openBrowser(), serveBench()]);
  try {
    const { page, context } = await openBench(browser, served.url);
    const rows = [await opened(page, served.url), await readings(page), await moved(page, 'tabs[1].hole', 'hole'), { ...(await moved(page, 'bosses[2]', 'boss')), budget: 'for scale', met: true }, await hang(page)];
    await context.close();
    return rows;
  } finally {
    await browser.close();
    await served.close();
  }
}

/** The page opened again in a browser that has been there before. */
async function opened(page: Page, url: string): Promise<Row> {
  const times: number[] = [];
  for (let i = 0; i < 5; i += 1) {
    await page.waitForTimeout(3 * rest);
    await page.goto('about:blank');
    await page.goto(url);
    await solid(page);
    // From the start of the navigation, by the page's own clock.
    times.push(await page.evaluate(() => performance.now()));
  }
  return { what: 'bench: page open to first solid, warm cache', measured: ms(median(times)), budget: '<= 2500 ms, stretch 1000', met: median(times) <= 2500 };
}

/** Until the board has been drawn anew: contour, misses and section are all on it then. */
async function readings(page: Page): Promise<Row> {
  await stage(page, 'Readings');
  const grip = page.locator('[data-handle="12"]');
  await grip.focus();
  const times: number[] = [];
  for (let i = 0; i < 60; i += 1) {
    const key = i % 2 === 0 ? 'ArrowUp' : 'ArrowDown';
    const took = await page.evaluate((pressed) => {
      const start = performance.now();
      document.activeElement!.dispatchEvent(new KeyboardEvent('keydown', { key: pressed, bubbles: true }));
      return performance.now() - start;
    }, key);
    if (i >= 20) times.push(took);
    await page.waitForTimeout(50);
  }
  return { what: 'bench: reading moved -> contour, misses and section drawn on the board', measured: `median ${ms(median(times))}, p95 ${ms(quantile(times, 0.95))}`, budget: '<= 8 ms, stretch 2', met: median(times) <= 8 };
}

/** From the key press to the changed faces drawn: the frame after the answer has been handed to the graphics. */
async function moved(page: Page, handle: string, what: string): Promise<Row> {
  await stage(page, 'Mounts');
  await page.locator(`[data-handle="${handle}"]`).focus();
  const times: number[] = [];
  for (let i = 0; i < 40; i += 1) {
    await page.waitForTimeout(rest);
    const took = await page.evaluate(
      () =>
        new Promise<number>((done) => {
          const part = document.querySelector<HTMLElement>('#part')!;
          const before = part.dataset['built'];
          const start = performance.now();
          const watch = new MutationObserver(() => {
            if (part.dataset['built'] === before) return;
            watch.disconnect();
            requestAnimationFrame(() => setTimeout(() => done(performance.now() - start)));
          });
          watch.observe(part, { attributes: true });
          document.activeElement!.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowUp', bubbles: true }));
        }),
    );
    if (i >= 10) times.push(took);
  }
  return { what: `bench: ${what} moved -> valid solid -> changed faces on screen, software graphics`, measured: `median ${ms(median(times))}, p95 ${ms(quantile(times, 0.95))}`, budget: 'p95 <= 90 ms, stretch 33', met: quantile(times, 0.95) <= 90 };
}

/** The kernel's thread is caught in an endless loop; from the edit it never answers to the notice, and to a kernel at work on it again. */
async function hang(page: Page): Promise<Row> {
  await page.waitForTimeout(3 * rest);
  const worker = page.workers().find((one) => one.url().includes('worker'))!;
  void worker.evaluate(() => { for (;;); }).catch(() => {});
  await page.locator('[data-handle="tabs[1].hole"]').focus();
  const [noticed, working] = await page.evaluate(
    () =>
      new Promise<[number, number]>((done) => {
        const status = document.querySelector<HTMLElement>('#part .working')!;
        const start = performance.now();
        let noticed = 0;
        const watch = new MutationObserver(() => {
          const again = status.textContent === 'Starting again …';
          if (again && noticed === 0) noticed = performance.now() - start;
          if (noticed === 0 || again || status.textContent === '') return;
          watch.disconnect();
          done([noticed, performance.now() - start]);
        });
        watch.observe(status, { childList: true, characterData: true, subtree: true });
        document.activeElement!.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowUp', bubbles: true }));
      }),
  );
  await solid(page);
  return { what: 'bench: kernel hangs in an edit -> noticed; a fresh one at work on it', measured: `${ms(noticed)}; ${ms(working)}`, budget: '<= 2000 ms', met: working <= 2000 };
}
