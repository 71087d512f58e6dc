/**
 * Thread, length of engagement and strengths -> shear areas, and the depth of full thread at which the screw breaks
 * before the thread strips. mm, mm2, MPa.
 *
 * Method: FED-STD-H28/2B (1991), also printed in handbooks as "length of engagement": stress area and the shear areas of
 * both threads at their worst limits. True for static load, a nut or wall thick enough not to spread, dry or oiled
 * steel screws. It does not cover fatigue, hot joints, worn threads or inserts; those need engineering.
 */
import type { Source } from './source.ts';
import { thread, type Thread, type ThreadName } from './threads.ts';
import { material, type Material, type MaterialName, type MatingMaterialName } from './materials.ts';

export const engagementSource: Source = {
  standard: 'FED-STD-H28/2B:1991',
  basis: 'secondary page',
  note: 'Formulas as paraphrased on secondary pages; the shear areas they give agree with a printed table of M5 to M12 to 0.003 %.',
};

// cot(30 deg), as the standard rounds it.
const cotHalfFlank = 0.57735;

/**
 * mm2. Tensile stress area pi/4 (d - c P)^2, unrounded; the printed tables round it. c = 0.938194 by ISO 898-1,
 * 0.9743 for unified threads (ASME B1.1).
 */
export const stressArea = ({ major, pitch, system }: Pick<Thread, 'major' | 'pitch' | 'system'>): number =>
  (Math.PI / 4) * (major - (system === 'metric' ? 0.938194 : 0.9743) * pitch) ** 2;

type Limits = Pick<Thread, 'pitch' | 'd1Most' | 'd2LeastExternal' | 'dLeastExternal' | 'd2MostInternal'>;

/** mm2 per mm of engagement: the screw's thread shears at the nut's minor diameter, the nut's at the screw's major diameter. */
export function shearAreasPerLength(t: Limits): { readonly external: number; readonly internal: number } {
  const n = 1 / t.pitch;
  return {
    external: Math.PI * n * t.d1Most * (1 / (2 * n) + cotHalfFlank * (t.d2LeastExternal - t.d1Most)),
    internal: Math.PI * n * t.dLeastExternal * (1 / (2 * n) + cotHalfFlank * (t.dLeastExternal - t.d2MostInternal)),
  };
}

/** mm2 over `length` mm of full thread. */
export function shearAreas(name: ThreadName, length: number): { readonly external: number; readonly internal: number } {
  const { external, internal } = shearAreasPerLength(thread(name));
  return { external: external * length, internal: internal * length };
}

/** mm. Engagement at which screw and equally strong nut fail together: twice the stress area as shear area of the screw's thread. */
export const equalStrengthEngagement = (area: number, limits: Limits): number => (2 * area) / shearAreasPerLength(limits).external;

/** MPa, least ultimate strength of the usual screw, class 8.8 (ISO 898-1, from memory). */
export const usualScrewStrength = 800;

export interface EngagementNeed {
  /** mm of full thread by the formula; null when the material has no strength fit for it. */
  readonly computed: number | null;
  /** mm of full thread by practice. */
  readonly practice: number;
  /** The larger of the two. */
  readonly least: number;
  /** In words, what `least` rests on. */
  readonly rule: string;
  readonly source: Source;
}

const practiceRules: Readonly<Record<Material['family'], { readonly diameters: number; readonly source: Source }>> = {
  steel: { diameters: 1, source: { standard: '', basis: 'secondary page', note: 'A workmanship standard whose issuer the page does not name.' } },
  aluminium: { diameters: 1.5, source: { standard: '', basis: 'secondary page', note: 'Same workmanship standard; 1.5 to 2 diameters is common.' } },
  'cast iron': { diameters: 1.5, source: { standard: '', basis: 'common practice', note: 'No source.' } },
  plastic: { diameters: 2.5, source: { standard: '', basis: 'common practice', note: 'No source; plastic creeps, an insert is better.' } },
};

/** Practice as multiples of the screw diameter, by family. */
export const practiceDiameters = (family: Material['family']): number => practiceRules[family].diameters;

/**
 * Depth of full thread a screw of `screwStrength` MPa needs in `inMaterial`.
 * Formula: Q = J Le with J = (external area x screw strength) / (internal area x material strength), J at least 1.
 */
export function engagementNeeded(name: ThreadName, inMaterial: MaterialName | MatingMaterialName, screwStrength: number = usualScrewStrength): EngagementNeed {
  const t = thread(name);
  const held = material(inMaterial);
  const rule = practiceRules[held.family];
  const practice = rule.diameters * t.major;
  const computed = held.ultimate === null ? null : engagementByStrength(t, screwStrength, held.ultimate);
  if (computed !== null && computed > practice) {
    return { computed, practice, least: computed, rule: `screw of ${screwStrength} MPa in ${held.name} of ${held.ultimate} MPa`, source: engagementSource };
  }
  return { computed, practice, least: practice, rule: `${rule.diameters} diameters in ${held.family}`, source: rule.source };
}

/** mm. Q of the standard for a screw and a nut material of given ultimate strengths, MPa. */
export function engagementByStrength(t: Thread, screwStrength: number, nutStrength: number): number {
  const { external, internal } = shearAreasPerLength(t);
  const ratio = (external * screwStrength) / (internal * nutStrength);
  return equalStrengthEngagement(stressArea(t), t) * Math.max(1, ratio);
}
