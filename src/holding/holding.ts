/**
 * The product of this room: how a cover is held and cut from both sides, in plain numbers. mm, degrees, grams.
 *
 * First operation: the underside, the part lying top down in the billet. Everything that has to be true to each other is
 * cut in it at one clamping: feet, tab seats, hollow, bosses with their threads, tab holes, and the outline. The billet
 * grips well because its other side is still a plain block. Second operation: the top, the part standing on the fixture,
 * pulled down by screws from below into the threads and placed by pins in the holes of the first. The other way round the
 * heavy cutting of the hollow would have to be held on a curved skin already thin.
 *
 * Frames: part frame as everywhere (see job/schema.ts). Each operation has a machine frame, X to the right and Y away from
 * the operator, Z up, origin at the zero the person chose; `motion` takes the part frame into it.
 */
import type { Vec2, Vec3 } from '../maths/vec.ts';
import type { Issue } from '../result.ts';
import type { RigidMotion } from '../solid/door.ts';
import type { Outline } from '../solid/outline.ts';
import type { MaterialName } from '../standards/materials.ts';
import type { ThreadName } from '../standards/threads.ts';
import type { LegalScrew, ScrewSeat, ScrewWindow, SkinLeft } from './screws.ts';

export interface Box {
  readonly least: Vec3;
  readonly most: Vec3;
}

/** The billet, part frame. */
export interface Stock {
  readonly box: Box;
  readonly size: Vec3;
  /** Metal over the finished part: at the two ends (X), the two sides (Y), under its feet and over its top. */
  readonly allowance: { readonly ends: number; readonly sides: number; readonly under: number; readonly over: number };
  /** How deep it sits in the jaws in the first operation, measured from the face that becomes the top. */
  readonly grip: number;
  /** Part frame height down to which (seen in the first operation) the outline is cut; above it the billet is whole. */
  readonly outlineTo: number;
  /** The waste cut away at one corner in the first operation, through to the jaws' free end: the flip is proven by touching it. */
  readonly flipCorner: { readonly least: Vec2; readonly most: Vec2 } | null;
}

export type ZeroChoice = 'centre' | 'corner' | 'pin' | 'bore';

/** Where an operation counts from. */
export interface Zero {
  readonly choice: ZeroChoice;
  /** Part frame. */
  readonly at: Vec3;
  /** For the sheet: `X and Y: centre of the billet. Z: its raw upper face.` */
  readonly said: string;
}

/** Room for a screw head, at the mouth on one side. */
export type MachineHead =
  | { readonly kind: 'counterbore'; readonly diameter: number; readonly depth: number; readonly from: 'above' | 'below' }
  | { readonly kind: 'countersink'; readonly diameter: number; readonly angle: number; readonly from: 'above' | 'below' };

/** One hole as the machine sees it. */
export interface MachineHole {
  readonly name: string;
  readonly what: 'tab hole' | 'boss hole' | 'skin hole' | 'screw hole' | 'table hole' | 'table slot' | 'pin hole' | 'pad hole' | 'touch-off bore';
  /** Where the drill goes in, machine frame of the operation. */
  readonly at: Vec3;
  /** The side it is drilled from, as the piece lies in this operation. */
  readonly from: 'above' | 'below';
  readonly diameter: number;
  /** Full diameter; null for a through hole. */
  readonly depth: number | null;
  /** Empty for a plain hole. */
  readonly thread: string;
  readonly threadDepth: number | null;
  readonly slot: number;
  readonly head: MachineHead | null;
  /** ISO 286 tolerance asked of the hole; empty for the general one. */
  readonly fit: string;
}

export interface Operation {
  readonly name: 'op 1' | 'op 2';
  /** What is cut, what it lies on and what holds it, a sentence each. */
  readonly said: readonly string[];
  readonly zero: Zero;
  /** Part frame -> machine frame. */
  readonly motion: RigidMotion;
  /** Billet (op 1) or part on its fixture (op 2), machine frame. */
  readonly box: Box;
  readonly holes: readonly MachineHole[];
}

/** A screw from below into one boss: the window with the length to take, or why none fits and what to change. */
export interface BossScrew {
  readonly name: string;
  readonly at: string;
  readonly place: Vec2;
  readonly endHeight: number;
  readonly seat: ScrewSeat;
  /** Normal distance over the whole drill; null for a boss without a hole. */
  readonly skin: SkinLeft | null;
  /** Null where no screw is wanted: a boss without a thread. */
  readonly window: ScrewWindow | null;
  readonly chosen: LegalScrew | null;
  readonly refused: readonly Issue[];
}

/** A face of the fixture that carries the part. */
export interface Contact {
  readonly what: 'foot' | 'tab' | 'boss';
  readonly name: string;
  /** Part frame height. */
  readonly height: number;
  /** Outline in plan with its holes. */
  readonly outline: Outline;
  readonly holes: readonly Outline[];
}

/** A round column standing on the plate, part frame. */
export interface Column {
  readonly what: 'boss post' | 'nest post' | 'support';
  readonly name: string;
  readonly at: Vec2;
  readonly radius: number;
  readonly top: number;
}

