/** The section from contours known exactly: trimming, offset, corners, outline, and every refusal with its cure. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { derivativesAt, domainOf, mapPoles, pointAt, reversed, sampleCurve, type BSplineCurve } from '../../src/maths/bspline.ts';
import { interpolateCubic } from '../../src/maths/interpolate.ts';
import { arcLength, nearestOn, piecewiseOf } from '../../src/maths/piecewise.ts';
import { selfCrossing, signedArea } from '../../src/maths/polygon.ts';
import { tolerance } from '../../src/maths/tolerance.ts';
import type { Vec2 } from '../../src/maths/vec.ts';
import type { Body } from '../../src/job/schema.ts';
import { unwrap, type Issue } from '../../src/result.ts';
import type { FairedContour } from '../../src/contour/contour.ts';
import { largestSkin, offsetError } from '../../src/section/roof.ts';
import { sectionOf } from '../../src/section/sectionOf.ts';
import type { Loop, Section } from '../../src/section/section.ts';
import { fair, fairly, shapes, tableOf } from '../contour/tables.ts';

const plainBody: Body = {
  width: 120,
  wall: 3,
  skin: 3,
  frontFoot: 0,
  backFoot: 0,
  leftEnd: { closed: true },
  rightEnd: { closed: true },
  outsideRadius: 3,
  insideCornerRadius: 4,
  insideRoofRadius: 4,
};
/** Only the spans of a contour are read. */
const contourOf = (...spans: BSplineCurve[]): FairedContour => ({ spans, report: null as never });
const through = (f: (x: number) => number, from: number, to: number, n = 60): BSplineCurve =>
  interpolateCubic(Array.from({ length: n + 1 }, (_, i): Vec2 => [from + ((to - from) * i) / n, f(from + ((to - from) * i) / n)]));
const sectionWith = (contour: FairedContour, body: Partial<Body> = {}): Section => unwrap(sectionOf(contour, { ...plainBody, ...body }));
const issuesWith = (contour: FairedContour, body: Partial<Body> = {}): readonly Issue[] => {
  const result = sectionOf(contour, { ...plainBody, ...body });
  if (result.ok) throw new Error('was accepted');
  return result.issues;
};

/** An outline as points, curves within 1e-4 mm. */
function pointsOf(loop: Loop): Vec2[] {
  return loop.segments.flatMap((s): Vec2[] => {
    if (s.kind === 'line') return [s.from];
    if (s.kind === 'cubic') {
      const line = sampleCurve(s.curve, 1e-4);
      return (s.reversed ? line.reverse() : line).slice(0, -1);
    }
    const a = Math.atan2(s.from[1] - s.centre[1], s.from[0] - s.centre[0]);
    return Array.from({ length: 200 }, (_, i): Vec2 => [s.centre[0] + s.radius * Math.cos(a + (s.sweep * i) / 200), s.centre[1] + s.radius * Math.sin(a + (s.sweep * i) / 200)]);
  });
}
const ends = (s: Loop['segments'][number]): readonly [Vec2, Vec2] =>
  s.kind !== 'cubic' ? [s.from, s.to] : s.reversed ? [s.curve.poles.at(-1)!, s.curve.poles[0]!] : [s.curve.poles[0]!, s.curve.poles.at(-1)!];
const directions = (s: Loop['segments'][number]): readonly [number, number] => {
  if (s.kind === 'line') return [Math.atan2(s.to[1] - s.from[1], s.to[0] - s.from[0]), Math.atan2(s.to[1] - s.from[1], s.to[0] - s.from[0])];
  if (s.kind === 'arc') {
    const side = (Math.sign(s.sweep) * Math.PI) / 2;
    return [Math.atan2(s.from[1] - s.centre[1], s.from[0] - s.centre[0]) + side, Math.atan2(s.to[1] - s.centre[1], s.to[0] - s.centre[0]) + side];
  }
  const curve = s.reversed ? reversed(s.curve) : s.curve;
  const [from, to] = domainOf(curve);
  const d = [from, to].map((u) => derivativesAt(curve, u, 1)[1]!);
  return [Math.atan2(d[0]![1], d[0]![0]), Math.atan2(d[1]![1], d[1]![0])];
};
const turn = (a: number, b: number): number => Math.abs(Math.atan2(Math.sin(b - a), Math.cos(b - a)));

