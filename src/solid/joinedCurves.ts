/**
 * Outline -> the very same outline of fewer strokes: quadratic Bezier curves that run on smoothly into one another become
 * one quadratic B-spline each. Its knots are as far apart as the control points stand from the joint, which then lies on it
 * by itself. No curve turns by more than a half turn. Fewer strokes make fewer faces.
 */
import type { BSplineCurve } from '../maths/bspline.ts';
import { cross2, distance2, dot2, sub2, type Vec2 } from '../maths/vec.ts';
import { endOf, type Outline, type Stroke } from './outline.ts';

/** Sine of a turn that counts as none. */
const straight = 1e-6;

interface Run {
  /** Start, inner points, end. */
  readonly poles: readonly Vec2[];
  /** Lengths of the parameter between joints. */
  readonly spans: readonly number[];
  /** rad so far, signed. */
  readonly turn: number;
}

export function joinedCurves(outline: Outline): Outline {
  const strokes: Stroke[] = [];
  let run: Run | null = null;
  let at = outline.from;
  const end = (): void => {
    if (run !== null) strokes.push(strokeOf(run));
    run = null;
  };
  for (const stroke of outline.strokes) {
    const [inner, ...more] = stroke.kind === 'bezier' ? stroke.inner : [];
    if (stroke.kind !== 'bezier' || inner === undefined || more.length > 0) {
      end();
      strokes.push(stroke);
    } else {
      const longer: Run | null = run === null ? null : wentOn(run, inner, stroke.to);
      if (longer === null) end();
      run = longer ?? { poles: [at, inner, stroke.to], spans: [1], turn: turnBetween(sub2(inner, at), sub2(stroke.to, inner)) };
    }
    at = endOf(stroke);
  }
  end();
  return { from: outline.from, strokes };
}

/** The run with one more curve, or null where that does not go on smoothly or turns too far. */
function wentOn({ poles, spans, turn }: Run, inner: Vec2, to: Vec2): Run | null {
  const [before, joint] = poles.slice(-2) as [Vec2, Vec2];
  const [came, goes] = [sub2(joint, before), sub2(inner, joint)];
  const smooth = dot2(came, goes) > 0 && Math.abs(cross2(came, goes)) < straight * Math.sqrt(dot2(came, came) * dot2(goes, goes));
  const whole = turn + turnBetween(goes, sub2(to, inner));
  if (!smooth || Math.abs(whole) > Math.PI + straight) return null;
  // The joint itself is no pole.
  return { poles: [...poles.slice(0, -1), inner, to], spans: [...spans, (spans.at(-1)! * distance2(joint, inner)) / distance2(before, joint)], turn: whole };
}

function strokeOf({ poles, spans }: Run): Stroke {
  if (spans.length === 1) return { kind: 'bezier', inner: [poles[1]!], to: poles[2]! };
  const knots = [0];
  for (const span of spans) knots.push(knots.at(-1)! + span);
  const curve: BSplineCurve = { degree: 2, poles, knots: [0, 0, ...knots, knots.at(-1)!, knots.at(-1)!] };
  return { kind: 'curve', curve };
}

const turnBetween = (a: Vec2, b: Vec2): number => Math.atan2(cross2(a, b), dot2(a, b));
