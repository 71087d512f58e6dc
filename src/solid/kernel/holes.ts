/** Tab holes out of the outside, blind holes into the hollow: the easy ones by hand, the rest by a boolean. */
import type { TopoDS_Shape } from 'replicad-opencascadejs';
import { isFlush, widest } from '../easy.ts';
import type { BodyPlan, BossPlan, ThroughHole } from '../plan.ts';
import { combine, type BooleanKind, type BooleanOptions } from './boolean.ts';
import { drillFlat, type FlatDrill } from './drillFlat.ts';
import { blindDrill, throughDrill } from './drills.ts';
import type { KeptFaces } from './keptFaces.ts';
import { KernelFailure, type Oc } from './oc.ts';
import { deleteAll } from './scope.ts';
import { copyOf } from './topology.ts';

export function drillTabs(oc: Oc, kept: KeptFaces, outside: TopoDS_Shape, holes: readonly { readonly hole: ThroughHole; readonly easy: boolean }[]): TopoDS_Shape {
  const easy = holes.filter((one) => one.easy).map(({ hole }) => hole);
  const other = holes.filter((one) => !one.easy).map(({ hole }) => hole);
  return drilled(oc, kept, outside, 'cut', other.map((hole) => () => throughDrill(oc, hole)), easy, {
    byHand: (hole) => flatThrough(oc, kept, hole),
    byBoolean: (hole) => throughDrill(oc, hole),
  });
}

export function drillBosses(oc: Oc, kept: KeptFaces, body: BodyPlan, hollow: TopoDS_Shape, holes: readonly { readonly boss: BossPlan; readonly easy: boolean }[]): TopoDS_Shape {
  const easy = holes.filter((one) => one.easy).map(({ boss }) => boss);
  const other = holes.filter((one) => !one.easy).map(({ boss }) => boss);
  return drilled(oc, kept, hollow, 'fuse', other.map((boss) => () => blindDrill(oc, boss, boss.hole!)), easy, {
    byHand: (boss) => flatBlind(oc, kept, boss, isFlush(body, boss)),
    byBoolean: (boss) => blindDrill(oc, boss, boss.hole!),
  });
}

/** First the holes that need a boolean, then the easy ones; should a mouth find no face after all, those go the long way too. */
function drilled<T>(
  oc: Oc,
  kept: KeptFaces,
  solid: TopoDS_Shape,
  kind: BooleanKind,
  others: readonly (() => TopoDS_Shape)[],
  easy: readonly T[],
  make: { readonly byHand: (hole: T) => FlatDrill; readonly byBoolean: (hole: T) => TopoDS_Shape },
): TopoDS_Shape {
  const start = others.length === 0 ? copyOf(solid) : withTools(oc, kind, solid, others.map((other) => other()));
  if (easy.length === 0) return start;
  const drills = easy.map(make.byHand);
  try {
    return drillFlat(oc, kept, start, drills, kind === 'cut');
  } catch (error) {
    if (!(error instanceof KernelFailure)) throw error;
    return withTools(oc, kind, start, easy.map(make.byBoolean));
  } finally {
    start.delete();
  }
}

/** Boolean with tools made for it alone: they are deleted afterwards. */
export function withTools(oc: Oc, kind: BooleanKind, subject: TopoDS_Shape, tools: readonly TopoDS_Shape[], options: BooleanOptions = {}): TopoDS_Shape {
  try {
    return combine(oc, kind, [subject], tools, options);
  } finally {
    deleteAll(tools);
  }
}

function flatThrough(oc: Oc, kept: KeptFaces, hole: ThroughHole): FlatDrill {
  const { entry, axis, depth } = hole;
  const exact: ThroughHole = { ...hole, clearAbove: 0, clearBelow: 0 };
  const radius = widest(hole);
  return {
    solid: kept.tool([entry, axis, depth, hole.diameter, hole.head, hole.mouthBreak, hole.slot, hole.slotAlong], () => throughDrill(oc, exact)),
    mouths: [
      { normal: [-axis[0], -axis[1], -axis[2]], at: entry, radius },
      { normal: axis, at: [entry[0] + depth * axis[0], entry[1] + depth * axis[1], entry[2] + depth * axis[2]], radius: hole.diameter / 2 + hole.mouthBreak },
    ],
  };
}

const flatBlind = (oc: Oc, kept: KeptFaces, boss: BossPlan, flush: boolean): FlatDrill => ({
  solid: kept.tool([boss.x, boss.y, boss.endHeight, boss.hole], () => blindDrill(oc, boss, boss.hole!)),
  // The end of the boss looks up out of the hollow, which is what is drilled here; a flush one has no end in the hollow.
  mouths: flush ? [] : [{ normal: [0, 0, 1], at: [boss.x, boss.y, boss.endHeight], radius: boss.hole!.diameter / 2 + boss.hole!.mouthBreak }],
});
