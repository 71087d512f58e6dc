/**
 * Pages of paper as data: marks in mm from the lower left corner, x right and y up, at their true size. Every sheet is
 * framed the same way and says along its foot what it is, of what, and of which revision (fields after ISO 7200, from memory).
 */
import { label, polyline, type Bounds, type Mark } from '../drawing.ts';
import { textWidth, wrapped } from '../letterWidths.ts';
import type { Vec2 } from '../../maths/vec.ts';

/** Portrait, mm: ISO 216 A4, and US Letter of 8.5 x 11 inch. */
export const paperSizes = { A4: { width: 210, height: 297 }, Letter: { width: 215.9, height: 279.4 } } as const;
export type PaperName = keyof typeof paperSizes;

export interface Layer {
  readonly marks: readonly Mark[];
  /** Nothing is drawn outside of it. */
  readonly clip?: Bounds;
}

export interface Page {
  /** What it is, for lists and readers. */
  readonly name: string;
  readonly width: number;
  readonly height: number;
  readonly layers: readonly Layer[];
}

/** What stands along the foot of every sheet. */
export interface SheetHead {
  readonly kind: string;
  readonly title: string;
  readonly partNumber: string;
  readonly revision: string;
  readonly material: string;
  readonly date: string;
  /** Lengths on it: `mm` or `inch`. */
  readonly units: string;
  /** `1:2`; empty where nothing is drawn to a scale. */
  readonly scale: string;
  readonly tolerance: string;
}

export interface SheetForm {
  readonly paper: PaperName;
  readonly landscape: boolean;
}

/** mm of paper outside the frame; printers keep off about 5. */
export const margin = 10;
const footHeight = 16;
/** Height of a capital, mm: small print, text, headings. */
export const letter = { small: 1.8, text: 2.2, figure: 2.5, head: 3, title: 5 } as const;

export function sizeOf({ paper, landscape }: SheetForm): { readonly width: number; readonly height: number } {
  const { width, height } = paperSizes[paper];
  return landscape ? { width: height, height: width } : { width, height };
}

/** Where the content of a sheet may stand. */
export function roomOf(form: SheetForm): Bounds {
  const { width, height } = sizeOf(form);
  return { least: [margin + 4, margin + footHeight + 4], most: [width - margin - 4, height - margin - 4] };
}

export interface SheetContent {
  readonly marks: readonly Mark[];
  readonly scale?: string;
  /** Where it differs from the other sheets of the set. */
  readonly landscape?: boolean;
  readonly layers?: readonly Layer[];
}

/** Framed pages from the content of each; the foot numbers them. */
export function sheets(form: SheetForm, head: SheetHead, contents: readonly SheetContent[]): Page[] {
  return contents.map(({ marks, scale, landscape = form.landscape, layers = [] }, i) => {
    const { width, height } = sizeOf({ ...form, landscape });
    const own = [...frame(width, height), ...foot(width, { ...head, scale: scale ?? head.scale }, i + 1, contents.length), ...marks];
    return { name: `${head.kind}, sheet ${i + 1} of ${contents.length}`, width, height, layers: [{ marks: own }, ...layers] };
  });
}

const frame = (width: number, height: number): Mark[] => [rectangle('outline', { least: [margin, margin], most: [width - margin, height - margin] })];

export const rectangle = (pen: Mark['pen'], { least, most }: Bounds): Mark => polyline(pen, [least, [most[0], least[1]], most, [least[0], most[1]], least], true);

/** Cells of the foot with their share of its width. */
function foot(width: number, head: SheetHead, sheet: number, of: number): Mark[] {
  const [left, right, top] = [margin, width - margin, margin + footHeight];
  const across = right - left;
  const rows: readonly (readonly (readonly [share: number, name: string, value: string])[])[] = [
    [[0.42, 'Title', head.title], [0.2, 'Part number', head.partNumber], [0.08, 'Rev.', head.revision], [0.3, 'Sheet', `${head.kind}, ${sheet} of ${of}`]],
    [[0.24, 'Material', head.material], [0.18, 'Date', head.date.slice(0, 10)], [0.1, 'Lengths in', head.units], [0.1, 'Scale', head.scale || '-'], [0.38, 'General tolerance', head.tolerance]],
  ];
  const marks: Mark[] = [polyline('outline', [[left, top], [right, top]])];
  rows.forEach((cells, row) => {
    const high = top - (row * footHeight) / rows.length;
    const low = high - footHeight / rows.length;
    if (row > 0) marks.push(polyline('dimension', [[left, high], [right, high]]));
    let x = left;
    for (const [share, name, value] of cells) {
      const next = x + share * across;
      marks.push(label([x + 1.2, high - 2.4], name, 1.4, 'start'));
      marks.push(label([x + 1.2, low + 1.6], fitted(value, letter.figure, next - x - 2.4), letter.figure, 'start'));
      if (next < right - 0.1) marks.push(polyline('dimension', [[next, high], [next, low]]));
      x = next;
    }
  });
  return marks;
}