export interface Pin {
  readonly kind: 'round' | 'relieved';
  /** Tab or boss whose hole it enters. */
  readonly name: string;
  readonly at: Vec2;
  readonly diameter: number;
  /** Hole in the part. */
  readonly hole: number;
  /** mm of it inside that hole. */
  readonly engaged: number;
  /** Part frame heights of its ends. */
  readonly bottom: number;
  readonly top: number;
  /** Relieved pin: width of its lands, and their direction in plan (unit): square to the line between the pins. */
  readonly land: { readonly width: number; readonly along: Vec2 } | null;
  /** How far the hole may be off along the line between the pins before it binds. */
  readonly play: number;
  /** Loosest and tightest of the pin (m6) in the plate (H7), by ISO 286; null above 18 mm, where the table at hand ends. */
  readonly press: { readonly clearance: number; readonly interference: number } | null;
}

/** A hole of the fixture, part frame, drilled along Z. */
export interface FixtureHole {
  readonly name: string;
  readonly what: MachineHole['what'];
  readonly at: Vec2;
  readonly diameter: number;
  /** Heights between which it is cut; through when it runs past the underside. */
  readonly from: number;
  readonly to: number;
  readonly through: boolean;
  /** Widened for a head, from below or from above. */
  readonly counterbore: { readonly diameter: number; readonly depth: number; readonly from: 'above' | 'below' } | null;
  readonly thread: string;
  readonly threadDepth: number | null;
  /** Open slot: how far and which way it runs (unit); null for a round hole. */
  readonly slot: { readonly length: number; readonly along: Vec2 } | null;
}

export interface FixtureText {
  readonly text: string;
  readonly at: Vec2;
  readonly height: number;
  readonly depth: number;
  /** deg from X towards Y, seen from above. */
  readonly angle: number;
}

/** The fixture of the second operation, part frame: the part stands on it where it stands in its own frame. */
export interface FixturePlan {
  readonly material: MaterialName;
  readonly plate: Box;
  /** Blocks under the wall feet and the tabs, standing on the plate: outline from the plate up to `top`. */
  readonly blocks: readonly { readonly what: 'step' | 'foot' | 'pad'; readonly name: string; readonly outline: Outline; readonly holes: readonly Outline[]; readonly top: number }[];
  readonly columns: readonly Column[];
  /** Room cut free round what hangs lower than the blocks beside it: outline from `from` upwards. */
  readonly reliefs: readonly { readonly name: string; readonly outline: Outline; readonly from: number }[];
  /** Round room for the burrs round the mouths of holes, cut into what carries them: from `from` up to its top. */
  readonly mouths: readonly { readonly name: string; readonly at: Vec2; readonly radius: number; readonly from: number }[];
  readonly pins: readonly Pin[];
  readonly holes: readonly FixtureHole[];
  readonly text: readonly FixtureText[];
  readonly touchOffBore: { readonly at: Vec2; readonly diameter: number };
  readonly contacts: readonly Contact[];
  readonly nestClearance: number;
  /** Least gap to the part anywhere but at its contacts and pins. */
  readonly leastGap: number;
  /** What holds the part down: screws from below into the bosses, screws from above through the tabs, or nothing yet. */
  readonly heldBy: 'bosses' | 'tabs' | 'nothing';
  readonly clamps: readonly { readonly name: string; readonly at: Vec2 }[];
  readonly table: { readonly kind: 'bolt holes' | 'slots'; readonly pitch: number; readonly screw: ThreadName; readonly places: readonly Vec2[] };
}

/** One number to touch off before the second operation is cut, machine frame of op 2. */
export interface TouchNumber {
  readonly axis: 'X' | 'Y' | 'Z';
  /** Coordinate the machine should show at the face, ball radius already taken out. */
  readonly value: number;
  /** Farther off than this is wrong. */
  readonly tolerance: number;
  /** Where the probe goes, machine frame, and which way it moves (unit). */
  readonly at: Vec3;
  readonly way: Vec3;
  readonly said: string;
}

/** A way of turning the part over wrongly, and what the three numbers would then show (null: nothing is met). */
export interface WrongFlip {
  readonly what: string;
  readonly shows: readonly (number | null)[];
  /** Whether some number is off by more than its tolerance. */
  readonly told: boolean;
}

export interface TouchOff {
  readonly numbers: readonly [TouchNumber, TouchNumber, TouchNumber];
  readonly wrong: readonly WrongFlip[];
}

/** The step to expect where cuts of the two operations meet, from a skew of the part in the vice. */
export interface StepExpected {
  /** mm out over 100 mm. */
  readonly skew: number;
  /** Farthest the outline reaches from the zero it turns about. */
  readonly reach: number;
  /** Turned over, the skew counts twice: 2 skew x reach / 100. */
  readonly step: number;
}

export interface Holding {
  readonly stock: Stock;
  readonly op1: Operation;
  readonly op2: Operation;
  readonly fixture: FixturePlan;
  /** Holes to cut in the fixture itself, its top up, machine frame of op 2. */
  readonly fixtureHoles: readonly MachineHole[];
  readonly screws: readonly BossScrew[];
  readonly touchOff: TouchOff;
  readonly step: StepExpected;
  /** g; null what rests on a volume not measured yet. */
  readonly mass: { readonly stock: number; readonly part: number | null; readonly chips: number | null; readonly fixture: number | null };
  /** Where skin spans farther than the job allows, and where no support fits. */
  readonly longSpans: readonly { readonly at: Vec2; readonly span: number; readonly limit: number }[];
}
