/**
 * What a person types for a length or an angle -> millimetres or degrees, with the error the typing itself implies.
 *
 * Lengths: `27.5`, `27,5`, `.765`, `1 3/32`, `3/32in`, `27.5mm`, `2"`, `5thou`. A number without a unit takes the units
 * of its job; a fraction without a unit is only allowed where that unit is the inch. Nothing is guessed: what could
 * mean two things (`1,234`) is refused with both ways to write it.
 */
import { ok, refuse, type Result } from '../result.ts';

/** The unit a job is typed in. */
export type Units = 'mm' | 'inch';

export const mmPerInch = 25.4;

/** One typed length and what it means. */
export interface Quantity {
  readonly mm: number;
  /** Exactly what was typed. */
  readonly typed: string | number;
  /** mm. Half of the last digit or fraction typed: `27.5` means +/-0.05 mm, `1/64` means +/-0.198 mm. */
  readonly impliedError: number;
}

// A Map, not an object: a "unit" such as `constructor` must not be found on a prototype.
const mmPerUnit: ReadonlyMap<string, number> = new Map([
  ['mm', 1],
  ['cm', 10],
  ['m', 1000],
  ['um', 1e-3],
  // Micro sign and Greek mu look alike and both are typed.
  ['\u00b5m', 1e-3],
  ['\u03bcm', 1e-3],
  ['in', mmPerInch],
  ['inch', mmPerInch],
  ['inches', mmPerInch],
  ['"', mmPerInch],
  ['″', mmPerInch],
  ['”', mmPerInch],
  ['thou', mmPerInch / 1000],
]);

const grammar =
  /^([+-]?)(?:(?:(\d+)(?:\s+|-))?(\d+)\s*[/⁄]\s*(\d+)|(\d+(?:[.,]\d*)?|[.,]\d+)(?:e([+-]?\d{1,3}))?)\s*([a-zµμ"″”]*)$/i;

const bad = (message: string, hint: string): ReturnType<typeof refuse> =>
  refuse({ code: 'length-not-understood', at: '', message, hint });

// Pasted tables often carry the typographic minus.
const withPlainMinus = (text: string): string => text.replace(/^\u2212/, '-');

/** How a value typed as JSON number or text shows in a message, cut so that hostile input cannot flood a screen. */
export const show = (typed: unknown): string => {
  const text = typeof typed === 'string' ? `"${typed}"` : typeof typed === 'number' ? String(typed) : (JSON.stringify(typed) ?? String(typed));
  return text.length > 40 ? `${text.slice(0, 37)}...` : text;
};

/**
 * Reads one length. `units` is what a bare number means.
 * `decimalComma` says that in the table this came from a comma is known to be the decimal mark, so `1,234` is not ambiguous.
 */
export function readLength(typed: string | number, units: Units, decimalComma = false): Result<Quantity> {
  if (typeof typed === 'number') {
    if (!Number.isFinite(typed)) return bad(`Expected a length, got ${typed}.`, 'Type a number, with a unit if it differs from the job: 27.5, 27.5mm, 1 3/32in.');
  }
  const text = withPlainMinus(String(typed).trim());
  const found = grammar.exec(text);
  if (found === null) {
    return bad(`Expected a length, got ${show(typed)}.`, 'Type a number, with a unit if it differs from the job: 27.5, 27.5mm, 1 3/32in.');
  }
  const [, sign, whole, above, below, decimal, exponent, unitTyped] = found;
  const unitName = (unitTyped ?? '').toLowerCase();
  const scale = unitName === '' ? (units === 'inch' ? mmPerInch : 1) : mmPerUnit.get(unitName);
  if (scale === undefined) {
    return bad(`"${unitTyped}" in ${show(typed)} is not a length unit used here.`, 'Use mm, cm, m, um, in, " or thou.');
  }
  const signed = sign === '-' ? -1 : 1;
  if (above !== undefined && below !== undefined) {
    const denominator = Number(below);
    if (denominator === 0) return bad(`${show(typed)} divides by zero.`, 'Type the fraction again.');
    if (unitName === '' && units === 'mm') {
      return bad(`${show(typed)} is a fraction without a unit in a job typed in mm.`, `Write ${text}in if it is inches, or the decimal in mm.`);
    }
    const value = Number(whole ?? 0) + Number(above) / denominator;
    return ok({ mm: signed * value * scale + 0, typed, impliedError: scale / (2 * denominator) });
  }
  const digits = decimal ?? '';
  if (!decimalComma && /^[1-9]\d{0,2},\d{3}$/.test(digits)) {
    const [a, b] = digits.split(',');
    return bad(`${show(typed)} could mean ${a}.${b} or ${a}${b}.`, `Write ${a}.${b} or ${a}${b}.`);
  }
  const plain = digits.replace(',', '.');
  const power = 10 ** Number(exponent ?? 0);
  // Parsed in one go: multiplying by the power would round a second time.
  const value = Number(`${plain}e${exponent ?? 0}`);
  const decimals = plain.includes('.') ? plain.length - plain.indexOf('.') - 1 : 0;
  if (!Number.isFinite(value)) return bad(`${show(typed)} is too large to be a length.`, 'Type the length again.');
  // + 0 turns a typed -0 into 0.
  return ok({ mm: signed * value * scale + 0, typed, impliedError: (scale * power * 10 ** -decimals) / 2 });
}

/** Reads one angle in degrees: `12.5`, `12,5`, `12.5deg`, `12°30'`. Minutes need the degree mark before them and are below 60. */
export function readAngle(typed: string | number): Result<number> {
  const text = withPlainMinus(String(typed).trim()).replace(',', '.');
  if (typeof typed === 'number' && Number.isFinite(typed)) return ok(typed);
  const found = /^([+-]?)(\d+\.?\d*|\.\d+)\s*(?:(?:deg|°)\s*(?:(\d+\.?\d*|\.\d+)\s*['′])?)?$/i.exec(text);
  const minutes = Number(found?.[3] ?? 0);
  const degrees = Number(found?.[2]) + minutes / 60;
  if (found === null || minutes >= 60 || !Number.isFinite(degrees)) {
    return refuse({ code: 'angle-not-understood', at: '', message: `Expected an angle in degrees, got ${show(typed)}.`, hint: "Type 12.5 or 12°30'." });
  }
  return ok(found[1] === '-' ? -degrees : degrees);
}
