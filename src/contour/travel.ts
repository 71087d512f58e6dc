/**
 * From readings in order of travel to the parameter they are fitted over: the distance travelled, mm; and the refusal of
 * tables whose order cannot be a contour (jumps back, crossing itself).
 * Method: chord lengths from reading to reading. Where the readings stand closer together than they are true (a dense
 * scan), chords measure the noise; then neighbours are averaged in equal groups until the zigzag of the groups is small
 * against their distance, and each reading is projected on the line through the group means.
 * Stops being true: a reading says nothing of which way it was travelled; only the order of the table does.
 */
import { selfCrossing } from '../maths/polygon.ts';
import type { Issue } from '../result.ts';
import type { Vec2 } from '../maths/vec.ts';

/** Distance travelled at each reading, never falling at `corners`; starts at 0. */
export function distanceTravelled(points: readonly Vec2[], corners: readonly number[]): Float64Array {
  const size = groupSize(points);
  const last = points.length - 1;
  const projected = size === 1 ? null : projectedTravel(points, size);
  const t = projected && projected[last]! > projected[0]! ? projected : chordTravel(points);
  const start = t[0]!;
  const end = Math.max(t[last]!, start);
  const marks = [0, ...corners, last];
  for (let m = 1; m < marks.length; m++) {
    const from = m === 1 ? start : t[marks[m - 1]!]!;
    const to = m === marks.length - 1 ? end : Math.max(from, t[marks[m]!]!);
    for (let i = marks[m - 1]!; i <= marks[m]!; i++) t[i] = Math.min(to, Math.max(from, t[i]!));
  }
  for (let i = 0; i <= last; i++) t[i] = t[i]! - start;
  return t;
}

function chordTravel(points: readonly Vec2[]): Float64Array {
  const t = new Float64Array(points.length);
  for (let i = 1; i < points.length; i++) {
    t[i] = t[i - 1]! + apart(points[i]!, points[i - 1]!);
  }
  return t;
}

const apart = (a: Vec2, b: Vec2): number => Math.sqrt((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2);

/** Fewest groups the readings may be gathered into. */
const leastGroups = 24;
/** Largest zigzag of the groups against their distance. */
const calm = 0.1;

function groupSize(points: readonly Vec2[]): number {
  let size = 1;
  while (points.length / (2 * size) >= leastGroups && zigzag(groupMeans(points, size)) > calm) size *= 2;
  return size;
}

/** Median departure of a point from the middle of its neighbours, over the median step, brought to the size of one error. */
function zigzag(points: readonly Vec2[]): number {
  const stride = Math.max(1, Math.floor(points.length / 4000));
  const bends: number[] = [];
  const steps: number[] = [];
  for (let i = 1; i + 1 < points.length; i += stride) {
    const [a, b, c] = [points[i - 1]!, points[i]!, points[i + 1]!];
    bends.push(Math.hypot(a[0] - 2 * b[0] + c[0], a[1] - 2 * b[1] + c[1]));
    steps.push(Math.hypot(c[0] - b[0], c[1] - b[1]));
  }
  return median(bends) / Math.sqrt(6) / (median(steps) || 1);
}

export function median(values: readonly number[]): number {
  const sorted = Float64Array.from(values).sort();
  const n = sorted.length;
  return n === 0 ? 0 : (sorted[(n - 1) >> 1]! + sorted[n >> 1]!) / 2;
}

function groupMeans(points: readonly Vec2[], size: number): Vec2[] {
  if (size === 1) return points as Vec2[];
  const out: Vec2[] = [];
  for (let at = 0; at < points.length; at += size) {
    // A short last group joins the one before it.
    const end = points.length - at < 1.5 * size ? points.length : at + size;
    let x = 0;
    let z = 0;
    for (let i = at; i < end; i++) {
      x += points[i]![0];
      z += points[i]![1];
    }
    out.push([x / (end - at), z / (end - at)]);
    if (end === points.length) break;
  }
  return out;
}

function projectedTravel(points: readonly Vec2[], size: number): Float64Array {
  const means = groupMeans(points, size);
  const along = chordTravel(means);
  const t = new Float64Array(points.length);
  for (let i = 0; i < points.length; i++) {
    const k = Math.min(means.length - 2, Math.max(0, Math.floor((i - (size - 1) / 2) / size)));
    const [a, b] = [means[k]!, means[k + 1]!];
    const step = along[k + 1]! - along[k]!;
    const share = step > 0 ? ((points[i]![0] - a[0]) * (b[0] - a[0]) + (points[i]![1] - a[1]) * (b[1] - a[1])) / (step * step) : 0;
    t[i] = along[k]! + share * step;
  }
  return t;
}

/** Steps sharper than this turn back: 120 deg, cosine -0.5. No cover turns so far between two readings. */
const turnsBack = -0.5;
/** Rows named in one message. */
const mostNamed = 6;

/**
 * What is wrong with the order of the readings. `rows` are their 1-based numbers, `error` their one-sigma error, mm:
 * steps shorter than six errors, or than a fiftieth of the middle step, say nothing about direction and are passed over.
 */
export function orderIssues(points: readonly Vec2[], rows: readonly number[], error: number): Issue[] {
  const size = groupSize(points);
  const means = groupMeans(points, size);
  const rowOf = (k: number): number => rows[Math.min(rows.length - 1, k * size)]!;
  const total = chordTravel(means).at(-1)!;
  const least = Math.min(total / 20, Math.max((6 * error) / Math.sqrt(size), total / (50 * means.length)));
  const kept: number[] = [];
  means.forEach((p, k) => {
    const last = kept.length ? means[kept.at(-1)!]! : undefined;
    if (!last || Math.hypot(p[0] - last[0], p[1] - last[1]) >= least) kept.push(k);
  });
  const line = kept.map((k) => means[k]!);
  const back: number[] = [];
  for (let i = 1; i + 1 < line.length; i++) {
    const [a, b, c] = [line[i - 1]!, line[i]!, line[i + 1]!];
    const [ux, uz, vx, vz] = [b[0] - a[0], b[1] - a[1], c[0] - b[0], c[1] - b[1]];
    if (ux * vx + uz * vz < turnsBack * Math.hypot(ux, uz) * Math.hypot(vx, vz)) back.push(rowOf(kept[i]!));
  }
  if (back.length > 0) {
    return [
      {
        code: 'contour-turns-back',
        at: sayRows(back),
        message: `The readings turn back on themselves at ${sayRows(back)}; expected readings in order of travel along the contour.`,
        hint: 'Sort the readings, correct the mistyped one, or leave it out.',
      },
    ];
  }
  const crossing = selfCrossing(line);
  if (!crossing) return [];
  const [i, j] = crossing.map((k) => rowOf(kept[k]!)) as [number, number];
  const [i2, j2] = crossing.map((k) => rowOf(kept[Math.min(kept.length - 1, k + 1)]!)) as [number, number];
  return [
    {
      code: 'contour-crosses-itself',
      at: `readings ${i}, ${j}`,
      message: `The line through the readings crosses itself: between readings ${i} and ${i2} it meets the stretch between ${j} and ${j2}.`,
      hint: 'Put the readings in order of travel, or correct or leave out the wrong one.',
    },
  ];
}

export function sayRows(rows: readonly number[]): string {
  const named = rows.slice(0, mostNamed).join(', ');
  const more = rows.length > mostNamed ? ` and ${rows.length - mostNamed} more` : '';
  return `${rows.length === 1 ? 'reading' : 'readings'} ${named}${more}`;
}
