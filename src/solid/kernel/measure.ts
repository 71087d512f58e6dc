/** Solid -> Measured: figures of the kernel's exact geometry, not of a mesh. mm, mm2, mm3. */
import type { Bnd_Box, TopoDS_Face, TopoDS_Shape } from 'replicad-opencascadejs';
import type { Measured } from '../door.ts';
import { guarded, type Oc } from './oc.ts';
import { deleteAll, scoped, type Keep } from './scope.ts';
import { countOf, faceKind, facesOf, shellsOf, wiresOf } from './topology.ts';

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

/** The tight box. Exact boxes of curved faces cost much, so a face whose loose box lies inside the tight one of the others is not asked for its own. */
function tightBox(oc: Oc, shape: TopoDS_Shape): Bnd_Box {
  return scoped((keep) => {
    const faces = facesOf(oc, shape).map((face) => ({ face: keep(face), loose: sides(oc, keep, face) }));
    const size = ({ loose }: (typeof faces)[number]): number => Math.hypot(loose[3]! - loose[0]!, loose[4]! - loose[1]!, loose[5]! - loose[2]!);
    const tight = new oc.Bnd_Box();
    for (const { face, loose } of faces.sort((a, b) => size(b) - size(a))) {
      const inside = !tight.IsVoid() && sidesOf(tight).every((side, i) => (i < 3 ? loose[i]! >= side : loose[i]! <= side));
      if (!inside) oc.BRepBndLib.AddOptimal(withoutHoles(oc, keep, face), tight, false, false);
    }
    return tight;
  });
}

/** Holes in a face do not change how far it reaches, but each of their edges would be gone along: a line of text has hundreds. */
function withoutHoles(oc: Oc, keep: Keep, face: TopoDS_Face): TopoDS_Face {
  if (wiresOf(oc, face).map(keep).length === 1) return face;
  const bare = keep(oc.TopoDS.Face(keep(face.EmptyCopied())));
  keep(new oc.TopoDS_Builder()).Add(bare, keep(oc.BRepTools.OuterWire(face)));
  return bare;
}

/** Least and most X, Y, Z of the kernel's quick, loose box. */
function sides(oc: Oc, keep: Keep, shape: TopoDS_Shape): number[] {
  const loose = keep(new oc.Bnd_Box());
  oc.BRepBndLib.Add(shape, loose, false);
  return sidesOf(loose);
}

const sidesOf = (box: Bnd_Box): number[] => [box.GetXMin(), box.GetYMin(), box.GetZMin(), box.GetXMax(), box.GetYMax(), box.GetZMax()];

/** `topFaces`: how many faces are pieces of the outer top; counted by the caller, who knows the contour. `valid`: the kernel's verdict, where it is known. */
export function measure(oc: Oc, shape: TopoDS_Shape, topFaces: number, valid?: boolean): Measured {
  return guarded(oc, 'measure', () =>
    scoped((keep) => {
      const [volume, area] = [volumeOf, areaOf].map((figure) => guarded(oc, 'measure', () => figure(oc, shape))) as [number, number];
      const bounds = keep(guarded(oc, 'measure', () => tightBox(oc, shape)));
      return {
        volume,
        area,
        box: {
          least: [bounds.GetXMin(), bounds.GetYMin(), bounds.GetZMin()],
          most: [bounds.GetXMax(), bounds.GetYMax(), bounds.GetZMax()],
        },
        faces: countOf(oc, shape, 'face'),
        topFaces,
        valid: valid ?? isValid(oc, shape),
        solids: countOf(oc, shape, 'solid'),
        closed: isClosed(oc, shape),
      };
    }),
  );
}

export function sweptFaces(oc: Oc, shape: TopoDS_Shape): number {
  return scoped((keep) => facesOf(oc, shape).map(keep).filter((face) => faceKind(oc, face) === 'swept').length);
}
