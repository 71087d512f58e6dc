/** Seeded normal noise for tests: fast-check's own generator without its bias, turned normal by the Box-Muller transform. */
import fc from 'fast-check';

const draws = fc.noBias(fc.integer({ min: 1, max: 2 ** 31 - 1 }));

/** `n` independent draws from the uniform distribution on 0..1. */
export const uniforms = (seed: number, n: number): number[] => fc.sample(draws, { seed, numRuns: n }).map((k) => k / 2 ** 31);

/** `n` independent draws from the standard normal distribution. */
export function normals(seed: number, n: number): number[] {
  const u = uniforms(seed, 2 * n);
  return Array.from({ length: n }, (_, i) => Math.sqrt(-2 * Math.log(u[2 * i]!)) * Math.cos(2 * Math.PI * u[2 * i + 1]!));
}
