/** How likely it is that everything bolts up, in lines. */
import type { Bolting } from '../../fit/bolting.ts';
import type { Units } from '../../job/quantity.ts';
import { sayMiss } from '../../outputs/say.ts';

/** mm: nobody enlarges a screw hole by more than this. */
const unlike = 3;

export function oddsLines({ seated, odds, left }: Bolting, units: Units): string[] {
  const say = (mm: number): string => sayMiss(mm, units);
  const percent = (p: number): string => `${(100 * p).toFixed(1)} %`;
  const cure =
    odds.enlargeFor99 > unlike
      ? ' No larger hole mends that: the two patterns are not alike. Check the names of the holes.'
      : odds.enlargeFor99 > 0
        ? ` For 99 in 100: every hole ${say(odds.enlargeFor99)} larger${odds.slotFor99 === null ? '' : `, or ${odds.limiting} a slot ${say(odds.slotFor99)} longer`}.`
        : '';
  return [
    `As drawn it ${seated.margin >= 0 ? 'bolts up' : 'does not bolt up'}: in its best place the tightest screw has ${say(seated.margin)} to spare.`,
    `Odds over reading errors, cutting and heat: ${percent(odds.probability)} (${percent(odds.interval[0])} to ${percent(odds.interval[1])}); ${odds.limiting} limits.${cure}`,
    ...(left.length > 0 ? [`Not judged: ${left.join('; ')}.`] : []),
  ];
}
