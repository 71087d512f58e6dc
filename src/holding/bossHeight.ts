/**
 * Thread, skin and drill point -> how tall boss and skin must be together for a tapped blind hole. mm, degrees, along the
 * axis of the boss, under a level top; on a slope the skin is measured square to it and more height is needed.
 */
import { tapDrill, tapRunOut, threadPitch, majorDiameter, type TapKind, type ThreadName } from '../standards/threads.ts';
import { engagementNeeded } from '../standards/engagement.ts';
import type { MaterialName } from '../standards/materials.ts';

/** Height of a drill's point over its shoulder; 0 for a flat-bottomed hole (180 deg). */
export const pointHeight = (diameter: number, pointAngle: number): number => (pointAngle >= 180 ? 0 : diameter / 2 / Math.tan((pointAngle * Math.PI) / 360));

/** Usual included angle of a drill. */
const usualPoint = 118;

/** Engagement in aluminium, diameters, and how much deeper than the thread is drilled (common practice, no source). */
const practiceEngagement = 2;
const practiceLead = (thread: ThreadName): number => (majorDiameter(thread) < 6 ? 0.25 : 0.2);

/**
 * By common practice in aluminium: two diameters of thread, the drill deeper by a quarter of that under M6 and a fifth
 * from M6 on, its point, and the skin. Computed: 12.5 for M4, 15.3 for M5, 17.4 for M6 with 1.5 of skin.
 */
export function practiceBossHeight(thread: ThreadName, leastSkin: number, pointAngle: number = usualPoint): number {
  const full = practiceEngagement * majorDiameter(thread);
  return full * (1 + practiceLead(thread)) + pointHeight(tapDrill(thread), pointAngle) + leastSkin;
}

/**
 * The least that the window of screws and the tap leave: needed engagement, one pitch past the screw's tip, the tap's
 * run-out, the drill's point, the skin. It leaves no play for the steps in which screws are sold.
 */
export function leastBossHeight(thread: ThreadName, material: MaterialName, leastSkin: number, pointAngle: number = usualPoint, tap: TapKind = 'bottoming'): number {
  return engagementNeeded(thread, material).least + threadPitch(thread) + tapRunOut(thread, tap) + pointHeight(tapDrill(thread), pointAngle) + leastSkin;
}
