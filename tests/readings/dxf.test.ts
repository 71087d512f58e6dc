/**
 * DXF drawings of side profiles: fixtures written by hand after the format's public description, one drawing written by a
 * general DXF writer, and dxf-parser, a general reader, as second opinion on well-formed entities.
 */
import { Colors, DxfWriter, LWPolylineFlags, point2d, point3d, Units as WriterUnits } from '@tarikjabiri/dxf';
import DxfParser from 'dxf-parser';
import fc from 'fast-check';
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { DrawingOptions } from '../../src/readings/drawing.ts';
import { readDxf } from '../../src/readings/dxf.ts';
import type { Readings } from '../../src/readings/reading.ts';
import { sayIssue } from '../../src/result.ts';

const read = (text: string, options: Partial<DrawingOptions> = {}): Readings => {
  const result = readDxf(text, { units: 'mm', ...options });
  if (!result.ok) throw new Error(result.issues.map(sayIssue).join('\n'));
  return result.value;
};
const issues = (text: string, options: Partial<DrawingOptions> = {}) => {
  const result = readDxf(text, { units: 'mm', ...options });
  if (result.ok) throw new Error(`read ${result.value.points.length} points`);
  for (const issue of result.issues) {
    expect(issue.hint).not.toBe('');
    expect(issue.message.length).toBeLessThan(700);
  }
  return result.issues;
};
const fixture = (name: string): string => readFileSync(new URL(`../fixtures/readings/${name}`, import.meta.url), 'utf8');

type Value = string | number;
const groups = (...lines: readonly (Value | readonly Value[])[]): string => lines.flat().map(String).join('\n');
const drawing = (entities: readonly (readonly Value[])[], units: number | null = 4): string =>
  groups(0, 'SECTION', 2, 'HEADER', units === null ? [] : [9, '$INSUNITS', 70, units], 0, 'ENDSEC', 0, 'SECTION', 2, 'ENTITIES', entities.flat(), 0, 'ENDSEC', 0, 'EOF');
const stroke = (x1: Value, y1: Value, x2: Value, y2: Value, layer: string = '0'): Value[] => [0, 'LINE', 8, layer, 10, x1, 20, y1, 11, x2, 21, y2];
const spline = (degree: number, knots: readonly Value[], poles: readonly (readonly [Value, Value])[], weights: readonly Value[] = [], layer = '0'): Value[] => [
  0, 'SPLINE', 8, layer, 70, weights.length > 0 ? 12 : 8, 71, degree, 72, knots.length, 73, poles.length,
  ...knots.flatMap((knot) => [40, knot]), ...weights.flatMap((weight) => [41, weight]), ...poles.flatMap(([x, y]) => [10, x, 20, y, 30, 0]),
];

describe('fixture files', () => {
  test('AC1015 conventions: polyline, arc and a line drawn backwards, out of order, become one path from front to back', () => {
    const { points, mm, remarks, provenance } = read(fixture('profile-mm.dxf'), { file: 'profile-mm.dxf' });
    expect(points[0]).toEqual({ x: 0, z: 20 });
    expect(mm.some(({ x, z }) => Math.hypot(x - 40, z - 40) < 1e-9)).toBe(true);
    for (let i = 1; i < mm.length; i++) expect((mm[i] as { x: number }).x).toBeGreaterThan((mm[i - 1] as { x: number }).x);
    // The last stretch is an arc of radius 60 about (160, -20).
    const tail = mm.filter(({ x }) => x > 160 + 1e-9);
    expect(tail.length).toBeGreaterThan(5);
    for (const { x, z } of tail) expect(Math.hypot(x - 160, z + 20)).toBeCloseTo(60, 9);
    expect(mm.at(-1)?.x).toBeCloseTo(160 + 60 * Math.SQRT1_2, 9);
    expect(remarks).toMatchObject([{ code: 'not-read', message: 'Not read: 1 CIRCLE.' }]);
    expect(provenance).toMatchObject({ kind: 'DXF', units: 'mm by $INSUNITS', count: points.length });
    expect(provenance.words).toContain('layer "TOP"');
  });

  test('R12 POLYLINE, VERTEX, SEQEND with a bulge; no unit, so it is asked for', () => {
    const [issue] = issues(fixture('profile-r12.dxf'));
    expect(issue).toMatchObject({ code: 'unit-not-stated', message: 'The DXF does not state its unit. It measures 200 by 30: 200 mm if in mm, 5080 mm if in inches.' });
    const { mm, points } = read(fixture('profile-r12.dxf'), { fileUnit: 'mm' });
    expect(points[0]).toEqual({ x: 0, z: 20 });
    expect(mm.at(-1)).toEqual({ x: 200, z: 50 });
    // Quarter circle about (30, 20).
    for (const { x, z } of mm.filter((p) => p.x < 30)) expect(Math.hypot(x - 30, z - 20)).toBeCloseTo(30, 9);
  });

  test('cut short anywhere, or with any line lost, it is refused or read, never thrown at', () => {
    const text = fixture('profile-mm.dxf');
    const lines = text.split(/\r?\n/);
    for (let i = 0; i < lines.length; i++) {
      const less = readDxf(lines.slice(0, i).join('\n'), { units: 'mm' });
      expect(less.ok).toBe(i >= lines.length - 1);
      readDxf([...lines.slice(0, i), ...lines.slice(i + 1)].join('\n'), { units: 'mm' });
    }
  });
});

