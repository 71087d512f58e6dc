import DxfParser from 'dxf-parser';
import { describe, expect, test } from 'vitest';
import { mmPerInch } from '../../src/job/quantity.ts';
import { boundsOf, dimension, label, line, loopPath, polyline, type Drawing, type Mark } from '../../src/outputs/drawing.ts';
import { dxfText } from '../../src/outputs/dxf.ts';
import { roundedOutline } from '../../src/outputs/planDrawing.ts';
import { pathData, svgText } from '../../src/outputs/svg.ts';
import type { BSplineCurve } from '../../src/maths/bspline.ts';
import type { Loop } from '../../src/section/section.ts';

const curve: BSplineCurve = { degree: 3, knots: [0, 0, 0, 0, 5, 10, 10, 10, 10], poles: [[0, 0], [2, 4], [5, 6], [8, 4], [10, 0]] };
const loop: Loop = {
  segments: [
    line([0, 0], [10, 0]),
    { kind: 'arc', from: [10, 0], to: [10, 10], centre: [10, 5], radius: 5, sweep: Math.PI },
    line([10, 10], [0, 10]),
    line([0, 10], [0, 0]),
  ],
};
const drawing: Drawing = {
  marks: [
    loopPath('outline', loop),
    { kind: 'path', pen: 'accent', closed: false, segments: [{ kind: 'cubic', curve, reversed: false }] },
    { kind: 'circle', pen: 'hidden', centre: [3, 3], radius: 1.25 },
    label([1, 1], '<script>alert("x")</script> & "5"', 2),
  ],
};

describe('SVG', () => {
  const svg = svgText(drawing, { title: 'A & B <c>' });

  test('is true to size in mm', () => {
    const { least, most } = boundsOf(drawing);
    expect(svg).toContain(`width="${Number((most[0] - least[0] + 10).toFixed(4))}mm"`);
    expect(svg).toContain(`viewBox="${Number((least[0] - 5).toFixed(4))} `);
  });

  test('what a job says can never become markup', () => {
    expect(svg).not.toContain('<script>');
    expect(svg).toContain('&lt;script&gt;alert(&quot;x&quot;)&lt;/script&gt; &amp; &quot;5&quot;');
    expect(svg).toContain('<title>A &amp; B &lt;c&gt;</title>');
  });

  test('a spline becomes its exact Bezier pieces', () => {
    // Two spans of a cubic with one inner knot: two C commands, ending on the last pole.
    const data = pathData([{ kind: 'cubic', curve, reversed: false }], false);
    expect(data.match(/C/g)).toHaveLength(2);
    expect(data.startsWith('M0 0')).toBe(true);
    expect(data.endsWith('10 0')).toBe(true);
    const back = pathData([{ kind: 'cubic', curve, reversed: true }], false);
    expect(back.startsWith('M10 0')).toBe(true);
    expect(back.endsWith('0 0')).toBe(true);
  });
});

describe('DXF, read back by dxf-parser', () => {
  const parse = (units: 'mm' | 'inch') => new DxfParser().parseSync(dxfText(drawing, units));

  test.each([['mm', 4, 1], ['inch', 1, mmPerInch]] as const)('%s: unit, layers, curve pole for pole, bulge of a half circle', (units, code, scale) => {
    const dxf = parse(units);
    // $INSUNITS: 1 inches, 4 millimetres (DXF reference, seen in a public document).
    expect(dxf?.header['$INSUNITS']).toBe(code);
    const spline = dxf?.entities.find((e) => e.type === 'SPLINE') as unknown as { controlPoints: { x: number; y: number }[]; knotValues: number[]; layer: string };
    expect(spline.layer).toBe('CURVE');
    expect(spline.knotValues).toEqual([...curve.knots]);
    spline.controlPoints.forEach((p, i) => {
      expect(p.x * scale).toBeCloseTo(curve.poles[i]![0], 9);
      expect(p.y * scale).toBeCloseTo(curve.poles[i]![1], 9);
    });
    const outline = dxf?.entities.find((e) => e.type === 'LWPOLYLINE') as unknown as { vertices: { x: number; bulge?: number }[]; shape: boolean };
    expect(outline.shape).toBe(true);
    expect(outline.vertices).toHaveLength(4);
    // bulge = tan(angle / 4): 1 for a half circle.
    expect(outline.vertices[1]?.bulge).toBeCloseTo(1, 12);
    const circle = dxf?.entities.find((e) => e.type === 'CIRCLE') as unknown as { radius: number };
    expect(circle.radius * scale).toBeCloseTo(1.25, 9);
  });

  test('same drawing, same bytes', () => expect(dxfText(drawing, 'mm')).toBe(dxfText(drawing, 'mm')));
});

describe('shapes', () => {
  test('a rounded rectangle: four lines, four quarter circles that bulge outwards', () => {
    const outline = roundedOutline([[0, 0], [40, 0], [40, 20], [0, 20]].map(([x, y]) => ({ at: [x, y] as const as readonly [number, number], radius: 5 })));
    const arcs = outline.filter((s) => s.kind === 'arc');
    expect(arcs).toHaveLength(4);
    for (const arc of arcs) if (arc.kind === 'arc') expect(arc.sweep).toBeCloseTo(Math.PI / 2, 12);
    expect(arcs.map((a) => (a.kind === 'arc' ? a.centre.map((v) => Number(v.toFixed(9))) : []))).toEqual([[5, 5], [35, 5], [35, 15], [5, 15]]);
    outline.forEach((s, i) => {
      const next = outline[(i + 1) % outline.length]!;
      if (s.kind !== 'cubic' && next.kind !== 'cubic') expect(Math.hypot(s.to[0] - next.from[0], s.to[1] - next.from[1])).toBeLessThan(1e-9);
    });
  });

  test('a dimension says its figure, reads from below or the right, and keeps its side', () => {
    const text = (marks: readonly Mark[]) => marks.find((m) => m.kind === 'text') as Extract<Mark, { kind: 'text' }>;
    expect(text(dimension([0, 0], [50, 0], 10, '50', 3))).toMatchObject({ text: '50', turn: 0 });
    expect(text(dimension([50, 0], [0, 0], 10, '50', 3)).turn).toBeCloseTo(360, 9);
    expect(text(dimension([0, 0], [0, 30], 10, '30', 3)).turn).toBeCloseTo(90, 9);
    expect(text(dimension([0, 30], [0, 0], 10, '30', 3)).turn).toBeCloseTo(90, 9);
    expect(dimension([0, 0], [0, 0], 5, '0', 3)).toEqual([]);
  });

  test('bounds hold every mark', () => {
    expect(boundsOf({ marks: [polyline('outline', [[1, 2], [5, -3]])] })).toEqual({ least: [1, -3], most: [5, 2] });
    expect(boundsOf({ marks: [] })).toEqual({ least: [0, 0], most: [1, 1] });
  });
});