function expectSound(s: Section): void {
  expect(s.top[0]!.poles[0]![0]).toBe(0);
  expect(s.top.at(-1)!.poles.at(-1)![0]).toBe(s.length);
  expect(s.roof[0]!.poles[0]![0]).toBe(s.wall);
  expect(s.roof.at(-1)!.poles.at(-1)![0]).toBe(s.length - s.wall);
  for (const chain of [s.top, s.roof]) {
    chain.slice(1).forEach((span, k) => expect(span.poles[0]).toEqual(chain[k]!.poles.at(-1)));
    let x = -Infinity;
    for (const span of chain) {
      expect(span.knots.length).toBe(span.poles.length + 4);
      for (const p of sampleCurve(span, 1e-3)) {
        expect(p[0]).toBeGreaterThanOrEqual(x);
        x = p[0];
      }
    }
  }
  expect(s.roofError).toBeLessThanOrEqual(tolerance.offset);
  expect(offsetError(s.top, s.roof, s.skin)).toBe(s.roofError);
  s.outline.segments.forEach((segment, i) => {
    const next = s.outline.segments[(i + 1) % s.outline.segments.length]!;
    expect(ends(segment)[1]).toEqual(ends(next)[0]);
  });
  const points = pointsOf(s.outline);
  expect(signedArea(points)).toBeGreaterThan(0);
  expect(selfCrossing([...points, points[0]!])).toBeNull();
}

describe('a flat top is all known in closed form', () => {
  const flat = contourOf(through(() => 30, 100, 180, 5));

  test('roof, sizes and area of the outline', () => {
    const s = sectionWith(flat);
    expectSound(s);
    expect(s).toMatchObject({ length: 80, frontStation: 100, wall: 3, skin: 3, stepAt: 40 });
    for (const p of sampleCurve(s.roof[0]!, 0.01)) expect(p[1]).toBeCloseTo(27, 12);
    expect(s.roofError).toBeLessThan(1e-12);
    // Two walls and a skin; the outside corners lose (1 - pi/4) r^2 each, the inside ones keep it.
    const corner = 1 - Math.PI / 4;
    const area = 2 * 3 * 30 + 3 * 74 - 2 * corner * 9 + 2 * corner * 16;
    expect(signedArea(pointsOf(s.outline))).toBeCloseTo(area, 3);
    expect(s.outline.segments.map((g) => g.kind).join(' ')).toBe('line line arc cubic arc line line line arc cubic arc line');
  });

  test('sharp edges: no arcs, the same corners', () => {
    const s = sectionWith(flat, { outsideRadius: 0, insideRoofRadius: 0 });
    expectSound(s);
    expect(s.outline.segments.every((g) => g.kind !== 'arc')).toBe(true);
    expect(signedArea(pointsOf(s.outline))).toBeCloseTo(2 * 3 * 30 + 3 * 74, 9);
  });

  test('stepped feet', () => {
    const s = sectionWith(flat, { backFoot: 12, stepAt: 50 });
    expectSound(s);
    expect(s).toMatchObject({ frontFoot: 0, backFoot: 12, stepAt: 50 });
    expect(Math.min(...pointsOf(s.outline).filter((p) => p[0] > 70).map((p) => p[1]))).toBe(12);
  });
});