/** The text, cut short with an ellipsis where it does not fit. */
export function fitted(text: string, height: number, width: number): string {
  if (textWidth(text, height) <= width) return text;
  let short = text;
  while (short.length > 1 && textWidth(`${short}…`, height) > width) short = short.slice(0, -1);
  return `${short.trimEnd()}…`;
}

/** What was set and how far down it came: the y of the next line. */
export interface Set {
  readonly marks: readonly Mark[];
  readonly below: number;
}

const leading = 1.75;

/** Lines of text from `at` downwards, no wider than `width`. `at` is the upper left corner. */
export function paragraph(text: string, at: Vec2, width: number, height: number = letter.text, pen: Mark['pen'] = 'text'): Set {
  const lines = wrapped(text, height, width);
  return { marks: lines.map((words, i) => label([at[0], at[1] - height - i * leading * height], words, height, 'start', pen)), below: at[1] - lines.length * leading * height };
}

export const heading = (text: string, at: Vec2): Set => ({ marks: [label([at[0], at[1] - letter.head], text, letter.head, 'start', 'accent')], below: at[1] - 1.7 * letter.head });

/** Paragraphs with a short dash before each. */
export function points(texts: readonly string[], at: Vec2, width: number, height: number = letter.text): Set {
  let y = at[1];
  const marks: Mark[] = [];
  for (const text of texts) {
    const set = paragraph(text, [at[0] + 3, y], width - 3, height);
    marks.push(label([at[0], y - height], '–', height, 'start'), ...set.marks);
    y = set.below - 0.3 * height;
  }
  return { marks, below: y };
}

export interface Column {
  readonly title: string;
  /** mm. */
  readonly width: number;
  readonly align?: 'start' | 'middle' | 'end';
}

export interface TableSet extends Set {
  /** Rows that did not fit above `floor`; empty when all did. */
  readonly left: readonly (readonly string[])[];
}

const cellPad = 1.5;

/** A ruled table from `at` (upper left) down to `floor`; cells are wrapped. Without titles it has no head. `write`: columns ruled off and rows tall enough to be filled in by hand. */
export function table(columns: readonly Column[], rows: readonly (readonly string[])[], at: Vec2, floor: number, write = false, height: number = letter.text): TableSet {
  const marks: Mark[] = [];
  const right = at[0] + columns.reduce((sum, column) => sum + column.width, 0);
  const line = (y: number, pen: Mark['pen']): Mark => polyline(pen, [[at[0], y], [right, y]]);
  const row = (cells: readonly string[], y: number, pen: Mark['pen']): number => {
    let x = at[0];
    let lines = 1;
    columns.forEach(({ width, align = 'start' }, i) => {
      const words = wrapped(cells[i] ?? '', height, width - 2 * cellPad);
      lines = Math.max(lines, words.length);
      const from = align === 'start' ? x + cellPad : align === 'end' ? x + width - cellPad : x + width / 2;
      words.forEach((text, k) => marks.push(label([from, y - (write ? 1.9 : 1.35) * height - k * 1.45 * height], text, height, align, pen)));
      x += width;
    });
    return y - (1.45 * lines + (write ? 1.5 : 0.35)) * height;
  };
  let y = at[1];
  marks.push(line(y, 'dimension'));
  if (columns.some((column) => column.title !== '')) {
    y = row(columns.map((column) => column.title), y, 'accent');
    marks.push(line(y, 'outline'));
  }
  const ruled = (below: number): Mark[] => {
    if (!write) return [];
    const edges = [at[0]];
    for (const column of columns) edges.push(edges.at(-1)! + column.width);
    return edges.map((x) => polyline('construction', [[x, at[1]], [x, below]]));
  };
  for (const [i, cells] of rows.entries()) {
    const before = marks.length;
    const next = row(cells, y, 'text');
    if (next < floor && i > 0) {
      marks.length = before;
      return { marks: [...marks, ...ruled(y)], below: y, left: rows.slice(i) };
    }
    y = next;
    marks.push(line(y, 'construction'));
  }
  return { marks: [...marks, ...ruled(y)], below: y, left: [] };
}

/** Everything on a page. */
export const marksOf = (page: Page): readonly Mark[] => page.layers.flatMap((layer) => layer.marks);
