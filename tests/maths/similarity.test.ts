/** Least-squares turn, shift and scale against a published example and a fixture. */
import { expect, test } from 'vitest';
import { place, similarityFit } from '../../src/maths/similarity.ts';
import type { Vec2 } from '../../src/maths/vec.ts';

// S. Umeyama, IEEE PAMI 13 (1991) 376, section V. The points were seen in a public repository's test, R, c and t from memory
// (0.832, 0.555, 0.721, (-0.8, 0.4)) and computed. The mean square is computed; the figure remembered from print is not used.
const a: Vec2[] = [[0, 0], [1, 0], [0, 2]];
const b: Vec2[] = [[0, 0], [-1, 0], [0, 2]];

test("Umeyama's example: a proper turn, although the mirror image would fit exactly", () => {
  const fit = similarityFit(a, b, true);
  expect(Math.cos(fit.turn)).toBeCloseTo(0.8320502943, 9);
  expect(Math.sin(fit.turn)).toBeCloseTo(-0.5547001962, 9);
  expect(fit.scale).toBeCloseTo(0.7211102551, 9);
  expect(fit.shift).toEqual([expect.closeTo(-0.8, 9), expect.closeTo(0.4, 9)]);
  expect(fit.meanSquare).toBeCloseTo(8 / 15, 9);
});

test('the same without scale', () => {
  const fit = similarityFit(a, b, false);
  expect(Math.cos(fit.turn)).toBeCloseTo(0.8320502943, 9);
  expect(fit.shift).toEqual([expect.closeTo(-0.9804835623, 9), expect.closeTo(0.2968665359, 9)]);
  // 10/9 + 10/9 - 2 (0.9561723639 - 0.1549387472), from the singular values of the example.
  expect(fit.meanSquare).toBeCloseTo(0.6197549888, 9);
});

// Own construction: true turn 12.5 deg, shift (15, -7.5), small noise; figures computed independently (double precision).
const p: Vec2[] = [[0, 0], [120, 0], [120, 80], [0, 80], [60, 95]];
const q: Vec2[] = [[15.02, -7.51], [132.126, 18.493], [114.85, 96.606], [-2.315, 70.564], [53.036, 98.244]];

test.each([
  [false, 12.5119014567, 1, [15.0171010211, -7.5079466979], 0.0272427056, 0.0414044391],
  [true, 12.5119014567, 0.999922542282, [15.0207822997, -7.5030833333], 0.0267264366, 0.0358455821],
] as const)('five noisy points, scale %s', (withScale, turn, scale, shift, rms, most) => {
  const fit = similarityFit(p, q, withScale);
  expect((fit.turn * 180) / Math.PI).toBeCloseTo(turn, 8);
  expect(fit.scale).toBeCloseTo(scale, 10);
  expect(fit.shift).toEqual(shift.map((v) => expect.closeTo(v, 8)));
  expect(Math.sqrt(fit.meanSquare)).toBeCloseTo(rms, 8);
  expect(Math.max(...p.map((point, i) => Math.hypot(place(fit, point)[0] - q[i]![0], place(fit, point)[1] - q[i]![1])))).toBeCloseTo(most, 8);
});
