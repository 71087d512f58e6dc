/** The kernel's binary over the wire -> compiled module; compiled as the bytes come, which are counted for the person who waits. */
import wasmUrl from 'replicad-opencascadejs/wasm?url';

/** `progress`: share that has come, 0 to 1. */
export async function loadModule(progress: (done: number) => void): Promise<WebAssembly.Module> {
  const response = await fetch(wasmUrl);
  if (!response.ok || response.body === null) throw new Error(`The solid modeller could not be loaded (${response.status}).`);
  // The length is that of the file; a compressed transfer counts up past it, so the share is only a guide.
  const total = Number(response.headers.get('content-length')) || 23e6;
  let loaded = 0;
  const counted = response.body.pipeThrough(
    new TransformStream<Uint8Array, Uint8Array>({
      transform(chunk, out) {
        loaded += chunk.length;
        progress(Math.min(1, loaded / total));
        out.enqueue(chunk);
      },
    }),
  );
  return WebAssembly.compileStreaming(new Response(counted, { headers: { 'content-type': 'application/wasm' } }));
}
