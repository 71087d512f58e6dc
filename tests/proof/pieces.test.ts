/** Pieces as they go to the printer, made by the real kernel from the presets. */
import { describe, expect, test } from 'vitest';
import { strFromU8, unzipSync } from 'fflate';
import { makeProof } from '../../src/makeProof.ts';
import { applyAffine } from '../../src/solid/meshRecipe.ts';
import { distance2, type Vec3 } from '../../src/maths/vec.ts';
import { filesOf } from '../../src/outputs/files.ts';
import { openDesk } from '../../src/desk.ts';
import { bedOf } from '../../src/proof/bed.ts';
import { formProof } from '../../src/proof/formProof.ts';
import { printLaw } from '../../src/proof/law.ts';
import { uprightHoles } from '../../src/proof/proofPlan.ts';
import { unwrap } from '../../src/result.ts';
import { meshBox, meshGap, meshVolume } from '../../src/solid/mesh.ts';
import { density } from '../../src/standards/materials.ts';
import { holeIn, kernel, leftPrinter, manifoldOf, manifolds, partOf, proofOf, putBack, tryProof } from './print.ts';

const presets = ['worm-drive-cover', 'clamp-cover', 'encoder-cover', 'motor-cover'];

describe.each(presets)('%s', (preset) => {
  const all = { square: true };
  const proof = proofOf(preset, all);
  const { file: { job }, plan } = partOf(preset, all);

  test('every piece is closed, one, of equal volume by manifold-3d, and stands on its bed', () => {
    const bed = bedOf(job.proof);
    for (const piece of proof.pieces) {
      const { mesh } = piece.drawn;
      expect(meshGap(mesh)).toEqual({ open: 0, crowded: 0, turned: 0 });
      const solid = manifoldOf(mesh);
      expect(solid.decompose().length).toBe(1);
      expect(solid.volume() / piece.volume).toBeCloseTo(1, 5);
      expect(piece.mass).toBeCloseTo((piece.volume / 1000) * density('PLA'), 9);
      const { least, most } = meshBox(mesh);
      for (const k of [0, 1, 2]) expect(least[k]!).toBeCloseTo(0, 9);
      expect(most[0] <= bed.x && most[1] <= bed.y && most[2] <= bed.z).toBe(true);
      expect(piece.at[0] >= 5 && piece.at[1] >= 5 && piece.at[0] + most[0] <= 215.001 && piece.at[1] + most[1] <= 215.001).toBe(true);
      solid.delete();
    }
  });

  test('revision and warning are engraved on every piece', () => {
    expect(proof.plan.notes.filter((note) => note.includes('by hand'))).toEqual([]);
    for (const { plan: { marking, kind } } of proof.pieces) expect([kind, marking[0], marking[1]]).toEqual([kind, expect.stringContaining(`${job.partNumber} ${job.revision}`), 'TEST FIT, NOT A GUARD']);
    const plain = proofOf(preset, { ...all, text: false });
    proof.pieces.forEach((piece, i) => expect(piece.volume).not.toBe(plain.pieces[i]!.volume));
  });

  test('the ring has every tab hole, each where it is in the part', () => {
    const ring = proof.pieces.filter((piece) => piece.plan.kind === 'ring').map((piece) => manifoldOf(putBack(piece)));
    const joined = manifolds.Manifold.union(ring);
    for (const { at: [x, y, z], diameter, in: where } of uprightHoles(plan)) {
      if (where !== 'tab') continue;
      const gauge = (d: number) => manifolds.Manifold.cylinder(4, d / 2, d / 2, 48).translate([x, y, z - 4]);
      // A pin a little under size goes in, one over size meets plastic.
      expect(joined.intersect(gauge(diameter - 0.1)).volume()).toBe(0);
      expect(joined.intersect(gauge(diameter + 0.4)).volume()).toBeGreaterThan(0.5);
    }
  });
});

