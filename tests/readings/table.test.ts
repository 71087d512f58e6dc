/** Tables of readings as shops send them: fixture files in the conventions of spreadsheets, loggers and hand-typed notes. */
import fc from 'fast-check';
import { readFileSync } from 'node:fs';
import Papa from 'papaparse';
import { describe, expect, test } from 'vitest';
import { readLength, type Units } from '../../src/job/quantity.ts';
import { jobSchema } from '../../src/job/schema.ts';
import { splitRow } from '../../src/readings/cells.ts';
import { sayIssue } from '../../src/result.ts';
import { readTable, type ReadTable, type TableOptions } from '../../src/readings/table.ts';

const read = (text: string, options: Partial<TableOptions> = {}): ReadTable => {
  const result = readTable(text, { units: 'mm', ...options });
  if (!result.ok) throw new Error(result.issues.map(sayIssue).join('\n'));
  return result.value;
};
const issues = (text: string, options: Partial<TableOptions> = {}) => {
  const result = readTable(text, { units: 'mm', ...options });
  if (result.ok) throw new Error(`read as ${JSON.stringify(result.value.points.slice(0, 3))}`);
  for (const issue of result.issues) {
    expect(issue.hint).not.toBe('');
    expect(issue.message.length).toBeLessThan(400);
  }
  return result.issues;
};
const pairs = (table: ReadTable): number[][] => table.mm.map(({ x, z }) => [Number(x.toFixed(6)), Number(z.toFixed(6))]);
const fixture = (name: string): string => readFileSync(new URL(`../fixtures/readings/${name}`, import.meta.url), 'utf8');

/** Three readings, far enough apart to be a part. */
const three = [[0, 20.5], [40, 27.25], [80, 25]];

describe('the same three readings in every layout', () => {
  test.each([
    ['CSV', '0,20.5\n40,27.25\n80,25'],
    ['CSV with blanks', '0, 20.5\n40 , 27.25\n 80 , 25 '],
    ['TSV', '0\t20.5\n40\t27.25\n80\t25'],
    ['semicolons', '0;20.5\n40;27.25\n80;25'],
    ['semicolons and decimal comma', '0;20,5\n40;27,25\n80;25'],
    ['tabs and decimal comma', '0\t20,5\n40\t27,25\n80\t25'],
    ['blanks', '0 20.5\n40 27.25\n80 25'],
    ['blanks and decimal comma', '0 20,5\n40 27,25\n80 25'],
    ['lined up', '  0    20.5 \n 40    27.25\n 80    25   '],
    ['CRLF', '0,20.5\r\n40,27.25\r\n80,25\r\n'],
    ['CR', '0,20.5\r40,27.25\r80,25'],
    ['byte order mark', '\ufeff0,20.5\n40,27.25\n80,25'],
    ['quotes', '"0","20.5"\n"40","27.25"\n"80","25"'],
    ['quotes and decimal comma', '"0,0","20,5"\n"40,0","27,25"\n"80,0","25,0"'],
    ['blank rows', '\n0,20.5\n\n\n40,27.25\n   \n80,25\n\n'],
    ['comments', '# casting 3\n0,20.5\n// probed twice\n40,27.25\n; done by hand\n80,25'],
    ['trailing separators', '0,20.5,\n40,27.25,\n80,25,'],
    ['head', 'x,z\n0,20.5\n40,27.25\n80,25'],
    ['head, other way round', 'height;station\n20.5;0\n27.25;40\n25;80'],
    ['head with units', 'x [mm]\tz [mm]\n0\t20.5\n40\t27.25\n80\t25'],
    ['head in inches', 'Station (in),Height (in)\n0,0.807086614\n1.574803150,1.072834646\n3.149606299,0.984251969'],
    ['head parted by blanks', 'x (mm) z (mm)\n0 20.5\n40 27.25\n80 25'],
    ['row of units', 'Abstand;Höhe\n[mm];[mm]\n0;20,5\n40;27,25\n80;25'],
    ['title above the head', 'Cover, front half\nx,z\n0,20.5\n40,27.25\n80,25'],
    ['units in the cells', '0mm,20.5mm\n4cm,27.25 mm\n80mm,25mm'],
    ['units parted by a blank', '0 mm 20.5 mm\n40 mm 27.25 mm\n80 mm 25 mm'],
    ['French', 'Position;Hauteur\n0;20,5\n40;27,25\n80;25'],
    ['Spanish', 'estación\taltura\n0\t20,5\n40\t27,25\n80\t25'],
    ['Polish', 'pozycja;wysokość\n0;20,5\n40;27,25\n80;25'],
    ['Russian', 'станция;высота\n0;20,5\n40;27,25\n80;25'],
    ['Japanese', '位置\t高さ\n0\t20.5\n40\t27.25\n80\t25'],
    ['x and y', 'x,y\n0,20.5\n40,27.25\n80,25'],
  ])('%s', (_, text) => {
    expect(pairs(read(text))).toEqual(three);
  });
});

