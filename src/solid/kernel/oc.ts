/**
 * Starts the kernel: OpenCascade compiled to WebAssembly, handed to replicad. The binary comes from whoever opens the
 * kernel (a browser face knows its URL, Node its path), so nothing here touches disk or network by itself.
 */
import initOpenCascade from 'replicad-opencascadejs';
import type { OpenCascadeInstance } from 'replicad-opencascadejs';
import { setOC } from 'replicad';

export type Oc = OpenCascadeInstance;

/** The WebAssembly binary: its bytes, a module already compiled, or where to fetch it. */
export type WasmSource = ArrayBuffer | Uint8Array | WebAssembly.Module | URL | string;

export async function startOc(wasm?: WasmSource): Promise<Oc> {
  const oc = await initOpenCascade({ print: () => {}, printErr: () => {}, ...whereFrom(wasm) });
  setOC(oc as unknown as Parameters<typeof setOC>[0]);
  return oc;
}

function whereFrom(wasm: WasmSource | undefined): Record<string, unknown> {
  if (wasm === undefined) return {};
  if (typeof wasm === 'string' || wasm instanceof URL) return { locateFile: () => String(wasm) };
  if (wasm instanceof WebAssembly.Module) {
    return {
      instantiateWasm: (imports: WebAssembly.Imports, done: (instance: WebAssembly.Instance, module: WebAssembly.Module) => void) => {
        void WebAssembly.instantiate(wasm, imports).then((instance) => done(instance, wasm));
        return {};
      },
    };
  }
  return { wasmBinary: wasm };
}

/** Who wants to know that a kernel is still getting on; a call into it cannot speak for itself. */
const listeners = new WeakMap<Oc, () => void>();
export const onPulse = (oc: Oc, pulse: () => void): void => void listeners.set(oc, pulse);

/** What the kernel could not do, in its own words. An expected outcome for hard geometry: callers turn it into an Issue. */
export class KernelFailure extends Error {
  override readonly name = 'KernelFailure';
}

/** The kernel's memory is spent or broken: every later call would fail too. Open a fresh one. */
export class KernelDead extends Error {
  override readonly name = 'KernelDead';
}

/**
 * Runs kernel work; exceptions of the kernel become KernelFailure. So does a trap (the kernel stumbles over some odd edges)
 * that leaves it able to work; one that does not, out of memory above all, is KernelDead.
 */
export function guarded<R>(oc: Oc, what: string, work: () => R): R {
  listeners.get(oc)?.();
  try {
    return work();
  } catch (error) {
    if (error instanceof KernelFailure || error instanceof KernelDead) throw error;
    if (isKernelException(error)) throw new KernelFailure(`${what}: ${sayException(oc, error)}`);
    if (error instanceof WebAssembly.RuntimeError || error instanceof RangeError) {
      if (isAlive(oc)) throw new KernelFailure(`${what}: ${error.message}`);
      throw new KernelDead(`${what}: ${error.message}`, { cause: error });
    }
    throw error;
  }
}

/** A small piece of real work: a box has six faces. */
function isAlive(oc: Oc): boolean {
  try {
    const maker = new oc.BRepPrimAPI_MakeBox(1, 2, 3);
    const box = maker.Shape();
    const walk = new oc.TopExp_Explorer(box, oc.TopAbs_ShapeEnum.TopAbs_FACE);
    let faces = 0;
    for (; walk.More(); walk.Next()) faces++;
    for (const handle of [walk, box, maker]) handle.delete();
    return faces === 6;
  } catch {
    return false;
  }
}

/** The kernel throws WebAssembly exceptions, which the types of this language do not know yet. */
function isKernelException(error: unknown): boolean {
  const kind = (WebAssembly as unknown as { Exception?: new () => unknown }).Exception;
  return kind !== undefined && error instanceof kind;
}

function sayException(oc: Oc, error: unknown): string {
  try {
    const [type, message] = oc.getExceptionMessage(error as never) as unknown as [string, string?];
    return message ? `${type}: ${message}` : type;
  } catch {
    return 'unknown kernel exception';
  }
}
