/** A file or pasted text of any known kind -> readings: the one door of this room for faces that do not know what they were handed. */
import type { Result } from '../result.ts';
import type { DrawingOptions } from './drawing.ts';
import { readDxf } from './dxf.ts';
import type { Readings } from './reading.ts';
import { readSvg } from './svg.ts';
import { readTable } from './table.ts';

export type SourceKind = 'table' | 'DXF' | 'SVG';

/** By name where there is one, else by how the text begins. */
export function kindOf(file: string, text: string): SourceKind {
  if (/\.dxf$/i.test(file)) return 'DXF';
  if (/\.svg$/i.test(file)) return 'SVG';
  if (/\.(csv|tsv|txt)$/i.test(file)) return 'table';
  const start = text.slice(0, 2000);
  if (/^\uFEFF?\s*(<\?xml|<svg|<!--)/i.test(start)) return 'SVG';
  return /^\s*(999\s+[^\n]*\n\s*)*0\s*\r?\n\s*SECTION\s*\r?\n/i.test(start) ? 'DXF' : 'table';
}

export function readReadings(text: string, options: DrawingOptions): Result<Readings> {
  const kind = kindOf(options.file ?? '', text);
  if (kind === 'DXF') return readDxf(text, options);
  return kind === 'SVG' ? readSvg(text, options) : readTable(text, options);
}
