/** What each cut needs and which cutter of a drawer does it. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { cutterDrawer } from '../../src/checks/drawer.ts';
import { cuttingOf, depthsOf, sayNeed } from '../../src/holding/cutting.ts';
import { readCutters } from '../../src/holding/readCutters.ts';
import type { CutterDrawer } from '../../src/holding/cutterFile.ts';
import type { JobDocument } from '../../src/job/schema.ts';
import { unwrap } from '../../src/result.ts';
import { planned, plain } from '../checks/part.ts';

const document: JobDocument = {
  ...plain,
  tabs: [{ wall: 'front', at: 40, rootRadius: 1.5 }],
  bosses: [{ x: 40, y: 30, thread: 'M5', holeDepth: 12, endHeight: 5 }, { x: 90, y: 50, thread: 'M5', holeDepth: 14, endHeight: 10 }],
};
const drawer = (...cutters: CutterDrawer['cutters']): CutterDrawer => ({ coverwrightCutters: 1, shop: '', units: 'mm', cutters });
const cutter = (kind: CutterDrawer['cutters'][number]['kind'], diameter: number, more: Partial<CutterDrawer['cutters'][number]> = {}): CutterDrawer['cutters'][number] => ({ name: `${kind} ${diameter}`, kind, diameter, cornerRadius: 0, note: '', ...more });

const need = (what: string, doc: JobDocument, box: CutterDrawer | null) => {
  const { job, plan } = planned(doc);
  return cuttingOf(job, plan, box).needs.find((one) => one.what.startsWith(what))!;
};

describe('needs', () => {
  test('holes of one size share a line, and the deepest decides the reach', () => {
    const drill = need('Drill B', document, null);
    expect(drill.what).toBe('Drill B1, B2');
    // ISO 2306 / DIN 336: 4.2 for M5 (seen on a secondary page).
    expect(drill.exact).toBeCloseTo(4.2, 9);
    expect(drill.reach).toBeCloseTo(10 + 14, 9);
  });
  test('the wall cutter is held by the inside corners as well as by the stated one', () => {
    const tight = { ...document, body: { ...document.body, insideCornerRadius: 3 } } as JobDocument;
    expect(need('Inside, rough', document, null).most).toBe(8);
    expect(need('Inside, rough', tight, null).most).toBe(6);
  });
  test('the roof asks for no larger corner than its radius, tab roots for no larger one than theirs', () => {
    expect(need('Inside roof', document, null).cornerMost).toBe(4);
    expect(need('Tab tops', document, null).cornerMost).toBe(1.5);
  });
  test('the reach of the inside is its depth', () => {
    const { plan } = planned(document);
    expect(need('Inside roof', document, null).reach).toBe(depthsOf(plan).inside);
  });
});

describe('choosing', () => {
  test('the largest that fits and reaches', () => {
    const box = drawer(cutter('end mill', 6, { reach: 60 }), cutter('end mill', 8, { reach: 60 }), cutter('end mill', 10, { reach: 60 }), cutter('end mill', 8, { reach: 10, name: 'stub' }));
    expect(need('Inside, rough', document, box).chosen?.name).toBe('end mill 8');
  });
  test('too short is told with both lengths', () => {
    const found = need('Inside roof', document, drawer(cutter('ball', 8, { reach: 12 })));
    expect(found.chosen).toBeNull();
    expect(found.without).toMatch(/reaches 12 mm, \d+(\.\d)? mm needed/);
  });
  test('a drill a twentieth off is the drill, a tenth off is not', () => {
    expect(need('Drill B', document, drawer(cutter('drill', 4.25))).chosen).not.toBeNull();
    expect(need('Drill B', document, drawer(cutter('drill', 4.3))).chosen).toBeNull();
  });
  test('a tap by its thread, not by its diameter', () => {
    expect(need('Tap', document, drawer(cutter('tap', 5, { thread: 'M6' }))).chosen).toBeNull();
    expect(need('Tap', document, drawer(cutter('tap', 5, { thread: 'M5' }))).chosen).not.toBeNull();
  });
  test('a ball with half its diameter for a corner does not cut a smaller root', () => {
    expect(need('Tab tops', document, drawer(cutter('ball', 6, { reach: 80 }))).chosen).toBeNull();
    expect(need('Tab tops', document, drawer(cutter('ball', 3, { reach: 80 }))).chosen).not.toBeNull();
  });
  test('in words, mm and inch', () => {
    expect(sayNeed(need('Drill B', document, null), 'mm')).toBe('drill 4.2 mm, reach 24 mm');
    expect(sayNeed(need('Drill B', document, null), 'inch')).toBe('drill 0.165 in, reach 0.945 in');
  });
});

describe('findings', () => {
  test('missing cutters are told only where a drawer is known', () => {
    const input = planned(document);
    expect(cutterDrawer(input).filter((f) => f.code === 'cutter-missing')).toEqual([]);
    expect(cutterDrawer({ ...input, drawer: drawer() }).filter((f) => f.code === 'cutter-missing').length).toBeGreaterThan(5);
  });
  test('ridges: 6 mm ball at 0.5 leaves 0.0104 (computed, trade figure), at 7 it leaves bands uncut', () => {
    const at = (stepOver: number) => planned({ ...document, machining: { stepOver } });
    const { job, plan } = at(0.5);
    expect(cuttingOf(job, plan, null).scallop).toBeCloseTo(0.0104, 4);
    expect(cutterDrawer(at(0.5)).some((f) => f.code === 'ridges-high')).toBe(false);
    expect(cutterDrawer(at(1)).find((f) => f.code === 'ridges-high')?.level).toBe('note');
    expect(cutterDrawer(at(7)).find((f) => f.code === 'ridges-high')?.level).toBe('stop');
  });
});

describe('the file', () => {
  test('the sample drawer does every cut of the large sample', () => {
    const box = unwrap(readCutters(readFileSync('presets/small-shop.cutters.json', 'utf8')));
    const sample = planned(JSON.parse(readFileSync('presets/worm-drive-cover.job.json', 'utf8')) as JobDocument);
    expect(cutterDrawer({ ...sample, drawer: box }).filter((f) => f.code === 'cutter-missing').map((f) => f.message)).toEqual([]);
  });
  test('inches', () => {
    const box = unwrap(readCutters('{"coverwrightCutters":1,"units":"inch","cutters":[{"name":"a","kind":"end mill","diameter":"1/2"}]}'));
    expect(box.cutters[0]!.diameter).toBeCloseTo(12.7, 9);
  });
  test.each([
    ['', 'empty'],
    ['[]', 'Expected a cutter file'],
    ['{"coverwrightCutters":2}', 'coverwrightCutters: 1'],
    ['{"coverwrightCutters":1,"cutters":[{"name":"a","kind":"bal","diameter":6}]}', 'ball'],
    ['{"coverwrightCutters":1,"cutters":[{"name":"a","kind":"bull-nose","diameter":6,"cornerRadius":4}]}', 'more than half'],
    ['{"coverwrightCutters":1,"cutters":[{"name":"a","kind":"tap","diameter":5}]}', 'without a thread'],
    ['{"coverwrightCutters":1,"__proto__x":{"__proto__":1}}', 'may not stand'],
  ])('%s', (text, said) => {
    const read = readCutters(text);
    expect(read.ok).toBe(false);
    if (!read.ok) expect(read.issues.map((issue) => `${issue.message} ${issue.hint}`).join(' ')).toContain(said);
  });
});
