/**
 * Screws by name -> head sizes, room for the head, lengths one can buy. Metric: ISO 4762, ISO 10642, ISO 7380-1.
 * Inch: ASME B18.3 (kept in inches as printed). Functions answer in mm and degrees. Plain heads without washers.
 */
import { mmPerInch, type Source } from './source.ts';
import { thread, threadNames, type ThreadName } from './threads.ts';

/** Socket head cap screw, mm. */
export interface CapScrew {
  readonly headDiameterMost: number;
  /** Most diameter of a knurled head; the room must clear this one. */
  readonly knurledMost: number;
  readonly headDiameterLeast: number;
  readonly headHeightMost: number;
  readonly headHeightLeast: number;
  /** Across flats of the key. */
  readonly key: number;
  /** Least depth of the socket; null where not seen. */
  readonly socketDepth: number | null;
  /** Most diameter of the fillet under the head; null where not seen. */
  readonly underHeadMost: number | null;
}

/** Countersunk socket screw, mm. */
export interface FlatScrew {
  /** Diameter at the sharp corner. */
  readonly headDiameterSharp: number;
  readonly headHeightMost: number;
  /** Included angle, deg. */
  readonly angle: number;
  readonly key: number;
}

/** Button head screw, mm. */
export interface ButtonScrew {
  readonly headDiameterMost: number;
  readonly headHeightMost: number;
  readonly key: number;
  readonly socketDepth: number;
}

export const capScrewSource: Source = { standard: 'ISO 4762', basis: 'secondary page', note: 'Two pages agreed.' };
export const inchCapScrewSource: Source = { standard: 'ASME B18.3-2003', basis: 'secondary page', note: 'Knurled heads stand within the same most diameter (from memory).' };
export const flatScrewSource: Source = { standard: 'ISO 10642', basis: 'secondary page', note: 'Theoretical head diameter 2.24 d, height 0.62 d. Not DIN 7991, whose heads are smaller.' };
export const inchFlatScrewSource: Source = { standard: 'ASME B18.3 flat countersunk', basis: 'secondary page', note: 'Diameters at the sharp corner and reference heights; 82 deg head.' };
export const buttonScrewSource: Source = { standard: 'ISO 7380-1', basis: 'secondary page', note: 'One catalogue prints 18 for the M10 head; 17.5 is the standard.' };
export const counterboreSource: Source = {
  standard: 'DIN 974-1 series 1',
  basis: 'secondary page',
  note: 'Diameters from memory, matched on one chart. Depth is head height + 0.4 up to M6, + 0.6 above (from memory); checked against the largest head only.',
};
export const inchCounterboreSource: Source = { standard: '', basis: 'secondary page', note: "One shop's standard for free counterbores; it clears the largest head of ASME B18.3 by .035 in or more." };
export const countersinkSource: Source = { standard: 'DIN 74:2003 form F', basis: 'secondary page', note: 'Seen on a chart under another name; it clears the theoretical ISO 10642 head.' };
export const screwLengthSource: Source = { standard: 'ISO 4762 preferred lengths; inch cap screws by common stock', basis: 'from memory', note: 'What a supplier stocks differs; check before buying.' };

type Metric = Extract<ThreadName, `M${string}`>;
type Inch = Exclude<ThreadName, Metric>;

// mm as printed: dk max plain, dk max knurled, dk min, k max, k min, s, t min, da max.
const capRows: Readonly<Record<Metric, readonly [number, number, number, number, number, number, number, number]>> = {
  M3: [5.5, 5.68, 5.32, 3, 2.86, 2.5, 1.3, 3.6],
  M4: [7, 7.22, 6.78, 4, 3.82, 3, 2, 4.7],
  M5: [8.5, 8.72, 8.28, 5, 4.82, 4, 2.5, 5.7],
  M6: [10, 10.22, 9.78, 6, 5.7, 5, 3, 6.8],
  M8: [13, 13.27, 12.73, 8, 7.64, 6, 4, 9.2],
  M10: [16, 16.27, 15.73, 10, 9.64, 8, 5, 11.2],
  M12: [18, 18.27, 17.73, 12, 11.57, 10, 6, 13.7],
};