describe('trimming', () => {
  const contour = fairly(tableOf(shapes.crown, 30, 0.05, 1), { readingError: 0.05 });

  test('the top is the faired curve itself, to the last bit where it is not cut', () => {
    const s = sectionWith(contour);
    expect(s.top[0]!.poles).toEqual(contour.spans[0]!.poles);
    expect(s.top[0]!.knots).toEqual(contour.spans[0]!.knots);
    expectSound(s);
  });

  test('cut at stations anywhere it is the same curve, moved', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 150, noNaN: true }), fc.double({ min: 200, max: 380, noNaN: true }), (front, back) => {
        const s = sectionWith(contour, { front, back });
        expect(s.length).toBe((Math.abs(back - 380) <= tolerance.point ? 380 : back) - (front <= tolerance.point ? 0 : front));
        const [from, to] = domainOf(s.top[0]!);
        for (let k = 0; k <= 20; k++) {
          const u = from + ((to - from) * k) / 20;
          const [a, b] = [pointAt(s.top[0]!, u), pointAt(contour.spans[0]!, u)];
          expect(Math.hypot(a[0] + s.frontStation - b[0], a[1] - b[1])).toBeLessThan(1e-9);
        }
        expectSound(s);
      }),
      { numRuns: 40 },
    );
  });

  test('cut exactly at a knot, and in the middle of the second span', () => {
    const knot = contour.spans[0]!.knots[10]!;
    const station = pointAt(contour.spans[0]!, knot)[0];
    expectSound(sectionWith(contour, { front: station }));
    const bent = contourOf(through((x) => 30 + 0.1 * x, 0, 50), through((x) => 35 - 0.05 * (x - 50), 50, 120));
    const s = sectionWith(bent, { front: 60, back: 110 });
    expect(s.top).toHaveLength(1);
    expectSound(s);
    expectSound(sectionWith(bent, { front: 50 }));
    expectSound(sectionWith(bent, { back: 50 }));
  });

  test('beyond the readings, or the wrong way round: refused with the cure', () => {
    const found = issuesWith(contour, { front: -5, back: 400 });
    expect(found.map((i) => i.at)).toEqual(['body.front', 'body.back']);
    expect(found[0]!.message).toBe('The front station is -5 mm; expected it within the readings, 0 mm to 380 mm.');
    expect(issuesWith(contour, { front: 200, back: 100 })[0]!.code).toBe('stations-reversed');
  });
});

describe('roof', () => {
  test.each(Object.entries(shapes))('%s, faired from noisy readings: within tolerance of the true offset, by brute force', (_, f) => {
    const contour = fairly(tableOf(f, 30, 0.05, 2), { readingError: 0.05 });
    for (const skin of [1, 3, 8]) {
      const s = sectionWith(contour, { skin, insideRoofRadius: 2 });
      expectSound(s);
      expect(s.roof).toHaveLength(1);
      const p = piecewiseOf(s.top[0]!);
      const inner = sampleCurve(s.roof[0]!, 1e-3).filter(([x]) => x > 12 && x < s.length - 12);
      for (const at of inner) expect(Math.abs(nearestOn(p, at).distance - skin)).toBeLessThan(tolerance.offset);
    }
  });

  test('an arc of radius R gives an arc of radius R - skin', () => {
    const s = sectionWith(contourOf(through((x) => Math.sqrt(90 * 90 - (x - 60) ** 2) - 40, 0, 120)), { skin: 5, insideRoofRadius: 0 });
    // The ends of the interpolated arc are natural, not circular: looked at away from them.
    for (const [x, z] of sampleCurve(s.roof[0]!, 1e-3).filter((p) => p[0] > 20 && p[0] < 100)) expect(Math.hypot(x - 60, z + 40)).toBeCloseTo(85, 2);
  });

  test('a top that rises steeply from the wall: the offset stops short and runs on straight, tangent', () => {
    const s = sectionWith(contourOf(through((x) => 20 + 1.2 * x - 0.006 * x * x, 0, 100)), { skin: 8, wall: 3, outsideRadius: 0, insideRoofRadius: 0 });
    expectSound(s);
    const p = piecewiseOf(s.top[0]!);
    const [t0, t1] = [derivativesAt(s.top[0]!, domainOf(s.top[0]!)[0], 1)[1]!, derivativesAt(s.roof[0]!, domainOf(s.roof[0]!)[0], 1)[1]!];
    expect(Math.atan2(t1[1], t1[0])).toBeCloseTo(Math.atan2(t0[1], t0[0]), 5);
    expect(nearestOn(p, s.roof[0]!.poles[0]!).distance).toBeGreaterThan(8);
  });

  test('a crown too tight for the skin names station, radius and the largest skin that works; that one works', () => {
    const crown = (x: number): number => 30 + 12 / (1 + ((x - 60) / 8) ** 2);
    const contour = contourOf(mapPoles(through(crown, 0, 120, 1200), ([x, z]) => [x + 500, z]));
    const issue = issuesWith(contour, { skin: 6 })[0]!;
    expect(issue).toMatchObject({ code: 'skin-folds', at: 'body.skin' });
    // Curvature at the top of h / (1 + (x/w)^2) is 2 h / w^2: radius 64 / 24 = 2.67.
    expect(issue.message).toMatch(/station 560\.\d\d mm has a radius of 2\.6\d mm/);
    const most = Number(/skin ([\d.]+) mm or less/.exec(issue.hint)![1]);
    expect(most).toBeCloseTo(64 / 24 - tolerance.leastRoofRadius, 1);
    const s = sectionWith(contour, { skin: most, insideRoofRadius: 0 });
    expectSound(s);
    expect(issuesWith(contour, { skin: most + 0.02 })[0]!.code).toBe('skin-folds');
    expect(largestSkin(s.top, 6, 3, 117)).toBe(most);
  });

  test('a tight dip does not fold: seen from inside it only gets rounder', () => {
    const dip = contourOf(through((x) => 40 - 12 / (1 + ((x - 60) / 8) ** 2), 0, 120, 120));
    const s = sectionWith(dip, { skin: 6 });
    expectSound(s);
  });

  test('a tight crown over the wall does not matter: the roof is not there', () => {
    const lip = contourOf(through((x) => 30 + 3 * Math.exp(-((x / 2) ** 2)), 0, 120, 240));
    expectSound(sectionWith(lip, { wall: 12, skin: 8, outsideRadius: 0, insideRoofRadius: 0 }));
  });
});

