/**
 * Letters sunk into a level face without a boolean: each letter's block brings its walls and its floor, the face gets the
 * letter's rim as one more wire, and what a counter leaves standing is a face of its own. Right only for letters that
 * stand clear of each other and of everything else on their face and meet nothing below it; what is in doubt throws
 * KernelFailure, and the caller cuts instead.
 */
import type { TopoDS_Face, TopoDS_Shape, TopoDS_Wire } from 'replicad-opencascadejs';
import { tolerance } from '../../maths/tolerance.ts';
import { withWires } from './drillFlat.ts';
import { isPlain, meet, planBoxOf } from './letters.ts';
import { guarded, KernelFailure, type Oc } from './oc.ts';
import { scoped, type Keep } from './scope.ts';
import type { PlanBox } from './sweptFaces.ts';
import { countOf, facesOf, planeOf, wiresOf } from './topology.ts';

/** mm of plan kept clear round the letters. */
const clear = 0.05;

/** `blocks`: letters as solids whose upper ends lie in the face at `height`. */
export function carveFlat(oc: Oc, solid: TopoDS_Shape, blocks: readonly TopoDS_Shape[], height: number): TopoDS_Shape {
  return guarded(oc, 'letters', () =>
    scoped((keep) => {
      if (countOf(oc, solid, 'solid') !== 1) throw new KernelFailure('letters: not one solid');
      const boxes = blocks.map((block) => grown(planBoxOf(oc, block)));
      const faces = facesOf(oc, solid).map(keep);
      const hosts = faces.filter((face) => isLevel(oc, face, height) && isPlain(oc, keep, face, boxes) && boxes.every((box) => holds(planBoxOf(oc, face), box)));
      if (boxes.some((box, i) => boxes.slice(i + 1).some((other) => meet(box, other)))) throw new KernelFailure('letters: they run into each other');
      const [host] = hosts;
      if (host === undefined || hosts.length > 1) throw new KernelFailure(`letters: ${hosts.length} plain faces under them`);
      const wires: TopoDS_Wire[] = [];
      const added: TopoDS_Face[] = [];
      for (const block of blocks) sink(oc, keep, block, host, height, wires, added);
      const build = keep(new oc.TopoDS_Builder());
      const shell = keep(new oc.TopoDS_Shell());
      build.MakeShell(shell);
      for (const face of faces) build.Add(shell, face.IsSame(host) ? keep(withWires(oc, face, wires)) : face);
      for (const face of added) build.Add(shell, face);
      shell.Closed(true);
      return keep(new oc.BRepBuilderAPI_MakeSolid(shell)).Solid();
    }),
  );
}

/** What one letter brings: a wire for its face, walls and floor turned inside out, islands. */
function sink(oc: Oc, keep: Keep, block: TopoDS_Shape, host: TopoDS_Face, height: number, wires: TopoDS_Wire[], added: TopoDS_Face[]): void {
  for (const face of facesOf(oc, block).map(keep)) {
    if (!isLevel(oc, face, height)) {
      added.push(keep(oc.TopoDS.Face(keep(face.Reversed()))));
      continue;
    }
    const rim = keep(oc.BRepTools.OuterWire(face));
    wires.push(keep(oc.TopoDS.Wire(keep(rim.Reversed()))));
    for (const wire of wiresOf(oc, face).map(keep)) if (!wire.IsSame(rim)) added.push(island(oc, keep, host, keep(oc.TopoDS.Wire(keep(wire.Reversed())))));
  }
}

function island(oc: Oc, keep: Keep, host: TopoDS_Face, wire: TopoDS_Wire): TopoDS_Face {
  const face = keep(oc.TopoDS.Face(keep(host.EmptyCopied())));
  keep(new oc.TopoDS_Builder()).Add(face, wire);
  return face;
}

/** A flat face looking straight up at this height. */
function isLevel(oc: Oc, face: TopoDS_Face, height: number): boolean {
  const plane = planeOf(oc, face);
  return plane !== null && plane.normal[2] > 1 - tolerance.angle && Math.abs(plane.distance - height) < tolerance.point;
}

const grown = ({ x, y }: PlanBox): PlanBox => ({ x: [x[0] - clear, x[1] + clear], y: [y[0] - clear, y[1] + clear] });

const holds = (face: PlanBox, { x, y }: PlanBox): boolean => face.x[0] < x[0] && face.x[1] > x[1] && face.y[0] < y[0] && face.y[1] > y[1];
