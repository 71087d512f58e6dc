/**
 * Titanium heat data, 49 values at 595, 605 ... 1075: C. de Boor, A Practical Guide to Splines, ch. XIII (PPPACK `titand`,
 * public domain); seen in several copies that agree. Rounded to three decimals, hardly noisy.
 */
export const titanium = [
  0.644, 0.622, 0.638, 0.649, 0.652, 0.639, 0.646, 0.657, 0.652, 0.655, 0.644, 0.663, 0.663, 0.668, 0.676, 0.676, 0.686, 0.679, 0.678, 0.683, 0.694, 0.699, 0.71, 0.73,
  0.763, 0.812, 0.907, 1.044, 1.336, 1.881, 2.169, 2.075, 1.598, 1.211, 0.916, 0.746, 0.672, 0.627, 0.615, 0.607, 0.606, 0.609, 0.603, 0.601, 0.603, 0.601, 0.611, 0.601,
  0.608,
];
export const titaniumSites = titanium.map((_, i) => 595 + 10 * i);
