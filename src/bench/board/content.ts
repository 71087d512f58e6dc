/** What a board shows and says back: drawings, handles, pictures under them. Coordinates are mm, y up. */
import type { Homography } from '../../maths/homography.ts';
import type { Vec2 } from '../../maths/vec.ts';
import type { Drawing } from '../../outputs/drawing.ts';

/** Something on the drawing that can be taken hold of. */
export interface Handle {
  readonly id: string;
  readonly at: Vec2;
  /** Said to a screen reader and shown while it is held: `T2 hole`. */
  readonly name: string;
  readonly chosen: boolean;
  /** Which ways it may go; a reading moves up and down only. */
  readonly free: 'both' | 'x' | 'y' | 'none';
}

/** A picture lying under the drawing. */
export interface BoardPicture {
  /** Address of a picture made by the page itself. */
  readonly url: string;
  /** px of the original, which `toBoard` counts in, whatever the size of what is at `url`. */
  readonly width: number;
  readonly height: number;
  /** Original px, y down, to the board's coordinates, y up. */
  readonly toBoard: Homography;
  /** 0 to 1. */
  readonly strength: number;
}

export interface BoardContent {
  readonly drawing: Drawing;
  readonly picture?: BoardPicture | null;
  /** Whether a tap beside the handles puts something there: then one finger aims instead of moving the drawing. */
  readonly aiming?: boolean;
  /** Whether the board takes the part's room too, for as long as this is shown. */
  readonly wide?: boolean;
  readonly handles: readonly Handle[];
  /** One line under the drawing: which side it is seen from, what is enlarged. */
  readonly note: string;
  /** Changes when the board shows something else altogether and should fit itself. */
  readonly subject: string;
}

export interface BoardEvents {
  readonly choose: (id: string) => void;
  /** While held: where the pointer would put it, mm. Answers where it really goes, and the guide lines to show for it. */
  readonly drag: (id: string, to: Vec2, phase: 'move' | 'end') => { readonly guides: readonly (readonly [Vec2, Vec2])[] };
  /** By keys: steps of 0.01, 0.1 or 1 mm. */
  readonly nudge: (id: string, by: Vec2) => void;
  readonly remove: (id: string) => void;
  /** While aiming: where the pointer is, null when it left. */
  readonly aim: (at: Vec2 | null) => void;
  /** While aiming: the tap. */
  readonly put: (at: Vec2) => void;
}

export interface Board {
  /** What is drawn on; things may be laid over it. */
  readonly sheet: HTMLElement;
  /** CSS px on the sheet of a point of the drawing. */
  onSheet(at: Vec2): Vec2;
  /** CSS px to a unit of the drawing. */
  scale(): number;
  /** What is in the middle of the sheet. */
  middle(): Vec2;
  show(content: BoardContent): void;
  fit(): void;
  focusHandle(id: string): void;
}
