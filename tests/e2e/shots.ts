/** `npm run shots`: pictures of every stage, wide and on a tablet, light and dark, into shots/. */
import { mkdirSync } from 'node:fs';
import { eachBoard, openBench, openBrowser, serveBench } from './browser.ts';

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

await browser.close();
await served.close();
