/**
 * Mesh recipe -> mesh, by exact mesh booleans (manifold-3d). What comes out is closed, or the recipe is refused. Round
 * outlines become polygons whose corners stand on the circle, with a chord error of tolerance.printChord.
 */
import type { CrossSection, Manifold, Mat4 } from 'manifold-3d';
import { cross3 } from '../../maths/vec.ts';
import { tolerance } from '../../maths/tolerance.ts';
import { ok, refuse, type Result } from '../../result.ts';
import { meshVolume, type WeldedMesh } from '../mesh.ts';
import type { Affine, Carved, MeshForm, MeshRecipe, MeshStep } from '../meshRecipe.ts';
import { alongOutline, turnedTo, type Outline } from '../outline.ts';
import type { Form, Frame } from '../recipe.ts';
import { inkFor, type Font } from './glyphs.ts';
import { manifoldOf, type Manifolds } from './inside.ts';
import { KernelFailure } from './oc.ts';

interface Deletable {
  delete(): void;
}
type KeepMesh = <T extends Deletable>(one: T) => T;

interface CarveShop {
  readonly manifolds: Manifolds;
  readonly font: () => Font | null;
  /** A mesh as manifold holds it; several recipes may start from the same. */
  readonly meshBody: (mesh: WeldedMesh) => Manifold;
}

export function carve(shop: Omit<CarveShop, 'meshBody'>, recipes: readonly MeshRecipe[], done: (share: number) => void = () => {}): Result<Carved>[] {
  const bodiesOfMeshes = new Map<WeldedMesh, Manifold>();
  const meshBody = (mesh: WeldedMesh): Manifold => {
    const body = bodiesOfMeshes.get(mesh) ?? manifoldOf(shop.manifolds, mesh);
    bodiesOfMeshes.set(mesh, body);
    return body;
  };
  try {
    return recipes.map((recipe, i) => {
      done(i / recipes.length);
      return carveOne({ ...shop, meshBody }, recipe);
    });
  } finally {
    for (const body of bodiesOfMeshes.values()) body.delete();
  }
}

function carveOne(shop: CarveShop, recipe: MeshRecipe): Result<Carved> {
  const made: Deletable[] = [];
  const keep: KeepMesh = (one) => {
    made.push(one);
    return one;
  };
  try {
    return ok(told(keep, whole(keep, cooked(shop, keep, recipe))));
  } catch (error) {
    if (!(error instanceof KernelFailure)) throw error;
    const letters = /the font has no|no font/.test(error.message);
    return refuse({ code: 'carve-failed', at: letters ? recipe.lettersAt : recipe.at, message: `The ${recipe.name} cannot be made: ${error.message}.`, hint: letters ? 'Use other letters, or leave the marking off.' : 'Change the sizes it is made from, or leave it out.' });
  } finally {
    for (const one of made.reverse()) one.delete();
  }
}

function cooked(shop: CarveShop, keep: KeepMesh, { start, steps }: MeshRecipe): Manifold {
  const { Manifold } = shop.manifolds;
  const joined = (forms: readonly MeshForm[]): Manifold => keep(Manifold.union(forms.flatMap((form) => bodies(shop, keep, form))));
  const step = (shape: Manifold, one: MeshStep): Manifold => {
    if (one.do === 'place') return keep(shape.transform(matrixOf(one.by)));
    if (one.do === 'relieve') return relieved(shop, keep, shape, one);
    if (one.with.length === 0) return shape;
    const other = joined(one.with);
    return keep(one.do === 'fuse' ? shape.add(other) : one.do === 'cut' ? shape.subtract(other) : shape.intersect(other));
  };
  return steps.reduce(step, joined(start));
}

/** All of it, as long as it is one. */
function whole(keep: KeepMesh, shape: Manifold): Manifold {
  if (shape.status() !== 'NoError') throw new KernelFailure(`its mesh does not close (${shape.status()})`);
  if (shape.isEmpty()) throw new KernelFailure('nothing is left of it');
  // Slivers of rounding are no bits of plastic.
  const parts = shape.decompose().map(keep).filter((one) => one.volume() > tolerance.printCrumb);
  if (parts.length === 0) throw new KernelFailure('nothing is left of it');
  if (parts.length > 1) throw new KernelFailure(`it falls into ${parts.length} loose bits`);
  return parts[0]!;
}

