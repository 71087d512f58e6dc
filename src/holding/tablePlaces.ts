/**
 * Part, cutter and table -> the plate with its bolts and touch-off bore: bolts stand on the pitch of the table, far enough
 * out that the cutter passes between them and the part, and the plate reaches round them. Part frame, mm.
 */
import type { Job } from '../job/schema.ts';
import type { Vec2 } from '../maths/vec.ts';
import { headRoom } from '../standards/screws.ts';
import { clearanceHole } from '../standards/threads.ts';
import type { Box, FixtureHole } from './holding.ts';

/** Share of the head's room kept as metal outside it, at the edge of the plate. */
const rim = 0.5;

export interface PlateLayout {
  readonly least: Vec2;
  readonly most: Vec2;
  readonly bolts: readonly Vec2[];
  readonly bore: Vec2;
  /** Middles of the free strips before the front and behind the back, and how wide (X) and long (Y) they are. */
  readonly labels: { readonly front: Vec2; readonly back: Vec2; readonly room: Vec2 };
}

export function layPlate(job: Job, part: Box): PlateLayout {
  const { topCutter, cutterGap, margin, tablePitch, tableScrew, touchOffBore } = job.holding;
  const head = headRoom(tableScrew).counterbore.diameter / 2;
  const middle = [0, 1].map((k) => (part.least[k]! + part.most[k]!) / 2) as unknown as Vec2;
  const half = [0, 1].map((k) => (part.most[k]! - part.least[k]!) / 2) as unknown as Vec2;
  const widest = Math.max(head, touchOffBore / 2);
  const onPitch = (least: number): number => (Math.ceil((2 * least) / tablePitch - 1e-9) * tablePitch) / 2;
  const boltX = onPitch(half[0] + topCutter + cutterGap + widest);
  const plateX = boltX + widest * (1 + rim);
  // Bolts sit before the front and behind the back, so across they may stand anywhere the plate is wide enough; the bore lies between them.
  const between = touchOffBore / 2 + head + cutterGap;
  const least = Math.max(between, half[1] + margin - head * (1 + rim) - tablePitch / 2);
  const boltY = onPitch(least);
  const plateY = Math.max(half[1] + margin, boltY + head * (1 + rim));
  // Between part and bolts runs a strip as wide as the cutter, which passes over it.
  const strip = half[0] + (topCutter + cutterGap) / 2;
  const bolts = [[-1, -1], [-1, 1], [1, -1], [1, 1]].map(([a, b]): Vec2 => [middle[0] + a! * boltX, middle[1] + b! * boltY]);
  return {
    least: [middle[0] - plateX, middle[1] - plateY],
    most: [middle[0] + plateX, middle[1] + plateY],
    bolts,
    bore: [middle[0] - boltX, middle[1]],
    labels: { front: [middle[0] - strip, middle[1]], back: [middle[0] + strip, middle[1]], room: [topCutter + cutterGap, 2 * plateY] },
  };
}

/** Bolts in counterbores, so that the cutter passes over them; or slots open to the ends of the plate. */
export function tableHoles(job: Job, layout: PlateLayout, plate: Box): FixtureHole[] {
  const { tableScrew, table } = job.holding;
  const { counterbore } = headRoom(tableScrew);
  const diameter = clearanceHole(tableScrew, 'medium');
  const middle = (layout.least[0] + layout.most[0]) / 2;
  return layout.bolts.map((at, i) => ({
    name: `P${i + 1}`,
    what: table === 'slots' ? 'table slot' : 'table hole',
    at,
    diameter,
    from: plate.least[2],
    to: plate.most[2],
    through: true,
    counterbore: table === 'slots' ? null : { ...counterbore, from: 'above' },
    thread: '',
    threadDepth: null,
    slot: table === 'slots' ? { length: Math.abs((at[0] < middle ? layout.least[0] : layout.most[0]) - at[0]), along: [at[0] < middle ? -1 : 1, 0] } : null,
  }));
}
