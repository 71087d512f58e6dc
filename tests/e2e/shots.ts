/** `npm run shots`: pictures of every stage, wide and on a tablet, light and dark, into shots/; and how fast a moved hole is on the screen. */
import { mkdirSync } from 'node:fs';
import { eachBoard, openBench, openBrowser, serveBench, solid, stage } from './browser.ts';

const out = 'shots';
mkdirSync(out, { recursive: true });
const [browser, served] = await Promise.all([openBrowser(), serveBench()]);

for (const [name, size] of [['wide', { width: 1440, height: 900 }], ['tablet', { width: 820, height: 1180 }], ['tablet-flat', { width: 1180, height: 820 }]] as const) {
  const { page, context, errors } = await openBench(browser, served.url, size);
  for (const dark of [false, true]) {
    if (dark) await page.getByRole('button', { name: 'Dark' }).click();
    await eachBoard(page, async (board) => {
      await page.waitForTimeout(300);
      await page.screenshot({ path: `${out}/${name}-${board.replaceAll(' ', '-')}${dark ? '-dark' : ''}.png`, fullPage: size.width < 1000 });
    });
  }
  for (const error of errors) process.stderr.write(`${name}: ${error}\n`);
  await context.close();
}

// From the key press to the changed faces drawn: the frame after the answer has been handed to the graphics.
const { page, context } = await openBench(browser, served.url);
await stage(page, 'Mounts');
const grip = page.locator('[data-handle="tabs[1].hole"]');
await grip.focus();
const times: number[] = [];
let built = Number(await page.locator('#part').getAttribute('data-built'));
for (let i = 0; i < 40; i += 1) {
  const ms = await page.evaluate(
    ([last, key]) =>
      new Promise<number>((done) => {
        const part = document.querySelector<HTMLElement>('#part')!;
        const start = performance.now();
        const watch = new MutationObserver(() => {
          if (Number(part.dataset['built']) <= (last as number)) return;
          watch.disconnect();
          requestAnimationFrame(() => setTimeout(() => done(performance.now() - start)));
        });
        watch.observe(part, { attributes: true });
        document.activeElement!.dispatchEvent(new KeyboardEvent('keydown', { key: key as string, bubbles: true }));
      }),
    [built, 'ArrowUp'] as const,
  );
  if (i >= 10) times.push(ms);
  built = await solid(page, built);
  // The checks of the last edit run after a pause; an edit is timed with the kernel at rest.
  await page.waitForTimeout(900);
}
times.sort((a, b) => a - b);
process.stdout.write(`hole moved by a key -> changed faces on the screen, software graphics: median ${times[15]!.toFixed(0)} ms, p95 ${times[28]!.toFixed(0)} ms\n`);
await context.close();
await browser.close();
await served.close();
