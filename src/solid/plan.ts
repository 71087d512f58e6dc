/**
 * Section + job -> SolidPlan: everything the kernel is to build, in plain numbers, derived defaults and table sizes
 * filled in. Part frame, mm, degrees. Pure data: two equal plans give the same solid, and each stage's part of it is its
 * cache key. Every feature carries its name and the path of the job it came from, so that a refusal can name it.
 *
 * Refused here is only what cannot be built at all; rules of the trade are findings and come later.
 */
import type { Job, WallName } from '../job/schema.ts';
import type { BSplineCurve } from '../maths/bspline.ts';
import type { Vec2, Vec3 } from '../maths/vec.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import type { Section } from '../section/section.ts';
import { planBosses } from './planBosses.ts';
import { planFreeHoles } from './planHoles.ts';
import { planEngravings, planGrooves, planNotches } from './planOpenings.ts';
import { planTabs } from './planTabs.ts';
import { planBody } from './planBody.ts';

/** What every feature of a plan carries. */
export interface Named {
  /** Shown on the sheets: T1, B1, H1 ... or what the job calls it. */
  readonly name: string;
  /** Path into the job: `tabs[2]`. */
  readonly at: string;
}

export interface EndPlan {
  readonly closed: boolean;
  /** mm along Y; 0 when open. */
  readonly thickness: number;
}

/** The thin shell. */
export interface BodyPlan {
  /** Along X and along Y. */
  readonly length: number;
  readonly width: number;
  readonly wall: number;
  readonly skin: number;
  /** Outer top and inner roof, as in Section. */
  readonly top: readonly BSplineCurve[];
  readonly roof: readonly BSplineCurve[];
  readonly frontFoot: number;
  readonly backFoot: number;
  readonly stepAt: number;
  readonly left: EndPlan;
  readonly right: EndPlan;
  readonly outsideRadius: number;
  readonly insideCornerRadius: number;
  readonly insideRoofRadius: number;
  /** Chamfer on the outer edge of the feet; 0 for none. */
  readonly feetBreak: number;
}

/** Room for a screw head where the drill goes in. `diameter` is measured at the face, on the axis. */
export type HeadPlan =
  | { readonly kind: 'none' }
  | { readonly kind: 'counterbore'; readonly diameter: number; readonly depth: number }
  /** `angle` is the included angle, degrees. */
  | { readonly kind: 'countersink'; readonly diameter: number; readonly angle: number };

/** A hole drilled right through something. */
export interface ThroughHole extends Named {
  /** Where the axis meets the face the drill enters. */
  readonly entry: Vec3;
  /** Unit, the way the drill goes. */
  readonly axis: Vec3;
  /** From `entry` to where the hole is certainly through. */
  readonly depth: number;
  /** How far above `entry` metal is taken away too: roots, sloping faces. */
  readonly clearAbove: number;
  /** Whether a countersink goes on widening there, as it must where the face slopes. */
  readonly flares: boolean;
  /** How far past `depth` the drill runs, through air. */
  readonly clearBelow: number;
  readonly diameter: number;
  /** Extra length of a slot; 0 for a round hole. */
  readonly slot: number;
  /** Unit, square to `axis`: the way a slot runs. */
  readonly slotAlong: Vec3;
  readonly head: HeadPlan;
  /** Chamfer on both mouths (on the one without a head, if there is one); 0 for none. */
  readonly mouthBreak: number;
}

export interface TabPlan extends Named {
  readonly wall: WallName;
  /** Middle along its wall: Y on front and back, X on left and right. */
  readonly middle: number;
  readonly seat: number;
  readonly length: number;
  readonly reach: number;
  readonly thickness: number;
  readonly cornerRadius: number;
  readonly rootRadius: number;
  /** Chamfer on its upper outside edges; 0 for none. */
  readonly edgeBreak: number;
  /** How far it is carried on into the body behind the wall's face (round corners, broken feet), and between which heights. */
  readonly inset: { readonly depth: number; readonly from: number; readonly to: number } | null;
  readonly hole: ThroughHole | null;
}

export interface BlindHole {
  readonly diameter: number;
  /** Full diameter, from the end of the boss. */
  readonly depth: number;
  /** Included angle of the drill point, degrees; 180 is flat. */
  readonly pointAngle: number;
  readonly mouthBreak: number;
  /** Thread as the trade writes it; empty for a plain hole. */
  readonly thread: string;
  /** Full thread, from the end of the boss; 0 for a plain hole. */
  readonly threadDepth: number;
}

export interface BossPlan extends Named {
  readonly x: number;
  readonly y: number;
  readonly diameter: number;
  readonly endHeight: number;
  readonly rootRadius: number;
  readonly hole: BlindHole | null;
}

export interface NotchPlan extends Named {
  readonly wall: WallName;
  readonly middle: number;
  readonly width: number;
  /** Foot it starts from, and its height above that. */
  readonly foot: number;
  readonly height: number;
  readonly radius: number;
  /** How far it is cut, from the outer face of the wall inwards. */
  readonly through: number;
}

export interface GroovePlan extends Named {
  readonly run: 'along' | 'across';
  readonly middle: number;
  readonly from: number;
  readonly to: number;
  readonly width: number;
  readonly depth: number;
  /** Floor of a groove along, from end to end: the contour moved down by `depth`, square to it. Empty for a groove across. */
  readonly floor: readonly BSplineCurve[];
  /** Where a groove across stands on the contour, and which way the contour runs there (unit). Null for a groove along. */
  readonly across: { readonly at: Vec2; readonly tangent: Vec2 } | null;
}

export interface EngravingPlan extends Named {
  readonly text: string;
  readonly on: 'top' | 'underside';
  readonly centre: Vec2;
  /** Height of a capital letter. */
  readonly height: number;
  readonly depth: number;
  /** Degrees from X towards Y, as seen from the side it is read from. */
  readonly angle: number;
  /** The bottom of the letters: the contour (top) or the roof (underside) moved by `depth` into the metal. */
  readonly floor: readonly BSplineCurve[];
}

export interface SolidPlan {
  readonly body: BodyPlan;
  readonly tabs: readonly TabPlan[];
  readonly bosses: readonly BossPlan[];
  readonly holes: readonly ThroughHole[];
  readonly notches: readonly NotchPlan[];
  readonly grooves: readonly GroovePlan[];
  readonly engravings: readonly EngravingPlan[];
}

/** Resolves a job against its section. All refusals at once. */
export function planSolid(job: Job, section: Section): Result<SolidPlan> {
  const issues: Issue[] = [];
  const body = planBody(job, section, issues);
  if (body === null) return refuse(...issues);
  const plan: SolidPlan = {
    body,
    tabs: planTabs(job, body, issues),
    bosses: planBosses(job, body, issues),
    holes: planFreeHoles(job, body, issues),
    notches: planNotches(job, body, issues),
    grooves: planGrooves(job, body, issues),
    engravings: planEngravings(job, body, issues),
  };
  return issues.length > 0 ? refuse(...issues) : ok(plan);
}
