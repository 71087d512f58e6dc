/**
 * Small parts kept from build to build so that an edit makes new only what it changes: tools by their figures, and faces
 * by the faces and wires they were made of. What keeps its identity is neither checked, meshed nor sent again.
 */
import type { TopoDS_Shape } from 'replicad-opencascadejs';
import type { Oc } from './oc.ts';
import { deleteAll } from './scope.ts';
import { copyOf } from './topology.ts';

/** Parts kept of either kind; the least recently used go first. */
const mostTools = 400;
const mostFaces = 400;

interface Joined {
  readonly sources: readonly TopoDS_Shape[];
  readonly result: TopoDS_Shape;
  readonly key: string;
}

export class KeptFaces {
  readonly #oc: Oc;
  readonly #tools = new Map<string, TopoDS_Shape>();
  #joined: Joined[] = [];

  constructor(oc: Oc) {
    this.#oc = oc;
  }

  /** The tool of these figures. Stays the keeper's: do not delete it. */
  tool(figures: unknown, make: () => TopoDS_Shape): TopoDS_Shape {
    const key = JSON.stringify(figures);
    const solid = this.#tools.get(key) ?? make();
    this.#tools.delete(key);
    this.#tools.set(key, solid);
    for (const [old, shape] of this.#tools) {
      if (this.#tools.size <= mostTools) break;
      this.#tools.delete(old);
      shape.delete();
    }
    return solid;
  }

  /** What was made of exactly these shapes with these figures, or makes it. Stays the keeper's: do not delete it. */
  made(sources: readonly TopoDS_Shape[], make: () => TopoDS_Shape, figures = ''): TopoDS_Shape {
    const key = `${sources.map((source) => this.#oc.ReplicadShapeHasher.HashCode(source, 0x7fffffff)).join()}|${figures}`;
    const at = this.#joined.findIndex((one) => one.key === key && one.sources.every((source, i) => source.IsEqual(sources[i]!)));
    const found = at < 0 ? { key, sources: sources.map(copyOf), result: make() } : this.#joined.splice(at, 1)[0]!;
    this.#joined.unshift(found);
    for (const old of this.#joined.splice(mostFaces)) deleteAll([...old.sources, old.result]);
    return found.result;
  }

  close(): void {
    deleteAll([...this.#tools.values()]);
    for (const { sources, result } of this.#joined) deleteAll([...sources, result]);
    this.#tools.clear();
    this.#joined = [];
  }
}
