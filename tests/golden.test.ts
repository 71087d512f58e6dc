/**
 * The presets' main figures against the ones kept in tests/golden, as numbers with their allowed error. `npm run golden`
 * rewrites them; a missing figure fails. An allowed error is never loosened without a line in the commit.
 */
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { readJob } from '../src/job/read.ts';
import { buildPart } from '../src/make.ts';
import { unwrap } from '../src/result.ts';
import type { Kernel } from '../src/solid/door.ts';
import { openNodeKernel } from '../src/solid/kernel/node.ts';

const path = 'tests/golden/presets.json';
const rewrite = process.env['GOLDEN'] === 'write';

/** value, allowed error. */
type Golden = Record<string, Record<string, readonly [number, number]>>;
const golden = JSON.parse(readFileSync(path, 'utf8')) as Golden;
const fresh: Golden = {};
const presets = readdirSync('presets').filter((name) => name.endsWith('.job.json'));

let kernel: Kernel;
beforeAll(async () => {
  kernel = await openNodeKernel();
});
afterAll(() => {
  kernel.close();
  if (rewrite) writeFileSync(path, `${JSON.stringify(fresh, null, 1)}\n`);
});

describe('golden figures', () => {
  test.each(presets)('%s', (name) => {
    const part = unwrap(buildPart(unwrap(readJob(readFileSync(`presets/${name}`, 'utf8'))), kernel, { date: '2026-01-01T00:00:00Z' }));
    kernel.release(part.built.solid);
    const { report } = part.contour;
    const { measured } = part;
    expect([measured.valid, measured.closed, measured.solids, part.built.route]).toEqual([true, true, 1, 'assembled']);
    expect(part.findings.filter((f) => f.level === 'stop')).toEqual([]);
    // Relative 1e-4 for volume and area (adaptive integration), a micrometre for lengths, counts exact.
    const figures: Record<string, readonly [number, number]> = {
      volume_mm3: [measured.volume, measured.volume * 1e-4],
      area_mm2: [measured.area, measured.area * 1e-4],
      faces: [measured.faces, 0],
      top_faces: [measured.topFaces, 0],
      size_x_mm: [measured.box.most[0] - measured.box.least[0], 1e-3],
      size_y_mm: [measured.box.most[1] - measured.box.least[1], 1e-3],
      size_z_mm: [measured.box.most[2] - measured.box.least[2], 5e-3],
      contour_rms_mm: [report.rms, 1e-5],
      contour_length_mm: [report.length, 1e-5],
      bend_changes: [report.inflections.length, 0],
      findings: [part.findings.length, 0],
    };
    fresh[name] = figures;
    if (rewrite) return;
    expect(Object.keys(golden[name] ?? {})).toEqual(Object.keys(figures));
    for (const [key, [value]] of Object.entries(figures)) {
      const [wanted, allowed] = golden[name]![key]!;
      expect(Math.abs(value - wanted), `${key}: ${value}, golden ${wanted}`).toBeLessThanOrEqual(allowed);
    }
  });
});
