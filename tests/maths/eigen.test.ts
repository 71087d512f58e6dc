/** Eigenvalues of symmetric matrices against ml-matrix and by their definition. */
import fc from 'fast-check';
import { EigenvalueDecomposition, Matrix } from 'ml-matrix';
import { expect, test } from 'vitest';
import { symmetricEigen } from '../../src/maths/eigen.ts';

test('agrees with a reference library; vectors are square to each other and keep their direction', () => {
  // The reference fails on numbers near underflow, so thousandths are drawn.
  const entries = fc.integer({ min: 1, max: 8 }).chain((n) => fc.array(fc.integer({ min: -10_000, max: 10_000 }).map((k) => k / 1000), { minLength: n * n, maxLength: n * n }));
  fc.assert(
    fc.property(entries, (numbers) => {
      const n = Math.sqrt(numbers.length);
      const a = Array.from({ length: n }, (_, i) => Array.from({ length: n }, (__, j) => numbers[Math.min(i, j) * n + Math.max(i, j)]!));
      const { values, vectors } = symmetricEigen(a);
      const reference = [...new EigenvalueDecomposition(new Matrix(a), { assumeSymmetric: true }).realEigenvalues].sort((x, y) => y - x);
      const size = Math.max(1, ...reference.map(Math.abs));
      values.forEach((value, k) => expect(value / size).toBeCloseTo(reference[k]! / size, 10));
      vectors.forEach((v, k) => {
        a.forEach((row, i) => expect((row.reduce((sum, x, j) => sum + x * v[j]!, 0) - values[k]! * v[i]!) / size).toBeCloseTo(0, 10));
        vectors.forEach((w, m) => expect(v.reduce((sum, x, j) => sum + x * w[j]!, 0)).toBeCloseTo(k === m ? 1 : 0, 10));
      });
    }),
    { numRuns: 200, seed: 8 },
  );
});
