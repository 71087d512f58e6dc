/** Printer files: what was typed is kept, everything wrong is reported at once with its path. */
import { describe, expect, test } from 'vitest';
import { readPrinterDocument, readPrinterProfile } from '../../src/proof/readPrinter.ts';
import { unwrap, type Result } from '../../src/result.ts';

const good = {
  coverwrightPrinter: 1,
  printer: 'bench two',
  units: 'mm',
  bars: [
    { axis: 'x', drawn: 20, measured: '20,04' },
    { axis: 'x', drawn: '8in', measured: '202.5mm', error: 0.1 },
    { axis: 'y', drawn: 20, measured: 20.02 },
    { axis: 'y', drawn: 200, measured: 199.6 },
  ],
};
const codes = (result: Result<unknown>): string[] => (result.ok ? [] : result.issues.map((issue) => `${issue.code} ${issue.at}`.trim()));

describe('a printer file', () => {
  test('keeps what was typed and means millimetres', () => {
    const file = unwrap(readPrinterProfile(`\ufeff${JSON.stringify(good)}`));
    expect(file.document).toEqual(good);
    expect(file.readings.bars[1]).toEqual({ axis: 'x', drawn: 203.2, measured: 202.5, error: 0.1 });
    expect(file.readings.readingError).toBe(0.05);
    expect(file.profile.axes.x.factor).toBeCloseTo((202.5 - 20.04) / (203.2 - 20), 12);
    expect(unwrap(readPrinterProfile(JSON.stringify(file.document))).profile).toEqual(file.profile);
  });

  test('in inches gives the same profile as in millimetres', () => {
    const inch = { ...good, units: 'inch', readingError: '0.05mm', bars: [{ axis: 'x', drawn: '1', measured: '63/64' }, { axis: 'x', drawn: 8, measured: 7.98 }, { axis: 'y', drawn: 1, measured: 1 }, { axis: 'y', drawn: 8, measured: 8 }] };
    const { axes } = unwrap(readPrinterDocument(inch)).profile;
    expect(axes.x.factor).toBeCloseTo((7.98 - 63 / 64) / 7, 12);
    expect(axes.x.to).toBeCloseTo(203.2, 10);
  });

  test('is plain data: the profile survives JSON', () => {
    const { profile } = unwrap(readPrinterDocument(good));
    expect(JSON.parse(JSON.stringify(profile))).toEqual(profile);
  });
});

describe('bad files', () => {
  test.each<[string, string, string[]]>([
    ['empty', '  ', ['printer-file-empty']],
    ['cut short', '{"coverwrightPrinter": 1, "bars": [', ['printer-file-not-json line 1, column 36']],
    ['a list', '[1]', ['not-a-printer-file']],
    ['a word', '"x"', ['not-a-printer-file']],
    ['too deep', `{"bars":${'['.repeat(50_000)}${']'.repeat(50_000)}}`, ['printer-file-too-deep bars[0][0][0]']],
    ['too large', ' '.repeat(1_000_001), ['printer-file-too-large']],
    ['another version', JSON.stringify({ ...good, coverwrightPrinter: 9 }), ['invalid-value coverwrightPrinter']],
    ['no version, no printer', JSON.stringify({ bars: good.bars }), ['missing coverwrightPrinter', 'missing printer']],
    ['a name into the language', `{"__proto__": {"printer": "x"}, ${JSON.stringify(good).slice(1)}`, ['forbidden-name __proto__']],
  ])('%s', (_, text, expected) => {
    expect(codes(readPrinterProfile(text))).toEqual(expected);
  });

  test('everything wrong at once, with path, what was typed, and the nearest name', () => {
    const refused = readPrinterDocument({ ...good, shaft: [], bars: [{ axis: 'w', drawn: 'about 20', measured: '1,234' }, { axis: 'x', drawn: -4, mesured: 3, measured: 3 }] });
    expect(codes(refused).toSorted()).toEqual(['bad-value bars[0].drawn', 'bad-value bars[0].measured', 'bad-value bars[1].drawn', 'invalid-value bars[0].axis', 'unknown-name bars[1].mesured', 'unknown-name shaft']);
    const said = refused.ok ? '' : refused.issues.map((issue) => `${issue.message} ${issue.hint}`).join('\n');
    expect(said).toContain('Did you mean shafts?');
    expect(said).toContain('Did you mean measured?');
    expect(said).toContain('"w"');
    if (!refused.ok) for (const issue of refused.issues) expect(issue.hint).not.toBe('');
  });

  test('a file in order whose readings cannot calibrate is refused with the cure', () => {
    const refused = readPrinterDocument({ ...good, bars: good.bars.slice(0, 3) });
    expect(codes(refused)).toEqual(['print-one-size bars']);
  });
});
