/** Opens the kernel in Node: finds its binaries and the font on disk. The only kernel file that knows Node. */
import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Kernel } from '../door.ts';
import { openKernel } from './kernel.ts';

const fontFile = join('public', 'fonts', 'Barlow-Medium.ttf');

export async function openNodeKernel(): Promise<Kernel> {
  const wasm = readFileSync(createRequire(import.meta.url).resolve('replicad-opencascadejs/wasm'));
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
