/** STEP files held against an outside reader (occt-import-js) and their own text. */
import { describe, expect, test } from 'vitest';
import { unwrap } from '../../src/result.ts';
import type { StepHeader, StepPart } from '../../src/solid/door.ts';
import { readStep, volumeOf, type ReadMesh } from '../stepReader.ts';
import { crowned, planOf, sharedKernel, type Doc } from './part.ts';

const doc: Doc = { body: { width: 90 }, tabs: [{ wall: 'front', at: 30 }, { wall: 'left', at: 100 }], bosses: [{ x: 60, y: 30, endHeight: 8, thread: 'M5', holeDepth: 14 }] };
const header: StepHeader = { schema: 'AP242', units: 'mm', fileName: 'OB-1-A.step', description: "Cover for the observer's café", author: 'bench', date: '2024-05-06T07:08:09Z' };

const textOf = (bytes: Uint8Array): string => new TextDecoder().decode(bytes);

async function written(changes: Partial<StepHeader> = {}, more: Partial<StepPart> = {}) {
  const door = await sharedKernel();
  const { solid } = unwrap(door.build(unwrap(planOf(doc, crowned))));
  try {
    return { bytes: door.step([{ solid, name: 'COVER OB-1 A', colour: '#8fa3b5', ...more }], { ...header, ...changes }), measured: door.measure(solid) };
  } finally {
    door.release(solid);
  }
}

describe('read back by another program', () => {
  test('the faces, the volume, the name and the colour are there', async () => {
    const { bytes, measured } = await written();
    const [mesh, ...rest] = await readStep(bytes);
    expect(rest).toEqual([]);
    expect(mesh!.name).toBe('COVER OB-1 A');
    expect(mesh!.brep_faces.length).toBe(measured.faces);
    expect(Math.abs(volumeOf(mesh!) / measured.volume - 1)).toBeLessThan(5e-4);
    // The reader gives linear light; the colour asked for is meant as a screen shows it.
    const screen = (c: number): number => (c <= 0.0031308 ? 12.92 * c : 1.055 * c ** (1 / 2.4) - 0.055);
    mesh!.color!.forEach((value, i) => expect(Math.abs(screen(value) * 255 - [0x8f, 0xa3, 0xb5][i]!)).toBeLessThan(1));
  });

  test('an inch file is the same part', async () => {
    const { bytes, measured } = await written({ units: 'inch' });
    expect(textOf(bytes)).toMatch(/CONVERSION_BASED_UNIT\(\s*'INCH'/);
    const [mesh] = await readStep(bytes);
    expect(Math.abs(volumeOf(mesh!) / measured.volume - 1)).toBeLessThan(5e-4);
  });

  test('a lean file is much smaller and the same part', async () => {
    const { bytes } = await written();
    const lean = await written({ lean: true });
    expect(lean.bytes.length).toBeLessThan(0.7 * bytes.length);
    const [[full], [mesh]] = [await readStep(bytes), await readStep(lean.bytes)];
    expect(mesh!.brep_faces.length).toBe(lean.measured.faces);
    expect(Math.abs(volumeOf(mesh!) / volumeOf(full!) - 1)).toBeLessThan(2e-6);
  });

  test('placed parts stand where they were put', async () => {
    const door = await sharedKernel();
    const { solid } = unwrap(door.build(unwrap(planOf(doc, crowned))));
    const turned = { rotation: [[0, -1, 0], [1, 0, 0], [0, 0, 1]], shift: [500, 0, 10] } as const;
    const bytes = door.step([{ solid, name: 'ONE', colour: '#ff0000' }, { solid, name: 'TWO', colour: '#00ff00', placed: turned }], header);
    door.release(solid);
    const meshes = await readStep(bytes);
    expect(meshes.map((mesh) => mesh.name)).toEqual(['ONE', 'TWO']);
    const least = (mesh: ReadMesh, axis: number): number => mesh.attributes.position.array.reduce((low, value, i) => (i % 3 === axis ? Math.min(low, value) : low), Infinity);
    expect(least(meshes[0]!, 2)).toBeCloseTo(0, 4);
    expect(least(meshes[1]!, 2)).toBeCloseTo(10, 4);
    expect(least(meshes[1]!, 0)).toBeCloseTo(500 - 90, 2);
    expect(least(meshes[1]!, 1)).toBeCloseTo(-16, 2);
  });
});

describe('the text', () => {
  test('carries our header and no clock', async () => {
    const once = await written();
    const again = await written();
    expect(Buffer.compare(Buffer.from(once.bytes), Buffer.from(again.bytes))).toBe(0);
    const text = textOf(once.bytes);
    expect(text).toContain("FILE_DESCRIPTION(('Cover for the observer''s caf\\X2\\00E9\\X0\\'),'2;1');");
    expect(text).toContain("FILE_NAME('OB-1-A.step','2024-05-06T07:08:09Z',('bench'),(''),'coverwright','coverwright','');");
    expect(text).not.toMatch(/Open CASCADE/i);
    expect(text).toContain('AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF');
    expect(textOf((await written({ schema: 'AP214' })).bytes)).toContain('AUTOMOTIVE_DESIGN');
  });

  test('has the top as one face swept from our own curve, pole for pole and knot for knot', async () => {
    const text = textOf((await written()).bytes).replace(/\s+/g, '');
    expect(text.match(/SURFACE_OF_LINEAR_EXTRUSION/g)).toHaveLength(2);
    const points = new Map([...text.matchAll(/#(\d+)=CARTESIAN_POINT\('',\(([^)]*)\)\)/g)].map((found) => [found[1]!, found[2]!.split(',').map(Number)]));
    const curves = new Map([...text.matchAll(/#(\d+)=B_SPLINE_CURVE_WITH_KNOTS\('',(\d+),\(([^)]*)\),\.UNSPECIFIED\.,\.F\.,\.F\.,\(([^)]*)\),\(([^)]*)\)/g)].map((found) => [found[1]!, found]));
    const swept = [...text.matchAll(/SURFACE_OF_LINEAR_EXTRUSION\('',#(\d+)/g)].map((found) => curves.get(found[1]!)!);
    const ours = crowned[0]!;
    const top = swept.find((curve) => curve[3]!.split(',').length === ours.poles.length)!;
    expect(Number(top[2])).toBe(3);
    top[3]!.split(',').forEach((name, i) => {
      const [x, , z] = points.get(name.slice(1))!;
      expect(x).toBeCloseTo(ours.poles[i]![0], 9);
      expect(z).toBeCloseTo(ours.poles[i]![1], 9);
    });
    const times = top[4]!.split(',').map(Number);
    const knots = top[5]!.split(',').flatMap((knot, i) => Array.from({ length: times[i]! }, () => Number(knot)));
    expect(knots).toHaveLength(ours.knots.length);
    knots.forEach((knot, i) => expect(knot).toBeCloseTo(ours.knots[i]!, 9));
  });
});
