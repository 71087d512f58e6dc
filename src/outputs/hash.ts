/** Files -> how reports and manifests list them: with size and SHA-256. */
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';

import type { OutputFile } from './file.ts';

export interface Listed {
  readonly name: string;
  readonly bytes: number;
  /** Hexadecimal. */
  readonly sha256: string;
  readonly purpose: string;
}

/** Hashing some megabytes takes a tenth of a second: list a file once and hand the list on. */
export const listed = ({ name, bytes, purpose }: OutputFile): Listed => ({ name, bytes: bytes.length, sha256: bytesToHex(sha256(bytes)), purpose });
