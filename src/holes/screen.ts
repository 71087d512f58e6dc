/**
 * Hole readings as given -> every reason why they cannot be a network, before any of it is solved: names, values, datum.
 * All at once, each with the row and the cure.
 */
import type { Issue } from '../result.ts';
import { isEdge, isPair } from './network.ts';
import { holeReadingKinds, type HoleReading, type NetworkSettings } from './pattern.ts';

/** Names of holes and edges in the order in which they first appear in readings that are used. */
export function namesOf(readings: readonly HoleReading[]): { readonly holes: readonly string[]; readonly edges: readonly string[] } {
  const holes = new Set<string>();
  const edges = new Set<string>();
  for (const reading of readings) {
    if (reading.leaveOut) continue;
    holes.add(reading.a);
    if (isPair(reading.kind)) holes.add(reading.b);
    if (isEdge(reading.kind)) edges.add(reading.b);
  }
  return { holes: [...holes], edges: [...edges] };
}

export const sayReading = (reading: HoleReading): string => [reading.kind, reading.a, reading.b].filter((word) => word !== '').join(' ');

/** mm: no pattern of a cover is larger. */
const farthest = 5000;
/** The solver is dense; more than this is another kind of work. */
const mostHoles = 60;

export function screenReadings(readings: readonly HoleReading[], settings: NetworkSettings): Issue[] {
  const issues = readings.flatMap((reading, index) => (reading.leaveOut ? [] : screenOne(reading, `reading ${index + 1}`)));
  if (!(settings.readingError > 0)) issues.push({ code: 'bad-error', at: 'readingError', message: `Expected a reading error above 0 mm, got ${settings.readingError}.`, hint: 'Calipers are good to about 0.03 to 0.05 mm (common practice).' });
  if (issues.length > 0) return issues;
  const { holes, edges } = namesOf(readings);
  if (holes.length < 2) return [{ code: 'too-few-readings', at: '', message: `Expected readings between at least two holes, got ${holes.length === 0 ? 'none' : `only hole ${holes[0]}`}.`, hint: 'Measure from hole to hole: centre, outside or inside.' }];
  if (holes.length > mostHoles) return [{ code: 'too-many-holes', at: '', message: `Expected at most ${mostHoles} holes, got ${holes.length}.`, hint: 'Locate the pattern in two parts that share two holes.' }];
  return [...screenDatum(holes, edges, settings), ...screenSides(holes, settings)];
}

function screenOne(reading: HoleReading, at: string): Issue[] {
  const issues: Issue[] = [];
  const { kind, a, b, value, error } = reading;
  if (!(holeReadingKinds as readonly string[]).includes(kind)) issues.push({ code: 'unknown-kind', at, message: `"${String(kind).slice(0, 40)}" is not a kind of reading.`, hint: `Use one of ${holeReadingKinds.join(', ')}.` });
  else if (a === '') issues.push({ code: 'hole-missing', at, message: 'Expected the name of the hole, got nothing.', hint: 'Name the holes the way you marked them: A, B, 1, 2.' });
  else if ((isPair(kind) || isEdge(kind)) && b === '') issues.push({ code: 'hole-missing', at, message: `A reading of kind ${kind} needs ${isPair(kind) ? 'two holes' : 'a hole and an edge'}; only ${a} is named.`, hint: 'Add the second name.' });
  else if (isPair(kind) && a === b) issues.push({ code: 'same-hole', at, message: `Expected two holes, got ${a} twice.`, hint: 'Correct one of the names.' });
  if (!(value > 0 && value < farthest) && !(isEdge(kind) && Math.abs(value) < farthest)) issues.push({ code: 'bad-value', at, message: `Expected a length between 0 and ${farthest} mm, got ${value} mm.`, hint: 'Correct the value or its unit.' });
  if (error !== undefined && !(error > 0)) issues.push({ code: 'bad-error', at, message: `Expected a reading error above 0 mm, got ${error}.`, hint: 'State one sigma, or leave it out.' });
  return issues;
}

function screenDatum(holes: readonly string[], edges: readonly string[], { datum, known = [], edges: given = [] }: NetworkSettings): Issue[] {
  const issues: Issue[] = [];
  const wantHole = (name: string, at: string): void => {
    if (!holes.includes(name)) issues.push({ code: 'unknown-hole', at, message: `Hole ${name} is in no reading.`, hint: `Holes read: ${holes.join(', ')}.` });
  };
  if (datum !== undefined) {
    wantHole(datum.origin, 'datum');
    if ('towards' in datum) {
      wantHole(datum.towards, 'datum');
      if (datum.towards === datum.origin) issues.push({ code: 'same-hole', at: 'datum', message: `Expected two holes as datum, got ${datum.origin} twice.`, hint: 'Choose two holes that lie far apart.' });
    } else if (!edges.includes(datum.along)) {
      issues.push({ code: 'unknown-edge', at: 'datum', message: `Edge ${datum.along} is in no reading.`, hint: edges.length > 0 ? `Edges read: ${edges.join(', ')}.` : 'Take two holes as datum.' });
    }
  }
  for (const { name } of known) wantHole(name, 'known');
  if (known.length === 1) issues.push({ code: 'too-few-known', at: 'known', message: 'Expected two or more known holes, or none; got one.', hint: 'Make it the datum with a place of its own instead.' });
  for (const { name } of given) if (!edges.includes(name)) issues.push({ code: 'unknown-edge', at: 'edges', message: `Edge ${name} is in no reading.`, hint: edges.length > 0 ? `Edges read: ${edges.join(', ')}.` : 'Remove it.' });
  return issues;
}

function screenSides(holes: readonly string[], { sides = [] }: NetworkSettings): Issue[] {
  return sides.flatMap(({ hole, from, to }): Issue[] => {
    const missing = [hole, from, to].filter((name) => !holes.includes(name));
    if (missing.length > 0) return [{ code: 'unknown-hole', at: 'side', message: `Hole ${missing.join(', ')} is in no reading.`, hint: `Holes read: ${holes.join(', ')}.` }];
    if (new Set([hole, from, to]).size < 3) return [{ code: 'same-hole', at: 'side', message: 'A side needs three different holes.', hint: 'Say on which side of the line between two holes a third one lies.' }];
    return [];
  });
}