describe('put together again', () => {
  test.each([
    ['worm-drive-cover', {}, 3],
    ['worm-drive-cover', { bedX: 130, bedY: 260 }, 4],
    ['clamp-cover', {}, 2],
    ['motor-cover', { bedX: 140, bedY: 140 }, 2],
    ['motor-cover', { bedX: 110, bedY: 110 }, 4],
  ] as const)('%s on %j gives the whole: nothing shared, nothing missing but gaps, pin holes and marks', (preset, bed, least) => {
    const only = { ...bed, text: false, ring: false, ribs: false, holeBar: false };
    const proof = proofOf(preset, only);
    expect(proof.pieces.length).toBeGreaterThanOrEqual(least);
    const { mesh, file: { job } } = partOf(preset, only);
    const backs = proof.pieces.map(putBack);
    const pieces = backs.map(manifoldOf);
    const whole = manifoldOf(mesh);
    for (let i = 0; i < pieces.length; i++) for (let j = i + 1; j < pieces.length; j++) {
      expect(pieces[i]!.intersect(pieces[j]!).volume()).toBe(0);
      const gap = pieces[i]!.minGap(pieces[j]!, 1);
      // Meshed within 0.05 mm; diagonal neighbours are farther apart.
      expect(gap).toBeGreaterThan(job.proof.jointClearance - 0.06);
    }
    const touching = pieces.filter((a, i) => pieces.some((b, j) => i !== j && a.minGap(b, 1) < job.proof.jointClearance + 0.06));
    expect(touching).toHaveLength(pieces.length);

    // What is missing lies in what was cut on purpose, what is more in what was added on purpose.
    const forms = (kind: 'cut' | 'fuse' | 'common') => proof.pieces.flatMap(({ plan: { steps } }) => steps.flatMap((step) => (step.do === kind ? step.with : [])));
    const bodies = (kind: 'cut' | 'fuse' | 'common') => manifolds.Manifold.union(forms(kind).map((form) => manifoldOf(unwrap(kernel.carve([{ name: 'one body', at: '', lettersAt: '', start: [form], steps: [] }])[0]!).mesh)));
    const united = manifolds.Manifold.union(pieces);
    const missing = whole.subtract(united);
    // Outside every cell are the gaps of the seams, half a clearance on either side.
    expect(missing.subtract(bodies('cut')).intersect(bodies('common')).volume()).toBeLessThan(1e-2);
    const gaps = missing.subtract(bodies('common'));
    expect(gaps.volume()).toBeGreaterThan(0);
    const more = united.subtract(whole);
    expect(more.subtract(bodies('fuse')).volume()).toBeLessThan(1e-2);
    expect(united.volume() - more.volume() + missing.volume()).toBeCloseTo(whole.volume(), 0);
  });

  test.each(['ring', 'ribs'] as const)('the %s of the large sample: nothing shared, gaps as wanted, and a pin goes through every joint', (kind) => {
    const only = { whole: false, ring: kind === 'ring', ribs: kind === 'ribs', holeBar: false, text: false };
    const proof = proofOf('worm-drive-cover', only);
    const { file: { job } } = partOf('worm-drive-cover', only);
    const pieces = proof.pieces.map((piece) => manifoldOf(putBack(piece)));
    const joined = manifolds.Manifold.union(pieces);
    const touching = pieces.flatMap((a, i) => pieces.slice(i + 1).filter((b) => a.minGap(b, 1) < 0.5).map((b) => [a, b] as const));
    expect(touching.length).toBe(kind === 'ring' ? 4 : 2);
    for (const [a, b] of touching) {
      expect(a.intersect(b).volume()).toBe(0);
      expect(a.minGap(b, 1)).toBeCloseTo(job.proof.jointClearance, 1);
    }
    // The last cut of a piece is that of its pin holes.
    const cuts = proof.pieces.flatMap(({ plan: { steps } }) => { const last = steps.at(-1)!; return last.do === 'cut' ? last.with : []; });
    expect(cuts.length).toBe(touching.length * 4);
    for (const [i, form] of cuts.entries()) {
      // Every hole is empty right through both halves, round and slot alike, with room for the pin.
      const hole = manifoldOf(unwrap(kernel.carve([{ name: 'pin', at: '', lettersAt: '', start: [form], steps: [] }])[0]!).mesh);
      const { min, max } = hole.boundingBox();
      const middle = [0, 1, 2].map((k) => (min[k]! + max[k]!) / 2) as [number, number, number];
      const upright = kind === 'ring';
      const pin = manifolds.Manifold.cylinder(40, job.proof.pin / 2, job.proof.pin / 2, 48, true).rotate(upright ? [0, 0, 0] : [90, 0, 0]).translate(middle);
      expect(joined.intersect(pin).volume(), `pin ${i}`).toBe(0);
    }
  });

  test('turned round or in each other\'s place no two pieces of a split part take their pins', () => {
    const proof = proofOf('worm-drive-cover', { bedX: 130, bedY: 260 });
    const pinned = proof.pieces.filter((piece) => piece.plan.kind === 'whole').map(({ plan: { readings } }) => readings.filter((r) => r.what === 'centres' && r.name === 'Pin to pin'));
    const joints = new Map<string, { round: number; slot: number; middle: number }>();
    for (const readings of pinned) for (const one of readings) if (one.what === 'centres') joints.set(one.from.join(), { round: one.from[1], slot: one.to[1], middle: 60 });
    const found = [...joints.values()];
    expect(found.length).toBe(pinned.length - 1);
    for (const [i, one] of found.entries()) {
      expect(Math.abs(one.round + one.slot - 2 * one.middle)).toBeGreaterThanOrEqual(3);
      for (const other of found.slice(i + 1)) expect(Math.max(Math.abs(one.round - other.round), Math.abs(one.slot - other.slot))).toBeGreaterThanOrEqual(3);
    }
  });
});