describe('corners', () => {
  const ridge = contourOf(through((x) => 30 + 0.3 * x, 0, 60), through((x) => 48 - 0.2 * (x - 60), 60, 130));
  const valley = contourOf(through((x) => 48 - 0.3 * x, 0, 60), through((x) => 30 + 0.2 * (x - 60), 60, 130));

  test.each([['ridge', ridge], ['valley', valley]] as const)('%s: two straight tops give two straight roofs that meet on the bisector', (_, contour) => {
    const s = sectionWith(contour, { skin: 5 });
    expectSound(s);
    expect(s.roof).toHaveLength(2);
    const corner = s.top[1]!.poles[0]!;
    const joint = s.roof[1]!.poles[0]!;
    const [a, b] = [Math.atan(contour === ridge ? 0.3 : -0.3), Math.atan(contour === ridge ? -0.2 : 0.2)];
    // On the bisector of the normals, skin / cos(half the turn) below the corner.
    const middle = (a + b) / 2;
    const reach = 5 / Math.cos((a - b) / 2);
    expect(joint[0]).toBeCloseTo(corner[0] + reach * Math.sin(middle), 6);
    expect(joint[1]).toBeCloseTo(corner[1] - reach * Math.cos(middle), 6);
  });

  test('curved spans meeting at a ridge and at a valley', () => {
    const contour = contourOf(
      through((x) => 35 + 0.2 * x - 0.002 * x * x, 0, 50),
      through((x) => 40 - 0.25 * (x - 50) + 0.003 * (x - 50) ** 2, 50, 90),
      through((x) => 34.8 + 0.3 * (x - 90) - 0.003 * (x - 90) ** 2, 90, 150),
    );
    for (const skin of [1, 3, 6]) {
      const s = sectionWith(contour, { skin });
      expectSound(s);
      expect(s.roof).toHaveLength(3);
    }
  });

  test('a corner inside the wall leaves no corner in the roof', () => {
    const s = sectionWith(contourOf(through((x) => 30 + x, 0, 2, 3), through((x) => 32 + 0.05 * (x - 2), 2, 120)), { wall: 6, outsideRadius: 0 });
    expect(s.top).toHaveLength(2);
    expect(s.roof).toHaveLength(1);
    expectSound(s);
  });

  test('a marked corner without an angle is no corner', () => {
    const one = through((x) => 30 + 0.1 * x, 0, 60);
    const s = sectionWith(contourOf(one, through((x) => 36 + 0.1 * (x - 60), 60, 130)));
    expectSound(s);
    expect(s.roof).toHaveLength(2);
  });

  test('corners too close together for the skin', () => {
    const tooth = contourOf(through((x) => 30 + 0.9 * x, 0, 30, 5), through((x) => 57 + 0.2 * (x - 30), 30, 32, 5), through((x) => 57.4 - 0.9 * (x - 32), 32, 60, 5));
    expect(issuesWith(tooth, { skin: 6 })[0]!.code).toBe('corners-too-close');
  });

  test('corners marked in the readings, end to end', () => {
    const roof = (x: number): number => (x < 150 ? 30 + 0.2 * x : 60 - 0.1 * (x - 150));
    const table = tableOf(roof, 39, 0.02, 6).map((p) => (Math.abs(p.x - 150) < 1e-9 ? { ...p, corner: true } : p));
    const s = sectionWith(fairly(table, { readingError: 0.02 }));
    expect(s.top).toHaveLength(2);
    expectSound(s);
  });
});

