/** Degrees at the edges and in the job, radians inside formulas. */
export const degreesToRadians = (deg: number): number => (deg * Math.PI) / 180;
export const radiansToDegrees = (rad: number): number => (rad * 180) / Math.PI;
