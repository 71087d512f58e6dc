/**
 * Materials by name -> density, stiffness, expansion, strength. Typical values at room temperature, for weighing,
 * thread engagement and heat growth; never for proving that a loaded part is safe.
 */
import type { Source } from './source.ts';

/** Materials by name. */
export const materialNames = ['6061-T6', '7075-T6', '304 stainless', 'mild steel', 'acetal', 'PLA', 'PETG', 'ABS'] as const;
/** Those that covers are printed in for a test. */
export const printMaterials = ['PLA', 'PETG', 'ABS'] as const satisfies readonly MaterialName[];
export type MaterialName = (typeof materialNames)[number];

/** What the cover is bolted to. */
export const matingMaterialNames = ['grey cast iron', 'ductile cast iron', 'cast aluminium', 'structural steel', ...materialNames] as const;
export type MatingMaterialName = (typeof matingMaterialNames)[number];

export interface Material {
  readonly name: string;
  /** g/cm3 */
  readonly density: number;
  /** GPa */
  readonly youngsModulus: number;
  readonly poisson: number;
  /** 1e-6 per K, near room temperature up to about 100 C for metals. */
  readonly expansion: number;
  /** MPa; null where no figure is fit to use. */
  readonly ultimate: number | null;
  /** MPa */
  readonly yield: number | null;
  /** MPa shear strength; null where not seen. */
  readonly shear: number | null;
  /** Thread engagement treats it as one of these. */
  readonly family: 'aluminium' | 'steel' | 'cast iron' | 'plastic';
  readonly source: Source;
}

const seen = (standard: string, note: string): Source => ({ standard, basis: 'secondary page', note });
const memory = (standard: string, note: string): Source => ({ standard, basis: 'from memory', note });

const rows: readonly Material[] = [
  { name: '6061-T6', density: 2.7, youngsModulus: 68.9, poisson: 0.33, expansion: 23.6, ultimate: 310, yield: 276, shear: 207, family: 'aluminium', source: seen('Aluminum Association typical values', 'Expansion 20 to 100 C.') },
  { name: '7075-T6', density: 2.81, youngsModulus: 71.7, poisson: 0.33, expansion: 23.6, ultimate: 572, yield: 503, shear: null, family: 'aluminium', source: memory('Aluminum Association typical values', 'A textbook table in rounded inch units agrees; 2.80 and 23.4 are also printed.') },
  { name: '304 stainless', density: 8, youngsModulus: 193, poisson: 0.29, expansion: 17.3, ultimate: 515, yield: 205, shear: null, family: 'steel', source: memory('', 'Annealed; strengths are the least promised; densities from 7.90 to 8.03 are printed.') },
  { name: 'mild steel', density: 7.87, youngsModulus: 205, poisson: 0.29, expansion: 11.5, ultimate: 440, yield: 370, shear: null, family: 'steel', source: seen('1018 cold drawn', 'Density, stiffness and expansion seen (200 to 205 GPa, 11.5 to 11.7); strengths from memory.') },
  { name: 'acetal', density: 1.41, youngsModulus: 2.7, poisson: 0.35, expansion: 104, ultimate: 60, yield: null, shear: null, family: 'plastic', source: seen('Acetal copolymer', 'Stiffness 2.5 to 2.82 and expansion 85 to 104 are printed; strength and Poisson from memory.') },
  { name: 'PLA', density: 1.24, youngsModulus: 3.5, poisson: 0.35, expansion: 68, ultimate: null, yield: null, shear: null, family: 'plastic', source: seen('', 'Printed parts differ with layers and infill. Softens at 55 to 65 C. Poisson and expansion from memory.') },
  { name: 'PETG', density: 1.27, youngsModulus: 2.5, poisson: 0.38, expansion: 64, ultimate: null, yield: null, shear: null, family: 'plastic', source: seen('', 'Printed parts differ with layers and infill. Softens at 75 to 85 C. Poisson and expansion from memory.') },
  { name: 'ABS', density: 1.04, youngsModulus: 2.25, poisson: 0.35, expansion: 95, ultimate: null, yield: null, shear: null, family: 'plastic', source: seen('', 'Printed parts differ with layers and infill. Poisson from memory.') },
];

const matingRows: readonly Material[] = [
  { name: 'grey cast iron', density: 7.2, youngsModulus: 110, poisson: 0.26, expansion: 11, ultimate: 200, yield: null, shear: null, family: 'cast iron', source: seen('EN 1561 class GJL-200', 'Density, least strength and expansion (10.5 to 11) seen; stiffness from memory, 90 to 130 GPa by class and section. Brittle: no yield given.') },
  { name: 'ductile cast iron', density: 7.1, youngsModulus: 169, poisson: 0.275, expansion: 11.5, ultimate: 400, yield: 250, shear: null, family: 'cast iron', source: memory('EN 1563 class GJS-400-15, typical', 'Expansion 11 to 12.5.') },
  { name: 'cast aluminium', density: 2.68, youngsModulus: 72, poisson: 0.33, expansion: 21.5, ultimate: 230, yield: 165, shear: null, family: 'aluminium', source: memory('A356-T6 sand cast, typical', 'Old light castings may be other alloys, or magnesium.') },
  { name: 'structural steel', density: 7.85, youngsModulus: 210, poisson: 0.3, expansion: 12, ultimate: null, yield: null, shear: null, family: 'steel', source: seen('EN 1993-1-1 3.2.6', 'Density seen; stiffness, Poisson and expansion from memory of the same clause. Strength by grade.') },
];

/** What covers are made of. */
export const materials: readonly Material[] = rows;

/** What covers are bolted to: castings first, then the same list. */
export const matingMaterials: readonly Material[] = [...matingRows, ...rows];

const byName = new Map(matingMaterials.map((row) => [row.name, row]));

/** Throws on a name outside the lists: the schema has already refused it. */
export function material(name: MaterialName | MatingMaterialName): Material {
  const found = byName.get(name);
  if (found === undefined) throw new Error(`no material ${String(name)}`);
  return found;
}

/** g/cm3. */
export const density = (name: MaterialName | MatingMaterialName): number => material(name).density;

/** mm by which `length` mm grows when it warms by `kelvin`; linear, good to a few per cent within 0 to 100 C. */
export const heatGrowth = (name: MaterialName | MatingMaterialName, length: number, kelvin: number): number => material(name).expansion * 1e-6 * length * kelvin;
