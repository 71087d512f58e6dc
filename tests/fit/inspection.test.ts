/** First articles: the sheet written, filled in and read back; places against a worked figure. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { diagnose } from '../../src/fit/diagnosis.ts';
import { patternOf } from '../../src/fit/correct.ts';
import { characteristicsOf, inspectionSheet } from '../../src/fit/firstArticle.ts';
import { fitOf } from '../../src/fit/fitSheet.ts';
import { isInspection, readInspection, type Inspection } from '../../src/fit/inspection.ts';
import { readDocument, type JobFile } from '../../src/job/read.ts';
import type { JobDocument } from '../../src/job/schema.ts';
import { unwrap, type Result } from '../../src/result.ts';
import { generalLinear } from '../../src/standards/tolerances.ts';
import { planned, plain } from '../checks/part.ts';

const document: JobDocument = {
  ...plain,
  partNumber: 'OB-1',
  tabs: [{ wall: 'front', at: 20 }, { wall: 'front', at: 60 }, { wall: 'back', at: 40 }],
  bosses: [{ x: 40, y: 40, thread: 'M5', holeDepth: 12, endHeight: 5 }],
};
const inch: JobDocument = { ...document, units: 'inch', trace: { readingError: '.002', points: document.trace!.points!.map((p) => (p as number[]).map((v) => v / 25.4)) as never }, body: { width: '3.15' }, tabs: [{ wall: 'front', at: '3/4' }, { wall: 'back', at: '1 1/2' }], bosses: [{ x: 1.5, y: 1.5, thread: '#10-24', holeDepth: '.45', endHeight: '.2' }], edgeBreaks: { byHand: '.01' } };

const fileOf = (doc: JobDocument): JobFile => unwrap(readDocument(doc));

/** The sheet with some rows filled in: `T1 place X` and so on, deviations in the sheet's unit or words. */
function filled(doc: JobDocument, entries: Readonly<Record<string, number | string>>, change: (text: string) => string = (text) => text): Result<Inspection> {
  const file = fileOf(doc);
  const { plan } = planned(doc);
  const lines = inspectionSheet(file.job, plan).split('\n').map((line) => {
    const cells = line.split('; ');
    const entry = entries[`${cells[1]} ${cells[2]}`];
    if (cells.length < 8 || entry === undefined) return line;
    return [...cells.slice(0, 7), typeof entry === 'string' ? entry : String(Number(cells[3]) + entry)].join('; ');
  });
  return readInspection(change(lines.join('\n')), file, plan);
}

describe('characteristics', () => {
  const { job, plan } = planned(document);
  const list = characteristicsOf(job, plan);
  test('every hole has a place, every thread a gauge, X and Y share a number', () => {
    for (const hole of patternOf(plan)) {
      const [x, y] = ['place x', 'place y'].map((kind) => list.find((one) => one.feature === hole.name && one.kind === kind)!);
      expect(x!.number).toBe(y!.number);
      expect([x!.nominal, y!.nominal]).toEqual([...hole.at]);
    }
    expect(list.filter((one) => one.kind === 'thread').length).toBe(1);
    expect([...new Set(list.map((one) => one.number))]).toEqual(Array.from({ length: Math.max(...list.map((one) => one.number)) }, (_, i) => i + 1));
  });
  // ISO 2768-1 m, seen on secondary pages: over 120 to 400 0.5, over 30 to 120 0.3, 3 and below 0.1.
  test('limits are those of ISO 2768-1 m', () => {
    const of = (what: string): number => list.find((one) => one.what.startsWith(what))!.upper;
    expect([of('length'), of('width'), of('front wall')]).toEqual([0.5, 0.3, 0.1]);
    expect(of('length')).toBe(generalLinear(160, 'm'));
  });
});