describe('written by a general DXF writer', () => {
  test('lines, arc, polyline and their unit come back', () => {
    const writer = new DxfWriter();
    writer.setUnits(WriterUnits.Millimeters);
    writer.addLayer('PROFILE', Colors.Red, 'Continuous');
    writer.setCurrentLayerName('PROFILE');
    writer.addArc(point3d(0, 0), 80, 90, 180);
    writer.addLine(point3d(0, 80), point3d(150, 80));
    writer.addLWPolyline([{ point: point2d(150, 80), bulge: -0.2 }, { point: point2d(220, 50) }], { flags: LWPolylineFlags.None });
    const { mm, provenance } = read(writer.stringify());
    expect(provenance.units).toBe('mm by $INSUNITS');
    expect(mm[0]?.x).toBeCloseTo(-80, 9);
    expect(mm.at(-1)).toEqual({ x: 220, z: 50 });
    for (const { x, z } of mm.filter((p) => p.x < 0)) expect(Math.hypot(x, z)).toBeCloseTo(80, 9);
  });

  test('the entities are the ones a general reader sees', () => {
    const text = fixture('profile-mm.dxf');
    const theirs = new DxfParser().parseSync(text);
    const arcOf = theirs?.entities.find((entity) => entity.type === 'ARC') as unknown as { center: { x: number; y: number }; radius: number; startAngle: number; endAngle: number };
    const { mm } = read(text);
    const end = mm.at(-1) ?? { x: NaN, z: NaN };
    expect(end.x).toBeCloseTo(arcOf.center.x + arcOf.radius * Math.cos(arcOf.startAngle), 9);
    expect(end.z).toBeCloseTo(arcOf.center.y + arcOf.radius * Math.sin(arcOf.startAngle), 9);
  });
});

