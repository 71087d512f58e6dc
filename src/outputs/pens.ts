/** What each pen looks like on screen and paper: mm, #rrggbb. Thick for outlines, half of that for the rest (ISO 128-2, from memory). */
import type { Pen } from './drawing.ts';

export interface PenLook {
  /** null draws no line. */
  readonly stroke: string | null;
  readonly width: number;
  /** Dash and gap after gap; empty for an unbroken line. */
  readonly dash: readonly number[];
  /** Fill of a mark that asks for one; null for none. */
  readonly fill: string | null;
  /** 0 to 1, of the fill. */
  readonly fillOpacity: number;
  /** Colour of text. */
  readonly ink: string;
}

const ink = '#1d1b16';
const blue = '#1f4e8c';
const red = '#a8321e';

const look = (stroke: string | null, width: number, more: Partial<PenLook> = {}): PenLook => ({ stroke, width, dash: [], fill: null, fillOpacity: 1, ink, ...more });

export const pens: Readonly<Record<Pen, PenLook>> = {
  outline: look(ink, 0.5, { fill: '#e4ddcc' }),
  hidden: look(ink, 0.25, { dash: [2, 1] }),
  centre: look('#5d574b', 0.18, { dash: [4, 0.8, 0.6, 0.8] }),
  dimension: look(ink, 0.18, { fill: ink }),
  reading: look(ink, 0.2, { fill: ink }),
  accent: look(blue, 0.4, { fill: blue, ink: blue }),
  construction: look('#8a8373', 0.18),
  band: look(null, 0, { fill: blue, fillOpacity: 0.15 }),
  text: look(null, 0),
  warning: look(red, 0.4, { fill: red, ink: red }),
};
