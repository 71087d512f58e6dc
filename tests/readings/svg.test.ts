/**
 * SVG drawings of side profiles in the conventions of general drawing programs. Expected points from the shapes' own
 * definitions (SVG 1.1, from memory); transforms against svgpath's matrices, Beziers against bezier-js.
 */
import { Bezier } from 'bezier-js';
import fc from 'fast-check';
import { readFileSync } from 'node:fs';
import svgpath from 'svgpath';
import { describe, expect, test } from 'vitest';
import { readSvg } from '../../src/readings/svg.ts';
import type { DrawingOptions } from '../../src/readings/drawing.ts';
import type { Readings } from '../../src/readings/reading.ts';
import { apply, compose, readSize, readTransform, readViewBox } from '../../src/readings/svgFrame.ts';
import { sayIssue } from '../../src/result.ts';

const read = (text: string, options: Partial<DrawingOptions> = {}): Readings => {
  const result = readSvg(text, { units: 'mm', ...options });
  if (!result.ok) throw new Error(result.issues.map(sayIssue).join('\n'));
  return result.value;
};
const issues = (text: string, options: Partial<DrawingOptions> = {}) => {
  const result = readSvg(text, { units: 'mm', ...options });
  if (result.ok) throw new Error(`read ${result.value.points.length} points`);
  for (const issue of result.issues) {
    expect(issue.hint).not.toBe('');
    expect(issue.message.length).toBeLessThan(700);
  }
  return result.issues;
};
const fixture = (name: string): string => readFileSync(new URL(`../fixtures/readings/${name}`, import.meta.url), 'utf8');
/** 400 x 100 mm, a user unit is a millimetre; height 100 - y. */
const sheet = (inside: string, head = 'width="400mm" height="100mm" viewBox="0 0 400 100"'): string => `<svg xmlns="http://www.w3.org/2000/svg" ${head}>${inside}</svg>`;
const path = (d: string, more = ''): string => `<path id="p" d="${d}" ${more}/>`;

describe('fixture files', () => {
  test('mm page, nested transforms, relative Beziers, defs and text passed over', () => {
    const { mm, points, remarks, provenance } = read(fixture('profile.svg'), { file: 'profile.svg' });
    // translate(10,20) then half size: (20, 400) -> (20, 220), and up from the lower edge 297 - 220.
    expect(points[0]).toEqual({ x: 20, z: 77 });
    // Far end 20 + 40*... drawn: x 20 + 140 + 160 = 320, y 400 - 120 + 90 = 370 -> (170, 205).
    expect(mm.at(-1)).toEqual({ x: 170, z: 92 });
    const curve = new Bezier([{ x: 20, y: 400 }, { x: 60, y: 320 }, { x: 100, y: 280 }, { x: 160, y: 280 }]);
    for (let i = 0; i <= 20; i++) {
      const p = curve.get(i / 20);
      const [x, z] = [10 + p.x / 2, 297 - (20 + p.y / 2)];
      const least = Math.min(...mm.map((q, k) => (k === 0 ? Infinity : toStroke([x, z], mm[k - 1] as { x: number; z: number }, q))));
      expect(least).toBeLessThan(0.011);
    }
    expect(remarks).toMatchObject([{ code: 'not-read', message: 'Not read: 1 text and 1 rect.' }]);
    expect(provenance.words).toContain('id "top"');
    expect(provenance.units).toBe('mm by width, height and viewBox, 1 mm to the user unit');
  });

  test('a page in px: the unit must be confirmed; its script is data', () => {
    expect(issues(fixture('profile-px.svg'))[0]).toMatchObject({
      code: 'unit-not-stated',
      message: 'The SVG does not say how large it is: width is "960", viewBox "0 0 960 480". The drawing is 960 units wide: 254 mm at 96 px to the inch, 960 mm if a unit is a millimetre.',
    });
    const { mm, points } = read(fixture('profile-px.svg'), { fileUnit: 'px' });
    expect(mm[0]?.x).toBeCloseTo(25.4, 9);
    expect(mm[0]?.z).toBeCloseTo(50.8, 9);
    expect(points).toHaveLength(7);
    expect(points[0]).toEqual({ x: 25.4, z: 50.8 });
    expect(read(fixture('profile-px.svg'), { fileUnit: 'mm' }).points[1]).toEqual({ x: 192, z: 240 });
    expect(read(fixture('profile-px.svg'), { fileUnit: 'px', units: 'inch' }).points[0]).toEqual({ x: '25.4mm', z: '50.8mm' });
  });
});

