/** A photo of a known scene taken in, scaled, tapped along its profile, in a real browser. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Locator, Page } from 'playwright-core';
import { beforeAll, describe, expect, test } from 'vitest';
import { readPictureHeader } from '../../src/readings/pictureFile.ts';
import { placeOf } from '../../src/readings/pictureReadings.ts';
import { solid, stage } from './browser.ts';
import { inBrowser } from './inBrowser.ts';
import { plate, profile, scan, shoot, type Shot } from './pictures.ts';

const bench = inBrowser();
let shot: Shot;
beforeAll(() => {
  shot = shoot();
});

const kept = (page: Page) => page.getByText('Kept on this machine').waitFor();

async function choosePicture(page: Page, file: { name: string; mimeType: string; buffer: Buffer }): Promise<void> {
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: 'From a picture' }).click()]);
  await chooser.setFiles(file);
}

/** Where a pixel of the picture is on the screen, by what the board itself says it shows. */
async function onScreen(page: Page, px: readonly [number, number]): Promise<{ x: number; y: number }> {
  const { box, view } = await page.locator('.board-svg').evaluate((svg) => {
    const { x, y, width, height } = svg.getBoundingClientRect();
    return { box: { x, y, width, height }, view: svg.getAttribute('viewBox')!.split(' ').map(Number) };
  });
  return { x: box.x + ((px[0] - view[0]!) / view[2]!) * box.width, y: box.y + ((px[1] - view[1]!) / view[3]!) * box.height };
}

async function tap(page: Page, px: readonly [number, number]): Promise<void> {
  const { x, y } = await onScreen(page, px);
  await page.mouse.click(x, y);
}

async function scalePlate(page: Page): Promise<void> {
  // In no order: they are brought round.
  for (const [x, z] of [[0, plate[1]], [plate[0], 0], [0, 0], plate] as const) await tap(page, shot.look(x, z));
  await page.getByLabel('Width', { exact: true }).fill('200.0');
  await page.getByLabel('Height', { exact: true }).fill('120.0');
  await page.locator('.underlay').getByText('Scaled', { exact: true }).waitFor();
}

interface Row {
  readonly x: number;
  readonly z: number;
  readonly error: number;
}

const rows = (page: Page): Promise<Row[]> =>
  page.locator('table.readings tbody tr').evaluateAll((trs) =>
    trs.flatMap((tr) => {
      const [x, z] = [...tr.querySelectorAll('input')].map((input) => input.value);
      return x ? [{ x: Number(x), z: Number(z), error: Number(/±(\d+\.\d+)/.exec(tr.textContent ?? '')?.[1] ?? NaN) }] : [];
    }),
  );

/** Own and common error of the chosen point, as the page says them. */
async function said(page: Page): Promise<{ own: number; common: number }> {
  const text = await page.locator('.underlay .readout').innerText();
  const [own, common] = [...text.matchAll(/±([\d.]+)/g)].map((m) => Number(m[1]));
  return { own: own!, common: common! };
}

const transform = (picture: Locator): Promise<string> => picture.evaluate((image) => (image as HTMLElement).style.transform);