// in as printed: head dia max, min, height max, min, hex key.
const inchCapRows: Readonly<Record<Inch, readonly [number, number, number, number, number]>> = {
  '#6-32': [0.226, 0.218, 0.138, 0.134, 7 / 64],
  '#8-32': [0.27, 0.262, 0.164, 0.159, 9 / 64],
  '#10-24': [0.312, 0.303, 0.19, 0.185, 5 / 32],
  '1/4-20': [0.375, 0.365, 0.25, 0.244, 3 / 16],
  '5/16-18': [0.469, 0.457, 0.312, 0.306, 1 / 4],
  '3/8-16': [0.562, 0.55, 0.375, 0.368, 5 / 16],
};

// mm as printed: dk theoretical max, k max, s; then the countersink DIN 74 form F.
const flatRows: Readonly<Record<Metric, readonly [number, number, number, number]>> = {
  M3: [6.72, 1.86, 2, 6.9],
  M4: [8.96, 2.48, 2.5, 9.2],
  M5: [11.2, 3.1, 3, 11.5],
  M6: [13.44, 3.72, 4, 13.7],
  M8: [17.92, 4.96, 5, 18.3],
  M10: [22.4, 6.2, 6, 22.7],
  M12: [26.88, 7.44, 8, 27.2],
};

// in as printed: most head diameter at the sharp corner, reference head height, hex key.
const inchFlatRows: Readonly<Record<Inch, readonly [number, number, number]>> = {
  '#6-32': [0.307, 0.097, 5 / 64],
  '#8-32': [0.359, 0.112, 3 / 32],
  '#10-24': [0.411, 0.127, 1 / 8],
  '1/4-20': [0.531, 0.161, 5 / 32],
  '5/16-18': [0.656, 0.198, 3 / 16],
  '3/8-16': [0.781, 0.234, 7 / 32],
};

// mm as printed: dk max, k max, s, t min.
const buttonRows: Readonly<Record<Metric, readonly [number, number, number, number]>> = {
  M3: [5.7, 1.65, 2, 1.04],
  M4: [7.6, 2.2, 2.5, 1.3],
  M5: [9.5, 2.75, 3, 1.56],
  M6: [10.5, 3.3, 4, 2.08],
  M8: [14, 4.4, 5, 2.6],
  M10: [17.5, 5.5, 6, 3.12],
  M12: [21, 6.6, 8, 4.16],
};

// mm: DIN 974-1 series 1 diameters.
const counterboreRows: Readonly<Record<Metric, number>> = { M3: 6.5, M4: 8, M5: 10, M6: 11, M8: 15, M10: 18, M12: 20 };

// in as printed: diameter, depth.
const inchCounterboreRows: Readonly<Record<Inch, readonly [number, number]>> = {
  '#6-32': [0.262, 0.165],
  '#8-32': [0.306, 0.19],
  '#10-24': [0.348, 0.215],
  '1/4-20': [0.416, 0.275],
  '5/16-18': [0.509, 0.34],
  '3/8-16': [0.606, 0.405],
};

const isMetric = (name: ThreadName): name is Metric => thread(name).system === 'metric';
const inchAngle = 82;
const metricAngle = 90;

/** Socket head cap screw: ISO 4762 or ASME B18.3. */
export function capScrew(name: ThreadName): CapScrew {
  if (isMetric(name)) {
    const [dk, knurled, least, k, kLeast, s, t, da] = capRows[name];
    return { headDiameterMost: dk, knurledMost: knurled, headDiameterLeast: least, headHeightMost: k, headHeightLeast: kLeast, key: s, socketDepth: t, underHeadMost: da };
  }
  const [dk, least, k, kLeast, s] = inchCapRows[name];
  const mm = (inch: number): number => inch * mmPerInch;
  return { headDiameterMost: mm(dk), knurledMost: mm(dk), headDiameterLeast: mm(least), headHeightMost: mm(k), headHeightLeast: mm(kLeast), key: mm(s), socketDepth: null, underHeadMost: null };
}

/** Countersunk screw: ISO 10642 (90 deg) or ASME B18.3 (82 deg). */
export function flatScrew(name: ThreadName): FlatScrew {
  if (isMetric(name)) {
    const [dk, k, s] = flatRows[name];
    return { headDiameterSharp: dk, headHeightMost: k, angle: metricAngle, key: s };
  }
  const [dk, k, s] = inchFlatRows[name];
  return { headDiameterSharp: dk * mmPerInch, headHeightMost: k * mmPerInch, angle: inchAngle, key: s * mmPerInch };
}

