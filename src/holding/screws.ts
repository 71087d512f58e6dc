/**
 * Boss, fixture plate and skin left above the drill -> the lengths of cap screw that hold the boss from below without
 * bottoming, or what to change. mm, degrees.
 *
 * Method (common practice): grip + least engagement <= length <= grip + full thread - one pitch, the grip being what of
 * the plate stands between the floor of its counterbore and the end of the boss; lengths as bought (standards/screws.ts),
 * engagement by standards/engagement.ts. Lengths are nominal: washers, the chamfer at the mouth of the hole and the
 * screw's own length tolerance are not in it. The skin is handed in, measured square to the top over the whole drill.
 * It holds the part for cutting; it says nothing of the bolted cover in service.
 */
import { tolerance } from '../maths/tolerance.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import type { BossPlan } from '../solid/plan.ts';
import { engagementNeeded, type EngagementNeed } from '../standards/engagement.ts';
import type { MaterialName } from '../standards/materials.ts';
import { capScrew, sayScrewLength, screwLengths } from '../standards/screws.ts';
import { majorDiameter, threadNames, threadPitch, type ThreadName } from '../standards/threads.ts';
import { leastBossHeight, pointHeight, practiceBossHeight } from './bossHeight.ts';

/** Where a screw goes through the fixture, from below. */
export interface ScrewSeat {
  /** mm from the underside of the plate to the end of the boss that rests on it. */
  readonly thickness: number;
  /** Room for the head in the underside; null when the head stays outside the plate. */
  readonly counterbore: { readonly diameter: number; readonly depth: number } | null;
}

/** Metal above the drill, mm, shortest distance to the top: what is left and what must be. */
export interface SkinLeft {
  readonly left: number;
  readonly least: number;
}

/** One screw in its place, mm. */
export interface ScrewReach {
  readonly length: number;
  /** Thread of the screw inside full thread of the boss. */
  readonly engagement: number;
  /** From the tip to the end of full thread; at least a pitch in a legal window. */
  readonly threadLeft: number;
  /** From the tip to the shoulder of the drill. */
  readonly drillLeft: number;
}

export interface LegalScrew extends ScrewReach {
  /** What to ask for: `M5 x 20`. */
  readonly said: string;
}

export interface ScrewWindow {
  readonly name: string;
  readonly at: string;
  readonly thread: ThreadName;
  /** mm of plate between the screw's head and the boss. */
  readonly grip: number;
  /** mm, the window itself. */
  readonly shortest: number;
  readonly longest: number;
  /** Lengths one can buy inside it, shortest first; never empty. */
  readonly screws: readonly LegalScrew[];
  readonly need: EngagementNeed;
  readonly skin: SkinLeft;
}

const say = (mm: number): string => `${Number(mm.toFixed(2))} mm`;
/** A cure is rounded up to a tenth, so that doing what is said is enough. */
const up = (mm: number): number => Math.ceil(mm * 10 - tolerance.point) / 10;

/** Verifier: where a screw of some length ends up in a boss, by plain subtraction; it may be past the thread. */
export function screwReach(boss: BossPlan, seat: ScrewSeat, length: number): ScrewReach {
  const inside = length - gripOf(seat);
  const { threadDepth, depth } = boss.hole ?? { threadDepth: 0, depth: 0 };
  return { length, engagement: Math.max(0, Math.min(inside, threadDepth)), threadLeft: threadDepth - inside, drillLeft: depth - inside };
}

const gripOf = (seat: ScrewSeat): number => seat.thickness - (seat.counterbore?.depth ?? 0);

/** The screws that may hold this boss, or every reason why none may and what to change. */
export function screwWindow(boss: BossPlan, seat: ScrewSeat, material: MaterialName, skin: SkinLeft): Result<ScrewWindow> {
  const { hole } = boss;
  const thread = hole === null ? undefined : threadNames.find((name) => name === hole.thread);
  if (hole === null || thread === undefined) {
    return refuse({ code: 'boss-not-tapped', at: boss.at, message: `${boss.name} has no thread, so no screw can hold it.`, hint: 'Give it a thread and a hole depth, or hold the part by other bosses.' });
  }
  const issues = [...seatIssues(boss, thread, seat), ...drillIssues(boss, thread, skin)];
  if (issues.length > 0) return refuse(...issues);
  const need = engagementNeeded(thread, material);
  const grip = gripOf(seat);
  const shortest = grip + need.least;
  const longest = grip + hole.threadDepth - threadPitch(thread);
  const lengths = screwLengths(thread).filter((length) => length >= shortest - tolerance.point && length <= longest + tolerance.point);
  if (lengths.length === 0) return refuse(noLength(boss, thread, seat, material, skin));
  return ok({ name: boss.name, at: boss.at, thread, grip, shortest, longest, screws: lengths.map((length) => ({ ...screwReach(boss, seat, length), said: sayScrewLength(thread, length) })), need, skin });
}

