/** Typed lengths and angles: what is understood, what is refused and with which words, and that nothing typed is lost. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { mmPerInch, readAngle, readLength, show, type Units } from '../../src/job/quantity.ts';
import { sayIssue } from '../../src/result.ts';

const mm = (typed: string | number, units: Units = 'mm', decimalComma = false): number => {
  const read = readLength(typed, units, decimalComma);
  if (!read.ok) throw new Error(read.issues.map(sayIssue).join(' '));
  return read.value.mm;
};
const why = (typed: string | number, units: Units = 'mm'): string => {
  const read = readLength(typed, units);
  return read.ok ? `read as ${read.value.mm} mm` : read.issues.map(sayIssue).join(' ');
};

describe('lengths that are understood', () => {
  test.each([
    ['27.5', 27.5], ['27,5', 27.5], ['.765', 0.765], ['27.', 27], ['+3', 3], ['-0.25', -0.25], ['\u22120.25', -0.25], ['-0', 0], ['27.5mm', 27.5], ['27.5 MM', 27.5],
    ['2cm', 20], ['0.38m', 380], ['500um', 0.5], ['500\u00b5m', 0.5], ['500\u03bcm', 0.5], ['1in', 25.4], ['1 inch', 25.4], ['2 inches', 50.8],
    ['2"', 50.8], ['2″', 50.8], ['2”', 50.8], ['5thou', 0.127], ['3/32in', 2.38125], ['1 3/32in', 27.78125], ['1-3/32"', 27.78125], ['-1 1/2in', -38.1],
    ['1⁄64 in', 0.396875], ['1.5e2', 150], ['0,125', 0.125], ['1234,567', 1234.567], ['  8  ', 8], ['8\u00a0mm', 8],
  ])('%s in a job in mm', (typed, expected) => expect(mm(typed)).toBeCloseTo(expected, 12));

  test.each([['1 3/32', 27.78125], ['.765', 19.431], ['27.5mm', 27.5], ['1/64', 0.396875], ['2', 50.8]])('%s in a job in inches', (typed, expected) =>
    expect(mm(typed, 'inch')).toBeCloseTo(expected, 12),
  );

  test('a comma known to be the decimal mark is not ambiguous', () => expect(mm('1,234', 'mm', true)).toBe(1.234));

  test('the error the typing implies', () => {
    const error = (typed: string | number, units: Units = 'mm'): number => {
      const read = readLength(typed, units);
      return read.ok ? read.value.impliedError : NaN;
    };
    expect(error('27.5')).toBeCloseTo(0.05, 12);
    expect(error('27.50')).toBeCloseTo(0.005, 12);
    expect(error('27')).toBeCloseTo(0.5, 12);
    expect(error('.765', 'inch')).toBeCloseTo(0.0127, 12);
    expect(error('1/64in')).toBeCloseTo(0.1984375, 12);
    expect(error('1.5e2')).toBeCloseTo(5, 12);
    expect(error(27.5)).toBeCloseTo(0.05, 12);
  });
});

describe('lengths that are refused, each with a cure', () => {
  test.each([
    ['', 'Expected a length'], ['abc', 'Expected a length'], ['1 2', 'Expected a length'], ['1.2.3', 'Expected a length'], ['--3', 'Expected a length'], ['NaN', 'Expected a length'],
    ['Infinity', 'Expected a length'], ['1 234,5', 'Expected a length'], ['1.234,5', 'Expected a length'], ['5furlong', 'not a length unit'], ['5constructor', 'not a length unit'],
    ['1,234', 'could mean 1.234 or 1234'], ['3/0in', 'divides by zero'], ['3/32', 'fraction without a unit'], ['9'.repeat(400), 'too large'], ['1e999', 'too large'],
    ['=1+1', 'Expected a length'], ['0x10', 'Expected a length'], ['1_000', 'Expected a length'],
  ])('%s', (typed, words) => expect(why(typed)).toContain(words));

  test.each([NaN, Infinity, -Infinity])('%d', (typed) => expect(why(typed)).toContain('Expected a length'));

  test('every refusal has a cure and stays short whatever came in', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 300 }), fc.constantFrom<Units>('mm', 'inch'), (typed, units) => {
        const read = readLength(typed, units);
        if (read.ok) {
          expect(Number.isFinite(read.value.mm)).toBe(true);
          expect(read.value.typed).toBe(typed);
          return;
        }
        for (const issue of read.issues) {
          expect(issue.hint).not.toBe('');
          expect(issue.message.length).toBeLessThan(400);
        }
      }),
      { numRuns: 500 },
    );
  });
});

describe('round trips', () => {
  test('a number typed as itself, with or without unit, comes back exactly', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e9, max: 1e9 }), (value) => {
        expect(mm(value)).toBe(value + 0);
        expect(mm(`${value}mm`)).toBe(mm(value));
      }),
      { numRuns: 500 },
    );
  });

  test('decimal point and decimal comma say the same', () => {
    fc.assert(
      fc.property(fc.integer({ min: -99_999_999, max: 99_999_999 }), fc.integer({ min: 1, max: 5 }), (count, decimals) => {
        const text = (count / 10 ** decimals).toFixed(decimals);
        expect(mm(text.replace('.', ','), 'mm', true)).toBe(mm(text));
      }),
    );
  });

  test('fractions of an inch agree with exact arithmetic in 128ths', () => {
    fc.assert(
      fc.property(fc.nat(40), fc.nat(127), fc.constantFrom(2, 4, 8, 16, 32, 64, 128), (whole, above, below) => {
        const expected = ((whole * below + above) / below) * mmPerInch;
        expect(mm(`${whole} ${above}/${below}`, 'inch')).toBeCloseTo(expected, 9);
        expect(mm(`${whole}-${above}/${below}in`)).toBeCloseTo(expected, 9);
      }),
    );
  });

  test('the same length in every unit', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.001, max: 1000, noNaN: true }), (value) => {
        const expected = value * mmPerInch;
        for (const text of [`${value}in`, `${value}"`, `${value * 1000}thou`, `${expected}mm`, `${expected / 10}cm`, `${expected * 1000}um`]) {
          expect(Math.abs(mm(text) / expected - 1)).toBeLessThan(1e-12);
        }
        expect(mm(value, 'inch')).toBeCloseTo(expected, 9);
      }),
    );
  });

  test('a ten-thousandth digit is never lost: implied error is half of the last place', () => {
    fc.assert(
      fc.property(fc.nat(999_999), fc.integer({ min: 0, max: 6 }), (count, decimals) => {
        const text = (count / 10 ** decimals).toFixed(decimals);
        const read = readLength(text, 'mm');
        if (!read.ok) throw new Error(text);
        expect(read.value.impliedError).toBeCloseTo(0.5 / 10 ** decimals, 12);
      }),
    );
  });
});

describe('angles', () => {
  const deg = (typed: string | number): number => {
    const read = readAngle(typed);
    return read.ok ? read.value : NaN;
  };
  test.each([
    ['12.5', 12.5], ['12,5', 12.5], ['-3', -3], ['.5', 0.5], ['12.5deg', 12.5], ['12.5°', 12.5], ["12°30'", 12.5], ["-12° 30′", -12.5], ['90.', 90], ['\u22125', -5],
  ])('%s', (typed, expected) => expect(deg(typed)).toBeCloseTo(expected, 12));
  test.each([1e-7, -0.25, 90])('number %d', (typed) => expect(deg(typed)).toBe(typed));
  // Minutes without a degree mark must not be split off the end of the number.
  test.each(['', 'abc', "1230'", "12.5'", "12°75'", '12 30', '12rad', '9'.repeat(400), NaN, Infinity])('%s is refused', (typed) => {
    const read = readAngle(typed);
    expect(read.ok).toBe(false);
    if (!read.ok) expect(read.issues[0]?.hint).toContain('12.5');
  });
  test('round trip in degrees and minutes', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 359 }), fc.integer({ min: 0, max: 59 }), fc.boolean(), (degrees, minutes, negative) => {
        expect(deg(`${negative ? '-' : ''}${degrees}°${minutes}'`)).toBeCloseTo((negative ? -1 : 1) * (degrees + minutes / 60), 9);
      }),
    );
  });
});

test('what is shown of bad input is short', () => {
  expect(show('x'.repeat(1000))).toHaveLength(40);
  expect(show(undefined)).toBe('undefined');
});