describe('outline', () => {
  const s = sectionWith(fairly(tableOf(shapes.dip, 30, 0.05, 3), { readingError: 0.05 }), { outsideRadius: 5, insideRoofRadius: 3.5 });

  test('arcs touch wall and curve without a kink; the other corners are square or as drawn', () => {
    const kinds = s.outline.segments.map((g) => g.kind);
    s.outline.segments.forEach((g, i) => {
      const next = s.outline.segments[(i + 1) % kinds.length]!;
      if (g.kind !== 'arc' && next.kind !== 'arc') return;
      expect(turn(directions(g)[1], directions(next)[0])).toBeLessThan(1e-6);
    });
    for (const g of s.outline.segments) {
      if (g.kind !== 'arc') continue;
      for (const p of [g.from, g.to]) expect(Math.hypot(p[0] - g.centre[0], p[1] - g.centre[1])).toBeCloseTo(g.radius, 9);
      const a = Math.atan2(g.from[1] - g.centre[1], g.from[0] - g.centre[0]) + g.sweep;
      expect(g.centre[0] + g.radius * Math.cos(a)).toBeCloseTo(g.to[0], 9);
      expect(g.centre[1] + g.radius * Math.sin(a)).toBeCloseTo(g.to[1], 9);
    }
    expect(s.outline.segments.filter((g) => g.kind === 'arc').map((g) => [g.radius, Math.sign(g.sweep)])).toEqual([[3.5, -1], [3.5, -1], [5, 1], [5, 1]]);
  });

  test('area is what walls and skin come to (skin times mean length, by Pappus in the plane)', () => {
    const sharp = sectionWith(fairly(tableOf(shapes.arc, 30, 0.05, 3), { readingError: 0.05 }), { outsideRadius: 0, insideRoofRadius: 0 });
    const top = sharp.top[0]!;
    const area = signedArea(pointsOf(sharp.outline));
    // Between the inner faces: top area less roof area, each from its own curve, plus the two walls.
    const under = (curve: BSplineCurve): number => {
      const line = sampleCurve(curve, 1e-4);
      let sum = 0;
      for (let i = 1; i < line.length; i++) sum += ((line[i]![1] + line[i - 1]![1]) / 2) * (line[i]![0] - line[i - 1]![0]);
      return sum;
    };
    expect(area).toBeCloseTo(under(top) - under(sharp.roof[0]!), 2);
    const mean = (arcLength(piecewiseOf(top)) + arcLength(piecewiseOf(sharp.roof[0]!))) / 2;
    expect(Math.abs(area - (mean * 3 + 2 * 3 * 25)) / area).toBeLessThan(0.1);
  });

  test('radii that have no room are named with the largest that does, which works', () => {
    const contour = fairly(tableOf(shapes.arc, 30, 0.05, 3), { readingError: 0.05 });
    const found = issuesWith(contour, { outsideRadius: 60, insideRoofRadius: 55 });
    expect(found.map((i) => i.at)).toEqual(['body.outsideRadius', 'body.insideRoofRadius']);
    const [outside, inside] = found.map((i) => Number(/Set it to ([\d.]+) mm/.exec(i.hint)![1]));
    expectSound(sectionWith(contour, { outsideRadius: outside!, insideRoofRadius: inside! }));
    expect(issuesWith(contour, { outsideRadius: outside! + 0.1, insideRoofRadius: inside! + 0.1 })).toHaveLength(2);
  });
});

