/** Numbers as they stand on sheets and screens: tabular, with the unit where it is not plain from the place. */
import { mmPerInch, type Units } from '../job/quantity.ts';

/** `27.5` or `1.083`: two decimals in mm, three in inch, without trailing zeros; no unit. */
export const sayLength = (mm: number, units: Units): string => (units === 'inch' ? (mm / mmPerInch).toFixed(3) : String(Number(mm.toFixed(2))));

/** With the unit: `27.5 mm`, `1.083 in`. */
export const sayLengthUnit = (mm: number, units: Units): string => `${sayLength(mm, units)} ${units === 'inch' ? 'in' : 'mm'}`;

export function sayMass(grams: number): string {
  return grams >= 1000 ? `${(grams / 1000).toFixed(2)} kg` : `${grams.toFixed(0)} g`;
}

/** 1234567 -> `1.2 MB`. */
export const sayBytes = (bytes: number): string => (bytes < 1000 ? `${bytes} B` : bytes < 1e6 ? `${(bytes / 1e3).toFixed(0)} kB` : `${(bytes / 1e6).toFixed(1)} MB`);

/** Misses and errors, to a thousandth of a millimetre or a ten-thousandth of an inch. */
export const missFigure = (mm: number, units: Units): string => (units === 'inch' ? (mm / mmPerInch).toFixed(4) : mm.toFixed(3));

export const sayMiss = (mm: number, units: Units): string => `${missFigure(mm, units)} ${units === 'inch' ? 'in' : 'mm'}`;
