/** What a located pattern says, in lines. */
import { sayReading } from '../../holes/screen.ts';
import type { HolePattern, HoleReading } from '../../holes/pattern.ts';
import type { Units } from '../../job/quantity.ts';
import { sayIssue } from '../../result.ts';
import { sayMiss } from '../../outputs/say.ts';

export interface Line {
  readonly text: string;
  readonly bad?: boolean;
}

export function networkLines(pattern: HolePattern, readings: readonly HoleReading[], units: Units): Line[] {
  const say = (mm: number): string => sayMiss(mm, units);
  const { next, mirror, freedom, spread } = pattern;
  const slips = pattern.slips.map((slip): Line => {
    const which = slip.suspects.map((i) => `reading ${i + 1}, ${sayReading(readings[i]!)}`).join('; or ');
    const only = `${which}, seems ${say(Math.abs(slip.amount))} too ${slip.amount > 0 ? 'long' : 'short'}; a hole would move ${say(slip.effect)} without it. Measure it again; it is still in use.`;
    return { text: slip.suspects.length === 1 ? `A slip: ${only}` : `There is a slip, but the readings cannot tell where: ${which}. Measure these again.`, bad: true };
  });
  const checks = pattern.checks.filter((one) => !one.passed).map((one): Line => ({ text: `${one.a} to ${one.b}: outside less inside misses the two holes together by ${say(Math.abs(one.difference))}, more than ${say(one.limit)}. One of the four readings is wrong.`, bad: true }));
  const worst = pattern.holes.reduce((a, b) => (b.shape.major > a.shape.major ? b : a));
  return [
    ...(mirror === null ? [] : [{ text: mirror, bad: true }]),
    ...slips,
    ...checks,
    { text: freedom === 0 ? 'Nothing to spare: no reading is checked by another.' : `${freedom} ${freedom === 1 ? 'reading' : 'readings'} to spare; they disagree ${spread.toFixed(2)} times as much as their errors say.` },
    { text: `Least well known: ${worst.name}, within ${say(worst.shape.major)} (95 %) after best fit.${next === null ? '' : ` Measure next: ${next.a} to ${next.kind === 'edge' ? 'edge ' : ''}${next.b}${next.again ? ' again' : ''}; the worst hole goes to ${say(next.worstThen)}.`}` },
    ...pattern.remarks.map((remark): Line => ({ text: sayIssue(remark) })),
  ];
}
