/** Solids formed by recipes, against volumes worked by hand; mm. */
import { describe, expect, test } from 'vitest';
import { unwrap } from '../../src/result.ts';
import { circleOutline, rectangleOutline } from '../../src/solid/outline.ts';
import { alongY, planFrame, rod, standing, type Form, type Recipe } from '../../src/solid/recipe.ts';
import { sharedKernel } from './part.ts';

const recipe = (start: readonly Form[], steps: Recipe['steps'] = []): Recipe => ({ name: 'block', at: 'fixture', start, steps });
const box: Form = { kind: 'box', least: [0, 0, 0], most: [40, 30, 10] };

async function volume(one: Recipe): Promise<number> {
  const kernel = await sharedKernel();
  const solid = unwrap(kernel.form(one));
  try {
    const measured = kernel.measure(solid);
    expect([measured.valid, measured.closed, measured.solids]).toEqual([true, true, 1]);
    return measured.volume;
  } finally {
    kernel.release(solid);
  }
}

describe('forms', () => {
  test.each([
    ['a box', recipe([box]), 12_000],
    ['two boxes that share a face are one', recipe([box, { kind: 'box', least: [40, 0, 0], most: [60, 30, 10] }]), 18_000],
    ['a drilled box', recipe([box], [{ do: 'cut', with: [rod([20, 15, -1], [0, 0, 1], 4, 12)] }]), 12_000 - Math.PI * 160],
    ['a rounded plate: the corners lack (4 - pi) r2', recipe([standing(rectangleOutline([0, 0], [40, 30], 5), 0, 10)]), 12_000 - (4 - Math.PI) * 250],
    ['a ring', recipe([standing(circleOutline([0, 0], 10), 0, 5, [circleOutline([0, 0], 6)])]), Math.PI * 64 * 5],
    ['a plate swept along Y', recipe([alongY(rectangleOutline([0, 0], [40, 10]), 0, 30)]), 12_000],
    ['a cone by its profile', recipe([{ kind: 'turned', from: [0, 0, 0], axis: [1, 0, 0], profile: [[0, 0], [6, 0], [0, 12]] }]), (Math.PI * 36 * 12) / 3],
    ['what two boxes share', recipe([box], [{ do: 'common', with: [{ kind: 'box', least: [30, 20, 5], most: [90, 90, 90] }] }]), 10 * 10 * 5],
  ] as const)('%s', async (_, one, wanted) => {
    expect(await volume(one)).toBeCloseTo(wanted, 4);
  });
  test('alongY runs the way it says', async () => {
    const kernel = await sharedKernel();
    const solid = unwrap(kernel.form(recipe([alongY(rectangleOutline([0, 0], [4, 3]), 5, 9)])));
    const { box: around } = kernel.measure(solid);
    [[0, 5, 0], [4, 9, 3]].forEach((corner, i) => corner.forEach((side, axis) => expect(around[i === 0 ? 'least' : 'most'][axis]).toBeCloseTo(side, 6)));
    kernel.release(solid);
  });
  test('letters take away their ink', async () => {
    const letters: Form = { kind: 'letters', text: 'OB', height: 8, frame: { ...planFrame, origin: [20, 15, 10] }, from: -0.5, to: 1 };
    const cut = await volume(recipe([box], [{ do: 'cut', with: [letters] }]));
    expect(cut).toBeLessThan(12_000 - 10);
    expect(cut).toBeGreaterThan(12_000 - 0.5 * 16 * 9);
  });
  test('letters sunk by hand and letters cut take away the same; where they meet an edge they are cut all the same', async () => {
    const letters = (x: number): Form => ({ kind: 'letters', text: 'OB 8', height: 8, frame: { ...planFrame, origin: [x, 15, 10] }, from: -0.5, to: 0 });
    for (const x of [20, 3]) {
      const cut = await volume(recipe([box], [{ do: 'cut', with: [letters(x)] }]));
      expect(cut).toBeLessThan(12_000 - 10);
      expect(await volume(recipe([box], [{ do: 'sink', with: [letters(x)] }]))).toBeCloseTo(cut, 5);
    }
  });
  test('posts stand on their face, also inside a ring; bores take away their steps', async () => {
    const ring = standing(rectangleOutline([2, 2], [38, 28]), 9, 14, [rectangleOutline([4, 4], [36, 26])]);
    const walled = 12_000 + (36 * 26 - 32 * 22) * 4;
    expect(await volume(recipe([box, ring]))).toBeCloseTo(walled, 4);
    const posts = [{ at: [12, 15], radius: 3, from: 10, top: 16 }, { at: [25, 12], radius: 2, from: 10, top: 13 }] as const;
    const stood = walled + Math.PI * (9 * 6 + 4 * 3);
    expect(await volume(recipe([box, ring], [{ do: 'stand', posts }]))).toBeCloseTo(stood, 4);
    const bores = [
      // Through plate and post, widened at either end.
      { at: [12, 15], from: 0, steps: [{ radius: 2.5, to: 3 }, { radius: 1, to: 14 }, { radius: 2, to: 16 }], open: { below: true, above: true } },
      // Blind, into the bare plate.
      { at: [30, 20], from: 4, steps: [{ radius: 1.5, to: 10 }], open: { below: false, above: true } },
    ] as const;
    expect(await volume(recipe([box, ring], [{ do: 'stand', posts }, { do: 'drill', bores }]))).toBeCloseTo(stood - Math.PI * (6.25 * 3 + 11 + 4 * 2) - Math.PI * 2.25 * 6, 4);
  });
  test('a post that stands over an edge and a bore across one are made all the same', async () => {
    // Rooted a millimetre deep where booleans do it: half of the foot hangs beside the box.
    expect(await volume(recipe([box], [{ do: 'stand', posts: [{ at: [40, 15], radius: 3, from: 10, top: 16 }] }]))).toBeCloseTo(12_000 + Math.PI * 9 * 6 + (Math.PI * 9) / 2, 3);
    expect(await volume(recipe([box], [{ do: 'drill', bores: [{ at: [40, 15], from: 0, steps: [{ radius: 3, to: 10 }], open: { below: true, above: true } }] }]))).toBeCloseTo(12_000 - (Math.PI * 9 * 10) / 2, 3);
  });
  test('a held solid moved by half a turn about X', async () => {
    const kernel = await sharedKernel();
    const held = unwrap(kernel.form(recipe([box])));
    const turned: Form = { kind: 'solid', solid: held, placed: { rotation: [[1, 0, 0], [0, -1, 0], [0, 0, -1]], shift: [0, 30, 0] } };
    const moved = unwrap(kernel.form(recipe([turned])));
    expect(kernel.measure(moved).box.least[2]).toBeCloseTo(-10, 6);
    expect(kernel.overlap({ solid: held }, { solid: moved })).toBe(0);
    expect(kernel.overlap({ solid: held }, { solid: moved, placed: { rotation: [[1, 0, 0], [0, 1, 0], [0, 0, 1]], shift: [10, 0, 6] } })).toBeCloseTo(30 * 30 * 6, 4);
    kernel.release(held);
    kernel.release(moved);
  });
});

test.each([
  ['nothing left', recipe([box], [{ do: 'cut', with: [{ kind: 'box', least: [-1, -1, -1], most: [50, 50, 50] }] }]), 'nothing is left'],
  ['in two', recipe([box], [{ do: 'cut', with: [{ kind: 'box', least: [10, -1, -1], most: [20, 50, 50] }] }]), 'falls into 2 pieces'],
  ['unknown letters', recipe([{ kind: 'letters', text: '\u4e2d', height: 5, frame: planFrame, from: 0, to: 1 }]), 'the font has no'],
] as const)('%s is refused with a reason', async (_, one, why) => {
  const kernel = await sharedKernel();
  const made = kernel.form(one);
  expect(made.ok).toBe(false);
  if (!made.ok) expect(made.issues[0]!.message).toContain(why);
});
