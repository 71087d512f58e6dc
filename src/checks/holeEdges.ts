/**
 * Distance from a tab's hole to the edge of its tab, and room for the screw head beside the wall.
 * 1.5 screw diameters from centre to edge is machine-design practice (from memory); building codes use the hole diameter
 * and the direction of load instead and are not meant for screws this small.
 */
import { capScrew } from '../standards/screws.ts';
import { headRoom } from '../standards/screws.ts';
import { majorDiameter } from '../standards/threads.ts';
import type { Tab } from '../job/schema.ts';
import type { TabPlan } from '../solid/plan.ts';
import { sayMm, type Finding, type Say } from './finding.ts';
import type { Check } from './input.ts';

export const holeEdges: Check = ({ job, plan }, say = sayMm) => plan.tabs.flatMap((tab, index) => checkTab(tab, job.tabs[index] as Tab, say));

function checkTab(tab: TabPlan, typed: Tab, say: Say): Finding[] {
  if (tab.hole === null) return [];
  const { along, out } = holeInTab(tab, typed);
  const screw = typed.hole === undefined ? 'M5' : typed.hole?.screw;
  const diameter = screw === undefined ? tab.hole.diameter / 1.1 : majorDiameter(screw);
  const slot = slotReach(tab);
  const toSide = tab.length / 2 - Math.abs(along) - slot.along;
  const toEnd = tab.reach - out - slot.out;
  const value = Math.min(toSide, toEnd);
  const limit = 1.5 * diameter;
  const findings: Finding[] = [];
  if (value < limit * 0.999) {
    findings.push({
      code: 'hole-near-edge',
      level: value < tab.hole.diameter / 2 + 0.5 ? 'stop' : 'warn',
      message: `The hole of ${tab.name} stands ${say(value)} from the edge; ${say(limit)} wanted.`,
      value,
      limit,
      unit: 'mm',
      at: value === toSide ? `${tab.at}.length` : `${tab.at}.reach`,
      place: tab.hole.entry,
      cure: value === toSide ? `Make the tab ${say(2 * (limit - value))} longer.` : `Make the tab reach ${say(limit - value)} further.`,
      restsOn: '1.5 screw diameters from centre to edge: machine-design practice, from memory.',
    });
  }
  if (screw !== undefined && tab.hole.head.kind !== 'countersink') findings.push(...headBesideWall(tab, screw, out, say));
  return findings;
}

function headBesideWall(tab: TabPlan, screw: Parameters<typeof headRoom>[0], out: number, say: Say): Finding[] {
  const headRadius = capScrew(screw).knurledMost / 2;
  const value = out - headRadius - tab.rootRadius;
  if (value >= 0) return [];
  return [
    {
      code: 'head-meets-wall',
      level: out - headRadius < 0 ? 'stop' : 'warn',
      message: `The head of an ${screw} screw in ${tab.name} overlaps the ${out - headRadius < 0 ? 'wall' : 'root radius'} by ${say(-value)}.`,
      value,
      limit: 0,
      unit: 'mm',
      at: `${tab.at}.holeOut`,
      place: tab.hole?.entry ?? null,
      cure: `Move the hole out to ${say(headRadius + tab.rootRadius)} from the wall, or make the root radius smaller.`,
      restsOn: 'Largest head of ISO 4762 or ASME B18.3.',
    },
  ];
}

/** Hole centre in the tab: along the wall from the middle of the tab, and out from the wall, mm. */
export function holeInTab(tab: TabPlan, typed: Tab): { readonly along: number; readonly out: number } {
  return { along: typed.holeAlong, out: typed.holeOut ?? tab.reach / 2 };
}

/** Half of a slot's extra length, along the wall and square to it. */
function slotReach(tab: TabPlan): { readonly along: number; readonly out: number } {
  if (tab.hole === null) return { along: 0, out: 0 };
  const [x, y] = tab.hole.slotAlong;
  const half = tab.hole.slot / 2;
  return tab.wall === 'front' || tab.wall === 'back' ? { along: Math.abs(y) * half, out: Math.abs(x) * half } : { along: Math.abs(x) * half, out: Math.abs(y) * half };
}
