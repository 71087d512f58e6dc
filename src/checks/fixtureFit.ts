/** Fixture against part: no shared metal, gaps kept where nothing is meant to touch, blocks within the part's outline. */
import { distanceTo, footprints } from '../holding/footprint.ts';
import { tolerance } from '../maths/tolerance.ts';
import { flattened } from '../solid/outline.ts';
import { finding, type HoldingCheck } from './holdingInput.ts';

/** mm. A gap is not called short for less than this; meshes and rounding stay well within. */
const slack = 0.02;

export const fixtureOverlap: HoldingCheck = ({ evidence, refused }) => [
  ...refused.map((issue) => finding('fixture-not-made', 'stop', issue.at, issue.message, issue.hint, 'The solid modeller could not make it.')),
  ...(evidence?.against === 'finished'
    ? [finding('after-first-unknown', 'warn', 'holding', 'What is left of the billet after the first operation is not one solid: some hole or boss ends inside its metal. The fixture was held against the finished part instead, and there is no file of it.', 'Look for a boss or tab hole that another feature covers from below.', 'Solid of the billet less everything cut from below.')]
    : []),
  ...(evidence === null || evidence.overlap <= tolerance.breakOut
    ? []
    : [finding('fixture-overlap', 'stop', 'holding', `Fixture and part share ${Number(evidence.overlap.toPrecision(3))} mm3 of metal: the part cannot be set down on it.`, 'Move the tab or boss that stands in the way, or change the burr relief.', 'Volume common to the fixture and the part as it is after the first operation, exact geometry.', { value: evidence.overlap, limit: 0 })]),
];

export const fixtureGap: HoldingCheck = ({ holding: { fixture }, evidence }, say) => {
  if (evidence === null) return [];
  const limit = Math.min(fixture.leastGap, evidence.looked);
  if (evidence.gap !== null && evidence.gap >= limit - slack) return [];
  const found = evidence.gap === null ? 'could not be measured' : `is ${say(evidence.gap)}`;
  return [finding('fixture-gap', 'warn', 'holding.nestGap', `The least gap between fixture and part, contacts left out, ${found}; ${say(limit)} wanted.`, 'Something touches that was not meant to: move the boss or tab nearest to a post.', `Least distance between their meshes, which stand off by up to ${say(evidence.deviation)}.`, { value: evidence.gap, limit, unit: 'mm' })];
};

/** The cutter goes all round the outline at the height of the feet: no block may stand out past it. */
export const fixtureOutside: HoldingCheck = ({ plan, holding: { fixture } }, say) => {
  const flat = footprints(plan);
  return fixture.blocks.flatMap((block) => {
    const out = Math.max(...flattened(block.outline).map((point) => Math.min(...flat.map((one) => distanceTo(one, point)))));
    if (out <= tolerance.point) return [];
    return [finding('fixture-in-cut', 'stop', 'holding.burrRelief', `The ${block.what} under ${block.name} stands ${say(out)} out past the part, where the outside is cut.`, 'Make the burr relief larger, or the tab longer.', 'Outlines in plan.', { value: out, limit: 0, unit: 'mm' })];
  });
};
