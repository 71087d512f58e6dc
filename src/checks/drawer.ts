/** The cuts against the shop's own cutters, where a drawer was handed in; and what cutters leave whatever the drawer. */
import { cuttingOf, sayNeed, type CutterNeed } from '../holding/cutting.ts';
import { sayMm, type Finding, type Say } from './finding.ts';
import type { Check } from './input.ts';

export const cutterDrawer: Check = ({ job, plan, drawer }, say = sayMm) => {
  const { needs, scallop } = cuttingOf(job, plan, drawer ?? null);
  return [...(drawer === undefined || drawer === null ? [] : needs.filter((need) => need.chosen === null).map((need) => missing(need, job.units))), ...ridges(scallop, job.machining.ballDiameter, job.machining.stepOver, say), ...tabCorners(job.holding.topCutter, plan.tabs.length, say)];
};

const missing = (need: CutterNeed, units: 'mm' | 'inch'): Finding => ({
  code: 'cutter-missing',
  level: 'warn',
  message: `${need.what}, ${need.operation}: wanted ${sayNeed(need, units)}. ${need.without}`,
  value: null,
  limit: null,
  unit: '',
  at: need.at,
  place: null,
  cure: 'Get the cutter, change the size that asks for it, or add it to the cutter file.',
  restsOn: 'Geometry against the cutters of the file; reach is counted from the rim of the part.',
});

/** mm. Ridges lower than this are polished off in a minute (common practice, no source). */
const highRidge = 0.02;

function ridges(scallop: number, ball: number, step: number, say: Say): Finding[] {
  if (!Number.isNaN(scallop) && scallop <= highRidge) return [];
  const wide = Number.isNaN(scallop);
  return [
    {
      code: 'ridges-high',
      level: wide ? 'stop' : 'note',
      message: wide ? `Steps of ${say(step)} are wider than the ${say(ball)} ball: bands of the top stay uncut.` : `A ${say(ball)} ball stepping ${say(step)} leaves ridges of ${say(scallop)} on the top.`,
      value: wide ? step : scallop,
      limit: wide ? ball : highRidge,
      unit: 'mm',
      at: 'machining.stepOver',
      place: null,
      cure: 'Step less far, or take a larger ball where the radii allow it.',
      restsOn: 'h = r - sqrt(r2 - (s/2)2), on a flat; the limit is common practice, no source.',
    },
  ];
}

function tabCorners(cutter: number, tabs: number, say: Say): Finding[] {
  if (tabs === 0) return [];
  return [
    {
      code: 'tab-corner-round',
      level: 'note',
      message: `Beside each tab the cutter leaves R${say(cutter / 2)} in the upright corner with the wall; the model shows it sharp.`,
      value: cutter / 2,
      limit: null,
      unit: 'mm',
      at: 'holding.topCutter',
      place: null,
      cure: 'See that the mating part leaves room there, or state a smaller outside cutter.',
      restsOn: 'A round cutter cannot leave a sharp inside corner.',
    },
  ];
}