describe('typed text is kept', () => {
  test('inches, fractions and millimetres in one table', () => {
    const table = read('0, .765\n1 3/32, 1-1/8\n60mm, 27.5mm', { units: 'inch' });
    expect(table.points).toEqual([{ x: '0', z: '.765' }, { x: '1 3/32', z: '1-1/8' }, { x: '60mm', z: '27.5mm' }]);
    expect(table.mm[1]).toEqual({ x: 27.78125, z: 28.575 });
    // 1/64 typed means +/- 0.198; here 1/32 is the coarsest fraction and "0" the coarsest number: half an inch.
    expect(table.impliedError).toBeCloseTo(12.7, 9);
  });

  test('a unit from the head stands behind the number only where the job is in another', () => {
    expect(read('x (in),z (mm)\n0,20.5\n1 3/32,27\n3",25').points).toEqual([{ x: '0in', z: '20.5' }, { x: '1 3/32in', z: '27' }, { x: '3"', z: '25' }]);
    expect(read('x (mm);z (mm)\n0;20,5\n40;27,25\n80;25', { units: 'inch' }).points).toEqual([{ x: '0mm', z: '20,5mm' }, { x: '40mm', z: '27,25mm' }, { x: '80mm', z: '25mm' }]);
  });

  test('a decimal comma stays unless the job file could not tell it from a thousands mark', () => {
    expect(read('0;20,5\n1,234;27,25\n80;25').points).toEqual([{ x: '0', z: '20,5' }, { x: '1.234', z: '27,25' }, { x: '80', z: '25' }]);
  });

  test('every reading keeps its row in the source', () => {
    expect(read('# a\nx,z\n\n0,20.5\n# b\n40,27.25\n\n80,25').rows).toEqual([4, 6, 8]);
  });

  test('errors, notes, corners, asides', () => {
    const table = read('x,z,error,note,corner,leave out\n0,20.5,.05,"front, edge",yes,\n40,27.25,,,,x\n80,25,0.1,rough,no,0 # sand');
    expect(table.points).toEqual([
      { x: '0', z: '20.5', error: '.05', corner: true, note: 'front, edge' },
      { x: '40', z: '27.25', leaveOut: true },
      { x: '80', z: '25', error: '0.1', note: 'rough; sand' },
    ]);
  });

  test('what comes out is what the job takes, with the same values', () => {
    for (const units of ['mm', 'inch'] as const) {
      const table = read('x (in);z;error\n0;20,5;0,05\n1 3/32;27,25;\n3;1,234;0,1', { units });
      const job = jobSchema(units).parse({ coverwright: 1, units, trace: { points: table.points }, body: { width: 50 } });
      expect(job.trace.points.map(({ x, z }) => ({ x, z }))).toEqual(table.mm);
    }
  });

  test('random tables, random layouts: values survive', () => {
    const decimals = fc.integer({ min: 0, max: 4 });
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 0, max: 4_000_000 }), fc.integer({ min: 0, max: 900_000 }), decimals, decimals), { minLength: 3, maxLength: 40 }),
        fc.constantFrom('\t', ';', '; ', ' ', '   '),
        fc.constantFrom('.', ','),
        fc.constantFrom<Units>('mm', 'inch'),
        fc.boolean(),
        (numbers, separator, mark, units, headed) => {
          const rows = numbers.map(([x, z, dx, dz]) => [(x / 1e4).toFixed(dx), (z / 1e4).toFixed(dz)] as const);
          // One cell that can only be a decimal keeps the table from being ambiguous.
          const certain = [['0.5', '10.25'] as const, ...rows];
          const text = certain.map((row) => row.map((cell) => cell.replace('.', mark)).join(separator)).join('\n');
          const table = read(headed ? `x${separator}z\n${text}` : text, { units });
          expect(table.mm).toEqual(certain.map(([x, z]) => {
            const [a, b] = [readLength(x, units), readLength(z, units)];
            return a.ok && b.ok ? { x: a.value.mm, z: b.value.mm } : null;
          }));
        },
      ),
      { numRuns: 300 },
    );
  });
});