/** Button head, ISO 7380-1; null for inch screws (table not seen). */
export function buttonScrew(name: ThreadName): ButtonScrew | null {
  if (!isMetric(name)) return null;
  const [dk, k, s, t] = buttonRows[name];
  return { headDiameterMost: dk, headHeightMost: k, key: s, socketDepth: t };
}

/** Room a screw head needs: mm and degrees. The countersink diameter is that of its mouth on a flat face. */
export interface HeadRoom {
  readonly counterbore: { readonly diameter: number; readonly depth: number };
  readonly countersink: { readonly diameter: number; readonly angle: number };
}

/** Allowance added to the head height, mm: DIN 974-1, from memory. */
const depthAllowance = (name: Metric): number => (thread(name).major <= 6 ? 0.4 : 0.6);

/** mm, over the sharp inch flat head: what DIN 74 form F leaves over an ISO 10642 head, at its least. */
const inchCountersinkClearance = 0.18;

/** Counterbore for a cap screw (knurled head included) and countersink for a flat head; the head ends below the face. */
export function headRoom(name: ThreadName): HeadRoom {
  if (isMetric(name)) {
    return {
      counterbore: { diameter: counterboreRows[name], depth: roundTo(capScrew(name).headHeightMost + depthAllowance(name), 3) },
      countersink: { diameter: flatRows[name][3], angle: metricAngle },
    };
  }
  const [diameter, depth] = inchCounterboreRows[name];
  return {
    counterbore: { diameter: diameter * mmPerInch, depth: depth * mmPerInch },
    countersink: { diameter: flatScrew(name).headDiameterSharp + inchCountersinkClearance, angle: inchAngle },
  };
}

export const headRoomSource = (name: ThreadName, head: 'counterbore' | 'countersink'): Source => {
  if (head === 'counterbore') return isMetric(name) ? counterboreSource : inchCounterboreSource;
  return isMetric(name) ? countersinkSource : inchFlatScrewSource;
};

const roundTo = (value: number, decimals: number): number => Number(value.toFixed(decimals));

// mm. ISO 4762 preferred lengths, from memory.
const metricLengths = [5, 6, 8, 10, 12, 16, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 80, 90, 100, 110, 120];
// in. Common stock of inch cap screws, from memory.
const inchLengths = [1 / 4, 3 / 8, 1 / 2, 5 / 8, 3 / 4, 7 / 8, 1, 1.25, 1.5, 1.75, 2, 2.25, 2.5, 2.75, 3];

// Shortest and longest of ISO 4762 per size (mm), and of common inch stock (in); from memory.
const lengthRange: Readonly<Record<ThreadName, readonly [number, number]>> = {
  M3: [5, 30], M4: [6, 40], M5: [8, 50], M6: [10, 60], M8: [12, 80], M10: [16, 100], M12: [20, 120],
  '#6-32': [0.25, 1.5], '#8-32': [0.25, 2], '#10-24': [0.25, 2.5], '1/4-20': [0.375, 3], '5/16-18': [0.5, 3], '3/8-16': [0.5, 3],
};

/** mm, ascending: cap screw lengths under the head that can be bought. */
export function screwLengths(name: ThreadName): readonly number[] {
  const [least, most] = lengthRange[name];
  const metric = isMetric(name);
  return (metric ? metricLengths : inchLengths).filter((length) => length >= least && length <= most).map((length) => (metric ? length : length * mmPerInch));
}

/** What a length is called at the counter: `16` mm or `5/8` in. */
export function sayScrewLength(name: ThreadName, mm: number): string {
  if (isMetric(name)) return `${name} x ${roundTo(mm, 3)}`;
  const eighths = Math.round((mm / mmPerInch) * 8);
  const whole = Math.floor(eighths / 8);
  const rest = eighths % 8;
  const divisor = rest % 4 === 0 ? 4 : rest % 2 === 0 ? 2 : 1;
  const fraction = rest === 0 ? '' : `${rest / divisor}/${8 / divisor}`;
  return `${name} x ${[whole === 0 ? '' : String(whole), fraction].filter((part) => part !== '').join(' ')} in`;
}

/** Every name, for tables on sheets. */
export const screwNames: readonly ThreadName[] = threadNames;
