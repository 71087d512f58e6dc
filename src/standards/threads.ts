/** Threads and screws by name, as the trade writes them. */
export const threadNames = ['M3', 'M4', 'M5', 'M6', 'M8', 'M10', 'M12', '#6-32', '#8-32', '#10-24', '1/4-20', '5/16-18', '3/8-16'] as const;
export type ThreadName = (typeof threadNames)[number];

/** Clearance classes of ISO 273: fine (H12), medium (H13), coarse (H14). Inch sizes take close, normal, loose of ASME B18.2.8. */
export const fitClasses = ['fine', 'medium', 'coarse'] as const;
export type FitClass = (typeof fitClasses)[number];
