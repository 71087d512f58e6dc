/**
 * Is it one valid closed solid, and can it be meshed? Thorough: the kernel's check of everything, and its mesh has no gap.
 * While editing: the kernel's check of the faces that are new since the last solid found good, the whole closed, and every
 * face meshed; most faces of an edited solid are the old ones. (The kernel may call a solid valid that has a face too
 * thin to mesh.)
 */
import type { TopoDS_Face, TopoDS_Shape } from 'replicad-opencascadejs';
import type { Mesh } from '../door.ts';
import { meshGap, weld } from '../mesh.ts';
import type { Made } from './cache.ts';
import { compoundOf, isClosed, isValid } from './measure.ts';
import { guarded, KernelFailure, type Oc } from './oc.ts';
import { scoped } from './scope.ts';
import { countOf, facesOf } from './topology.ts';

interface Verdict {
  /** Empty when nothing is wrong. */
  readonly wrong: string;
  readonly thorough: boolean;
}

const broken = 'its faces do not bound a solid';

export function closes(mesh: Mesh): boolean {
  const { open, crowded, turned } = meshGap(weld(mesh));
  return open + crowded + turned === 0;
}

export class Validity {
  readonly #oc: Oc;
  readonly #verdicts = new Map<number, Verdict>();
  /** Serials of results whose mesh was found closed. */
  readonly #meshed = new Set<number>();
  /** Faces of the last good solid by hash. */
  #good = new Map<number, TopoDS_Face[]>();

  constructor(oc: Oc) {
    this.#oc = oc;
  }

  /** The verdict on a result looked at before; null when it was not. */
  known({ serial }: Made, thorough: boolean): string | null {
    const before = this.#verdicts.get(serial);
    return before !== undefined && (before.thorough || !thorough || before.wrong !== '') ? before.wrong : null;
  }

  /** What keeps a result from being one valid closed solid; empty when nothing does. */
  wrongWith({ serial, shape }: Made, thorough: boolean): string {
    const wrong = guarded(this.#oc, 'check', () => this.#look(shape, thorough));
    this.#verdicts.set(serial, { wrong, thorough });
    return wrong;
  }

  /** What is wrong with the mesh of a result; empty when nothing is. `facets` makes it, or on demand a finer one. */
  meshWrong({ serial }: Made, thorough: boolean, facets: (finer: boolean) => Mesh): string {
    if (this.#meshed.has(serial)) return '';
    try {
      // While editing, what counts is that every face has facets at all; that is found by asking for them.
      const whole = thorough ? closes(facets(false)) || closes(facets(true)) : facets(false).faces.length > 0;
      if (!whole) return 'its mesh does not close';
      if (thorough) this.#meshed.add(serial);
      return '';
    } catch (error) {
      if (error instanceof KernelFailure) return 'one of its faces is too thin to mesh';
      throw error;
    }
  }

  #look(shape: TopoDS_Shape, thorough: boolean): string {
    const oc = this.#oc;
    const solids = countOf(oc, shape, 'solid');
    if (solids === 0) return 'nothing is left';
    if (solids > 1) return `it falls into ${solids} pieces`;
    if (countOf(oc, shape, 'shell') > 1) return 'a hollow is shut in inside the metal';
    if (!isClosed(oc, shape)) return 'it is not closed';
    const faces = facesOf(oc, shape);
    const valid = thorough ? isValid(oc, shape) : this.#newFacesValid(faces);
    if (valid) this.#remember(faces);
    else for (const face of faces) face.delete();
    return valid ? '' : broken;
  }

  #newFacesValid(faces: readonly TopoDS_Face[]): boolean {
    return scoped((keep) => {
      const fresh = faces.filter((face) => !(this.#good.get(this.#hash(face)) ?? []).some((known) => known.IsSame(face)));
      return fresh.length === 0 || isValid(this.#oc, compoundOf(this.#oc, keep, fresh));
    });
  }

  #hash(face: TopoDS_Face): number {
    return this.#oc.ReplicadShapeHasher.HashCode(face, 0x7fffffff);
  }

  /** Takes over the handles. */
  #remember(faces: readonly TopoDS_Face[]): void {
    this.close();
    for (const face of faces) {
      const hash = this.#hash(face);
      const bucket = this.#good.get(hash);
      if (bucket === undefined) this.#good.set(hash, [face]);
      else bucket.push(face);
    }
  }

  close(): void {
    for (const bucket of this.#good.values()) for (const face of bucket) face.delete();
    this.#good = new Map();
  }
}