describe('drawn for a printer', () => {
  const only = { ribs: false, holeBar: false };
  const proof = proofOf('clamp-cover', only, leftPrinter);
  const { plan, file: { job } } = partOf('clamp-cover', only);
  const law = printLaw(leftPrinter);
  const { hole, axes: { x, y } } = leftPrinter;

  test('holes stand in the file as large and as far apart as the sheet says they are drawn, and print as designed', () => {
    let checked = 0;
    for (const piece of proof.pieces) {
      const mine = uprightHoles(plan).filter(({ name, slot }) => slot === 0 && piece.expected.some((one) => one.what === 'hole' && one.name.split(' ').includes(name)));
      const found = mine.map(({ name, at, diameter }) => {
        const drawn = unwrap(law.hole(diameter)) / Math.sqrt(x.factor * y.factor);
        const measured = holeIn(piece, [at[0], at[1], 0], drawn);
        expect(measured.diameter).toBeCloseTo(drawn, 2);
        expect(hole!.factor * measured.diameter + hole!.growth).toBeCloseTo(diameter, 1);
        return { name, at: measured.at };
      });
      for (const a of found) for (const b of found) {
        const told = piece.expected.find((one) => one.name === `${a.name} to ${b.name}`);
        if (told === undefined) continue;
        expect(distance2(a.at, b.at)).toBeCloseTo(told.drawn, 2);
        expect(told.printed!).toBeCloseTo(told.design, 9);
        checked++;
      }
    }
    expect(checked).toBeGreaterThan(6);
  });

  test('the body prints as wide as designed', () => {
    for (const piece of proof.pieces.filter((one) => one.plan.kind === 'whole')) {
      const solid = manifoldOf(piece.drawn.mesh);
      // A slice well above the feet and below the text: clear of tabs, relief and letters only where the wall is plain.
      const told = piece.expected.find((one) => one.name === 'Body along Y')!;
      const across = applyAffine({ rows: piece.placed.rows, shift: [0, 0, 0] }, [0, 1, 0] as Vec3);
      const k = Math.abs(across[0]) > Math.abs(across[1]) ? 0 : 1;
      const { min, max } = solid.slice(16).bounds();
      expect(max[k]! - min[k]!).toBeCloseTo(told.drawn, 2);
      solid.delete();
    }
  });

  test('only the first layers are relieved, by half of what they flare all round', () => {
    const plain = proofOf('clamp-cover', { ...only, relief: false }, leftPrinter);
    proof.pieces.forEach((piece, i) => {
      const [with_, without] = [manifoldOf(piece.drawn.mesh), manifoldOf(plain.pieces[i]!.drawn.mesh)];
      const lost = without.subtract(with_);
      expect(lost.trimByPlane([0, 0, 1], job.proof.reliefHeight + 0.001).volume()).toBeLessThan(1e-2);
      expect(lost.volume()).toBeGreaterThan(1);
      const outline = without.slice(job.proof.reliefHeight / 2);
      expect(with_.slice(job.proof.reliefHeight / 2).area()).toBeCloseTo(outline.offset(-leftPrinter.flare!.mm / 2, 'Miter').area(), 0);
      expect(with_.slice(job.proof.reliefHeight + 0.1).area()).toBeCloseTo(without.slice(job.proof.reliefHeight + 0.1).area(), 2);
    });
  });

  test('coupons are drawn as they are', () => {
    const coupons = (profile: typeof leftPrinter | null) => proofOf('clamp-cover', { whole: false, ring: false, ribs: false, square: true }, profile).pieces.map((piece) => [piece.size, piece.volume]);
    expect(coupons(leftPrinter)).toEqual(coupons(null));
  });

  test('the files for the machine are the same, byte for byte, with a printer and without', async () => {
    const part = partOf('encoder-cover');
    const date = '2026-01-31T00:00:00Z';
    const written = async () => {
      const desk = openDesk({ ...part, job: part.file.job, typed: part.file.document, drawer: null, stem: 'x', date }, kernel.font);
      await desk.solid(part);
      const begun = { planFiles: desk.planFiles(), planSheets: desk.planSheets(), findings: desk.findings(), meshFiles: desk.meshFiles(), solidSheets: desk.solidSheets() };
      return (await filesOf(part, kernel, { date }, desk, begun)).files.filter((file) => !file.name.startsWith('report.'));
    };
    const before = await written();
    const made = unwrap(makeProof(part, kernel, { date: '2026-01-31T00:00:00Z', printerFile: 'left.printer.json', profile: leftPrinter }));
    const after = await written();
    expect(after.map((file) => file.name)).toEqual(before.map((file) => file.name));
    for (const [i, file] of after.entries()) expect(Buffer.compare(file.bytes, before[i]!.bytes)).toBe(0);
    expect(before.some((file) => file.name.endsWith('.step'))).toBe(true);
    // And the print is not the part.
    expect(meshVolume(made.proof.pieces[0]!.drawn.mesh)).not.toBeCloseTo(meshVolume(part.mesh), 0);
  });

  test('its files read back: STL and 3MF hold the same closed body, marked as a test fit', () => {
    const { files, proof: made } = unwrap(makeProof(partOf('encoder-cover', { ribs: false }), kernel, { date: '2026-01-31T00:00:00Z', printerFile: 'left.printer.json', profile: leftPrinter }));
    for (const piece of made.pieces) {
      const stl = files.find((file) => file.name === `OB-118-A-proof-${piece.number}.stl`)!.bytes;
      expect(strFromU8(stl.slice(0, 80), true)).toContain('TEST FIT, NOT A GUARD');
      const view = new DataView(stl.buffer, stl.byteOffset);
      const count = view.getUint32(80, true);
      const soup = Float32Array.from({ length: 9 * count }, (_, i) => view.getFloat32(84 + 50 * Math.floor(i / 9) + 12 + 4 * (i % 9), true));
      const mesh = new manifolds.Mesh({ numProp: 3, vertProperties: soup, triVerts: Uint32Array.from({ length: 3 * count }, (_, i) => i) });
      mesh.merge();
      expect(new manifolds.Manifold(mesh).volume() / piece.volume).toBeCloseTo(1, 5);
      const model = strFromU8(unzipSync(files.find((file) => file.name === `OB-118-A-proof-${piece.number}.3mf`)!.bytes)['3D/3dmodel.model']!);
      expect(model).toContain('unit="millimeter"');
      expect(model).toContain('Test fit, not a guard.');
      expect(model.match(/<triangle /g)).toHaveLength(count);
    }
    const names = files.map((file) => file.name);
    for (const name of ['OB-118-A-proof.html', 'OB-118-A-proof-beds.svg', 'OB-118-A-proof-readings.csv', 'OB-118-A-proof-offsets.txt']) expect(names).toContain(name);
  });
});

