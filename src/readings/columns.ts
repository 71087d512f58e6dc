/**
 * Column heads -> what each column holds and in which unit. Words for station, height, error and note in the languages a
 * shop's table is likely to be headed in; anything else is an extra column, named and left alone.
 */
import type { FileUnit } from './reading.ts';

export type ColumnRole = 'x' | 'z' | 'error' | 'note' | 'corner' | 'leaveOut';

export interface Column {
  /** Null for a column that is not used. */
  readonly role: ColumnRole | null;
  /** As headed; `column 3` without a head. */
  readonly name: string;
  /** Unit written in the head; null when none. */
  readonly unit: TypedUnit | null;
}

/** Units the grammar of typed lengths has, so that they can stand behind a typed number. */
export type TypedUnit = Extract<FileUnit, 'um' | 'mm' | 'cm' | 'm' | 'thou' | 'in'>;

// Characters. What is longer is a sentence, not a head.
const longestHead = 80;

const unitWords: ReadonlyMap<string, TypedUnit> = new Map([
  ['um', 'um'], ['\u00b5m', 'um'], ['\u03bcm', 'um'],
  ['mm', 'mm'], ['millimeter', 'mm'], ['millimeters', 'mm'], ['millimetre', 'mm'], ['millimetres', 'mm'],
  ['cm', 'cm'], ['m', 'm'],
  ['thou', 'thou'], ['mil', 'thou'], ['mils', 'thou'],
  ['in', 'in'], ['inch', 'in'], ['inches', 'in'], ['"', 'in'], ['″', 'in'], ['zoll', 'in'], ['pouce', 'in'], ['pouces', 'in'], ['pulgada', 'in'], ['pulgadas', 'in'], ['pollici', 'in'],
]);

/** Unit meant by a word such as `mm`, `[in]`, `(mm)`; null when it is not one. */
export const unitOf = (word: string): TypedUnit | null => word.length > longestHead ? null : unitWords.get(word.trim().replace(/^[[(]\s*|\s*[\])]$/g, '').toLowerCase()) ?? null;

// After lower case, without accents, without unit, without spaces and marks.
const roleWords: ReadonlyMap<string, ColumnRole> = new Map([
  ...words('x', 'x station stations stn sta position pos distance dist along length abscissa abszisse abscisse ascissa abscisa weg abstand distanz laenge lange longueur longitud lunghezza posicion posizione posicao estacion stazione distancia distanza afstand positie avstand pozycja odleglosc poloha vzdalenost станция положение расстояние 位置 距离'),
  ...words('z', 'z height heights hgt elevation elev ordinate hoehe hohe hauteur altezza altura altitude hoogte hojd hoyde hojde korkeus wysokosc vyska magassag высота 高さ 高度'),
  ...words('error', 'error err sigma uncertainty readingerror fehler unsicherheit erreur incertitude errore incertezza incertidumbre fout fel blad chyba погрешность 誤差 误差'),
  ...words('note', 'note notes remark remarks comment comments bemerkung notiz kommentar remarque commentaire nota notas notizia opmerking anmarkning uwaga poznamka примечание 備考 备注'),
  ...words('corner', 'corner ecke coin spigolo esquina hoek'),
  ...words('leaveOut', 'leaveout leftout skip auslassen'),
]);

function words(role: ColumnRole, list: string): [string, ColumnRole][] {
  return list.split(' ').map((word) => [word, role]);
}

const bare = (text: string): string => text.toLowerCase().normalize('NFD').replace(/[\u0300-\u036f]/g, '').normalize('NFC').replace(/[\s_.:-]+/g, '');

/** Splits `x (in)`, `Höhe [mm]`, `station/mm`, `z, mm`, `x_mm`, `height in mm` into name and unit. */
function splitHead(head: string): { readonly name: string; readonly unit: TypedUnit | null } {
  if (head.length > longestHead) return { name: `${head.slice(0, longestHead)}...`, unit: null };
  const found = /^(.*?)(?:\s*[([]([^()[\]]*)[)\]]|(?:\s*[/,]\s*|_|\s+in\s+|\s+)([\p{L}"″]+))\s*$/u.exec(head.trim());
  if (found !== null) {
    const unit = unitOf(found[2] ?? found[3] ?? '');
    if (unit !== null && found[1] !== undefined && found[1].trim() !== '') return { name: found[1].trim(), unit };
  }
  return { name: head.trim(), unit: null };
}

/**
 * Reads a row of heads. `y` is the height when the table has no other; a second column of the same role is an extra one.
 */
export function readHeads(heads: readonly string[]): readonly Column[] {
  const split = heads.map(splitHead);
  const roles = split.map(({ name }) => (name === '±' || name === '+/-' ? 'error' : (roleWords.get(bare(name)) ?? null)));
  if (!roles.includes('z')) {
    const y = split.findIndex(({ name }) => bare(name) === 'y');
    if (y >= 0) roles[y] = 'z';
  }
  return split.map(({ name, unit }, index) => {
    const role = roles[index] ?? null;
    return { role: role !== null && roles.indexOf(role) === index ? role : null, name: name === '' ? `column ${index + 1}` : name, unit };
  });
}

/** Columns of a table without heads: station, height, and whatever else is there unused. */
export const columnsWithoutHeads = (count: number): readonly Column[] =>
  Array.from({ length: count }, (_, index) => ({ role: index === 0 ? 'x' : index === 1 ? 'z' : null, name: `column ${index + 1}`, unit: null }));
