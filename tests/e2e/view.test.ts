/** The part in space, as a person looks at it: by mouse, keys and touch, in a real browser. */
import { describe, expect, test } from 'vitest';
import { solid } from './browser.ts';
import { inBrowser } from './inBrowser.ts';

const bench = inBrowser();

describe('the part in space', () => {
  test('seen from named sides, turned by keys, cut open, measured and coloured by thickness', async () => {
    const { page, context, errors } = await bench.open();
    const canvas = page.locator('canvas.part-canvas');
    const seen = async (): Promise<string> => {
      await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
      return (await canvas.screenshot()).toString('base64');
    };
    const outside = await seen();
    await page.getByLabel('Look from').selectOption('Below');
    const below = await seen();
    expect(below).not.toBe(outside);
    await canvas.focus();
    await page.keyboard.press('ArrowLeft');
    expect(await seen()).not.toBe(below);
    await page.keyboard.press('+');
    await page.getByLabel('Look from').selectOption('Front');

    // Front shows the wall at X = 0 square on: two picks on it lie in one plane, so what parts them is Y and Z.
    await page.getByRole('button', { name: 'Measure', exact: true }).click();
    await page.getByText(/Tap two places on the part/).waitFor();
    const box = (await canvas.boundingBox())!;
    await page.mouse.click(box.x + box.width * 0.4, box.y + box.height * 0.55);
    await page.getByText(/^First: face at X 0,/).waitFor();
    await page.mouse.click(box.x + box.width * 0.6, box.y + box.height * 0.55);
    const said = await page.getByText(/mm \(ΔX/).innerText();
    const [far, dx, dy] = [...said.matchAll(/-?\d+(?:\.\d+)?/g)].map((m) => Number(m[0]));
    expect(dx).toBe(0);
    expect(Math.abs(dy!)).toBeCloseTo(far!, 1);
    expect(far).toBeGreaterThan(10);
    await page.getByRole('button', { name: 'Measure', exact: true }).click();

    await page.getByLabel('Look from').selectOption('Outside');
    const whole = await seen();
    await page.getByRole('button', { name: 'Cut', exact: true }).click();
    await page.getByLabel('Cut across').selectOption('x');
    await page.getByLabel('Where the cut is').fill('250');
    await page.getByText(/^X \d+(\.\d+)? mm$/).waitFor();
    expect(await seen()).not.toBe(whole);
    await page.getByRole('button', { name: 'Cut', exact: true }).click();
    expect(await seen()).toBe(whole);

    await page.getByRole('button', { name: 'Thickness', exact: true }).click();
    const legend = await page.getByText(/thinnest [\d.]+ mm/).innerText();
    expect(Number(/thinnest ([\d.]+)/.exec(legend)![1])).toBeGreaterThan(2.5);
    expect(await seen()).not.toBe(whole);
    expect(errors).toEqual([]);
    await context.close();
  });

  test('turned and enlarged by touch', async () => {
    const context = await bench.browser().newContext({ viewport: { width: 820, height: 1180 }, hasTouch: true, reducedMotion: 'reduce' });
    const page = await context.newPage();
    await page.goto(bench.url());
    await solid(page);
    await page.getByRole('button', { name: 'Begin' }).click();
    const canvas = page.locator('canvas.part-canvas');
    await canvas.scrollIntoViewIfNeeded();
    const box = (await canvas.boundingBox())!;
    const before = (await canvas.screenshot()).toString('base64');
    const session = await context.newCDPSession(page);
    const touch = (type: 'touchStart' | 'touchMove' | 'touchEnd', ...points: (readonly [number, number])[]) => session.send('Input.dispatchTouchEvent', { type, touchPoints: points.map(([x, y], id) => ({ x: box.x + x * box.width, y: box.y + y * box.height, id })) });
    await touch('touchStart', [0.4, 0.5]);
    for (let i = 1; i <= 6; i += 1) await touch('touchMove', [0.4 + 0.03 * i, 0.5]);
    await touch('touchEnd');
    await page.waitForTimeout(200);
    const turned = (await canvas.screenshot()).toString('base64');
    expect(turned).not.toBe(before);
    await touch('touchStart', [0.45, 0.5], [0.55, 0.5]);
    for (let i = 1; i <= 6; i += 1) await touch('touchMove', [0.45 - 0.03 * i, 0.5], [0.55 + 0.03 * i, 0.5]);
    await touch('touchEnd');
    await page.waitForTimeout(200);
    expect((await canvas.screenshot()).toString('base64')).not.toBe(turned);
    await context.close();
  });
});