describe('refusals name the parameter and the cure', () => {
  test('letters the font does not have', () => {
    const { file, plan, mesh } = partOf('encoder-cover');
    const made = formProof({ job: { ...file.job, partNumber: 'OB-\u86cb' }, plan, mesh }, kernel, null);
    expect(made.ok ? [] : [...new Set(made.issues.map(({ at, message }) => `${at} ${message.includes('the font has no \u86cb')}`))]).toEqual(['proof.text true']);
  });


  test.each([
    ['worm-drive-cover', { split: false }, ['proof-larger-than-bed proof.split', 'proof-larger-than-bed proof.split', 'proof-larger-than-bed proof.split']],
    ['worm-drive-cover', { bedZ: 60, ring: false, ribs: false, holeBar: false, bedX: 500, bedY: 500 }, []],
    ['worm-drive-cover', { bedX: 60, bedY: 60, ribs: false, holeBar: false, ring: false }, ['proof-no-seam proof.bedX']],
    ['clamp-cover', { whole: false, ring: false, ribs: false, holeBar: false }, ['proof-nothing proof']],
    ['clamp-cover', { pin: 12, lap: 20 }, ['proof-pin-too-thick proof.pin']],
    ['clamp-cover', { bedX: 80, bedMargin: 45 }, ['proof-no-bed proof.bedMargin']],
  ] as const)('%s %j', (preset, proof, expected) => {
    const made = tryProof(preset, proof);
    expect(made.ok ? [] : made.issues.map(({ code, at }) => `${code} ${at}`)).toEqual(expected);
    if (!made.ok) for (const issue of made.issues) expect(issue.hint).not.toBe('');
  });

});
