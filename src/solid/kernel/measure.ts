/** Solid -> Measured: figures of the kernel's exact geometry, not of a mesh. mm, mm2, mm3. */
import type { Bnd_Box, TopoDS_Shape } from 'replicad-opencascadejs';
import type { Measured } from '../door.ts';
import { guarded, type Oc } from './oc.ts';
import { deleteAll, scoped, type Keep } from './scope.ts';
import { countOf, faceKind, facesOf, shellsOf } from './topology.ts';

/** Relative accuracy asked of the adaptive integration. */
const accuracy = 1e-5;

/** The plain integration of the kernel is off by up to 5 % on trimmed swept faces; the adaptive one is not. */
export function volumeOf(oc: Oc, shape: TopoDS_Shape): number {
  return scoped((keep) => {
    const sums = keep(new oc.GProp_GProps());
    oc.BRepGProp.VolumePropertiesGK(shape, sums, accuracy, false, true, false, false, false);
    return sums.Mass();
  });
}

export function areaOf(oc: Oc, shape: TopoDS_Shape): number {
  return scoped((keep) => {
    const sums = keep(new oc.GProp_GProps());
    oc.BRepGProp.SurfaceProperties(shape, sums, accuracy, false);
    return sums.Mass();
  });
}

/** The kernel's full check of topology and geometry. */
export function isValid(oc: Oc, shape: TopoDS_Shape): boolean {
  return scoped((keep) => {
    const check = keep(new oc.BRepCheck_Analyzer(shape, true, false, false));
    try {
      return check.IsValid();
    } finally {
      // Deleted with its findings in it, an analyzer keeps about 1 MB for good: give it something empty first.
      check.Init(compoundOf(oc, keep, []), false);
    }
  });
}

/** A compound kept by the caller's scope. */
export function compoundOf(oc: Oc, keep: Keep, shapes: readonly TopoDS_Shape[]): TopoDS_Shape {
  const build = keep(new oc.TopoDS_Builder());
  const compound = keep(new oc.TopoDS_Compound());
  build.MakeCompound(compound);
  for (const shape of shapes) build.Add(compound, shape);
  return compound;
}

/** One shell, and every edge of it used by two faces. */
export function isClosed(oc: Oc, shape: TopoDS_Shape): boolean {
  const shells = shellsOf(oc, shape);
  try {
    return shells.length === 1 && oc.BRep_Tool.IsClosed(shells[0]!);
  } finally {
    deleteAll(shells);
  }
}

/** mm. A loose box of the kernel stands off a face by less than this on our parts; faces farther in cannot reach the tight box. */
const looseness = 2;

/** The tight box. Exact boxes of curved faces cost much, so only faces that may touch it are asked for theirs. */
function tightBox(oc: Oc, shape: TopoDS_Shape): Bnd_Box {
  return scoped((keep) => {
    const whole = sides(oc, keep, shape);
    const tight = new oc.Bnd_Box();
    for (const face of facesOf(oc, shape).map(keep)) {
      const own = sides(oc, keep, face);
      if (own.some((side, i) => Math.abs(side - whole[i]!) < looseness)) oc.BRepBndLib.AddOptimal(face, tight, false, false);
    }
    return tight;
  });
}

/** Least and most X, Y, Z of the kernel's quick, loose box. */
function sides(oc: Oc, keep: Keep, shape: TopoDS_Shape): number[] {
  const loose = keep(new oc.Bnd_Box());
  oc.BRepBndLib.Add(shape, loose, false);
  return [loose.GetXMin(), loose.GetYMin(), loose.GetZMin(), loose.GetXMax(), loose.GetYMax(), loose.GetZMax()];
}

/** `topFaces`: how many faces are pieces of the outer top; counted by the caller, who knows the contour. */
export function measure(oc: Oc, shape: TopoDS_Shape, topFaces: number): Measured {
  return guarded(oc, 'measure', () =>
    scoped((keep) => {
      const bounds = keep(tightBox(oc, shape));
      return {
        volume: volumeOf(oc, shape),
        area: areaOf(oc, shape),
        box: {
          least: [bounds.GetXMin(), bounds.GetYMin(), bounds.GetZMin()],
          most: [bounds.GetXMax(), bounds.GetYMax(), bounds.GetZMax()],
        },
        faces: countOf(oc, shape, 'face'),
        topFaces,
        valid: isValid(oc, shape),
        solids: countOf(oc, shape, 'solid'),
        closed: isClosed(oc, shape),
      };
    }),
  );
}

export function sweptFaces(oc: Oc, shape: TopoDS_Shape): number {
  return scoped((keep) => facesOf(oc, shape).map(keep).filter((face) => faceKind(oc, face) === 'swept').length);
}
