/** What pulls the part down on its fixture: a screw for every tapped boss, enough of them, and their middle over what carries. */
import { suggestBosses } from '../holding/suggest.ts';
import { convexHull, insideBy } from '../maths/polygon.ts';
import type { Vec2 } from '../maths/vec.ts';
import { flattened } from '../solid/outline.ts';
import type { Say } from './finding.ts';
import { finding, type HoldingCheck, type HoldingInput } from './holdingInput.ts';

export const screwsFit: HoldingCheck = ({ holding: { screws } }) =>
  screws.flatMap((screw) =>
    screw.refused
      // Thin skin over a drill is a finding of its own already, and a stop.
      .filter((issue) => issue.code !== 'screw-skin-thin')
      .map((issue) => finding(issue.code, 'warn', issue.at, issue.message, issue.hint, 'Plate between head and boss plus engagement, up to full thread less one pitch; lengths as sold (ISO 4762, from memory).', { place: [...screw.place, screw.endHeight] })),
  );

/** The bosses one could add, as they would be typed. */
function sayBosses({ job, plan }: HoldingInput, say: Say): string {
  const { bosses, why } = suggestBosses(job, plan);
  if (bosses.length === 0) return `None can be suggested: ${why}.`;
  return `Suggested: ${bosses[0]!.thread}, ${say(bosses[0]!.diameter)} across, drilled ${say(bosses[0]!.holeDepth)} deep, at ${bosses.map((boss) => `${say.place([boss.x, boss.y, boss.endHeight])}`).join('; ')} (Z is the end height).`;
}

export const heldDown: HoldingCheck = (input, say) => {
  const { fixture } = input.holding;
  if (fixture.heldBy === 'nothing') {
    return [finding('nothing-holds', 'warn', 'bosses', 'Nothing pulls the part down in the second operation: no tapped boss takes a screw, and no tab hole is free for one.', `Add tapped bosses, or tabs with holes; or leave stock round the outside to clamp on and cut it off last. ${sayBosses(input, say)}`, 'Screws from below into bosses, or from above through tabs.')];
  }
  const few = fixture.clamps.length < 3 ? [finding('few-screws', 'note', 'bosses', `Only ${fixture.clamps.length === 1 ? 'one screw pulls' : 'two screws pull'} the part down.`, 'Three or more, spread wide, keep it from rocking.', 'Three points carry: common practice, no source.', { value: fixture.clamps.length, limit: 3, unit: 'count' })] : [];
  if (fixture.heldBy === 'tabs') {
    return [...few, finding('held-by-tabs', 'note', 'bosses', `The part is held through ${fixture.clamps.map(({ name }) => name).join(', ')} from above: the tops of those tabs have to be cut first, under clamps over the walls.`, `Tapped bosses, held by screws from below, leave the whole top free. ${sayBosses(input, say)}`, 'Common practice, no source.')];
  }
  return few;
};

export const clampingCentre: HoldingCheck = ({ holding: { fixture } }, say) => {
  const { clamps, contacts } = fixture;
  if (clamps.length === 0) return [];
  const middle: Vec2 = [0, 1].map((k) => clamps.reduce((sum, clamp) => sum + clamp.at[k]!, 0) / clamps.length) as unknown as Vec2;
  const inside = insideBy(convexHull(contacts.flatMap((contact) => flattened(contact.outline))), middle);
  if (inside >= 0) return [];
  return [finding('clamping-off-support', 'stop', 'bosses', `The middle of the screws (${say.place([...middle, 0])}) lies ${say(-inside)} outside what the part stands on: it tips.`, 'Spread the screws, or give it tabs to stand on beyond them.', 'Centre of equal screw forces inside the outline of the contacts: statics.', { value: inside, limit: 0, unit: 'mm', place: [...middle, 0] })];
};
