/** Hole readings, test fits and revisions in a real browser, used the way he would. */
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { solid, stage } from './browser.ts';
import { inBrowser } from './inBrowser.ts';

const bench = inBrowser();

/** The sample's own tab holes T1 (-8, 30), T2 (-8, 90), T3 (388, 60), as calipers would read them, T3 half a millimetre off in X; and one hole more. */
const truth = { T1: [-8, 30], T2: [-8, 90], T3: [388.5, 60], N1: [200, -9] } as const;
const apart = (a: keyof typeof truth, b: keyof typeof truth): string => Math.hypot(truth[a][0] - truth[b][0], truth[a][1] - truth[b][1]).toFixed(3);

async function typeReading(page: Page, row: number, a: string, b: string, value: string): Promise<void> {
  await page.getByLabel(`Kind of hole reading ${row}`, { exact: true }).selectOption('centre');
  await page.getByLabel(`Hole of hole reading ${row}`, { exact: true }).fill(a);
  await page.getByLabel(`To of hole reading ${row}`, { exact: true }).fill(b);
  await page.getByLabel(`Reads of hole reading ${row}`, { exact: true }).fill(value);
}

const board = async (page: Page, name: string): Promise<void> => page.getByRole('group', { name: /^What .* shows$/ }).getByRole('button', { name }).click();

describe('hole readings', () => {
  test('typed, asked about their mirror, a slip named, and taken over into the part', async () => {
    const { page, context, errors } = await bench.open();
    await stage(page, 'Mounts');
    await board(page, 'Hole readings');
    const pairs = [['T1', 'T2'], ['T1', 'T3'], ['T2', 'T3'], ['T1', 'N1'], ['T2', 'N1'], ['T3', 'N1']] as const;
    for (const [i, [a, b]] of pairs.entries()) await typeReading(page, i + 1, a, b, apart(a, b));
    // Distances alone cannot tell the pattern from its mirror: two questions, answered by keys.
    await page.getByText(/lie left or right of the way from T1 to T2/).waitFor();
    expect(await page.getByRole('button', { name: 'Take over' }).isDisabled()).toBe(true);
    await page.getByRole('button', { name: /lies right$/ }).click();
    await page.getByText(/From which side was the pattern measured/).waitFor();
    await page.getByRole('button', { name: 'From outside' }).click();
    await page.getByText(/1 reading to spare/).waitFor();
    await page.getByText(/Measure next:/).waitFor();
    // Where the datum hole stands in the part, and which way T1 to T2 runs there.
    await page.getByLabel('Datum X', { exact: true }).fill('-8');
    await page.getByLabel('Datum Y', { exact: true }).fill('30');
    await page.getByLabel(/^Datum angle/).fill('90');
    expect(await page.locator('.board-svg text').allTextContents()).toEqual(expect.arrayContaining([expect.stringMatching(/^T3\s+388\.5; 60$/), expect.stringMatching(/^N1\s+200; -9$/)]));

    // A slip of a millimetre is said where it stands, or among which it stands, and stays in use.
    const fourth = page.getByLabel('Reads of hole reading 4', { exact: true });
    const right = await fourth.inputValue();
    await fourth.fill(String(Number(right) + 1.2));
    await page.getByText(/slip|wrong; measure them again|Measure it again/).first().waitFor();
    await fourth.fill(right);

    await page.getByRole('button', { name: 'Take over' }).click();
    const dialog = page.getByRole('dialog', { name: 'Take the holes over' });
    expect(await dialog.getByLabel('What becomes of T3').inputValue()).toBe('move');
    expect(await dialog.getByLabel('What becomes of N1').inputValue()).toBe('tab');
    const built = Number(await page.locator('#part').getAttribute('data-built'));
    await dialog.getByRole('button', { name: 'Take over' }).click();
    await page.getByText(/Odds over reading errors, cutting and heat/).waitFor();
    await solid(page, built);
    await board(page, 'Plan');
    expect(Number(await page.getByLabel('X of T3', { exact: true }).inputValue())).toBeCloseTo(388.5, 1);
    expect(Number(await page.getByLabel('Y of N1', { exact: true }).inputValue())).toBeCloseTo(-9, 1);
    // One step back, and the part is as it was.
    await page.keyboard.press('Control+z');
    await expect.poll(() => page.getByLabel('X of T3', { exact: true }).inputValue()).toBe('388');
    expect(errors).toEqual([]);
    await context.close();
  });

  test('a sheet is pasted; what contradicts itself is refused with the cure; inches are told in inches', async () => {
    const { page, context, errors } = await bench.open();
    await stage(page, 'Mounts');
    await board(page, 'Hole readings');
    const paste = (text: string) =>
      page.evaluate((data) => {
        const transfer = new DataTransfer();
        transfer.setData('text/plain', data);
        document.activeElement?.dispatchEvent(new ClipboardEvent('paste', { clipboardData: transfer, bubbles: true, cancelable: true }));
      }, text);
    await page.getByLabel('Reads of hole reading 1', { exact: true }).focus();
    await paste('error: 0.05\nseen from: outside\ndatum: A to B\nside: C left of A B\nkind, hole, to, value\ncentre, A, B, 100\ncentre, B, C, 60\ncentre, A, C, 116.62\n');
    await page.getByText(/no reading is checked/).waitFor();
    expect(await page.getByLabel('Datum hole', { exact: true }).inputValue()).toBe('A');
    await page.getByLabel('Reads of hole reading 3', { exact: true }).fill('200');
    await page.locator('#desk .bad').first().waitFor();
    await page.getByLabel('Reads of hole reading 3', { exact: true }).focus();
    await paste('centre\tA\tB\n');
    await page.locator('#notices').getByText(/Expected kind, hole, to, value/).waitFor();
    await page.getByLabel('Reads of hole reading 3', { exact: true }).fill('4.5913in');
    await page.getByText(/no reading is checked/).waitFor();
    expect(errors).toEqual([]);
    await context.close();
  });
});

