/** What every writer hands back: bytes with a name. Writing to disk or offering a download is the face's work. */
import { strToU8 } from 'fflate';

export interface OutputFile {
  readonly name: string;
  readonly mimetype: string;
  readonly bytes: Uint8Array;
  /** What it is for, one line for the person who gets it. */
  readonly purpose: string;
}

export const textFile = (name: string, mimetype: string, purpose: string, text: string): OutputFile => ({ name, mimetype, purpose, bytes: strToU8(text) });

/** `OB-210-A`: part number and revision, safe as a file name. */
export const stemOf = ({ partNumber, revision }: { readonly partNumber: string; readonly revision: string }): string => safeName(`${partNumber}-${revision}`);

/** A name that is safe on every file system: letters, digits, dot, dash and underscore; never a path, never empty. */
export function safeName(text: string): string {
  const clean = text
    .normalize('NFKD')
    .replace(/[^\w.-]+/g, '-')
    .replace(/\.{2,}/g, '.')
    .replace(/^[-.]+|[-.]+$/g, '')
    .slice(0, 80);
  // Names some systems keep for devices.
  return clean === '' || /^(con|prn|aux|nul|com\d|lpt\d)(\.|$)/i.test(clean) ? `part-${clean}`.replace(/-$/, '') : clean;
}
