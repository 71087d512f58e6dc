/** What a measurement says: rows of the speed table, and the figures that go in them. */
const sorted = (values: readonly number[]): number[] => [...values].sort((a, b) => a - b);
export const quantile = (values: readonly number[], q: number): number => sorted(values)[Math.min(values.length - 1, Math.floor(q * values.length))] as number;
export const median = (values: readonly number[]): number => quantile(values, 0.5);

export interface Row {
  readonly what: string;
  readonly measured: string;
  readonly budget: string;
  readonly met: boolean;
}

export const ms = (value: number): string => `${value < 10 ? value.toFixed(2) : value.toFixed(0)} ms`;
