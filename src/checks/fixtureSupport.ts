/** Skin that spans too far without anything under it, and screws a key cannot get to. */
import { tolerance } from '../maths/tolerance.ts';
import { distance2 } from '../maths/vec.ts';
import { fromBelow } from '../holding/fixture.ts';
import { finding, type HoldingCheck } from './holdingInput.ts';

export const longSpans: HoldingCheck = ({ holding }, say) =>
  holding.longSpans.map(({ at, span, limit }) =>
    finding('skin-unsupported', 'warn', 'holding.longestSpan', `The skin spans ${say(span)} at ${say.place([...at, 0])} with nothing under it, and no support fits there; ${say(limit)} at most.`, 'Add a boss there, or a thicker skin.', 'Thirty times the skin where holding.longestSpan is left out: common practice, no source.', { value: span, limit, unit: 'mm', place: [...at, 0] }),
  );

/** mm of plate between the room for two heads, or between one and an edge or another hole. */
const leastWeb = 1.5;

export const screwAccess: HoldingCheck = ({ holding: { fixture } }, say) => {
  const room = (hole: (typeof fixture.holes)[number]): number => (hole.counterbore?.from === 'below' ? Math.max(hole.diameter, hole.counterbore.diameter) : hole.diameter) / 2;
  return fromBelow(fixture).flatMap((hole, i, heads) => {
    const others = fixture.holes.filter((other) => other !== hole && (heads.indexOf(other) < 0 || heads.indexOf(other) > i));
    return others.flatMap((other) => {
      const web = distance2(hole.at, other.at) - room(hole) - room(other);
      if (web >= leastWeb - tolerance.point) return [];
      return [finding('screw-crowded', 'warn', 'bosses', `Under the plate ${say(Math.max(0, web))} is left between the room for the screw of ${hole.name} and the ${other.what} of ${other.name}; ${say(leastWeb)} wanted.`, 'Move the boss, or use a smaller screw.', 'Common practice, no source.', { value: web, limit: leastWeb, unit: 'mm', place: [...hole.at, hole.to] })];
    });
  });
};
