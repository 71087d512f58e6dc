/** Room for the cutter that goes round the outside: over the plate, and between the part and whatever stands up or is clamped outside it. Room for the jaws. */
import { distanceTo, footprints } from '../holding/footprint.ts';
import { tolerance } from '../maths/tolerance.ts';
import { headRoom } from '../standards/screws.ts';
import { finding, type HoldingCheck } from './holdingInput.ts';

export const cutterRoom: HoldingCheck = ({ job, plan, holding: { fixture } }, say) => {
  const { topCutter, cutterGap } = job.holding;
  const lowest = Math.min(...fixture.contacts.filter((contact) => contact.what !== 'boss').map((contact) => contact.height));
  const over = lowest - fixture.plate.most[2];
  const found = over >= cutterGap - tolerance.point ? [] : [finding('cutter-near-plate', 'stop', 'holding.cutterGap', `The cutter passes ${say(over)} over the plate; ${say(cutterGap)} wanted.`, 'Make the cutter gap larger, so that the part stands higher.', 'Lowest foot or tab seat over the plate.', { value: over, limit: cutterGap, unit: 'mm' })];
  const head = headRoom(fixture.table.screw).counterbore.diameter / 2;
  const flat = footprints(plan);
  const beside = Math.min(...fixture.table.places.map((place) => Math.min(...flat.map((one) => distanceTo(one, place))))) - head - topCutter;
  if (beside >= cutterGap - tolerance.point) return found;
  return [...found, finding('cutter-near-bolts', 'stop', 'holding.tablePitch', `Between the part and the table screws a ${say(topCutter)} cutter has ${say(beside)} to spare; ${say(cutterGap)} wanted.`, 'Use a smaller cutter or move the screws out by one pitch.', 'Distances in plan, heads included.', { value: beside, limit: cutterGap, unit: 'mm' })];
};

export const jawRoom: HoldingCheck = ({ holding: { stock } }, say) => {
  const findings = [];
  if (stock.grip > stock.allowance.over + tolerance.point) {
    findings.push(finding('jaws-on-part', 'warn', 'holding.stockOver', `The jaws hold ${say(stock.grip)} of the billet, but only ${say(stock.allowance.over)} of it is over the top: they reach down beside the part.`, `Leave ${say(stock.grip)} or more over the top, or hold less deep.`, 'Jaw depth against the stock over the top.', { value: stock.allowance.over, limit: stock.grip, unit: 'mm' }));
  }
  if (stock.grip < 3) {
    findings.push(finding('jaws-shallow', 'warn', 'holding.grip', `The jaws hold only ${say(stock.grip)} of the billet.`, 'Leave more stock over the top and hold deeper, or cut a groove for the jaws first.', 'Less than 3 mm of grip for heavy cuts: common practice, no source.', { value: stock.grip, limit: 3, unit: 'mm' }));
  }
  return findings;
};
