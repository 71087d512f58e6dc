/** The kernel's WebAssembly binary in Node. Knows nothing else of the kernel, so that it can be compiled before anything of it is loaded. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';

export const kernelBinary = (): Uint8Array<ArrayBuffer> => readFileSync(createRequire(import.meta.url).resolve('replicad-opencascadejs/wasm'));

/** Compiled once, it may be handed to any number of threads; they share its code. */
export const compileKernel = (): Promise<WebAssembly.Module> => WebAssembly.compile(kernelBinary());
