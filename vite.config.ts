import { createHash } from 'node:crypto';
import type { Plugin } from 'vite';
import { defineConfig } from 'vitest/config';

// `--mode node` builds what a terminal runs: the command, its workers, the library and the benchmarks. Packages stay outside.
// Shared parts stand beside the entries, so that what looks for a file beside itself finds it from either.
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
      desk: 'src/cli/desk.ts',
      index: 'src/index.ts',
      speed: 'tests/speed/speed.ts',
      shots: 'tests/e2e/shots.ts',
    },
    output: { entryFileNames: '[name].js', chunkFileNames: 'part-[name].js', banner: (chunk: { name: string }) => (chunk.name === 'cli' ? '#!/usr/bin/env node' : '') },
  },
};

/** Writes the list of every built file into the service worker, with a name that changes when any of them does. */
const offlineList: Plugin = {
  name: 'offline-list',
  apply: 'build',
  enforce: 'post',
  generateBundle(_, bundle) {
    const worker = bundle['sw.js'];
    if (worker?.type !== 'chunk') return;
    const names = Object.keys(bundle).filter((name) => name !== 'sw.js' && !name.endsWith('.map'));
    const fixed = ['./', 'fonts/Barlow-Medium.ttf', 'fonts/barlow-latin-400-normal.woff2', 'fonts/barlow-latin-500-normal.woff2', 'fonts/barlow-latin-600-normal.woff2', 'icon.svg', 'bench.webmanifest'];
    const files = [...fixed, ...names].sort();
    const hash = createHash('sha256');
    for (const name of names.sort()) {
      const part = bundle[name];
      hash.update(name).update(part?.type === 'chunk' ? part.code : (part?.source ?? ''));
    }
    worker.code = worker.code.replace(/['"`]__FILES__['"`]/, JSON.stringify(JSON.stringify(files))).replace('__VERSION__', hash.digest('hex').slice(0, 16));
  },
};

const benchBuild = {
  outDir: '../../dist/bench',
  emptyOutDir: true,
  target: 'es2023',
  assetsInlineLimit: 0,
  chunkSizeWarningLimit: 2000,
  rolldownOptions: {
    input: { index: 'src/bench/index.html', sw: 'src/bench/sw.ts' },
    output: { entryFileNames: (chunk: { name: string }) => (chunk.name === 'sw' ? 'sw.js' : 'assets/[name]-[hash].js') },
  },
};

export default defineConfig(({ mode }) => ({
  base: './',
  ...(mode === 'node' ? { build: nodeBuild } : {}),
  ...(mode === 'node' || process.env['VITEST'] ? {} : { root: 'src/bench', publicDir: '../../public', build: benchBuild, plugins: [offlineList], worker: { format: 'es' as const } }),
  test: {
    include: ['tests/**/*.test.ts'],
    reporters: ['default', './tests/totals.ts'],
    testTimeout: 180_000,
    hookTimeout: 120_000,
    maxWorkers: 2,
  },
}));