describe('reading back', () => {
  // Worked example of position by coordinates: dx 0.1, dy 0.15 -> 2 sqrt(dx2 + dy2) = 0.3606 (ASME Y14.5 practice; computed).
  test('0.1 and 0.15 off is a position of 0.3606, out of a circle of 0.3, in one of 0.4', () => {
    const at = (circle: number): Inspection => unwrap(filled({ ...document, bolting: { positionTolerance: circle } }, { 'T1 place X': 0.1, 'T1 place Y': 0.15 }));
    const { places, rows } = at(0.3);
    expect(places[0]!.position).toBeCloseTo(0.3606, 4);
    expect(rows.find((row) => row.characteristic.feature === 'T1' && row.characteristic.kind === 'place x')!.verdict).toBe('out');
    expect(at(0.4).counts.out).toBe(0);
  });
  test('nothing typed: nothing judged, nothing to diagnose', () => {
    const read = unwrap(filled(document, {}));
    expect(read.counts).toMatchObject({ in: 0, out: 0 });
    expect(read.file).toBeNull();
  });
  test('sizes and threads: in, out, as typed with another unit', () => {
    const read = unwrap(filled(document, { 'body width, datum C to the right end': '3.1496in', 'body front wall': 0.2 }, (text) => text.replace(/(thread M5[^;]*; ; ; ; [^;]*; ).*/, '$1no')));
    const verdict = (what: string): string | undefined => read.rows.find((row) => row.characteristic.what.startsWith(what))?.verdict;
    expect(verdict('width')).toBe('in');
    expect(verdict('front wall')).toBe('out');
    expect(verdict('thread M5')).toBe('out');
  });
  test('an inch sheet goes round: every reading at nominal is in', () => {
    const { job, plan } = planned(inch);
    const all = Object.fromEntries(characteristicsOf(job, plan).map((one) => [`${one.feature} ${one.what}`, one.kind === 'thread' ? 'ok' : 0]));
    const read = unwrap(filled(inch, all));
    expect(read.counts).toEqual({ in: read.rows.length, out: 0, 'not measured': 0 });
  });
  const seed = 20260103;
  test(`a shift of the whole pattern is the machine's zero, never the design's, seed ${seed}`, () => {
    fc.assert(
      fc.property(fc.double({ min: -0.6, max: 0.6, noNaN: true }), fc.double({ min: -0.6, max: 0.6, noNaN: true }), (dx, dy) => {
        const entries = Object.fromEntries(['T1', 'T2', 'T3', 'B1'].flatMap((name) => [[`${name} place X`, Number(dx.toFixed(3))], [`${name} place Y`, Number(dy.toFixed(3))]]));
        const read = unwrap(filled(document, entries));
        expect(read.move!.shift[0]).toBeCloseTo(Number(dx.toFixed(3)), 3);
        expect(Math.abs(read.move!.degrees)).toBeLessThan(1e-3);
        read.places.forEach((one) => expect(one.bestFit).toBeLessThan(1e-3));
        const fit = read.file!.job.testFits.at(-1)!;
        const { readings, context } = fitOf(fit, 'A');
        const diagnosis = unwrap(diagnose(readings, patternOf(planned(document).plan), context));
        diagnosis.holes.forEach((hole) => expect(Math.hypot(...hole.move)).toBe(0));
        if (Math.hypot(dx, dy) > 0.1) expect(diagnosis.findings.some((f) => f.kind === 'shift' && f.real && f.remedy === 'machine')).toBe(true);
      }),
      { seed, numRuns: 40 },
    );
  });
});

describe('bad sheets are refused in words', () => {
  test.each([
    ['another part', {}, (t: string) => t.replace('OB-1\n', 'OB-2\n'), 'OB-2'],
    ['another revision', {}, (t: string) => t.replace('revision: A', 'revision: C'), 'revision C'],
    ['no unit', {}, (t: string) => t.replace(/units: mm\n/, ''), 'units: mm or units: inch'],
    ['design changed since', {}, (t: string) => t.replace('; 160; ', '; 158; '), 'the sheet says 158'],
    ['unknown row', {}, (t: string) => t.replace('; T1; ', '; T9; '), 'not measured on this part'],
    ['a row twice', {}, (t: string) => `${t}${t.split('\n').find((line) => line.includes('place X'))}\n`, 'stands on two rows'],
    ['a slip of unit', { 'body length, datum B to the back wall': '6.3' }, (t: string) => t, 'from nominal'],
    ['a thread as a number', {}, (t: string) => t.replace(/(thread M5[^;]*; ; ; ; [^;]*; ).*/, '$14.2'), 'expected ok or no'],
    ['heads taken off', {}, (t: string) => t.replace(/number; feature.*\n/, ''), 'heads the columns'],
    ['no error', {}, (t: string) => t.replace('error: 0.02mm', 'error: 0'), 'one sigma'],
  ] as const)('%s', (_, entries, change, said) => {
    const read = filled(document, entries, change);
    expect(read.ok).toBe(false);
    if (!read.ok) expect(read.issues.map((issue) => issue.message).join(' ')).toContain(said);
  });
  test('a sheet of offsets is no first article', () => {
    expect(isInspection('on: part\nhole, dx, dy\nT1, 0, 0\n')).toBe(false);
    expect(isInspection('# words\nfirst article: X\n')).toBe(true);
  });
});