function toStroke([px, pz]: readonly [number, number], a: { x: number; z: number }, b: { x: number; z: number }): number {
  const [dx, dz] = [b.x - a.x, b.z - a.z];
  const t = Math.min(1, Math.max(0, ((px - a.x) * dx + (pz - a.z) * dz) / (dx * dx + dz * dz || 1)));
  return Math.hypot(px - a.x - t * dx, pz - a.z - t * dz);
}

describe('shapes', () => {
  test('circular arcs keep their radius to 1e-8 mm', () => {
    for (const d of ['M 50 80 A 150 150 0 0 1 350 80', 'M50,80a150 150 0 01300 0', 'M350 80A150 150 0 0 0 50 80']) {
      const { mm } = read(sheet(path(d)));
      expect(mm.length).toBeGreaterThan(60);
      for (const { x, z } of mm) expect(Math.hypot(x - 200, z - 20)).toBeCloseTo(150, 8);
      expect(mm[0]?.x).toBeCloseTo(50, 12);
    }
  });

  test('an ellipse turned and squeezed by transforms satisfies its own equation', () => {
    const { mm } = read(sheet(path('M 0 0 A 60 20 30 0 1 80 10', 'transform="translate(100 60) scale(2 0.5)"')));
    // Back into the path's own frame, where it must lie on one ellipse of half axes 60 and 20 turned by 30 deg.
    const local = mm.map(({ x, z }) => [(x - 100) / 2, (100 - z - 60) / 0.5] as const);
    const turned = local.map(([x, y]) => [x * Math.cos(Math.PI / 6) + y * Math.sin(Math.PI / 6), -x * Math.sin(Math.PI / 6) + y * Math.cos(Math.PI / 6)] as const);
    // Centre from two points on the ellipse is implied; check by fitting it: the two ends and any third give one centre.
    const centre = ellipseCentre(turned[0] as readonly [number, number], turned.at(-1) as readonly [number, number], 60, 20, turned[turned.length >> 1] as readonly [number, number]);
    for (const [x, y] of turned) expect(((x - centre[0]) / 60) ** 2 + ((y - centre[1]) / 20) ** 2).toBeCloseTo(1, 9);
  });

  test('radii too small are grown, zero radius is a line', () => {
    const { mm } = read(sheet(path('M 50 80 A 1 1 0 0 1 350 80')));
    for (const { x, z } of mm) expect(Math.hypot(x - 200, z - 20)).toBeCloseTo(150, 8);
    expect(read(sheet(path('M 50 80 A 0 5 0 0 1 350 70'))).points).toHaveLength(2);
  });

  test('every command, absolute and relative, says the same', () => {
    const absolute = read(sheet(path('M 10 80 L 50 60 H 90 V 50 C 100 40 120 40 140 45 S 170 55 190 50 Q 200 40 220 45 T 260 50 A 30 30 0 0 1 300 60'))).mm;
    const relative = read(sheet(path('m 10 80 l 40 -20 h 40 v -10 c 10 -10 30 -10 50 -5 s 30 10 50 5 q 10 -10 30 -5 t 40 5 a 30 30 0 0 1 40 10'))).mm;
    expect(relative).toHaveLength(absolute.length);
    absolute.forEach((p, i) => {
      expect(relative[i]?.x).toBeCloseTo(p.x, 9);
      expect(relative[i]?.z).toBeCloseTo(p.z, 9);
    });
  });

  test('line, polyline and lines end to end', () => {
    const corners = [{ x: 10, z: 20 }, { x: 60, z: 40 }, { x: 200, z: 30 }];
    expect(read(sheet('<polyline points="10,80 60,60 200,70"/>')).points).toEqual(corners);
    expect(read(sheet('<polyline points="200 70, 60 60, 10 80"/>')).points).toEqual(corners);
    expect(read(sheet('<line id="b" x1="60" y1="60" x2="200" y2="70"/><line id="a" x1="60" y1="60" x2="10" y2="80"/>')).points).toEqual(corners);
  });

  test('a polygon and a path with Z are closed', () => {
    expect(issues(sheet('<polygon id="g" points="10,80 60,60 200,70"/>'))).toMatchObject([{ code: 'path-closed', at: 'g' }]);
    expect(issues(sheet(path('M10 80 L60 60 L200 70 Z')))[0]?.code).toBe('path-closed');
  });

  test('several paths and parts are named with id and length, and chosen by id', () => {
    const text = sheet(`<path id="top" d="M 0 50 L 100 20 M 0 90 L 300 90"/><path d="M 0 95 L 50 95"/>`);
    expect(issues(text)[0]?.message).toBe('Expected one path, got 3: 1: id "top part 2", 300 mm from (0, 10) to (300, 10); 2: id "top part 1", 104.403 mm from (0, 50) to (100, 80); 3: id "unnamed 1", 50 mm from (0, 5) to (50, 5).');
    expect(read(text, { name: 'top part 1' }).points).toEqual([{ x: 0, z: 50 }, { x: 100, z: 80 }]);
    expect(read(text, { which: 3 }).points).toHaveLength(2);
  });

  test('hidden things and definitions are not drawn', () => {
    const { points } = read(sheet(`<g style="display:none">${path('M0 0L9 9')}</g><defs>${path('M0 0L9 9')}</defs><path d="M0 0 L5 5" visibility="hidden"/><path id="t" d="M0 50 L100 20"/>`));
    expect(points).toEqual([{ x: 0, z: 50 }, { x: 100, z: 80 }]);
  });
});

