/** The two pins that place the part: there at all, far enough apart, and with room along the line between them. */
import { distance2 } from '../maths/vec.ts';
import { tolerance } from '../maths/tolerance.ts';
import { finding, type HoldingCheck } from './holdingInput.ts';

export const pinsThere: HoldingCheck = ({ plan, holding: { fixture } }, say) => {
  const [round, relieved] = fixture.pins;
  if (round === undefined || relieved === undefined) {
    return [finding('pins-missing', 'warn', 'tabs', 'There are no two round holes for pins: only the nest posts place the part, to their gap.', 'Give two tabs far apart round holes, or two bosses plain ones.', 'Screws do not place: an M6 in a 6.6 hole floats 0.6 (common practice, no source).', { value: fixture.pins.length, limit: 2, unit: 'count' })];
  }
  const apart = distance2(round.at, relieved.at);
  const limit = Math.max(plan.body.length, plan.body.width) / 2;
  const near = apart >= limit ? [] : [finding('pins-near', 'warn', 'tabs', `The pins stand ${say(apart)} apart on a part ${say(2 * limit)} long: what they leave open in turn counts more at its far end.`, 'Use holes at opposite ends.', 'Half the longer side: common practice, no source.', { value: apart, limit, unit: 'mm', place: [...relieved.at, relieved.top] })];
  return near;
};

/** Both holes are cut at one clamping, so that half of their tolerance is to be expected between them. */
export const pinPlay: HoldingCheck = ({ job, holding: { fixture } }, say) => {
  const relieved = fixture.pins.find((pin) => pin.kind === 'relieved');
  const limit = job.bolting.positionTolerance / 2;
  if (relieved === undefined || relieved.play >= limit - tolerance.point) return [];
  return [finding('pins-bind', 'warn', 'holding.pinGap', `The relieved pin gives ${say(relieved.play)} along the line between the pins; ${say(limit)} wanted.`, 'Make the pin gap larger.', 'Plane geometry of the land in its hole, against half the hole tolerance of bolting.positionTolerance.', { value: relieved.play, limit, unit: 'mm', place: [...relieved.at, relieved.top] })];
};