describe('refused, every reason at once', () => {
  const contour = contourOf(through(shapes.taper, 0, 380));

  test('walls that meet, feet both off the seat, a step in the wall', () => {
    const found = issuesWith(contour, { wall: 200, frontFoot: 2, backFoot: 5, stepAt: 1 });
    expect(found.map((i) => i.code)).toEqual(['walls-meet', 'no-foot-on-seat', 'step-outside-cavity']);
    expect(found[0]!.hint).toContain('189.75 mm');
    expect(found[1]!.at).toBe('body.frontFoot');
  });

  test('a top lower than foot and skin names the lowest station', () => {
    const issue = issuesWith(contour, { backFoot: 20 })[0]!;
    expect(issue).toMatchObject({ code: 'top-below-foot', at: 'body.backFoot' });
    expect(issue.message).toContain('21 mm high at station 380 mm');
    expect(sectionOf(contour, { ...plainBody, backFoot: 17, insideRoofRadius: 0 }).ok).toBe(true);
  });

  test('a roof on the floor', () => {
    const found = issuesWith(contour, { skin: 20.9, outsideRadius: 0, insideRoofRadius: 0 });
    expect(found[0]).toMatchObject({ code: 'no-cavity' });
  });

  test('a vertical or overhanging contour names the station; trimmed clear of it, it is accepted', () => {
    const nose = fairly(
      Array.from({ length: 60 }, (_, i) => {
        const a = Math.PI + 0.5 - (2.2 * i) / 59;
        return { x: 50 + 50 * Math.cos(a), z: 60 + 50 * Math.sin(a), corner: false, leaveOut: false };
      }),
      { readingError: 0.01 },
    );
    const issue = issuesWith(nose, {})[0]!;
    expect(issue.code).toBe('contour-not-forward');
    expect(issue.message).toMatch(/station (0|-0)\.\d\d mm/);
    expect(issuesWith(nose, { front: 0.05 })[0]!.code).toMatch(/contour-(too-steep|not-forward)/);
    const s = sectionWith(nose, { front: 10, outsideRadius: 1, insideRoofRadius: 0 });
    expectSound(s);
    // Of the two branches over that station the upper one is the top.
    expect(s.top[0]!.poles[0]![1]).toBeGreaterThan(60);
  });

  test('steeper than 85 deg', () => {
    const cliff = contourOf(through((x) => 40 - 18 * Math.tanh((x - 50) / 0.5), 0, 100, 400));
    expect(issuesWith(cliff, {})[0]).toMatchObject({ code: 'contour-too-steep' });
  });
});

test('random jobs are sound or refused by name, never thrown', () => {
  const number = (min: number, max: number): fc.Arbitrary<number> => fc.double({ min, max, noNaN: true });
  const refused: Record<string, number> = {};
  let made = 0;
  fc.assert(
    fc.property(
      fc.array(number(8, 60), { minLength: 4, maxLength: 9 }),
      fc.array(fc.boolean(), { minLength: 9, maxLength: 9 }),
      fc.record({ wall: number(0.5, 20), skin: number(0.5, 20), backFoot: fc.oneof(fc.constant(0), number(0, 30)), outsideRadius: fc.oneof(fc.constant(0), number(0.5, 20)), insideRoofRadius: fc.oneof(fc.constant(0), number(0.5, 20)) }),
      (heights, corners, body) => {
        const table = heights.map((z, i) => ({ x: 25 * i, z, corner: corners[i]! && i % 2 === 0, leaveOut: false }));
        const contour = fair(table, { readingError: 1 });
        if (!contour.ok) return;
        const result = sectionOf(contour.value, { ...plainBody, ...body });
        if (result.ok) {
          expectSound(result.value);
          made++;
        } else for (const issue of result.issues) refused[issue.code] = (refused[issue.code] ?? 0) + 1;
      },
    ),
    { numRuns: 300 },
  );
  expect(made).toBeGreaterThan(30);
});