/** One of the two centres of an ellipse a, b through p and q (axes along x and y); the one nearer to satisfying r. */
function ellipseCentre(p: readonly [number, number], q: readonly [number, number], a: number, b: number, r: readonly [number, number]): readonly [number, number] {
  const [px, py, qx, qy] = [p[0] / a, p[1] / b, q[0] / a, q[1] / b];
  const [mx, my, dx, dy] = [(px + qx) / 2, (py + qy) / 2, qx - px, qy - py];
  const half = Math.hypot(dx, dy) / 2;
  const rise = Math.sqrt(1 - half * half) / (2 * half);
  const both = [1, -1].map((s) => [(mx - s * dy * rise) * a, (my + s * dx * rise) * b] as const);
  const miss = ([x, y]: readonly [number, number]): number => Math.abs(Math.hypot((r[0] - x) / a, (r[1] - y) / b) - 1);
  return [...both].sort((u, v) => miss(u) - miss(v))[0] as readonly [number, number];
}

describe('transforms, sizes, boxes', () => {
  test('against svgpath on random chains of transforms', () => {
    const n = fc.double({ min: -50, max: 50, noNaN: true }).map((v) => Number(v.toFixed(3)));
    const one = fc.oneof(
      fc.tuple(n, n).map(([x, y]) => `translate(${x},${y})`), n.map((x) => `translate(${x})`), fc.tuple(n, n).map(([x, y]) => `scale(${x} ${y})`), n.map((a) => `rotate(${a})`),
      fc.tuple(n, n, n).map(([a, x, y]) => `rotate(${a}, ${x}, ${y})`), n.map((a) => `skewX(${a})`), n.map((a) => `skewY(${a})`),
      fc.tuple(n, n, n, n, n, n).map((m) => `matrix(${m.join(' ')})`),
    );
    fc.assert(
      fc.property(fc.array(one, { maxLength: 3 }), fc.array(one, { maxLength: 2 }), n, n, (inner, outer, x, y) => {
        const map = compose(readTransform(outer.join(' ')) ?? [NaN, 0, 0, 0, 0, 0], readTransform(inner.join(',')) ?? [NaN, 0, 0, 0, 0, 0]);
        const got = apply(map, [x, y]);
        let theirs: number[] = [];
        svgpath(`M ${x} ${y} L 0 0`).transform(inner.join(' ')).transform(outer.join(' ')).iterate((segment, index) => {
          if (index === 0) theirs = segment.slice(1) as number[];
        });
        const size = Math.max(1, Math.abs(got[0]), Math.abs(got[1]), ...map.map(Math.abs));
        expect(Math.abs(got[0] - (theirs[0] ?? NaN)) / size).toBeLessThan(1e-9);
        expect(Math.abs(got[1] - (theirs[1] ?? NaN)) / size).toBeLessThan(1e-9);
      }),
      { numRuns: 300 },
    );
  });

  test.each(['rotate(45deg)', 'translate(5px)', 'foo(1)', 'scale(1,2,3)', 'matrix(1 2 3)', 'translate(1', 'rotate(1,2)', 'translate(NaN)', 'translate(1) junk', 'x'.repeat(5000)])('%s is not read as something else', (text) => {
    expect(readTransform(text)).toBeNull();
  });

  test('sizes', () => {
    expect([readSize('380mm'), readSize('38cm'), readSize(' 15in '), readSize('72pt'), readSize('6pc'), readSize('4Q')].map((size) => (size !== null && 'mm' in size ? Number(size.mm.toFixed(9)) : null))).toEqual([380, 380, 381, 25.4, 25.4, 1]);
    expect([readSize('100'), readSize('100px')]).toEqual([{ px: 100 }, { px: 100 }]);
    expect([readSize('100%'), readSize(undefined), readSize('wide'), readSize('-3mm'), readSize('0'), readSize('1e999mm'), readSize('9'.repeat(1e6))]).toEqual([null, null, null, null, null, null, null]);
    expect(readViewBox('0,0 100, 50')).toEqual([0, 0, 100, 50]);
    expect([readViewBox('0 0 0 5'), readViewBox('0 0 5'), readViewBox('a b c d'), readViewBox(undefined)]).toEqual([null, null, null, null]);
  });

  test('a box that starts elsewhere, a page in inches, one side only', () => {
    const d = path('M 100 50 L 300 20');
    expect(read(sheet(d, 'width="15.748031496in" height="3.937007874in" viewBox="50 -10 400 100"')).mm[0]?.x).toBeCloseTo(50, 6);
    expect(read(sheet(d, 'width="15.748031496in" height="3.937007874in" viewBox="50 -10 400 100"')).mm[0]?.z).toBeCloseTo(40, 6);
    expect(read(sheet(d, 'width="800mm" viewBox="0 0 400 100"')).points[0]).toEqual({ x: 200, z: 100 });
  });

  test('width and height that disagree', () => {
    const d = path('M 100 50 L 300 20');
    expect(read(sheet(d, 'width="400mm" height="200mm" viewBox="0 0 400 100"'))).toMatchObject({ points: [{ x: 100, z: 50 }, { x: 300, z: 80 }], remarks: [{ code: 'scale-differs' }] });
    expect(read(sheet(d, 'width="400mm" height="200mm" viewBox="0 0 400 100" preserveAspectRatio="none"')).points).toEqual([{ x: 100, z: 100 }, { x: 300, z: 160 }]);
  });

  test.each([['width="100%" height="100%" viewBox="0 0 400 100"'], ['viewBox="0 0 400 100"'], ['width="400mm" height="100mm"'], ['width="400" height="100"'], ['']])('%s leaves the unit open', (head) => {
    expect(issues(sheet(path('M0 0L9 9'), head))[0]?.code).toBe('unit-not-stated');
  });
});

