/** Holes as the machine sees them -> cells of a table in the unit of the job, and a CSV of the same. */
import { mmPerInch, type Units } from '../job/quantity.ts';
import type { MachineHead, MachineHole } from '../holding/holding.ts';
import { sayLength } from './say.ts';

const sayHead = (head: MachineHead | null, say: (mm: number) => string): string => {
  if (head === null) return '';
  const size = head.kind === 'counterbore' ? `${say(head.diameter)} x ${say(head.depth)}` : `${say(head.diameter)} x ${Number(head.angle.toFixed(2))}°`;
  return `${head.kind} ${size} from ${head.from}`;
};

export function sayHoleSize(hole: MachineHole, units: Units): string {
  const say = (mm: number): string => sayLength(mm, units);
  return [hole.thread ? `${hole.thread} (drill ${say(hole.diameter)})` : `ø${say(hole.diameter)}${hole.fit === '' ? '' : ` ${hole.fit}`}`, hole.slot > 0 ? `slot +${say(hole.slot)}` : '', sayHead(hole.head, say)].filter(Boolean).join(', ');
}

export function sayHoleDepth({ depth, threadDepth }: MachineHole, units: Units): string {
  const say = (mm: number): string => sayLength(mm, units);
  return [depth === null ? 'through' : say(depth), threadDepth === null ? '' : `thread ${say(threadDepth)}`].filter(Boolean).join(', ');
}

/** Header first. Places in the machine frame of the operation. */
export const machineHoleCells = (holes: readonly MachineHole[], units: Units): string[][] => [
  ['Hole', 'What', 'X', 'Y', 'Z', 'Size', 'Depth'],
  ...holes.map((hole) => [hole.name, hole.what, ...hole.at.map((value) => sayLength(value, units)), sayHoleSize(hole, units), sayHoleDepth(hole, units)]),
];

/** Names are typed by people: quoted where a table program would split or run them. */
const cell = (text: string): string => (/^[=+@-]/.test(text) && Number.isNaN(Number(text)) ? `"'${text.replaceAll('"', '""')}"` : /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

export function machineHoleCsv(holes: readonly MachineHole[], units: Units): string {
  const unit = units === 'inch' ? 'in' : 'mm';
  const figure = (mm: number | null): string => (mm === null ? '' : (units === 'inch' ? mm / mmPerInch : mm).toFixed(units === 'inch' ? 5 : 4));
  const rows = holes.map((hole) => [hole.name, hole.what, ...hole.at.map(figure), figure(hole.diameter), hole.depth === null ? 'through' : figure(hole.depth), hole.thread, figure(hole.threadDepth), figure(hole.slot), hole.from, sayHead(hole.head, (mm) => sayLength(mm, units)), hole.fit].map(cell).join(','));
  return [`hole,what,x (${unit}),y (${unit}),z (${unit}),diameter (${unit}),depth (${unit}),thread,thread depth (${unit}),slot (${unit}),from,head,fit`, ...rows, ''].join('\r\n');
}