/** What is wrong with the plate, whatever the boss. */
function seatIssues(boss: BossPlan, thread: ThreadName, seat: ScrewSeat): Issue[] {
  const { thickness, counterbore } = seat;
  const head = capScrew(thread);
  const issues: Issue[] = [];
  if (!(Number.isFinite(thickness) && thickness > 0)) {
    return [{ code: 'plate-unusable', at: 'fixture', message: `Expected a plate thickness above 0 mm under ${boss.name}, got ${thickness}.`, hint: 'Give the thickness from its underside to the end of the boss.' }];
  }
  if (counterbore === null) return issues;
  if (!(counterbore.depth >= head.headHeightMost)) {
    issues.push({ code: 'head-stands-out', at: 'fixture', message: `The counterbore under ${boss.name} is ${say(counterbore.depth)} deep; an ${thread} head is up to ${say(head.headHeightMost)} high.`, hint: `Make it ${say(head.headHeightMost)} deep or more, or leave it out and raise the plate off the table.` });
  }
  if (!(counterbore.diameter > head.knurledMost)) {
    issues.push({ code: 'head-does-not-enter', at: 'fixture', message: `The counterbore under ${boss.name} is ${say(counterbore.diameter)} across; an ${thread} head is up to ${say(head.knurledMost)}.`, hint: 'Take the counterbore from the screw table.' });
  }
  if (!(thickness - counterbore.depth >= leastSeat(thread) - tolerance.point)) {
    issues.push({ code: 'head-seat-thin', at: 'fixture', message: `The counterbore under ${boss.name} leaves ${say(thickness - counterbore.depth)} of plate under the head; ${say(leastSeat(thread))} wanted.`, hint: `Make the plate ${say(up(counterbore.depth + leastSeat(thread)))} thick or more.` });
  }
  return issues;
}

/** mm of plate a head pulls against: half a diameter (common practice, no source). */
const leastSeat = (thread: ThreadName): number => majorDiameter(thread) / 2;

/** What is wrong with the drilled hole, whatever the plate. */
function drillIssues(boss: BossPlan, thread: ThreadName, skin: SkinLeft): Issue[] {
  const hole = boss.hole!;
  const issues: Issue[] = [];
  if (hole.threadDepth > hole.depth + tolerance.point) {
    issues.push({ code: 'thread-past-drill', at: `${boss.at}.threadDepth`, message: `${boss.name} asks for ${say(hole.threadDepth)} of full thread in a hole ${say(hole.depth)} deep.`, hint: 'Drill deeper or ask for less thread.' });
  }
  if (!(skin.left >= skin.least - tolerance.point)) {
    const wanted = practiceBossHeight(thread, skin.least, hole.pointAngle);
    issues.push({ code: 'screw-skin-thin', at: `${boss.at}.holeDepth`, message: `${boss.name} leaves ${say(skin.left)} of skin above its drill; ${say(skin.least)} wanted.`, hint: `Drill less deep, lower its end, or use a flat-bottomed hole; by common practice ${thread} wants ${say(up(wanted))} of boss and skin together.` });
  }
  return issues;
}

