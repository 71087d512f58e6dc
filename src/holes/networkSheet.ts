/**
 * A sheet of hole readings -> the readings and settings of a network, through the job schema, so that units, ranges and
 * messages are the job's own. One row per reading:
 *
 *   kind, hole, to, value, error        outside, A, B, 115.5
 *                                       edge near, A, foot, 8.2, 0.1
 *                                       pin, A, 5.5
 *
 * Settings, each on a line of its own: `units: inch`, `error: 0.05`, `jaw width: 0.6`, `equal holes: yes`,
 * `seen from: mating`, `datum: A to B` or `datum: A along foot`, `place: 12; -7` (X; Y of the datum hole), `angle: 30`,
 * `side: D left of A B`, `edge: foot 0` (its direction).
 */
import { readDocument } from '../job/read.ts';
import type { Units } from '../job/quantity.ts';
import type { HoleNetwork, JobDocument } from '../job/schema.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import type { HoleReading, NetworkSettings } from './pattern.ts';
import { byLine, readSheet, sayLine, unknownSettings, yesNo, type Sheet } from './sheet.ts';

export interface NetworkRead {
  readonly units: Units;
  /** As the job file keeps it. */
  readonly typed: NonNullable<JobDocument['pattern']>;
  readonly network: HoleNetwork;
}

const knownSettings = ['units', 'error', 'jaw width', 'equal holes', 'seen from', 'datum', 'place', 'angle', 'side', 'edge'];

export function readNetworkSheet(text: string, units?: Units): Result<NetworkRead> {
  const sheet = readSheet(text);
  if (!sheet.ok) return sheet;
  const issues = unknownSettings(sheet.value, knownSettings);
  const lines = new Map<string, number>();
  const rows = sheet.value.rows.filter(({ value }) => !/^kind$/i.test(value[0] ?? ''));
  const readings = rows.map(({ line, value }, i) => {
    lines.set(`pattern.readings[${i}]`, line);
    return readingOf(value, line, issues);
  });
  const found = settingsOf(sheet.value, issues, lines);
  const typedUnits = units ?? found.units;
  if (issues.length > 0) return refuse(...issues);
  const typed = { ...found.pattern, readings } as unknown as NonNullable<JobDocument['pattern']>;
  // A sheet stands for itself: the rest of the job is only there to be read along with it.
  const read = readDocument({ coverwright: 1, units: typedUnits, body: { width: '100mm' }, pattern: typed });
  if (!read.ok) return byLine(read.issues, (path) => lines.get(/^pattern\.\w+(?:\[\d+\])?/.exec(path)?.[0] ?? '') ?? null);
  return ok({ units: typedUnits, typed, network: read.value.job.pattern });
}

function readingOf(cells: readonly string[], line: number, issues: Issue[]): Record<string, unknown> {
  const kind = (cells[0] ?? '').toLowerCase();
  const single = kind === 'pin' || kind === 'jaws';
  // A reading across one hole may leave out the cell for the second name.
  const [a = '', b = '', value = '', error = ''] = single && !(cells[2] === '') ? [cells[1], '', cells[2], cells[3]] : cells.slice(1);
  if (value === '') issues.push({ code: 'row-too-short', at: sayLine(line), message: `Expected ${single ? 'kind, hole, value' : 'kind, hole, to, value'}, got ${cells.length} cell${cells.length === 1 ? '' : 's'}.`, hint: single ? 'Write it like: pin, A, 5.5.' : 'Write it like: outside, A, B, 115.5.' });
  return { kind, a, b, value, ...(error === '' ? {} : { error }) };
}

