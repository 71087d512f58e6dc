/**
 * Seed -> a stream of random numbers that is the same everywhere. Pure: the seed is handed in, never taken from a clock.
 * Method: xoshiro128** of D. Blackman and S. Vigna (2018, public domain), its state filled by SplitMix32 steps; normals by
 * G. Marsaglia's polar method. Period 2^128 - 1. Stops being true: for secrets; it is for trials only.
 */
export interface Random {
  /** 32 random bits as 0 to 2^32 - 1. */
  readonly bits: () => number;
  /** Uniform on 0 (included) to 1 (excluded), in steps of 2^-32. */
  readonly uniform: () => number;
  /** Standard normal. */
  readonly normal: () => number;
}

export function randomFrom(seed: number): Random {
  let z = seed >>> 0;
  const next = (): number => {
    z = (z + 0x9e3779b9) | 0;
    let t = Math.imul(z ^ (z >>> 16), 0x21f0aaad);
    t = Math.imul(t ^ (t >>> 15), 0x735a2d97);
    return (t ^ (t >>> 15)) >>> 0;
  };
  return randomFromState([next(), next(), next(), next()]);
}

const rotateLeft = (x: number, k: number): number => (x << k) | (x >>> (32 - k));

/** From the four words of state themselves; not all zero. */
export function randomFromState(state: readonly [number, number, number, number]): Random {
  let [a, b, c, d] = state;
  let spare: number | null = null;
  const bits = (): number => {
    const result = Math.imul(rotateLeft(Math.imul(b, 5), 7), 9) >>> 0;
    const t = b << 9;
    c ^= a;
    d ^= b;
    b ^= c;
    a ^= d;
    c ^= t;
    d = rotateLeft(d, 11);
    return result;
  };
  const uniform = (): number => bits() / 4294967296;
  const normal = (): number => {
    if (spare !== null) {
      const kept = spare;
      spare = null;
      return kept;
    }
    for (;;) {
      const u = 2 * uniform() - 1;
      const v = 2 * uniform() - 1;
      const s = u * u + v * v;
      if (s >= 1 || s === 0) continue;
      const k = Math.sqrt((-2 * Math.log(s)) / s);
      spare = v * k;
      return u * k;
    }
  };
  return { bits, uniform, normal };
}
