/** The zip read back: the same files, a manifest that matches them, the same bytes for the same input. */
import { createHash } from 'node:crypto';
import { strFromU8, strToU8, unzipSync } from 'fflate';
import { expect, test } from 'vitest';
import { Packing, type Manifest } from '../../src/outputs/pack.ts';

const files = [
  { name: 'a.step', mimetype: 'model/step', purpose: 'The solid.', bytes: strToU8('ISO-10303-21;\n'.repeat(400)) },
  { name: 'b.pdf', mimetype: 'application/pdf', purpose: 'A sheet.', bytes: new Uint8Array([1, 2, 3, 4]) },
];
const info = { partNumber: 'OB-1', revision: 'A', title: 'Cover', date: '2026-01-02T03:04:05Z' };

function packed(folder: string): Uint8Array {
  const packing = new Packing(folder);
  return packing.close(files.map((file) => packing.add(file)), info);
}

test('every file is in it, and the manifest holds its hash', () => {
  const found = unzipSync(packed('OB-1-A'));
  expect(Object.keys(found).sort()).toEqual(['OB-1-A/a.step', 'OB-1-A/b.pdf', 'OB-1-A/manifest.json']);
  const manifest = JSON.parse(strFromU8(found['OB-1-A/manifest.json']!)) as Manifest;
  expect(manifest).toMatchObject(info);
  for (const file of manifest.files) {
    const bytes = found[`OB-1-A/${file.name}`]!;
    expect(bytes.length).toBe(file.bytes);
    expect(createHash('sha256').update(bytes).digest('hex')).toBe(file.sha256);
  }
});

test('same files and date, same bytes', () => {
  expect(Buffer.from(packed('x')).equals(Buffer.from(packed('x')))).toBe(true);
});