/** No length to buy fits: every single change that would let one in, exact and nearest. */
function noLength(boss: BossPlan, thread: ThreadName, seat: ScrewSeat, material: MaterialName, skin: SkinLeft): Issue {
  const hole = boss.hole!;
  const need = engagementNeeded(thread, material);
  const heights = { least: leastBossHeight(thread, material, skin.least, hole.pointAngle), practice: practiceBossHeight(thread, skin.least, hole.pointAngle) };
  const pitch = threadPitch(thread);
  const grip = gripOf(seat);
  const window: readonly [number, number] = [grip + need.least, grip + hole.threadDepth - pitch];
  const closed = window[1] < window[0];
  const cures = closed ? [] : plateCures(thread, seat, window);
  const next = screwLengths(thread).find((length) => length >= window[0] - tolerance.point);
  if (next !== undefined) cures.push(...depthCures(boss, thread, seat, next, skin));
  else if (closed) cures.push(...longestCures(thread, need));

  const why = closed
    ? `${say(hole.threadDepth)} of full thread is less than the ${say(need.least)} of engagement (${need.rule}) and one pitch of ${say(pitch)}`
    : `a screw through ${say(grip)} of plate must be ${say(window[0])} to ${say(window[1])} long and none is sold${next === undefined ? `; the longest is ${say(screwLengths(thread).at(-1)!)}` : ''}`;
  return { code: closed ? 'screw-thread-short' : 'screw-no-length', at: boss.at, message: `No ${thread} screw fits ${boss.name}: ${why}.`, hint: `${cures.length > 0 ? cures.join('; or ') : 'use a smaller thread or a thinner plate'}${closed ? `; ${thread} wants ${say(up(heights.least))} of boss and skin together at least, ${say(up(heights.practice))} by common practice` : ''}.` };
}

/** Plates through which the boss as it is can be held: the nearest smaller and greater grip. */
function plateCures(thread: ThreadName, seat: ScrewSeat, [shortest, longest]: readonly [number, number]): string[] {
  const lengths = screwLengths(thread);
  const shorter = lengths.findLast((length) => length < shortest);
  const longer = lengths.find((length) => length > longest);
  const cures: string[] = [];
  // The whole depth is rounded up, not the change: an inch counterbore does not stand on tenths.
  const depth = seat.counterbore?.depth ?? 0;
  const bored = up(Math.max(depth + (shorter === undefined ? 0 : shortest - shorter), capScrew(thread).headHeightMost));
  const deeper = bored - depth;
  // A deeper counterbore must not carry the grip past the other end of the window.
  if (shorter !== undefined && gripOf(seat) - deeper >= leastSeat(thread) && longest - deeper >= shorter - tolerance.point) {
    cures.push(`make the counterbore in the fixture ${say(bored)} deep and use ${sayScrewLength(thread, shorter)}`);
  }
  const more = longer === undefined ? 0 : up(longer - longest);
  if (longer !== undefined && shortest + more <= longer + tolerance.point) cures.push(`make the plate ${say(more)} thicker and use ${sayScrewLength(thread, longer)}`);
  return cures;
}

/** Thread deep enough for the next length sold, and how the boss could have it. */
function depthCures(boss: BossPlan, thread: ThreadName, seat: ScrewSeat, next: number, skin: SkinLeft): string[] {
  const hole = boss.hole!;
  const more = up(next - gripOf(seat) + threadPitch(thread) - hole.threadDepth);
  const room = skin.left - skin.least;
  const what = `${say(more)} more full thread for ${sayScrewLength(thread, next)}`;
  // Moving a hole up by some distance brings it nearer to the top by no more than that.
  if (more <= room) return [`drill and tap ${say(more)} deeper, which leaves ${say(skin.least)} of skin or more (${what})`];
  const point = pointHeight(hole.diameter, hole.pointAngle);
  const cures = [`lower the end of the boss by ${say(more)}, keep the plate under it as thick, and tap as much deeper (${what})`];
  if (point > 0 && room + point >= more) cures.push(`use a flat-bottomed hole, which frees up to ${say(point)} where the top is nearly level`);
  const smaller = smallerThread(thread);
  if (smaller !== null) cures.push(`use ${smaller}`);
  return cures;
}

/** The plate is too thick for the longest screw sold and the thread too short as well: both must change. */
function longestCures(thread: ThreadName, need: EngagementNeed): string[] {
  const longest = screwLengths(thread).at(-1)!;
  const grip = Math.floor((longest - need.least) * 10 + tolerance.point) / 10;
  if (grip < leastSeat(thread)) return ['use a larger thread, or inserts: no screw of this one is long enough for the engagement'];
  return [`leave ${say(grip)} of plate between head and boss and give the boss ${say(up(longest - grip + threadPitch(thread)))} of full thread for ${sayScrewLength(thread, longest)}`];
}

/** The next smaller thread of the same system, or null. */
function smallerThread(thread: ThreadName): ThreadName | null {
  const metric = thread.startsWith('M');
  return threadNames.findLast((name) => name.startsWith('M') === metric && majorDiameter(name) < majorDiameter(thread)) ?? null;
}