function told(keep: KeepMesh, shape: Manifold): Carved {
  const mesh = weldedOf(shape);
  return { mesh, volume: meshVolume(mesh), shadow: keep(keep(shape.project()).simplify(tolerance.drawingChord)).toPolygons() as Carved['shadow'] };
}

function weldedOf(shape: Manifold): WeldedMesh {
  const { vertProperties, numProp, triVerts, faceID, runOriginalID, runIndex } = shape.getMesh();
  const positions = new Float64Array((vertProperties.length / numProp) * 3);
  for (let i = 0; i < positions.length / 3; i++) for (let k = 0; k < 3; k++) positions[3 * i + k] = vertProperties[numProp * i + k]!;
  // Faces are numbered within the body they came from; here they get numbers of their own.
  const numbers = new Map<string, number>();
  const faceOf = new Uint32Array(triVerts.length / 3);
  for (let t = 0, run = 0; t < faceOf.length; t++) {
    while (run + 1 < runOriginalID.length && runIndex[run + 1]! <= 3 * t) run++;
    const name = `${runOriginalID[run]},${faceID[t]}`;
    if (!numbers.has(name)) numbers.set(name, numbers.size);
    faceOf[t] = numbers.get(name)!;
  }
  return { positions, triangles: triVerts.slice(), faceOf };
}

function bodies(shop: CarveShop, keep: KeepMesh, form: MeshForm): Manifold[] {
  const { Manifold } = shop.manifolds;
  if (form.kind === 'mesh') return [shop.meshBody(form.mesh)];
  if (form.kind === 'box') {
    const [x, y, z] = [0, 1, 2].map((k) => form.most[k]! - form.least[k]!) as [number, number, number];
    return [keep(keep(Manifold.cube([x, y, z])).translate([...form.least]))];
  }
  if (form.kind === 'letters') return inkFor(shop.font(), form.text, form.height).map(({ rim, holes }) => prism(shop, keep, [rim, ...holes], form, tolerance.drawingChord));
  return [prism(shop, keep, [form.outline, ...(form.holes ?? [])], form, tolerance.printChord)];
}

function prism({ manifolds }: CarveShop, keep: KeepMesh, outlines: readonly Outline[], { frame, from, to }: Extract<Form, { kind: 'prism' | 'letters' }>, chord: number): Manifold {
  const polygons = outlines.map((outline, i) => alongOutline(turnedTo(outline, i === 0 ? 1 : -1), chord).slice(0, -1).map(([x, y]) => [x, y] as [number, number]));
  const section: CrossSection = keep(new manifolds.CrossSection(polygons, 'Positive'));
  return keep(keep(manifolds.Manifold.extrude(section, Math.abs(to - from))).transform(matrixOf(frameMotion(frame, Math.min(from, to)))));
}

function frameMotion({ origin, x, y }: Frame, from: number): Affine {
  const out = cross3(x, y);
  const rows = [0, 1, 2].map((k) => [x[k]!, y[k]!, out[k]!]) as unknown as Affine['rows'];
  return { rows, shift: [0, 1, 2].map((k) => origin[k]! + out[k]! * from) as unknown as Affine['shift'] };
}

/** Column by column, as manifold takes it. */
const matrixOf = ({ rows: [a, b, c], shift }: Affine): Mat4 => [a[0], b[0], c[0], 0, a[1], b[1], c[1], 0, a[2], b[2], c[2], 0, shift[0], shift[1], shift[2], 1];

/** The outline half way up the step stands for all of it: at the bed walls are upright. */
function relieved({ manifolds }: CarveShop, keep: KeepMesh, shape: Manifold, { inset, height }: Extract<MeshStep, { do: 'relieve' }>): Manifold {
  if (inset <= 0) return shape;
  const { min, max } = shape.boundingBox();
  const inside = keep(keep(shape.slice(min[2] + height / 2)).offset(-inset, 'Miter', 2));
  const foot = keep(keep(manifolds.Manifold.extrude(inside, 2 * height)).translate([0, 0, min[2] - height / 2]));
  const slab = keep(keep(manifolds.Manifold.cube([max[0] - min[0] + 2, max[1] - min[1] + 2, 2 * height])).translate([min[0] - 1, min[1] - 1, min[2] - height]));
  return keep(shape.subtract(keep(slab.subtract(foot))));
}
