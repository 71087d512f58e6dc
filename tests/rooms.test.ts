/** Imports run one way through the house, only the kernel side knows the solid modeller, and pure rooms know no world. */
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { faultsOf, importsOf, roomOrder, standingOf, worldlyNames } from './roomRules.ts';

const src = fileURLToPath(new URL('../src/', import.meta.url));
const files = readdirSync(src, { recursive: true, encoding: 'utf8' })
  .map((path) => path.replaceAll('\\', '/'))
  .filter((path) => /\.[mc]?tsx?$/.test(path) && !path.endsWith('.d.ts'));

describe('the house', () => {
  test('is found', () => {
    expect(files.length).toBeGreaterThan(30);
    for (const room of ['maths', 'standards', 'job', 'readings', 'contour']) expect(files.some((path) => path.startsWith(`${room}/`))).toBe(true);
  });

  test.each(files)('%s keeps to its room', (path) => {
    expect(faultsOf(path, readFileSync(`${src}${path}`, 'utf8'))).toEqual([]);
  });
});

describe('the rules see planted faults', () => {
  test.each([
    ['maths/vec.ts', "import { fair } from '../contour/fair.ts';", 'contour comes after maths'],
    ['maths/vec.ts', "import type { FairedContour } from '../contour/contour.ts';", 'contour comes after maths'],
    ['maths/vec.ts', "export * from '../job/schema.ts';", 'job comes after maths'],
    ['maths/vec.ts', "export { readJob } from '../job/read.ts';", 'job comes after maths'],
    ['job/schema.ts', "const late = () => import('../outputs/report.ts');", 'outputs comes after job'],
    ['job/schema.ts', 'const late = () => import(`../outputs/report.ts`);', 'outputs comes after job'],
    ['job/schema.ts', "type Late = import('../outputs/report.ts').Report;", 'outputs comes after job'],
    ['contour/fair.ts', "import 'replicad';", 'only the kernel side'],
    ['contour/fair.ts', "import { draw } from 'replicad/x';", 'only the kernel side'],
    ['section/roof.ts', "import Module from 'manifold-3d';", 'only the kernel side'],
    ['cli/main.ts', "import opentype from 'opentype.js';", 'only the kernel side'],
    ['bench/client.ts', "import { draw } from 'replicad';", 'only the kernel side'],
    ['outputs/stl.ts', "import wasm from 'manifold-3d/manifold.wasm?url';", 'only the kernel side'],
    ['section/roof.ts', "import { build } from '../solid/kernel/build.ts';", 'only a face may open the kernel side'],
    ['make.ts', "import { build } from './solid/kernel/build.ts';", 'only a face may open the kernel side'],
    ['outputs/stl.ts', "import { readFileSync } from 'node:fs';", 'knows no Node'],
    ['outputs/stl.ts', "import { Mesh } from 'three';", 'only a face may'],
    ['outputs/stl.ts', "import { main } from '../cli/main.ts';", 'no room may import a face'],
    ['outputs/stl.ts', "import { make } from '../make.ts';", 'top comes after outputs'],
    ['outputs/stl.ts', 'const x = await import(name);', 'computed name'],
    ['outputs/stl.ts', "import preset from '../../presets/a.json';", 'outside src'],
    ['solid/kernel/build.ts', "import { findingsOn } from '../../checks/findings.ts';", 'checks comes after kernel'],
    ['result.ts', "import { add2 } from './maths/vec.ts';", 'may import nothing'],
    ['attic/old.ts', 'export {};', 'stands in no room'],
    ['maths/vec.ts', "import { a } from '../attic/old.ts';", 'stands in no room'],
    ['job/read.ts', 'export const now = () => Date.now();', 'uses Date.now'],
    ['job/read.ts', "export const now = Date['now']();", 'uses Date.now'],
    ['job/read.ts', 'export const now = new Date();', 'uses Date()'],
    ['job/read.ts', 'export const odds = Math.random();', 'uses Math.random'],
    ['job/read.ts', 'const { random } = Math; document.title = String(performance.now());', 'uses document'],
    ['job/read.ts', 'export const page = { window };', 'uses window'],
    ['job/read.ts', 'const env = (process as unknown as { env: string }).env;', 'uses process'],
    ['job/read.ts', 'export const get = (url: string) => fetch(url);', 'uses fetch'],
  ])('%s: %s', (path, source, words) => {
    expect(faultsOf(path, source).join('\n')).toContain(words);
  });
});

describe('the rules do not see ghosts', () => {
  test.each([
    ['contour/fair.ts', "import { add2 } from '../maths/vec.ts'; import { ok } from '../result.ts'; import type { Trace } from '../job/schema.ts'; import { tip } from './tip.ts';"],
    ['contour/fair.ts', "// import { x } from '../outputs/report.ts'\n/* from 'node:fs' */ export const text = \"import 'replicad'\";"],
    ['contour/fair.ts', 'export const pattern = /import x from "three"/; export const word = `document ${1} window`;'],
    ['job/read.ts', 'export const read = (document: { units: string }) => document.units;'],
    ['job/read.ts', 'const process = 1; export const twice = process * 2;'],
    ['job/read.ts', 'export const window = { document: 1, fetch() { return 2; } }; export const n = ({} as { performance: number }).performance;'],
    ['job/read.ts', 'export const day = new Date(0).toISOString(); export const x: typeof globalThis.Date | null = null;'],
    ['cli/main.ts', "import { readFileSync } from 'node:fs'; process.exitCode = Date.now() % 2; import { make } from '../make.ts'; import { open } from '../solid/kernel/node.ts';"],
    ['solid/kernel/build.ts', "import { draw } from 'replicad'; import { planSolid } from '../plan.ts'; import { roof } from '../../section/roof.ts';"],
    ['bench/client.ts', "import wasm from 'manifold-3d/manifold.wasm?url';"],
    ['make.ts', "import { filesOf } from './outputs/files.ts'; import type { Kernel } from './solid/door.ts';"],
  ])('%s: %s', (path, source) => {
    expect(faultsOf(path, source)).toEqual([]);
  });
});

test('standings', () => {
  expect(['result.ts', 'make.ts', 'index.ts', 'solid/door.ts', 'solid/kernel/x.ts', 'solid/replicad.ts', 'bench/a.ts', 'attic/a.ts', 'top/a.ts'].map(standingOf)).toEqual(['free', 'top', 'face', 'solid', 'kernel', 'kernel', 'face', 'unknown', 'unknown']);
  expect(new Set(roomOrder).size).toBe(roomOrder.length);
});

test('every form of import is found', () => {
  expect(importsOf("import a from 'a'; import 'b'; import * as c from 'c'; import type { D } from 'd'; export { e } from 'e'; export * from 'f'; export type { G } from 'g'; const h = import('h'); type I = import('i').I; import(j); export const k = 1;")).toEqual(['a', 'b', 'c', 'd', 'e', 'f', 'g', 'h', 'i', null]);
  expect(worldlyNames('export type W = typeof window; export function f(a: Document): void {}')).toEqual([]);
});
