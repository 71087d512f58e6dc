/** STEP -> meshes, by an outside reader: what we write is what another program reads. */
import occtImport from 'occt-import-js';

/** One body of a STEP file as occt-import-js reads it: another build of a reader than ours, and no writer of it. mm. */
export interface ReadMesh {
  readonly name: string;
  readonly color?: readonly number[];
  readonly brep_faces: readonly unknown[];
  readonly attributes: { readonly position: { readonly array: readonly number[] } };
  readonly index: { readonly array: readonly number[] };
}

export async function readStep(bytes: Uint8Array): Promise<readonly ReadMesh[]> {
  const reader = await occtImport();
  const read = reader.ReadStepFile(bytes, { linearUnit: 'millimeter', linearDeflectionType: 'absolute_value', linearDeflection: 0.02, angularDeflection: 0.2 });
  if (!read.success) throw new Error('the outside reader cannot read the STEP');
  return read.meshes as readonly ReadMesh[];
}

/** mm3 by the divergence theorem; shared edges need not be welded for that. */
export function volumeOf({ attributes, index }: ReadMesh): number {
  const at = (node: number, axis: number): number => attributes.position.array[3 * node + axis]!;
  let six = 0;
  for (let t = 0; t < index.array.length; t += 3) {
    const [a, b, c] = [index.array[t]!, index.array[t + 1]!, index.array[t + 2]!];
    six += at(a, 0) * (at(b, 1) * at(c, 2) - at(b, 2) * at(c, 1)) + at(a, 1) * (at(b, 2) * at(c, 0) - at(b, 0) * at(c, 2)) + at(a, 2) * (at(b, 0) * at(c, 1) - at(b, 1) * at(c, 0));
  }
  return six / 6;
}
