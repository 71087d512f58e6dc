import { defineConfig } from 'vitest/config';

// `--mode node` builds what a terminal runs: the command, its worker, the library and the benchmarks. Packages stay outside.
const nodeBuild = {
  ssr: true,
  target: 'node20',
  outDir: 'dist',
  emptyOutDir: false,
  copyPublicDir: false,
  sourcemap: true,
  rolldownOptions: {
    input: {
      cli: 'src/cli/main.ts',
      worker: 'src/cli/worker.ts',
      index: 'src/index.ts',
      speed: 'tests/speed/speed.ts',
    },
    output: { entryFileNames: '[name].js', chunkFileNames: 'chunks/[name].js', banner: (chunk: { name: string }) => (chunk.name === 'cli' ? '#!/usr/bin/env node' : '') },
  },
};

export default defineConfig(({ mode }) => ({
  base: './',
  ...(mode === 'node' ? { build: nodeBuild } : {}),
  test: {
    include: ['tests/**/*.test.ts'],
    reporters: ['default', './tests/totals.ts'],
    testTimeout: 60_000,
    hookTimeout: 60_000,
    maxWorkers: 2,
  },
}));