describe('geometry', () => {
  test('rational spline: a quarter circle with its weights, exact', () => {
    const text = drawing([spline(2, [0, 0, 0, 1, 1, 1], [[0, 0], [0, 50], [50, 50]], [1, Math.SQRT1_2, 1])]);
    const { mm } = read(text);
    expect(mm.length).toBeGreaterThan(20);
    for (const { x, z } of mm) expect(Math.hypot(x - 50, z)).toBeCloseTo(50, 9);
  });

  test('chords leave an arc by no more than asked, and points are no further apart', () => {
    const text = drawing([[0, 'ARC', 8, '0', 10, 200, 20, -300, 40, 400, 50, 60, 51, 120]]);
    for (const chord of [0.001, 0.01, 0.1]) {
      const { mm } = read(text, { chord });
      for (let i = 1; i < mm.length; i++) {
        const [a, b] = [mm[i - 1], mm[i]] as [{ x: number; z: number }, { x: number; z: number }];
        expect(400 - Math.hypot((a.x + b.x) / 2 - 200, (a.z + b.z) / 2 + 300)).toBeLessThanOrEqual(chord * 1.0001);
        expect(Math.hypot(b.x - a.x, b.z - a.z)).toBeLessThanOrEqual(((400 * Math.PI) / 3 / 60) * 1.01);
      }
    }
  });

  test('a path of straight strokes gives its corners and nothing between', () => {
    const { points, provenance } = read(drawing([stroke(0, 20, 40, 30), stroke(90, 33, 40, 30), stroke(90, 33, 200, 28)]));
    expect(points).toEqual([{ x: 0, z: 20 }, { x: 40, z: 30 }, { x: 90, z: 33 }, { x: 200, z: 28 }]);
    expect(provenance.words).toContain('the corners of the path, nothing between them');
  });

  test('strokes in any order and direction, ends a hair apart, give the same path', () => {
    const corners = Array.from({ length: 12 }, (_, i) => [i * 30, 20 + 25 * Math.sin((i * Math.PI) / 11)] as const);
    const expected = read(drawing(corners.slice(1).map((c, i) => stroke(corners[i]?.[0] ?? 0, corners[i]?.[1] ?? 0, c[0], c[1])))).mm;
    fc.assert(
      fc.property(fc.shuffledSubarray(Array.from({ length: 11 }, (_, i) => i), { minLength: 11 }), fc.array(fc.boolean(), { minLength: 11, maxLength: 11 }), fc.double({ min: 0, max: 0.004, noNaN: true }), (order, turns, gap) => {
        const strokes = order.map((i) => {
          const [a, b] = [corners[i], corners[i + 1]] as [readonly [number, number], readonly [number, number]];
          return turns[i] === true ? stroke(b[0], b[1], a[0] + gap, a[1]) : stroke(a[0] + gap, a[1], b[0], b[1]);
        });
        const { mm } = read(drawing(strokes));
        const far = mm.filter((p) => !expected.some((q) => Math.hypot(p.x - q.x, p.z - q.z) <= 0.0041));
        expect(far).toEqual([]);
        for (const q of expected) expect(mm.some((p) => Math.hypot(p.x - q.x, p.z - q.z) <= 0.0041)).toBe(true);
      }),
    );
  });

  test('drawn as seen from below (normal 0 0 -1): x is mirrored for arcs and polylines, as the format has it', () => {
    const text = drawing([[0, 'ARC', 8, '0', 10, -50, 20, 0, 40, 50, 50, 90, 51, 180, 210, 0, 220, 0, 230, -1]]);
    const { mm } = read(text);
    // In its own plane it runs from (-50, 50) to (-100, 0); mirrored, from (50, 50) to (100, 0).
    expect(mm[0]?.x).toBeCloseTo(50, 9);
    expect(mm[0]?.z).toBeCloseTo(50, 9);
    expect(mm.at(-1)?.x).toBeCloseTo(100, 9);
    expect(issues(drawing([[0, 'ARC', 8, '0', 10, 0, 20, 0, 40, 50, 50, 0, 51, 90, 210, 1, 220, 0, 230, 0]]))[0]?.message).toContain('tilted plane');
  });

  test('strokes drawn twice are taken once and said', () => {
    const { points, remarks } = read(drawing([stroke(0, 20, 40, 30), stroke(40, 30, 0, 20), stroke(40, 30, 90, 33)]));
    expect(points).toHaveLength(3);
    expect(remarks).toMatchObject([{ code: 'drawn-twice', message: '1 stroke is drawn twice in the same place; taken once.' }]);
  });

  test('spline-fit polyline: frame points are not on it', () => {
    const vertex = (x: number, y: number, flag: number): Value[] => [0, 'VERTEX', 8, '0', 10, x, 20, y, 70, flag];
    const { points } = read(drawing([[0, 'POLYLINE', 8, '0', 66, 1, 70, 4], vertex(0, 0, 16), vertex(0, 20, 8), vertex(50, 99, 16), vertex(50, 40, 8), vertex(100, 30, 8), [0, 'SEQEND']]));
    expect(points).toEqual([{ x: 0, z: 20 }, { x: 50, z: 40 }, { x: 100, z: 30 }]);
  });
});

describe('units', () => {
  const inInches = drawing([stroke(0, 1, 3, 2.5), stroke(3, 2.5, 8, 1.25)], 1);
  test('figures stay as drawn where the job has the same unit, and carry theirs where not', () => {
    expect(read(inInches, { units: 'inch' }).points[1]).toEqual({ x: 3, z: 2.5 });
    expect(read(inInches, { units: 'mm' }).points[1]).toEqual({ x: '3in', z: '2.5in' });
    expect(read(inInches).mm[1]?.x).toBeCloseTo(76.2, 12);
    expect(read(drawing([stroke(0, 1, 3, 2.5)], 5), { units: 'inch' }).points[1]).toEqual({ x: '3cm', z: '2.5cm' });
    expect(read(drawing([stroke(0, 1, 1, 0.5)], 2), { units: 'mm' }).points[1]).toEqual({ x: 304.8, z: 152.4 });
  });

  test('a unit stated against the file is taken and said', () => {
    // And what that makes of it is too small for a cover, which is said as well.
    expect(read(inInches, { fileUnit: 'mm' }).remarks).toMatchObject([{ code: 'unit-overridden' }, { code: 'table-unit' }]);
  });

  test('no unit, unit 0, a unit not for parts, px', () => {
    for (const code of [null, 0, 3]) expect(issues(drawing([stroke(0, 1, 3, 2.5)], code))[0]?.code).toBe('unit-not-stated');
    expect(issues(inInches, { fileUnit: 'px' })[0]?.code).toBe('unit-not-fit');
  });

  test('a drawing of ten kilometres', () => {
    expect(issues(drawing([stroke(0, 0, 1e4, 5)], 6))[0]).toMatchObject({ code: 'drawing-too-large' });
    expect(issues(drawing([stroke(-1e300, 0, 1e300, 5)]))[0]).toMatchObject({ code: 'drawing-too-large' });
  });
});

