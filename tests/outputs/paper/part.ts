/** Presets built once for the sheets of paper. */
import { readFileSync, readdirSync } from 'node:fs';
import { holdingOf } from '../../../src/holding/holdingOf.ts';
import { triangleTree } from '../../../src/maths/bvh.ts';
import { readJob } from '../../../src/job/read.ts';
import { buildPart, type Part } from '../../../src/make.ts';
import { paperOf, type SheetSet } from '../../../src/outputs/paper/paper.ts';
import { viewerOf } from '../../../src/outputs/view.ts';
import { unwrap } from '../../../src/result.ts';
import { sharedKernel } from '../../solid/part.ts';

export const date = '2026-01-02T00:00:00Z';
export const presets = readdirSync('presets').filter((name) => name.endsWith('.job.json'));

const parts = new Map<string, Promise<Part>>();

export function presetPart(preset: string): Promise<Part> {
  const known = parts.get(preset);
  if (known !== undefined) return known;
  const made = (async (): Promise<Part> => {
    const kernel = await sharedKernel();
    const part = unwrap(buildPart(unwrap(readJob(readFileSync(`presets/${preset}`, 'utf8'))), kernel, { date }));
    kernel.release(part.built.solid);
    return part;
  })();
  parts.set(preset, made);
  return made;
}

/** The sheets of a preset, with paper values set as the test wants them. */
export async function sheetsOf(preset: string, paper: Partial<Part['file']['job']['paper']> = {}): Promise<SheetSet[]> {
  const part = await presetPart(preset);
  const job = { ...part.file.job, paper: { ...part.file.job.paper, ...paper } };
  return paperOf({ ...part, job, look: viewerOf(part.mesh, triangleTree(part.mesh.positions, part.mesh.triangles)), holding: holdingOf(job, part.plan, { part: part.measured.volume }), drawer: null }, date);
}
