/**
 * Is it one valid closed solid? Thorough: the kernel's check of everything. While editing: its check of the faces that
 * are new since the last solid found good, and that the whole is closed; most faces of an edited solid are the old ones.
 */
import type { TopoDS_Face, TopoDS_Shape } from 'replicad-opencascadejs';
import type { Made } from './cache.ts';
import { compoundOf, isClosed, isValid } from './measure.ts';
import { guarded, type Oc } from './oc.ts';
import { scoped } from './scope.ts';
import { countOf, facesOf } from './topology.ts';

interface Verdict {
  /** Empty when nothing is wrong. */
  readonly wrong: string;
  readonly thorough: boolean;
}

const broken = 'its faces do not bound a solid';

export class Validity {
  readonly #oc: Oc;
  readonly #verdicts = new Map<number, Verdict>();
  /** Faces of the last good solid by hash. */
  #good = new Map<number, TopoDS_Face[]>();

  constructor(oc: Oc) {
    this.#oc = oc;
  }

  /** What keeps a result from being one valid closed solid; empty when nothing does. */
  wrongWith({ serial, shape }: Made, thorough: boolean): string {
    const before = this.#verdicts.get(serial);
    if (before !== undefined && (before.thorough || !thorough || before.wrong !== '')) return before.wrong;
    const wrong = guarded(this.#oc, 'check', () => this.#look(shape, thorough));
    this.#verdicts.set(serial, { wrong, thorough });
    return wrong;
  }

  #look(shape: TopoDS_Shape, thorough: boolean): string {
    const oc = this.#oc;
    const solids = countOf(oc, shape, 'solid');
    if (solids === 0) return 'nothing is left';
    if (solids > 1) return `it falls into ${solids} pieces`;
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