describe('several paths are asked about', () => {
  const two = drawing([stroke(0, 20, 100, 40, 'TOP'), stroke(100, 40, 200, 20, 'TOP'), stroke(0, 0, 200, 0, 'SEAT')]);
  test('named with layer, length and ends; chosen by layer or number', () => {
    expect(issues(two)).toEqual([{
      code: 'several-paths', at: '',
      message: 'Expected one path, got 2: 1: layer "TOP", 203.961 mm from (0, 20) to (200, 20); 2: layer "SEAT", 200 mm from (0, 0) to (200, 0).',
      hint: 'State the layer or the number of the one meant. If they are one, close the gap of 20 mm or state a larger joining distance.',
    }]);
    expect(read(two, { name: 'TOP' }).points).toHaveLength(3);
    expect(read(two, { which: 2 }).points).toEqual([{ x: 0, z: 0 }, { x: 200, z: 0 }]);
    expect(issues(two, { which: 3 })[0]?.message).toContain('from 1 to 2, got 3');
    expect(issues(two, { name: 'NONE' })[0]?.message).toContain('"TOP", "SEAT"');
  });

  test('a gap is closed only when asked', () => {
    const gap = drawing([stroke(0, 20, 100, 40), stroke(100.3, 40, 200, 20)]);
    expect(issues(gap)[0]?.hint).toContain('gap of 0.3 mm');
    expect(read(gap, { joinWithin: 0.5 }).points).toHaveLength(4);
  });

  test('a branch is not walked through', () => {
    expect(issues(drawing([stroke(0, 20, 100, 40), stroke(100, 40, 200, 20), stroke(100, 40, 100, 0)]))[0]?.message).toContain('got 3');
  });

  test('a closed outline is not a side profile', () => {
    const closed = drawing([[0, 'LWPOLYLINE', 8, 'P', 90, 3, 70, 1, 10, 0, 20, 0, 10, 100, 20, 0, 10, 50, 20, 40]]);
    expect(issues(closed)).toMatchObject([{ code: 'path-closed', at: 'P' }]);
  });

  test('layers named __proto__ and constructor are only names', () => {
    const odd = drawing([stroke(0, 20, 100, 40, '__proto__'), stroke(0, 0, 50, 5, 'constructor')]);
    expect(issues(odd)[0]?.message).toContain('"__proto__"');
    expect(read(odd, { name: '__proto__' }).points).toHaveLength(2);
  });
});

