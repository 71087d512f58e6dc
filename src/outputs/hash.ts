/** Bytes -> their SHA-256 in hexadecimal, as a manifest gives it. */
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';

export const bytesHash = (bytes: Uint8Array): string => bytesToHex(sha256(bytes));
