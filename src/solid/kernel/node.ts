/** Opens the kernel in Node: finds its binaries and the font on disk. The only kernel file that knows Node. */
import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Kernel } from '../door.ts';
import { kernelBinary } from './binary.ts';
import { openKernel } from './kernel.ts';
import type { WasmSource } from './oc.ts';

const fontFile = join('public', 'fonts', 'Barlow-Medium.ttf');

/** `wasm`: the binary, compiled already where that was done elsewhere. */
export async function openNodeKernel(wasm: WasmSource = kernelBinary()): Promise<Kernel> {
  const font = findUpwards(dirname(fileURLToPath(import.meta.url)), fontFile);
  return openKernel({ wasm, ...(font === null ? {} : { font: readFileSync(font) }) });
}

/** The file at `name` under the folder or the nearest one above it: this runs from the sources and from the package alike. */
function findUpwards(from: string, name: string): string | null {
  for (let folder = from; ; folder = dirname(folder)) {
    const here = join(folder, name);
    if (existsSync(here)) return here;
    if (dirname(folder) === folder) return null;
  }
}
