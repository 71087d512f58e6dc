/** Opens the kernel and gives it out behind the door: solids stay here, known outside by number only. */
import type { TopoDS_Shape } from 'replicad-opencascadejs';
import type { Kernel, SolidRef } from '../door.ts';
import { ok } from '../../result.ts';
import type { SolidPlan } from '../plan.ts';
import { buildSolid, hollowOf, type Workshop } from './build.ts';
import { StageCache, type Made } from './cache.ts';
import { carve } from './carve.ts';
import { form, formQuality, sharedVolume } from './form.ts';
import { readFont, type Font } from './glyphs.ts';
import { gapBetween, startManifolds } from './inside.ts';
import { KeptFaces } from './keptFaces.ts';
import { measure } from './measure.ts';
import { MeshBook } from './meshing.ts';
import { onPulse, startOc, type WasmSource } from './oc.ts';
import { writeStep } from './step.ts';
import { copyOf } from './topology.ts';
import { countTops } from './tops.ts';
import { closes, Validity } from './validity.ts';

export interface KernelOptions {
  /** The kernel's WebAssembly binary; found beside its loader when left out. */
  readonly wasm?: WasmSource;
  /** Address of manifold's binary; found beside its loader when left out. */
  readonly manifoldWasm?: string | URL;
  /** TrueType or OpenType font for engraved text. A job with engraving is refused without one. */
  readonly font?: ArrayBuffer | Uint8Array;
  /** Called before every larger piece of work, so that whoever waits can tell long work from a hang. */
  readonly pulse?: () => void;
}

interface Held {
  readonly shape: TopoDS_Shape;
  /** What it was built from, and the result of the last stage; null for a solid formed by a recipe. */
  readonly built: { readonly plan: SolidPlan; readonly made: Made } | null;
}

export async function openKernel(options: KernelOptions = {}): Promise<Kernel> {
  const [oc, manifolds] = await Promise.all([startOc(options.wasm), startManifolds(options.manifoldWasm)]);
  if (options.pulse) onPulse(oc, options.pulse);
  let font: Font | null | undefined;
  const fontOf = (): Font | null => (font ??= options.font === undefined ? null : readFont(options.font));
  const shop: Workshop = { oc, manifolds, cache: new StageCache(), book: new MeshBook(oc), proofs: new Map(), validity: new Validity(oc), kept: new KeptFaces(oc), font: fontOf };
  const solids = new Map<number, Held>();
  let nextId = 1;
  const held = (solid: SolidRef): Held => {
    const found = solids.get(solid.id);
    if (found === undefined) throw new Error(`solid ${solid.id} was released or never built`);
    return found;
  };
  const hold = (one: Held): SolidRef => {
    const solid: SolidRef = { id: nextId++ };
    solids.set(solid.id, one);
    return solid;
  };
  return {
    build(plan, buildOptions = {}) {
      const built = buildSolid(shop, plan, buildOptions);
      if (!built.ok) return built;
      const { made, ...rest } = built.value;
      return ok({ ...rest, solid: hold({ shape: copyOf(made.shape), built: { plan, made } }) });
    },
    hollow(plan) {
      const hollow = hollowOf(shop, plan);
      return hollow.ok ? ok(hold({ shape: copyOf(hollow.value.shape), built: null })) : hollow;
    },
    form(recipe, closedBy = formQuality) {
      const formed = form({ oc, kept: shop.kept, font: fontOf, shapeOf: (solid) => held(solid).shape, closes: (shape) => closes(shop.book.mesh(shape, closedBy)) }, recipe);
      return formed.ok ? ok(hold({ shape: formed.value, built: null })) : formed;
    },
    carve: (recipes, done) => carve({ manifolds, font: fontOf }, recipes, done),
    overlap: (a, b) => sharedVolume(oc, { ...a, shape: held(a.solid).shape }, { ...b, shape: held(b.solid).shape }),
    measure(solid) {
      const { shape, built } = held(solid);
      // What was looked at as thoroughly when it was built need not be looked at again.
      const verdict = built === null ? null : shop.validity.known(built.made, true);
      return measure(oc, shape, built === null ? 0 : countTops(oc, shape, built.plan.body), verdict === null ? undefined : verdict === '');
    },
    mesh: (solid, quality) => shop.book.mesh(held(solid).shape, quality),
    gap: (a, b, upTo) => gapBetween(manifolds, a, b, upTo),
    step: (parts, header) => writeStep(oc, parts.map(({ solid, ...part }) => ({ ...part, shape: held(solid).shape })), header),
    release(solid) {
      held(solid).shape.delete();
      solids.delete(solid.id);
    },
    font: options.font === undefined ? null : new Uint8Array(options.font),
    heap: () => oc.wasmMemory.buffer.byteLength,
    close() {
      for (const { shape } of solids.values()) shape.delete();
      solids.clear();
      shop.book.close();
      shop.validity.close();
      shop.kept.close();
      shop.cache.close();
    },
  };
}
