/** The part of the reader's interface the tests use; the package has no types of its own. */
declare module 'occt-import-js' {
  interface ReadResult {
    readonly success: boolean;
    readonly meshes: readonly unknown[];
  }
  interface Reader {
    ReadStepFile(bytes: Uint8Array, parameters: object | null): ReadResult;
  }
  export default function open(): Promise<Reader>;
}
