/** The usual cautions of the shop, printed on every sheet set: common practice, no source. */
export const cautions = [
  'A green report proves these rules on this model. It does not prove the casting, the set-up, the material or the fit.',
  'At the spindle: glasses on; no gloves, sleeves or rings; stop it before measuring or clearing; brush, not hand.',
  'Old paint may hold lead, old gaskets asbestos, light castings may be magnesium: know before you cut or sand.',
  'A plastic test print is never a guard. Isolate the drive and turn by hand only while it is fitted.',
  'Electrical, pressure, structural or guarding duty needs engineering; local codes and licensed practice come first.',
] as const;
