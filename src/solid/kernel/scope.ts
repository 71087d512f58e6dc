/**
 * Lifetimes of kernel handles. A handle lives in the kernel's own memory and is not seen by the garbage collector:
 * whatever is made inside `scoped` and passed through `keep` is deleted when the work ends, also when it throws.
 * What the work returns must not be kept: it belongs to the caller.
 */
export interface Handle {
  delete(): void;
}

export type Keep = <T extends Handle>(thing: T) => T;

export function scoped<R>(work: (keep: Keep) => R): R {
  const kept: Handle[] = [];
  const keep: Keep = (thing) => {
    kept.push(thing);
    return thing;
  };
  try {
    return work(keep);
  } finally {
    for (let i = kept.length - 1; i >= 0; i--) kept[i]?.delete();
  }
}

/** Deletes every handle of a list. */
export function deleteAll(things: readonly Handle[]): void {
  for (const thing of things) thing.delete();
}