describe('quoted cells', () => {
  // Second opinion: papaparse, a general CSV library.
  test('agree with a general CSV library on any row it accepts', () => {
    const cell = fc.oneof(fc.constantFrom('1', '2.5', '', '2"', 'a b'), fc.string({ maxLength: 6 }).map((text) => text.replace(/[\n\r]/g, '')).map((text) => `"${text.replaceAll('"', '""')}"`));
    fc.assert(
      fc.property(fc.array(cell, { minLength: 1, maxLength: 6 }), fc.constantFrom('comma', 'semicolon', 'tab'), (cells, delimiter) => {
        const separator = { comma: ',', semicolon: ';', tab: '\t' }[delimiter as 'comma'];
        const row = cells.join(separator);
        const theirs = Papa.parse<string[]>(row, { delimiter: separator, newline: '\n' });
        fc.pre(theirs.errors.length === 0 && row !== '');
        expect(splitRow(row, delimiter as 'comma')).toEqual(theirs.data[0]?.map((text) => text.trim()));
      }),
      { numRuns: 1000 },
    );
  });
});

describe('fixture files', () => {
  test('a height gauge log from a German spreadsheet', () => {
    const table = read(fixture('height-gauge-de.csv'), { file: 'height-gauge-de.csv' });
    expect(table.points).toHaveLength(13);
    expect(table.decimal).toBe('comma');
    expect(table.mm[3]).toEqual({ x: 90, z: 41.74 });
    expect(table.rows[0]).toBe(5);
    expect(table.remarks.map((remark) => remark.code)).toEqual(['columns-not-used']);
    expect(table.remarks[0]?.message).toBe('Not used: "Nr." and "Prüfer".');
    expect(table.provenance.words).toBe('height-gauge-de.csv; table of 13 readings; parted by semicolons; decimal comma; station from "Abstand", height from "Höhe"; "Abstand" in mm, "Höhe" in mm, "Fehler" in mm by the heads, other bare numbers in mm; said there: "Deckel Schneckentrieb, Höhenreißer, Tastkugel 6 mm" and "Schneckentrieb, Montierung 2".');
  });

  test('a pencil sheet in inches and fractions, one row in millimetres, one slip', () => {
    const table = read(fixture('pencil-inch.txt'), { units: 'inch' });
    expect(table.points[2]).toEqual({ x: '3', z: '1 9/16', note: 'over the worm' });
    expect(table.points[5]).toEqual({ x: '190mm', z: '46.5mm' });
    expect(table.remarks).toMatchObject([{ code: 'decimal-slip', at: 'row 10' }]);
  });

  test('a probe log with a column for every axis', () => {
    const table = read(fixture('probe-log.tsv'));
    expect(table.points).toHaveLength(8);
    expect(table.columns.map((column) => column.role)).toEqual([null, 'x', null, 'z', 'error']);
    expect(table.points[1]).toEqual({ x: '25.004', z: '33.118', error: '0.012' });
  });
});

