/**
 * Usual sizes of filament printers' beds, mm, to start a job from. Generic: no machine is meant, and the person types the
 * usable size of his own. Seen on a secondary page as typical; usable size is 5 to 10 mm less on each axis. Where the page
 * gave no height, it is taken equal to the shorter side.
 */
export interface PrintBed {
  readonly name: string;
  /** mm along X, Y and up. */
  readonly x: number;
  readonly y: number;
  readonly z: number;
}

/** mm kept free along each side of the bed. */
export const bedMargin = 5;

export const printBeds: readonly PrintBed[] = [
  { name: '180 x 180', x: 180, y: 180, z: 180 },
  { name: '220 x 220', x: 220, y: 220, z: 250 },
  { name: '256 x 256', x: 256, y: 256, z: 256 },
  { name: '300 x 300', x: 300, y: 300, z: 300 },
  { name: '350 x 350', x: 350, y: 350, z: 350 },
];

/** mm. What fits on a bed once the margin on both sides of each axis is kept. */
export const usableBed = (bed: PrintBed): { readonly x: number; readonly y: number; readonly z: number } => ({
  x: bed.x - 2 * bedMargin,
  y: bed.y - 2 * bedMargin,
  z: bed.z,
});
