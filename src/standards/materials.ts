/** Materials by name. */
export const materialNames = ['6061-T6', '7075-T6', '304 stainless', 'mild steel', 'acetal', 'PLA', 'PETG', 'ABS'] as const;
export type MaterialName = (typeof materialNames)[number];