function settingsOf(sheet: Sheet, issues: Issue[], lines: Map<string, number>): { readonly units: Units; readonly pattern: Record<string, unknown> } {
  let units: Units = 'mm';
  const pattern: Record<string, unknown> = {};
  const sides: unknown[] = [];
  const edges: unknown[] = [];
  const put = (key: string, value: unknown, line: number): void => {
    pattern[key] = value;
    lines.set(`pattern.${key}`, line);
  };
  for (const { name, value, line } of sheet.settings) {
    const bad = (expected: string): void => void issues.push({ code: 'bad-setting', at: sayLine(line), message: `Expected ${expected}, got "${value.slice(0, 60)}".`, hint: 'Correct that line.' });
    if (name === 'units') {
      if (/^(?:mm|inch)$/i.test(value)) units = value.toLowerCase() as Units;
      else bad('units: mm or units: inch');
    } else if (name === 'error') put('readingError', value, line);
    else if (name === 'jaw width') put('jawWidth', value, line);
    else if (name === 'angle') put('angle', value, line);
    else if (name === 'seen from') put('seenFrom', /mating/i.test(value) ? 'mating' : value.toLowerCase(), line);
    else if (name === 'equal holes') {
      const answer = yesNo(value);
      if (answer === null) bad('yes or no');
      else put('equalHoles', answer, line);
    } else if (name === 'datum') {
      const found = /^(\S+)\s+(to|along)\s+(\S+)$/i.exec(value);
      if (found === null) bad('datum: A to B, or datum: A along foot');
      else {
        put('origin', found[1], line);
        put(found[2]!.toLowerCase() === 'to' ? 'towards' : 'along', found[3], line);
      }
    } else if (name === 'place') {
      const cells = value.split(value.includes(';') ? ';' : ',').map((cell) => cell.trim());
      if (cells.length !== 2) bad('place: X; Y');
      else {
        put('x', cells[0], line);
        put('y', cells[1], line);
      }
    } else if (name === 'side') {
      const found = /^(\S+)\s+(left|right)\s+of\s+(\S+)\s+(?:to\s+)?(\S+)$/i.exec(value);
      if (found === null) bad('side: D left of A B');
      else {
        lines.set(`pattern.sides[${sides.length}]`, line);
        sides.push({ hole: found[1], side: found[2]!.toLowerCase(), from: found[3], to: found[4] });
      }
    } else if (name === 'edge') {
      const found = /^(\S+)\s+(\S+)$/.exec(value);
      if (found === null) bad('edge: foot 0');
      else {
        lines.set(`pattern.edges[${edges.length}]`, line);
        edges.push({ name: found[1], angle: found[2] });
      }
    }
  }
  return { units, pattern: { ...pattern, ...(sides.length > 0 ? { sides } : {}), ...(edges.length > 0 ? { edges } : {}) } };
}

/** What `locateHoles` takes, from the job's own pattern. */
export function networkOf(network: HoleNetwork): { readonly readings: readonly HoleReading[]; readonly settings: NetworkSettings } {
  const { origin, towards, along } = network;
  const first = network.readings.find((reading) => !reading.leaveOut);
  const start = origin ?? first?.a ?? '';
  const second = network.readings.flatMap((r) => (r.leaveOut || !['centre', 'outside', 'inside'].includes(r.kind) ? [] : [r.a, r.b])).find((name) => name !== start);
  const datum = along !== undefined ? { origin: start, along } : { origin: start, towards: towards ?? second ?? '' };
  return {
    readings: network.readings.map(({ kind, a, b, value, error, leaveOut }) => ({ kind, a, b, value, leaveOut, ...(error === undefined ? {} : { error }) })),
    settings: {
      readingError: network.readingError,
      jawWidth: network.jawWidth,
      equalHoles: network.equalHoles,
      ...(network.seenFrom === undefined ? {} : { seenFrom: network.seenFrom }),
      ...(origin === undefined && towards === undefined && along === undefined ? {} : { datum }),
      at: [network.x, network.y],
      angle: network.angle,
      sides: network.sides,
      edges: network.edges.map(({ name, angle }) => ({ name, ...(angle === undefined ? {} : { angle }) })),
    },
  };
}