describe('ambiguity is refused with both readings, never guessed', () => {
  test('thousands or decimals', () => {
    expect(issues('1,234;5,678\n2,345;6,789')).toMatchObject([{ code: 'decimal-mark-unclear', at: 'row 1', message: expect.stringContaining('1.234 or 1234') }]);
    expect(pairs(read('1,234;5,678\n2,345;6,789', { decimal: 'comma' }))).toEqual([[1.234, 5.678], [2.345, 6.789]]);
  });

  test('whole numbers between commas', () => {
    const [issue] = issues('0,5,20,1\n1,5,22,3');
    expect(issue).toMatchObject({ code: 'table-read-two-ways', at: 'row 1' });
    expect(issue?.message).toContain('[0] [5] [20] [1]');
    expect(issue?.message).toContain('[0,5] [20,1]');
    expect(issues('0,5,20\n1,5,22')[0]?.message).toContain('[0,5] [20]');
  });

  test('one column of decimal commas is not taken for two columns', () => {
    expect(issues('27,5\n28,1\n29,4')[0]?.code).toBe('table-read-two-ways');
    expect(issues('27,50\n28,05\n29,40')[0]?.code).toBe('table-read-two-ways');
    expect(read('0,20\n40,27\n80,25').remarks).toMatchObject([{ code: 'commas-part-columns' }]);
    expect(pairs(read('x,z\n0,5\n40,7\n80,6'))).toEqual([[0, 5], [40, 7], [80, 6]]);
  });

  test('a fraction parted by blanks', () => {
    expect(issues('1 3/32 .765\n2 1/2 .8', { units: 'inch' })[0]?.message).toContain('[1] [3/32] [.765] or [1 3/32] [.765]');
    expect(pairs(read('1 3/32   .765\n2 1/2    .8', { units: 'inch' }))[0]).toEqual([27.78125, 19.431]);
    expect(pairs(read('1-3/32 .765\n2-1/2 .8', { units: 'inch' }))[0]).toEqual([27.78125, 19.431]);
  });

  test('points and commas in one table', () => {
    expect(issues('0;20.5\n40;27,25')[0]?.code).toBe('decimal-marks-mixed');
    const bad = issues('0;20.5\n40;27.25\n60;28.5\n80,5;25');
    expect(bad).toMatchObject([{ code: 'bad-row', at: 'row 4', message: 'Station: "80,5" has a comma where the rest of the table has the point.' }]);
    const other = issues('0;20,5\n40;27,25\n60;28,5\n80.5;25');
    expect(other).toMatchObject([{ at: 'row 4', message: 'Station: "80.5" has a point where the rest of the table has the comma.' }]);
  });

  test('a fraction without a unit in a table of mm', () => {
    expect(issues('0;20.5\n1/2;27.25')).toMatchObject([{ at: 'row 2', message: expect.stringContaining('fraction without a unit') }]);
  });
});

