/** Banded solves against dense matrices (ml-matrix). */
import { Matrix, inverse, solve } from 'ml-matrix';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { absorbRow, bandedOf, choleskyBanded, inverseBand, solveBanded, type Banded } from '../../src/maths/banded.ts';

const width = 4;
const rows = (n: number): fc.Arbitrary<number[][]> =>
  fc.array(fc.array(fc.double({ min: -2, max: 2, noNaN: true }), { minLength: width, maxLength: width }), { minLength: n, maxLength: n });

/** A well-behaved design: random rows of width 4 from every column, and a little of each unknown on its own. */
const designs = fc.integer({ min: 4, max: 20 }).chain((size) => fc.tuple(fc.constant(size), rows(2 * size), fc.array(fc.double({ min: -5, max: 5, noNaN: true }), { minLength: 3 * size, maxLength: 3 * size })));

function dense(size: number, list: readonly number[][]): Matrix {
  const out = Matrix.zeros(3 * size, size);
  list.forEach((row, i) => {
    const start = Math.min(size - width, i >> 1);
    row.forEach((v, k) => out.set(i, start + k, v));
  });
  for (let j = 0; j < size; j++) out.set(2 * size + j, j, 1);
  return out;
}

function gram(x: Matrix): Banded {
  const a = bandedOf(x.columns, width);
  const full = x.transpose().mmul(x);
  for (let j = 0; j < x.columns; j++) for (let k = 0; k < width && j + k < x.columns; k++) a.data[j * width + k] = full.get(j, j + k);
  return a;
}

describe('banded', () => {
  test('Cholesky, solve and the band of the inverse agree with dense algebra', () => {
    fc.assert(
      fc.property(designs, ([size, list, y]) => {
        const x = dense(size, list);
        const full = x.transpose().mmul(x);
        const r = choleskyBanded(gram(x))!;
        const b = y.slice(0, size);
        const wanted = solve(full, Matrix.columnVector(b)).to1DArray();
        solveBanded(r, b).forEach((v, j) => expect(v).toBeCloseTo(wanted[j]!, 8));
        const inv = inverse(full);
        const band = inverseBand(r);
        for (let j = 0; j < size; j++) for (let k = 0; k < width && j + k < size; k++) expect(band.data[j * width + k]).toBeCloseTo(inv.get(j, j + k), 9);
      }),
    );
  });

  test('Givens rotations give the triangle of the same least-squares problem', () => {
    fc.assert(
      fc.property(designs, ([size, list, y]) => {
        const x = dense(size, list);
        const r = bandedOf(size, width);
        const rhs = new Float64Array(size);
        const order = Array.from({ length: 3 * size }, (_, i) => i).sort((a, b) => start(a) - start(b));
        function start(i: number): number {
          return i < 2 * size ? Math.min(size - width, i >> 1) : i - 2 * size;
        }
        for (const i of order) {
          const row = Float64Array.from({ length: width }, (_, k) => (start(i) + k < size ? x.get(i, start(i) + k) : 0));
          absorbRow(r, rhs, 1, start(i), row, Float64Array.of(y[i]!));
        }
        const g = gram(x);
        const square = (j: number, k: number): number => {
          let sum = 0;
          for (let i = Math.max(0, j + k - width + 1); i <= j; i++) sum += r.data[i * width + j - i]! * r.data[i * width + j + k - i]!;
          return sum;
        };
        for (let j = 0; j < size; j++) for (let k = 0; k < width && j + k < size; k++) expect(square(j, k)).toBeCloseTo(g.data[j * width + k]!, 9);
        const normal = x.transpose().mmul(Matrix.columnVector(y));
        const wanted = solve(x.transpose().mmul(x), normal).to1DArray();
        const back = solveBanded(r, normal.to1DArray());
        back.forEach((v, j) => expect(v).toBeCloseTo(wanted[j]!, 8));
      }),
    );
  });

  test('says no to a matrix that is not positive definite', () => {
    const a = bandedOf(3, 2);
    a.data.set([1, 2, 1, 0, 1, 0]);
    expect(choleskyBanded(a)).toBeNull();
    expect(() => solveBanded(bandedOf(2, 2), [1, 1])).toThrow('singular');
  });
});