describe('a test fit', () => {
  test('offsets are told from noise, accepted hole by hole, and begin the next revision', async () => {
    const { page, context, errors } = await bench.open();
    await stage(page, 'Proof');
    await board(page, 'Test fit');
    await page.getByRole('button', { name: 'New test fit' }).click();
    // The whole pattern 0.3 out in X, T4 another 0.6 in Y by itself; the rest is noise.
    const noise = [0.02, -0.03, 0.01, 0.03, -0.02];
    for (let i = 1; i <= 5; i += 1) {
      await page.getByLabel(`dX of offset ${i}`, { exact: true }).fill((0.3 + noise[i - 1]!).toFixed(2));
      await page.getByLabel(`dY of offset ${i}`, { exact: true }).fill((i === 4 ? 0.6 : noise[5 - i]!).toFixed(2));
    }
    await page.getByLabel('Reading error', { exact: true }).fill('.05');
    await page.getByText(/In the design/).first().waitFor();
    await page.getByText(/Arrows ×\d+: black as read/).waitFor();
    const ticks = page.getByRole('table', { name: 'Corrections' }).getByRole('checkbox');
    expect(await ticks.count()).toBe(5);
    await page.getByLabel('Accept the correction of T2').uncheck();
    await page.getByRole('button', { name: 'Begin the next revision with these' }).click();
    await page.getByText('Revision B begun; revision A is frozen in the job').waitFor();
    expect(await page.locator('#titleblock').getByLabel('Revision', { exact: true }).inputValue()).toBe('B');
    // What was accepted has moved, what was not stands.
    await stage(page, 'Mounts');
    expect(Number(await page.getByLabel('Y of T4', { exact: true }).inputValue())).toBeGreaterThan(-7.7);
    expect(await page.getByLabel('X of T2', { exact: true }).inputValue()).toBe('-8');
    // The same offsets a second time are refused: the piece was made from A.
    await stage(page, 'Proof');
    await page.getByText(/were taken on revision A; the job is at B/).waitFor();
    expect(errors).toEqual([]);
    await context.close();
  });

  test('noise is left alone, and too little to tell is said', async () => {
    const { page, context, errors } = await bench.open();
    await stage(page, 'Proof');
    await board(page, 'Test fit');
    await page.getByRole('button', { name: 'New test fit' }).click();
    await page.getByLabel('dX of offset 1', { exact: true }).fill('0.05');
    await page.getByText(/Expected the offsets of at least two holes/).waitFor();
    for (let i = 1; i <= 5; i += 1) {
      await page.getByLabel(`dX of offset ${i}`, { exact: true }).fill(i % 2 ? '0.03' : '-0.04');
      await page.getByLabel(`dY of offset ${i}`, { exact: true }).fill(i % 2 ? '-0.02' : '0.03');
    }
    await page.locator('#desk .say').waitFor();
    expect(await page.getByRole('table', { name: 'Corrections' }).count()).toBe(0);
    await page.getByRole('button', { name: 'Odds of bolting up' }).click();
    await page.getByText(/The odds need the mating holes/).waitFor();
    expect(errors).toEqual([]);
    await context.close();
  });
});


describe('revisions', () => {
  test('one is frozen with why, the next differs, and both are held against each other in words, on the plan and in space', async () => {
    const { page, context, errors } = await bench.open();
    await stage(page, 'Release');
    await board(page, 'Revisions');
    await page.getByText('Only revision A is here.').waitFor();
    await page.getByRole('button', { name: 'Freeze A, begin the next' }).click();
    await page.getByText(/Say why a new revision is begun/).waitFor();
    await page.getByLabel('Why a new revision is begun').fill('Wall was too thin');
    await page.getByRole('button', { name: 'Freeze A, begin the next' }).click();
    await page.getByText('Revision B begun; A is frozen as it stood.').waitFor();
    // As yet only the letter differs.
    await page.getByText('1 value differs, no hole changed. Why: Wall was too thin').waitFor();
    const built = Number(await page.locator('#part').getAttribute('data-built'));
    await stage(page, 'Body');
    await page.getByLabel('Wall', { exact: true }).fill('3.5');
    await stage(page, 'Mounts');
    await page.getByLabel('X of B3', { exact: true }).fill('131');
    await page.keyboard.press('Enter');
    await solid(page, built);
    await stage(page, 'Release');
    await page.getByText(/1 hole changed. Why: Wall was too thin/).waitFor();
    await page.getByText(/B3 moved by X 1.000 mm, Y 0.000 mm/).waitFor();
    const differ = page.getByRole('table', { name: 'Values that differ' });
    await differ.getByText('body.wall').waitFor();
    await page.getByText(/Arrows: how holes moved from A, ×\d+/).waitFor();
    await page.getByRole('button', { name: 'Both solids' }).click();
    const volumes = await page.getByText(/Volume [\d.]+ to [\d.]+ cm3 \(\+/).textContent();
    const [before, after] = [...volumes!.matchAll(/([\d.]+)/g)].map((m) => Number(m[1]));
    expect(before).toBeCloseTo(298.36, 0);
    expect(after! - before!).toBeGreaterThan(5);
    expect(errors).toEqual([]);
    await context.close();
  });
});