describe('bad input, one clear sentence each', () => {
  test.each([
    ['nothing', '', 'empty'], ['blanks', ' \n\t\n ', 'empty'], ['comments only', '# a\n// b', 'empty'], ['one column', '1\n2\n3', 'one-column'],
    ['words', 'the cover\nof the mount', 'not-a-table'], ['a zip', 'PK\u0003\u0004abc', 'not-text'], ['binary', 'x\u0000y\u0000', 'not-text'],
    ['unknown heads', 'alpha,beta\n1,2\n3,4', 'heads-not-understood'], ['one head missing', 'x,beta\n1.5,2\n3,4', 'heads-not-understood'],
    ['heads that do not match blanks', 'my station height\n1.5 2\n3 4', 'heads-not-understood'],
    ['a page of HTML', '<html><body>\n<p>12 34</p>\n</body></html>', 'not-a-table'],
  ])('%s', (_, text, code) => {
    expect(issues(text).map((issue) => issue.code)).toEqual([code]);
  });

  test('100 MB', () => {
    expect(issues('1,2\n'.repeat(25_000_001))).toMatchObject([{ code: 'text-too-long', message: 'Expected a table of at most 32 million characters, got 100 million.' }]);
  });

  test('more rows than a job takes', () => {
    expect(issues('1.5,2.5\n'.repeat(200_001))).toMatchObject([{ code: 'too-many-readings' }]);
  });

  test('NaN, empty cells and words, all rows at once', () => {
    const bad = issues('x,z\n0,20.5\nNaN,21\n10,\n20,abc\n30,24\n,\n40,1e999');
    expect(bad.map((issue) => [issue.at, issue.message])).toEqual([
      ['row 3', 'Station: Expected a length, got "NaN".'],
      ['row 4', 'Height: expected a length, got an empty cell.'],
      ['row 5', 'Height: Expected a length, got "abc".'],
      ['row 7', 'Station: expected a length, got an empty cell.'],
      ['row 7', 'Height: expected a length, got an empty cell.'],
      ['row 8', 'Height: "1e999" is too large to be a length.'],
    ]);
  });

  test('the first 20 and the count', () => {
    const rows = Array.from({ length: 60 }, (_, i) => (i % 2 === 0 ? `${i},20.5` : `${i},oops`));
    const bad = issues(rows.join('\n'));
    expect(bad).toHaveLength(21);
    expect(bad[0]?.at).toBe('row 2');
    expect(bad.at(-1)?.message).toBe('10 more rows are bad, 30 of 60 in all.');
  });

  test('a reading error of nothing or less', () => {
    expect(issues('x,z,error\n0,20.5,0\n1,2,-0.1')).toHaveLength(2);
  });

  test('an open quote', () => {
    expect(issues('x,z,note\n0,20.5,"front\n40,27.25,')[0]).toMatchObject({ at: 'row 2', message: expect.stringContaining('quote') });
  });

  test('spreadsheet formulas and errors are text, not numbers', () => {
    expect(issues('x,z\n0,20.5\n=A1+1,21\n10,#REF!').map((issue) => issue.at)).toEqual(['row 3', 'row 4']);
  });

  test('heads such as __proto__ and constructor are only names', () => {
    const table = read('x,z,__proto__,constructor\n0,20.5,1,2\n40,27.25,3,4\n80,25,5,6');
    expect(table.remarks[0]?.message).toBe('Not used: "__proto__" and "constructor".');
    expect(({} as Record<string, unknown>)['polluted']).toBeUndefined();
  });

  test('any text at all gives readings or an issue with a cure, never a throw', () => {
    fc.assert(
      fc.property(fc.oneof(fc.string({ maxLength: 200 }), fc.array(fc.constantFrom('1', '2.5', ',', ';', '\t', '\n', ' ', '"', '/', 'x', 'mm', '-', '#', '1,5'), { maxLength: 60 }).map((parts) => parts.join(''))), (text) => {
        const result = readTable(text, { units: 'mm' });
        if (result.ok) for (const { x, z } of result.value.mm) expect(Number.isFinite(x) && Number.isFinite(z)).toBe(true);
        else for (const issue of result.issues) expect(issue.hint.length).toBeGreaterThan(5);
      }),
      { numRuns: 2000 },
    );
  });
});

test('100 000 rows', () => {
  const text = Array.from({ length: 100_000 }, (_, i) => `${(i * 0.004).toFixed(3)},${(30 + 10 * Math.sin(i / 3e4)).toFixed(3)}`).join('\n');
  const table = read(text);
  expect(table.points).toHaveLength(100_000);
  expect(table.remarks).toEqual([]);
});
