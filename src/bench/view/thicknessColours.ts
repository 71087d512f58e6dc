/** Thickness -> colour: thin is warm, thick is blue, on one scale with a legend. Readable without telling red from green. */

/** Stops from thin to thick, sRGB 0..1. */
const stops = [
  [0.62, 0.12, 0.08],
  [0.93, 0.55, 0.2],
  [0.96, 0.89, 0.66],
  [0.55, 0.72, 0.86],
  [0.11, 0.29, 0.53],
] as const;

export function thicknessColour(value: number, [from, to]: readonly [number, number]): readonly [number, number, number] {
  const at = Math.max(0, Math.min(1, (value - from) / (to - from || 1))) * (stops.length - 1);
  const i = Math.min(stops.length - 2, Math.floor(at));
  const [a, b] = [stops[i]!, stops[i + 1]!];
  const mix = (k: 0 | 1 | 2): number => a[k] + (b[k] - a[k]) * (at - i);
  return [mix(0), mix(1), mix(2)];
}

/** Linear-light colours for vertices. */
export function thicknessColours(values: Float32Array, range: readonly [number, number]): Float32Array {
  const colours = new Float32Array(values.length * 3);
  values.forEach((value, i) => colours.set(thicknessColour(value, range).map((c) => c ** 2.2), 3 * i));
  return colours;
}
