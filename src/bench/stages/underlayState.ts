/** What a person has said about a picture so far, in px and as typed; and the scale that gives, or what is still missing. */
import type { Units } from '../../job/quantity.ts';
import type { Vec2 } from '../../maths/vec.ts';
import type { Quad } from '../../maths/homography.ts';
import { orderCorners, scalePicture, type PictureScale, type PictureSetup } from '../../readings/picture.ts';
import type { Issue, Result } from '../../result.ts';

export type Method = 'rectangle' | 'rulers';

export interface UnderlayState {
  readonly method: Method;
  /** Taps in the order they were made. */
  readonly corners: readonly Vec2[];
  /** From and to along, from and to upright. */
  readonly rulers: readonly Vec2[];
  /** Zero, then the second point of the seat plane. */
  readonly zero: readonly Vec2[];
  readonly width: string;
  readonly height: string;
  readonly along: string;
  readonly upright: string;
  readonly off: string;
  readonly distance: string;
  readonly picking: string;
  /** Whether the picture lies under the contour. */
  readonly shown: boolean;
  /** The sentence put into the job's source of readings, so that it can be replaced there. */
  readonly words: string;
}

export type TextName = 'width' | 'height' | 'along' | 'upright' | 'off' | 'distance' | 'picking';
export type PointList = 'corners' | 'rulers' | 'zero';

export const mostPoints: Readonly<Record<PointList, number>> = { corners: 4, rulers: 4, zero: 2 };

export const freshState: UnderlayState = { method: 'rectangle', corners: [], rulers: [], zero: [], width: '', height: '', along: '', upright: '', off: '', distance: '', picking: '1', shown: true, words: '' };

/** What was kept by an earlier page, as far as it is still understood. */
export function stateFrom(kept: unknown): UnderlayState {
  const from = (typeof kept === 'object' && kept !== null ? kept : {}) as Partial<Record<keyof UnderlayState, unknown>>;
  const points = (name: PointList): readonly Vec2[] => (Array.isArray(from[name]) ? (from[name] as unknown[]).filter((p): p is Vec2 => Array.isArray(p) && p.length === 2 && p.every(Number.isFinite)).slice(0, mostPoints[name]) : []);
  const text = (name: TextName | 'words'): string => (typeof from[name] === 'string' ? (from[name] as string) : freshState[name]);
  return {
    method: from.method === 'rulers' ? 'rulers' : 'rectangle',
    corners: points('corners'),
    rulers: points('rulers'),
    zero: points('zero'),
    width: text('width'),
    height: text('height'),
    along: text('along'),
    upright: text('upright'),
    off: text('off'),
    distance: text('distance'),
    picking: text('picking'),
    shown: from.shown !== false,
    words: text('words'),
  };
}

export const knownList = (state: UnderlayState): 'corners' | 'rulers' => (state.method === 'rectangle' ? 'corners' : 'rulers');

/** What is not there yet, in words; empty when all is there to be judged. */
export function stillMissing(state: UnderlayState): string {
  const points = state[knownList(state)].length;
  if (points < 4) return state.method === 'rectangle' ? `Tap the four corners of the rectangle, in any order: ${4 - points} to go.` : ['Tap the left end of the ruler that lies along.', 'Tap its right end.', 'Tap the lower end of the upright ruler.', 'Tap its upper end.'][points]!;
  const sizes = state.method === 'rectangle' ? [state.width, state.height] : [state.along, state.upright];
  if (sizes.some((typed) => typed.trim() === '')) return state.method === 'rectangle' ? 'Type the width and height of the rectangle.' : 'Type the length between the two points of each ruler.';
  if ((state.off.trim() === '') !== (state.distance.trim() === '')) return 'Type both how far the profile stands off and how far away the camera was, or neither.';
  return '';
}

/** Null while something is missing. */
export function scaleOf(state: UnderlayState, size: Vec2, units: Units): Result<PictureScale> | null {
  if (stillMissing(state) !== '') return null;
  const picking = Number(state.picking.trim().replace(',', '.').replace(/\s*px$/i, ''));
  const [a, b, c, d] = state[knownList(state)] as Quad;
  const setup: PictureSetup = {
    size,
    pickingError: state.picking.trim() === '' ? Number.NaN : picking,
    known: state.method === 'rectangle' ? { kind: 'rectangle', corners: orderCorners([a, b, c, d]), width: state.width, height: state.height } : { kind: 'rulers', along: { from: a, to: b }, alongLength: state.along, upright: { from: c, to: d }, uprightLength: state.upright },
    ...(state.zero.length === 2 ? { zero: { at: state.zero[0]!, towards: state.zero[1]! } } : {}),
    ...(state.off.trim() !== '' ? { offPlane: { off: state.off, distance: state.distance } } : {}),
  };
  return scalePicture(setup, units);
}

export const issuesOf = (scale: Result<PictureScale> | null): readonly Issue[] => (scale !== null && !scale.ok ? scale.issues : []);
