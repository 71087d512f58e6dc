/**
 * DXF text -> its groups (a code on one line, a value on the next), cut into sections and entities. Text DXF of any
 * version. Only the header's unit and the entities are kept; tables, blocks and objects are passed over.
 *
 * Read here rather than through a general DXF package: the one tried drops the weights of splines and never returns from
 * a POLYLINE without its end, which no caller can catch.
 */
import { ok, refuse, type Result } from '../result.ts';

export interface Group {
  readonly code: number;
  readonly value: string;
  /** Line of the code, from 1. */
  readonly line: number;
}

/** One drawn thing: its name and everything up to the next code 0. */
export interface Entity {
  readonly type: string;
  readonly groups: readonly Group[];
  readonly line: number;
}

export interface DxfContent {
  /** $INSUNITS; null when the header has none. */
  readonly unitCode: number | null;
  readonly entities: readonly Entity[];
}

const wholeNumber = /^\s*-?\d{1,4}\s*$/;

/** Pairs up the lines. A line that should hold a code and does not stops the reading there. */
function groupsOf(text: string): Result<readonly Group[]> {
  const lines = text.split('\n');
  const groups: Group[] = [];
  for (let i = 0; i + 1 < lines.length; i += 2) {
    const code = lines[i] as string;
    if (!wholeNumber.test(code)) {
      if (groups.length > 0 && lines.slice(i).every((rest) => rest.trim() === '')) break;
      return refuse({
        code: 'not-a-dxf',
        at: `line ${i + 1}`,
        message: `Expected a DXF group code (a whole number), got "${code.trim().slice(0, 40)}".`,
        hint: i === 0 ? 'Choose a DXF saved as text; a drawing in another format must be exported first.' : 'The file is damaged there: save it again.',
      });
    }
    groups.push({ code: Number(code), value: (lines[i + 1] as string).trim(), line: i + 1 });
  }
  return ok(groups);
}

/** Reads a cleaned text. Needs an ENTITIES section; everything else may be missing. */
export function readContent(text: string): Result<DxfContent> {
  const groups = groupsOf(text);
  if (!groups.ok) return groups;
  let unitCode: number | null = null;
  let section = '';
  let sectionNext = false;
  let variable = '';
  let ended = false;
  let seen = false;
  let current: Group[] | null = null;
  const entities: Entity[] = [];
  for (const group of groups.value) {
    const { code, value } = group;
    if (code === 0 && value === 'EOF') {
      ended = true;
      break;
    }
    if (code === 0 && value === 'SECTION') {
      sectionNext = true;
      current = null;
    } else if (sectionNext && code === 2) {
      section = value;
      sectionNext = false;
      seen ||= section === 'ENTITIES';
    } else if (code === 0 && value === 'ENDSEC') {
      section = '';
      current = null;
    } else if (section === 'HEADER' && code === 9) variable = value;
    else if (section === 'HEADER' && variable === '$INSUNITS' && code === 70) unitCode = Number(value);
    else if (section === 'ENTITIES' && code === 0) {
      current = [];
      entities.push({ type: value, groups: current, line: group.line });
    } else if (section === 'ENTITIES') current?.push(group);
  }
  if (!seen) return refuse({ code: 'not-a-dxf', at: '', message: 'Expected a DXF with an ENTITIES section, got none.', hint: 'Export the drawing again with the side profile in it.' });
  if (!ended) return refuse({ code: 'dxf-cut-short', at: '', message: 'The DXF stops before its end mark (EOF): part of the drawing is missing.', hint: 'Copy or export the file again.' });
  return ok({ unitCode, entities });
}