describe('bad and hostile input', () => {
  test.each([
    ['nothing', '', 'empty'], ['a table', 'x,z\n1,2\n', 'not-a-dxf'], ['binary', '\u0000\u0001\u0002', 'not-text'], ['no entities', groups(0, 'SECTION', 2, 'HEADER', 0, 'ENDSEC', 0, 'EOF'), 'not-a-dxf'],
    ['cut short', groups(0, 'SECTION', 2, 'ENTITIES', 0, 'LINE', 10, 0), 'dxf-cut-short'], ['empty entities', drawing([]), 'nothing-drawn'],
    ['text and blocks only', drawing([[0, 'TEXT', 8, '0', 1, 'hello'], [0, 'INSERT', 2, 'COVER']]), 'nothing-drawn'],
    ['upright', drawing([[0, 'LINE', 8, '0', 10, 0, 20, 0, 30, 5, 11, 100, 21, 0, 31, 40]]), 'drawn-upright'],
  ])('%s', (_, text, code) => expect(issues(text)[0]?.code).toBe(code));

  test('damaged entities, all at once, each with its line', () => {
    const bad = issues(drawing([
      [0, 'LINE', 8, 'A', 10, 'abc', 20, 0, 11, 1, 21, 1],
      [0, 'LINE', 8, 'A', 10, 0, 20, 0, 11, 1],
      [0, 'ARC', 8, 'A', 10, 0, 20, 0, 40, -3, 50, 0, 51, 90],
      [0, 'ARC', 8, 'A', 10, 0, 20, 0, 40, 3, 50, 'NaN', 51, 90],
      [0, 'LWPOLYLINE', 8, 'A', 10, 0],
      [0, 'LWPOLYLINE', 8, 'A', 10, 0, 20, 0, 42, '1e999', 10, 5, 20, 5],
      spline(3, [0, 0, 1, 1], [[0, 0], [1, 1]]),
      spline(2, [0, 0, 0, 1, 1, 1], [[0, 0], [0, 50], [50, 50]], [1, -1, 1]),
      spline(2, [0, 0, 0, 1, 1, 1], [[0, 0], [0, 50], [50, 50]], [1, 1]),
      spline(2, [0, 1, 0, 1, 1, 1], [[0, 0], [0, 50], [50, 50]]),
      spline(2, [0, 0, 0, 0, 0, 0], [[0, 0], [0, 50], [50, 50]]),
      spline(1e9, [0, 0, 0, 0, 0, 0], [[0, 0], [0, 50], [50, 50]]),
      [0, 'SPLINE', 8, 'A', 71, 3, 11, 0, 21, 0, 11, 5, 21, 5],
      [0, 'POLYLINE', 8, 'A', 66, 1],
    ]));
    expect(bad.map((issue) => issue.code)).toEqual(Array.from({ length: 14 }, () => 'entity-damaged'));
    expect(new Set(bad.map((issue) => issue.at)).size).toBe(14);
  });

  test('a POLYLINE without SEQEND ends where its vertices end', () => {
    const { points } = read(drawing([[0, 'POLYLINE', 8, '0', 66, 1, 70, 0], [0, 'VERTEX', 10, 0, 20, 20], [0, 'VERTEX', 10, 100, 20, 30], stroke(100, 30, 150, 25)]));
    expect(points).toHaveLength(3);
  });

  test('thousands of damaged entities', () => {
    const bad = issues(drawing(Array.from({ length: 5000 }, () => [0, 'LINE', 8, '0'])));
    expect(bad).toHaveLength(21);
    expect(bad.at(-1)?.message).toContain('or more');
  });

  test('a star of strokes that all meet in one point, on as many layers', () => {
    const star = drawing(Array.from({ length: 20_000 }, (_, i) => stroke(0, 0, (100 + i / 10) * Math.cos(i), (100 + i / 10) * Math.sin(i), `L${i}`)));
    expect(issues(star)[0]?.message).toContain('got 20000');
  });

  test('a wild spline asks for no more points than a job takes', () => {
    const count = 3000;
    const wild = spline(1, [0, ...Array.from({ length: count }, (_, i) => i), count - 1], Array.from({ length: count }, (_, i) => [i % 2 === 0 ? 0 : 5000, i] as const));
    expect(issues(drawing([wild]), { spacing: 0.001 })[0]?.code).toBe('too-many-readings');
  });

  test('any pairs of codes and values: readings or issues, never a throw', () => {
    const code = fc.constantFrom(0, 2, 5, 8, 9, 10, 20, 30, 11, 21, 40, 41, 42, 50, 51, 67, 70, 71, 72, 73, 210, 220, 230, 999);
    const value = fc.constantFrom('SECTION', 'ENDSEC', 'ENTITIES', 'HEADER', '$INSUNITS', 'LINE', 'ARC', 'LWPOLYLINE', 'POLYLINE', 'VERTEX', 'SEQEND', 'SPLINE', 'EOF', '0', '1', '3', '4', '-1', '1e308', 'NaN', '', '12.5');
    fc.assert(
      fc.property(fc.array(fc.tuple(code, value), { maxLength: 60 }), (pairs) => {
        const text = `${groups(0, 'SECTION', 2, 'ENTITIES')}\n${pairs.map(([c, v]) => `${c}\n${v}`).join('\n')}\n${groups(0, 'ENDSEC', 0, 'EOF')}`;
        const result = readDxf(text, { units: 'mm', fileUnit: 'mm' });
        if (result.ok) for (const { x, z } of result.value.mm) expect(Number.isFinite(x) && Number.isFinite(z)).toBe(true);
        else for (const issue of result.issues) expect(issue.hint).not.toBe('');
      }),
      { numRuns: 3000 },
    );
  });
});