describe('bad and hostile input', () => {
  test.each([
    ['nothing', '', 'empty'], ['binary', '\u0000', 'not-text'], ['not XML', 'x,z\n1,2', 'not-svg'], ['HTML', '<html><body/></html>', 'not-svg'], ['cut short', '<svg><path d="M0 0', 'not-svg'],
    ['crossed tags', '<svg><g></svg></g>', 'not-svg'], ['nothing drawn', sheet('<rect width="5" height="5"/>'), 'nothing-drawn'], ['a bad path', sheet(path('M 0 0 L 5')), 'shape-damaged'],
    ['words in points', sheet('<polyline points="a b"/>'), 'shape-damaged'], ['odd points', sheet('<polyline points="1 2 3"/>'), 'shape-damaged'], ['words in a line', sheet('<line x1="a" y1="0" x2="5" y2="5"/>'), 'shape-damaged'],
    ['a transform with units', sheet(path('M0 0L5 5', 'transform="rotate(45deg)"')), 'transform-not-read'], ['a CSS transform', sheet(`<g style="transform: rotate(5deg)">${path('M0 0L5 5')}</g>`), 'transform-not-read'],
    ['huge numbers', sheet(path('M 0 0 L 1e308 1e308 L 1e308 5')), 'drawing-too-large'], ['an undeclared entity', sheet('<text>&lol;</text>'), 'not-svg'],
    ['an external entity', '<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]><svg>&x;</svg>', 'entities-refused'],
  ])('%s', (_, text, code) => expect(issues(text)[0]?.code).toBe(code));

  test('entities that multiply are refused unread', () => {
    const laughs = `<?xml version="1.0"?><!DOCTYPE svg [<!ENTITY a "ha">${Array.from({ length: 30 }, (_, i) => `<!ENTITY l${i} "${`&l${i - 1};`.repeat(10)}">`).join('')}]><svg>&l29;</svg>`;
    expect(issues(laughs)).toMatchObject([{ code: 'entities-refused' }]);
  });

  test('a plain document type, as older programs write it, is harmless', () => {
    const text = `<?xml version="1.0"?>\n<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">\n${sheet(path('M0 50 L100 20'))}`;
    expect(read(text).points).toHaveLength(2);
  });

  test('tags nested a hundred thousand deep', () => {
    expect(issues(`<svg>${'<g>'.repeat(100_000)}${'</g>'.repeat(100_000)}</svg>`)).toMatchObject([{ code: 'nested-too-deep' }]);
  });

  test('every damaged shape at once, up to twenty', () => {
    expect(issues(sheet(path('M 0 0 L 5').repeat(7)))).toHaveLength(7);
    expect(issues(sheet(path('M 0 0 L 5').repeat(500)))).toHaveLength(20);
  });

  test('ids and attributes named __proto__', () => {
    expect(read(sheet('<path id="__proto__" __proto__="x" constructor="y" d="M0 50 L100 20"/>')).provenance.words).toContain('"__proto__"');
  });

  test('markup in ids stays text', () => {
    const [issue] = issues(sheet('<path id="&lt;img onerror=1&gt;" d="M0 0L5"/>'));
    expect(issue?.at).toBe('<img onerror=1>');
  });

  test('any pile of tags and path words: readings or issues, never a throw', () => {
    const bit = fc.constantFrom('<g>', '</g>', '<path d="', '"/>', 'M', 'L', 'A', 'Z', 'C', '1', '-5', '.5e3', ',', ' ', '<line x1="', '" y1="', '<polyline points="', '<!--', '-->', '&amp;', '&', '<![CDATA[', ']]>', '<use href="#a"/>', '<svg>', '</svg>', 'transform="scale(2)"');
    fc.assert(
      fc.property(fc.array(bit, { maxLength: 40 }), (bits) => {
        const result = readSvg(sheet(bits.join('')), { units: 'mm' });
        if (result.ok) for (const { x, z } of result.value.mm) expect(Number.isFinite(x) && Number.isFinite(z)).toBe(true);
        else for (const issue of result.issues) expect(issue.hint).not.toBe('');
      }),
      { numRuns: 3000 },
    );
  });
});
