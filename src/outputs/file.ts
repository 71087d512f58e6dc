/** What every writer hands back: bytes with a name. Writing to disk or offering a download is the face's work. */
export interface OutputFile {
  readonly name: string;
  readonly mimetype: string;
  readonly bytes: Uint8Array;
  /** What it is for, one line for the person who gets it. */
  readonly purpose: string;
}

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
