/**
 * The sizes of a test print, kept apart from the sizes of the design by their type. A design size is a plain number of
 * millimetres; a size drawn for the printer is an object that says what it is of, so the compiler refuses it wherever the
 * design, the machine's files or a fit expects a number. Print compensation leaves this room in these types only.
 */

/** Along the bed, across the bed, up from it. */
export const printAxes = ['x', 'y', 'z'] as const;
export type PrintAxis = (typeof printAxes)[number];

/**
 * What a printed size is of: an outside size along an axis, a distance between centres along an axis (what a printed edge
 * grows by drops out of it), the diameter of a hole or of a shaft standing upright on the bed.
 */
export const printKinds = ['outside x', 'outside y', 'outside z', 'centres x', 'centres y', 'centres z', 'hole', 'shaft'] as const;
export type PrintKind = (typeof printKinds)[number];

/** A size as it is drawn in the print's files: never a size of the design. */
export interface PrintSize {
  readonly printOnly: true;
  readonly of: PrintKind;
  /** mm as drawn for the printer. */
  readonly drawn: number;
}

/** A plan position as it is drawn in the print's files, mm from the print's own zero; seen from above the bed. */
export interface PrintPlace {
  readonly printOnly: true;
  readonly drawnX: number;
  readonly drawnY: number;
}

export const drawnForPrint = (of: PrintKind, drawn: number): PrintSize => ({ printOnly: true, of, drawn });
