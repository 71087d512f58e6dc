import { strFromU8, unzipSync } from 'fflate';
import Module from 'manifold-3d';
import { SaxesParser } from 'saxes';
import { describe, expect, test } from 'vitest';
import { mmPerInch } from '../../src/job/quantity.ts';
import { stlBytes } from '../../src/outputs/stl.ts';
import { threeMfBytes } from '../../src/outputs/threemf.ts';
import { safeName } from '../../src/outputs/file.ts';
import type { WeldedMesh } from '../../src/solid/mesh.ts';

/** A 20 x 10 x 5 mm block. */
const block: WeldedMesh = {
  positions: Float64Array.from([0, 0, 0, 20, 0, 0, 20, 10, 0, 0, 10, 0, 0, 0, 5, 20, 0, 5, 20, 10, 5, 0, 10, 5]),
  triangles: Uint32Array.from([0, 2, 1, 0, 3, 2, 4, 5, 6, 4, 6, 7, 0, 1, 5, 0, 5, 4, 1, 2, 6, 1, 6, 5, 2, 3, 7, 2, 7, 6, 3, 0, 4, 3, 4, 7]),
  faceOf: Uint32Array.from([0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 5, 5]),
};

const manifolds = await Module();
manifolds.setup();

/** Volume by manifold-3d, which refuses a mesh that is not closed. */
function manifoldVolume(positions: Float32Array, triangles: Uint32Array): number {
  const mesh = new manifolds.Mesh({ numProp: 3, vertProperties: positions, triVerts: triangles });
  mesh.merge();
  const solid = new manifolds.Manifold(mesh);
  expect(solid.status()).toBe('NoError');
  return solid.volume();
}

describe('STL', () => {
  const bytes = stlBytes(block, 'Prüfblock');
  const view = new DataView(bytes.buffer);

  test('is 84 + 50 n bytes, says how many facets, and does not begin like a text one', () => {
    expect(bytes.length).toBe(84 + 50 * 12);
    expect(view.getUint32(80, true)).toBe(12);
    expect(strFromU8(bytes.slice(0, 5))).not.toBe('solid');
    expect(strFromU8(bytes.slice(0, 80), true)).toMatch(/^coverwright, units mm: Pr\?fblock\s*$/);
  });

  test('read back, it is closed and has the volume of the block by manifold-3d', () => {
    const soup = new Float32Array(12 * 9);
    for (let t = 0; t < 12; t += 1) for (let k = 0; k < 9; k += 1) soup[9 * t + k] = view.getFloat32(84 + 50 * t + 12 + 4 * k, true);
    expect(manifoldVolume(soup, Uint32Array.from({ length: 36 }, (_, i) => i))).toBeCloseTo(1000, 6);
  });

  test('normals are unit and point out', () => {
    for (let t = 0; t < 12; t += 1) {
      const n = [0, 1, 2].map((k) => view.getFloat32(84 + 50 * t + 4 * k, true));
      expect(Math.hypot(...n)).toBeCloseTo(1, 6);
    }
    expect(view.getFloat32(84 + 8, true)).toBe(-1);
  });
});

describe('3MF', () => {
  const write = (units: 'mm' | 'inch') =>
    threeMfBytes([{ mesh: block, name: 'Block <1> & "2"', partNumber: 'B-1', colour: '#8fa3b5' }], { units, title: 'T & T', description: 'd', date: '2026-01-02T03:04:05Z' });

  /** Reads what the core specification says a consumer must: relationship, content type, unit, vertices, triangles. */
  function read(bytes: Uint8Array) {
    const entries = unzipSync(bytes);
    const rels = strFromU8(entries['_rels/.rels']!);
    expect(rels).toContain('http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel');
    expect(strFromU8(entries['[Content_Types].xml']!)).toContain('application/vnd.ms-package.3dmanufacturing-3dmodel+xml');
    const positions: number[] = [];
    const triangles: number[] = [];
    let unit = '';
    let name = '';
    const parser = new SaxesParser();
    parser.on('opentag', ({ name: tag, attributes }) => {
      const number = (key: string) => Number(attributes[key]);
      if (tag === 'model') unit = String(attributes['unit']);
      if (tag === 'object') name = String(attributes['name']);
      if (tag === 'vertex') positions.push(number('x'), number('y'), number('z'));
      if (tag === 'triangle') triangles.push(number('v1'), number('v2'), number('v3'));
    });
    parser.on('error', (error) => {
      throw error;
    });
    parser.write(strFromU8(entries['3D/3dmodel.model']!)).close();
    return { unit, name, positions, triangles };
  }

  test.each([['mm', 'millimeter', 1], ['inch', 'inch', mmPerInch]] as const)('in %s: closed, right volume, unit and name kept', (units, unit, scale) => {
    const model = read(write(units));
    expect(model.unit).toBe(unit);
    expect(model.name).toBe('Block <1> & "2"');
    expect(manifoldVolume(Float32Array.from(model.positions), Uint32Array.from(model.triangles)) * scale ** 3).toBeCloseTo(1000, 2);
  });

  test('same input, same bytes', () => expect(Buffer.from(write('mm')).equals(Buffer.from(write('mm')))).toBe(true));
});

describe('file names', () => {
  test.each([
    ['../../etc/passwd', 'etc-passwd'],
    ['OB 210/A', 'OB-210-A'],
    ['..', 'part'],
    ['', 'part'],
    ['CON', 'part-CON'],
    ['Ünterseite', 'U-nterseite'],
    ['a'.repeat(300), 'a'.repeat(80)],
  ])('%s becomes %s', (typed, name) => expect(safeName(typed)).toBe(name));
});