describe('a picture under the readings', () => {
  test('four corners, a size, six taps: readings in mm within the stated error; a reload keeps the picture', async () => {
    const { page, context, errors } = await bench.open();
    await stage(page, 'Readings');
    await page.getByRole('button', { name: 'Clear' }).click();
    await choosePicture(page, { name: 'casting.png', mimeType: 'image/png', buffer: shot.png });
    await page.locator('.board-svg.aiming').waitFor();
    // The loupe follows the pointer.
    const over = await onScreen(page, shot.look(0, 0));
    await page.mouse.move(over.x, over.y);
    await page.locator('canvas.loupe').waitFor();
    await scalePlate(page);

    await page.getByRole('button', { name: /Profile/ }).click();
    const stations = [15, 40, 72, 105, 140, 180];
    for (const x of stations) {
      await tap(page, shot.look(x, profile(x)));
      const { own, common } = await said(page);
      const read = (await rows(page)).reduce((best, r) => (Math.abs(r.x - x) < Math.abs(best.x - x) ? r : best));
      const sigma = Math.hypot(own, common);
      expect(sigma).toBeGreaterThan(0.2);
      expect(sigma).toBeLessThan(0.6);
      expect(Math.abs(read.x - x)).toBeLessThan(3 * sigma);
      expect(Math.abs(read.z - profile(x))).toBeLessThan(3 * sigma);
      // What is carried is the picking alone, square to the profile: the mean over all ways to within the tilt.
      expect(read.error / own).toBeGreaterThan(0.8);
      expect(read.error / own).toBeLessThan(1.25);
    }
    expect(await rows(page)).toHaveLength(6);

    // Moved by one px of the picture by a key, deleted by a key, and back by undo.
    const before = await rows(page);
    await page.locator('[data-handle="pick 2"]').press('ArrowUp');
    await expect.poll(async () => (await rows(page))[2]!.z - before[2]!.z).toBeGreaterThan(0.2);
    expect((await rows(page))[2]!.z - before[2]!.z).toBeLessThan(0.5);
    // Pulled along past its neighbour: put in order again, none lost.
    const [pulled, lies] = [await rows(page), await onScreen(page, shot.look(72, profile(72)))];
    const beyond = await onScreen(page, shot.look(115, profile(115)));
    await page.mouse.move(lies.x, lies.y);
    await page.mouse.down();
    await page.mouse.move(beyond.x, beyond.y, { steps: 5 });
    await page.mouse.up();
    await expect.poll(async () => Math.abs((await rows(page))[3]!.x - 115)).toBeLessThan(2);
    expect((await rows(page)).filter((r) => pulled.some((was) => was.x === r.x))).toHaveLength(5);
    await page.keyboard.press('Control+z');
    await expect.poll(() => rows(page)).toEqual(pulled);
    await page.locator('[data-handle="pick 2"]').press('Delete');
    await expect.poll(async () => (await rows(page)).length).toBe(5);
    await page.keyboard.press('Control+z');
    await expect.poll(async () => (await rows(page)).length).toBe(6);

    // A corner moved moves the readings, which keep their place in the picture.
    const now = await rows(page);
    await page.getByRole('button', { name: /Known sizes/ }).click();
    await page.getByLabel('Width', { exact: true }).fill('400.0');
    await expect.poll(async () => (await rows(page))[5]!.x / now[5]!.x).toBeCloseTo(2, 3);
    await page.getByLabel('Width', { exact: true }).fill('200.0');
    await expect.poll(() => rows(page)).toEqual(now);

    // Undone, readings and scale are both as they were.
    const width = page.getByLabel('Width', { exact: true });
    await width.fill('100.0');
    await expect.poll(async () => (await rows(page))[5]!.x / now[5]!.x).toBeCloseTo(0.5, 3);
    await page.keyboard.press('Control+z');
    await expect.poll(() => rows(page)).toEqual(now);
    await expect.poll(() => width.inputValue()).toBe('200.0');
    await page.getByRole('button', { name: 'Redo' }).click();
    await expect.poll(() => width.inputValue()).toBe('100.0');
    await expect.poll(async () => (await rows(page))[5]!.x / now[5]!.x).toBeCloseTo(0.5, 3);

    // Undone after a reload, the picture says that they no longer fit; taken again, they do.
    await kept(page);
    await page.reload();
    await page.getByRole('button', { name: 'Picture', exact: true }).click();
    await page.locator('.board-svg.aiming').waitFor();
    await page.keyboard.press('Control+z');
    await expect.poll(() => rows(page)).toEqual(now);
    await page.getByRole('button', { name: /Profile/ }).click();
    await page.getByText('6 readings have a place in a picture but another value').waitFor();
    await page.getByRole('button', { name: 'Take them again' }).click();
    await expect.poll(async () => (await rows(page))[5]!.x / now[5]!.x).toBeCloseTo(0.5, 3);
    // One typed over is his own and stays when the scale changes.
    await page.locator('input[data-row="3"][data-column="z"]').fill('12.5');
    await page.getByRole('button', { name: /Known sizes/ }).click();
    await page.getByLabel('Width', { exact: true }).fill('200.0');
    await expect.poll(async () => (await rows(page)).filter((r) => now.some((n) => n.x === r.x && n.z === r.z)).length).toBe(5);
    expect((await rows(page)).some((r) => r.z === 12.5)).toBe(true);
    await page.getByRole('button', { name: /Profile/ }).click();
    await page.getByRole('button', { name: 'Take them again' }).click();
    await expect.poll(() => rows(page)).toEqual(now);

    await kept(page);
    await page.reload();
    await page.getByRole('button', { name: 'Picture', exact: true }).click();
    await expect.poll(() => page.locator('[data-handle^="pick"]').count()).toBe(6);
    expect(await page.getByText('casting.png').count()).toBeGreaterThan(0);
    await page.getByRole('button', { name: /Known sizes/ }).click();
    await expect.poll(() => page.locator('[data-handle^="corners"]').count()).toBe(4);
    expect(await page.getByLabel('Width', { exact: true }).inputValue()).toBe('200.0');
    expect(await rows(page)).toEqual(now);

    // Under the curve, made square: a corner of the plate lies where the board says 0, 0 is.
    await page.getByRole('button', { name: 'Done' }).click();
    const picture = page.locator('img.board-picture');
    await expect.poll(() => transform(picture)).toContain('matrix3d');
    const [corner, zero] = [await picture.evaluate((image, px) => {
      const box = image.parentElement!.getBoundingClientRect();
      const p = new DOMMatrix((image as HTMLElement).style.transform).transformPoint(new DOMPoint(px[0], px[1], 0, 1));
      return { x: box.x + p.x / p.w, y: box.y + p.y / p.w };
    }, shot.look(0, 0)), await onScreen(page, [0, 0])];
    expect(Math.hypot(corner.x - zero.x, corner.y - zero.y)).toBeLessThan(4);
    await page.getByRole('button', { name: 'Under the curve' }).click();
    expect(await picture.isVisible()).toBe(false);
    expect(errors).toEqual([]);
    await context.close();
  });

  test('a flatbed scan by two rulers: each way has its own scale; the picture lies under the curve on both stages', async () => {
    const { page, context, errors } = await bench.open();
    const flat = scan();
    await stage(page, 'Readings');
    await page.getByRole('button', { name: 'Clear' }).click();
    await choosePicture(page, { name: 'template.png', mimeType: 'image/png', buffer: flat.png });
    await page.locator('.board-svg.aiming').waitFor();
    await page.getByRole('button', { name: 'Two rulers' }).click();
    // Both ends of the ruler along, both ends of the one upright.
    for (const [x, z] of [[0, -5], [200, -5], [-5, 0], [-5, 120]] as const) await tap(page, flat.look(x, z));
    await page.getByLabel('Length along', { exact: true }).fill('200.0');
    await page.getByLabel('Length upright', { exact: true }).fill('120.0');
    await page.locator('.underlay').getByText('Scaled', { exact: true }).waitFor();
    await page.getByRole('button', { name: 'Zero' }).click();
    await tap(page, flat.look(0, 0));
    await tap(page, flat.look(150, 0));
    await page.getByRole('button', { name: /Profile/ }).click();
    const stations = [20, 50, 90, 130, 175];
    for (const x of stations) await tap(page, flat.look(x, profile(x)));
    const read = await rows(page);
    expect(read).toHaveLength(5);
    read.forEach((row, i) => {
      // A tap lands on a whole pixel of the screen, which shows the scan smaller than it is.
      expect(Math.abs(row.x - stations[i]!)).toBeLessThan(0.5);
      expect(Math.abs(row.z - profile(stations[i]!))).toBeLessThan(0.5);
    });
    // A reading that stands out says that instead of its error; five points on so bent a profile leave some that do.
    const stated = read.map((row) => row.error).filter((error) => !Number.isNaN(error));
    expect(stated.length).toBeGreaterThanOrEqual(2);
    for (const error of stated) {
      expect(error).toBeGreaterThan(0.01);
      expect(error).toBeLessThan(0.5);
    }
    await page.getByRole('button', { name: 'Done' }).click();
    for (const name of ['Readings', 'Contour']) {
      await stage(page, name);
      const picture = page.locator('.board-picture');
      await picture.waitFor({ state: 'visible' });
      expect(await transform(picture)).toMatch(/matrix/);
    }
    await stage(page, 'Body');
    await page.locator('.board-picture').waitFor({ state: 'hidden' });
    expect(errors).toEqual([]);
    await context.close();
  });

  test('by keyboard alone: four corners put and moved, a size typed, a reading put', async () => {
    const { page, context, errors } = await bench.open();
    await stage(page, 'Readings');
    await choosePicture(page, { name: 'casting.png', mimeType: 'image/png', buffer: shot.png });
    await page.locator('.board-svg.aiming').waitFor();
    const byKeys = page.getByRole('button', { name: 'Point by keys' });
    for (const keys of [['Shift+ArrowLeft', 'Shift+ArrowDown'], ['Shift+ArrowRight', 'Shift+ArrowDown'], ['Shift+ArrowRight', 'Shift+ArrowUp'], ['Shift+ArrowLeft', 'Shift+ArrowUp']]) {
      await byKeys.focus();
      await page.keyboard.press('Enter');
      for (const key of keys) for (let i = 0; i < 8; i += 1) await page.keyboard.press(key);
    }
    await expect.poll(() => page.locator('[data-handle^="corners"]').count()).toBe(4);
    await page.getByLabel('Width', { exact: true }).fill('100');
    await page.getByLabel('Height', { exact: true }).fill('0');
    await page.locator('.underlay').getByText(/Height: expected a length above 0/).waitFor();
    await page.getByLabel('Height', { exact: true }).fill('100');
    await page.locator('.underlay').getByText('Scaled', { exact: true }).waitFor();
    await page.getByRole('button', { name: /Profile/ }).focus();
    await page.keyboard.press('Enter');
    await byKeys.focus();
    await page.keyboard.press('Enter');
    await page.locator('.underlay .readout').getByText(/Station/).waitFor();
    await page.evaluate(readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8'));
    for (const name of [/Profile/, /Zero/, /Known sizes/, /Picture/]) {
      await page.locator('.underlay .steps').getByRole('button', { name }).click();
      const faults = await page.evaluate(async () => {
        const axe = (window as unknown as { axe: { run(): Promise<{ violations: { id: string; impact: string; nodes: { html: string }[] }[] }> } }).axe;
        return (await axe.run()).violations.filter((v) => v.impact === 'serious' || v.impact === 'critical').map((v) => `${v.id}: ${v.nodes.map((n) => n.html.slice(0, 160)).join(' | ')}`);
      });
      expect(faults, String(name)).toEqual([]);
    }
    expect(errors).toEqual([]);
    await context.close();
  });

  test('readings already there stay, in order of station, and go when told', async () => {
    const { page, context } = await bench.open();
    await stage(page, 'Readings');
    const before = await rows(page);
    await choosePicture(page, { name: 'casting.png', mimeType: 'image/png', buffer: shot.png });
    await page.locator('.board-svg.aiming').waitFor();
    await scalePlate(page);
    await page.getByRole('button', { name: /Profile/ }).click();
    for (const x of [130, 90]) await tap(page, shot.look(x, profile(x)));
    await expect.poll(async () => (await rows(page)).length).toBe(before.length + 2);
    const stations = (await rows(page)).map((r) => r.x);
    expect(stations).toEqual(stations.toSorted((a, b) => a - b));
    await page.getByRole('button', { name: 'Remove the others' }).click();
    await expect.poll(async () => (await rows(page)).length).toBe(2);
    await page.getByRole('button', { name: 'Done' }).click();
    const source = page.locator('#panel').getByLabel(/^Source/);
    await expect.poll(() => source.inputValue()).toMatch(/^Picture casting\.png \(900 x 640 px\), scaled by four corners of a rectangle 200\.0 x 120\.0;/);
    await page.keyboard.press('Control+z');
    await expect.poll(async () => (await rows(page)).length).toBe(before.length + 2);
    await context.close();
  });

  test('work kept before there were pictures is still there', async () => {
    const context = await bench.browser().newContext();
    const page = await context.newPage();
    await page.goto(`${bench.url()}icon.svg`);
    const document_ = JSON.parse(readFileSync('presets/worm-drive-cover.job.json', 'utf8')) as object;
    await page.evaluate(
      (kept) =>
        new Promise<void>((resolve, reject) => {
          const request = indexedDB.open('coverwright', 1);
          request.addEventListener('upgradeneeded', () => {
            request.result.createObjectStore('jobs', { keyPath: 'id' });
            request.result.createObjectStore('recent', { keyPath: 'id' });
            request.result.createObjectStore('settings');
          });
          request.addEventListener('error', () => reject(request.error));
          request.addEventListener('success', () => {
            const change = request.result.transaction(['jobs', 'recent'], 'readwrite');
            change.objectStore('jobs').put({ id: 'old', touched: 1, history: { past: [], present: { document: kept, label: 'Kept', place: '', at: 1 }, future: [] } });
            change.objectStore('recent').put({ id: 'old', title: 'Kept', partNumber: 'P', revision: 'A', touched: 1 });
            change.addEventListener('complete', () => {
              request.result.close();
              resolve();
            });
          });
        }),
      { ...document_, title: 'Kept before pictures' },
    );
    await page.goto(bench.url());
    await solid(page);
    expect(await page.getByLabel('Title', { exact: true }).inputValue()).toBe('Kept before pictures');
    await context.close();
  });

  test('what is no picture is refused with the cure, and never shown', async () => {
    const { page, context } = await bench.open();
    await stage(page, 'Readings');
    await choosePicture(page, { name: 'drawing.png', mimeType: 'image/png', buffer: Buffer.from('<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"/>') });
    await page.locator('#notices').getByText(/drawing.png: Expected a PNG, JPEG or WebP picture/).waitFor();
    const cut = Buffer.from(shot.png.subarray(0, 4000));
    await choosePicture(page, { name: 'cut.png', mimeType: 'image/png', buffer: cut.fill(0, 60) });
    await page.locator('#notices').getByText(/cut.png: Expected a whole PNG picture/).waitFor();
    expect(await page.locator('.underlay').isVisible()).toBe(false);
    await context.close();
  });

  test('the sizes this reads off JPEG and WebP files are those their encoder wrote', async () => {
    const { page, context } = await bench.open();
    for (const [type, kind] of [['image/jpeg', 'JPEG'], ['image/webp', 'WebP'], ['image/png', 'PNG']] as const) {
      for (const quality of [0.6, 1]) {
        const bytes = await page.evaluate(async ([t, q]) => {
          const canvas = new OffscreenCanvas(333, 217);
          canvas.getContext('2d')!.fillRect(20, 20, 100, 100);
          return [...new Uint8Array(await (await canvas.convertToBlob({ type: t, quality: q })).arrayBuffer())];
        }, [type, quality] as const);
        expect(readPictureHeader(Uint8Array.from(bytes), 'x', type)).toEqual({ ok: true, value: { kind, width: 333, height: 217 } });
      }
    }
    await context.close();
  });

  test('a tablet held upright, by touch: the finger aims, nothing is cut off', async () => {
    const context = await bench.browser().newContext({ viewport: { width: 820, height: 1180 }, hasTouch: true });
    const page = await context.newPage();
    await page.goto(bench.url());
    await solid(page);
    await page.getByRole('button', { name: 'Begin' }).click();
    await stage(page, 'Readings');
    await choosePicture(page, { name: 'casting.png', mimeType: 'image/png', buffer: shot.png });
    await page.locator('.board-svg.aiming').waitFor();
    for (const [x, z] of [[0, 0], [plate[0], 0], plate, [0, plate[1]]] as const) {
      const at = await onScreen(page, shot.look(x, z));
      await page.touchscreen.tap(at.x, at.y);
    }
    await expect.poll(() => page.locator('[data-handle^="corners"]').count()).toBe(4);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(820);
    const small = await page.locator('.underlay button:visible, .underlay input:visible').evaluateAll((all) => all.filter((e) => e.getBoundingClientRect().height < 43.5).map((e) => e.textContent));
    expect(small).toEqual([]);
    await context.close();
  });
});

test('a place is found again in the note it was written into', () => {
  expect(placeOf('at 12.5, 0.0 px in the picture')).toEqual([12.5, 0]);
});
