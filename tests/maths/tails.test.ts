/** Tails of distributions against figures of scipy 1.17.1 (chi2.sf, f.sf, chi2.isf), made once. */
import { expect, test } from 'vitest';
import { normalQuantile } from '../../src/maths/distributions.ts';
import { chiSquareQuantile, chiSquareTail, fTail, normalTwoTails } from '../../src/maths/tails.ts';

test.each([
  [3.84, 1, 0.05004352124870519], [5.99, 2, 0.05003662708658629], [0.5, 3, 0.9188914116546758], [30, 10, 0.000856641210775301],
  [100, 50, 3.454931382984871e-5], [0.001, 1, 0.9747728793699604], [400, 12, 3.784523657876538e-78],
])('chi-square beyond %s with %s degrees', (x, k, p) => expect(chiSquareTail(x, k) / p).toBeCloseTo(1, 9));

test.each([[4, 2, 10, 0.052922149401344654], [1, 5, 5, 0.5], [20, 3, 4, 0.007169796504446353], [0.1, 7, 2, 0.9911270105428268]])('F beyond %s with %s and %s degrees', (x, a, b, p) => expect(fTail(x, a, b) / p).toBeCloseTo(1, 9));

test.each([[0.005, 1, 7.879438576622419], [0.005, 2, 10.596634733096074], [0.001, 7, 24.321886347856854], [0.05, 2, 5.991464547107983], [1e-6, 3, 30.664849706213598]])('chi-square quantile, tail %s, %s degrees', (q, k, x) => expect(chiSquareQuantile(q, k)).toBeCloseTo(x, 8));

test('both tails of the normal undo its quantile', () => {
  for (const p of [0.5, 0.05, 0.001, 1e-9]) expect(normalTwoTails(normalQuantile(1 - p / 2)) / p).toBeCloseTo(1, 6);
});
