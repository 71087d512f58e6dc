/** What a stage of the bench is: what it puts on the board, on the desk and in the panel, and what it does when its marks are moved. */
import type { Vec2 } from '../../maths/vec.ts';
import type { Board, BoardContent } from '../board/content.ts';
import type { KernelClient } from '../kernel/client.ts';
import type { PanelGroup } from '../panel/panel.ts';
import type { Keeper } from '../state/keep.ts';
import type { Store } from '../state/store.ts';
import type { View } from '../view/look.ts';

export type StageName = 'Readings' | 'Contour' | 'Body' | 'Mounts' | 'Holding' | 'Proof' | 'Release';

export interface Bench {
  readonly store: Store;
  readonly kernel: KernelClient;
  readonly view: View | null;
  /** Where work is kept, null where this browser keeps nothing, and under which name. */
  readonly keeping: { readonly keeper: Keeper | null; readonly job: () => string };
  readonly board: () => Board;
  /** Draws board, desk and panel again; for what changed in a stage without changing the job. */
  readonly redraw: () => void;
  /** The same with the head of the desk; for what changed in which board of a stage is up. */
  readonly reopen: () => void;
  /** A line at the top of the page; goes by itself unless it is bad. */
  readonly tell: (text: string, bad?: boolean) => void;
}

export interface Stage {
  readonly name: StageName;
  /** What the desk is called while this stage is up. */
  readonly deskTitle: string;
  readonly content: () => BoardContent;
  readonly groups: () => readonly PanelGroup[];
  readonly noGroups: string;
  /** Built once; `refresh` brings it up to date. */
  readonly desk: HTMLElement;
  readonly tools?: readonly HTMLElement[];
  readonly refresh: () => void;
  /** The stage comes up. */
  readonly enter?: () => void;
  readonly choose: (id: string) => void;
  readonly drag: (id: string, to: Vec2, phase: 'move' | 'end') => { readonly guides: readonly (readonly [Vec2, Vec2])[] };
  readonly nudge: (id: string, by: Vec2) => void;
  readonly remove: (id: string) => void;
  /** Where a tap is being aimed, and where it was put, on a board that says it is aiming. */
  readonly aim?: (at: Vec2 | null) => void;
  readonly put?: (at: Vec2) => void;
  /** Another stage or board goes up. */
  readonly left?: () => void;
  /** Brings the thing at a path of the job into view; false when it is not of this stage. */
  readonly reveal: (path: string) => boolean;
}

/** Lettering of drawings on the board, as a share of the part's length: as tall as the board will show it at least. */
export const lettering = 1 / 46;

export const nothing = { choose: () => {}, drag: () => ({ guides: [] }), nudge: () => {}, remove: () => {} } as const;
