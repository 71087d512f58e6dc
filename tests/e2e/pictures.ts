/** Pictures of a known scene, drawn here pixel by pixel: a plate of known size and a profile, seen by a tilted camera. */
import { crc32, deflateSync } from 'node:zlib';

export interface Shot {
  readonly png: Buffer;
  /** Pixel of a place on the plate's plane, mm. */
  readonly look: (x: number, z: number) => readonly [number, number];
  readonly plate: readonly [number, number];
  /** Height of the profile over a station, mm. */
  readonly profile: (x: number) => number;
}

export const plate = [200, 120] as const;
export const profile = (x: number): number => 35 + 42 * Math.sin((Math.PI * (x - 10)) / 180) ** 2 - x / 20;

/** RGB rows -> PNG (ISO/IEC 15948): one deflated block of unfiltered rows. */
export function pngOf(width: number, height: number, colourAt: (x: number, y: number) => readonly [number, number, number]): Buffer {
  const rows = Buffer.alloc(height * (1 + 3 * width));
  for (let y = 0; y < height; y += 1) for (let x = 0; x < width; x += 1) rows.set(colourAt(x, y), y * (1 + 3 * width) + 1 + 3 * x);
  const chunk = (type: string, data: Buffer): Buffer => {
    const body = Buffer.concat([Buffer.from(type, 'latin1'), data]);
    const framed = Buffer.alloc(body.length + 8);
    framed.writeUInt32BE(data.length, 0);
    body.copy(framed, 4);
    framed.writeUInt32BE(crc32(body), body.length + 4);
    return framed;
  };
  const header = Buffer.alloc(13);
  header.writeUInt32BE(width, 0);
  header.writeUInt32BE(height, 4);
  header.set([8, 2, 0, 0, 0], 8);
  return Buffer.concat([Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]), chunk('IHDR', header), chunk('IDAT', deflateSync(rows, { level: 6 })), chunk('IEND', Buffer.alloc(0))]);
}

/** px per mm of a flatbed scanner, whose two ways never quite agree; and the place of station 0, height 0. */
export const scanned = { along: 4.06, upright: 3.9, zero: [60, 540] } as const;

/** A template laid on a flatbed with a ruler along each way; no perspective, two scales. */
export function scan(width = 940, height = 600): Shot {
  const look = (x: number, z: number): readonly [number, number] => [scanned.zero[0] + x * scanned.along, scanned.zero[1] - z * scanned.upright];
  const png = pngOf(width, height, (i, j) => {
    const [x, z] = [(i + 0.5 - scanned.zero[0]) / scanned.along, (scanned.zero[1] - j - 0.5) / scanned.upright];
    const ruler = (z < -2 && z > -8 && x >= 0 && x <= 200) || (x < -2 && x > -8 && z >= 0 && z <= 120);
    if (ruler) return [180, 150, 90];
    return x >= 10 && x <= 190 && z >= 0 && z <= profile(x) ? [118, 124, 128] : [238, 236, 230];
  });
  return { png, look, plate, profile };
}

/** The plate and the profile before it, by a pinhole tilted down and turned aside. */
export function shoot(width = 900, height = 640): Shot {
  const [tilt, pan, focal, away] = [0.26, -0.17, width * 0.95, 290];
  const at = [100 - away * Math.tan(-pan), -away, 66 + away * Math.tan(tilt)] as const;
  // Directions of the camera: right, down, ahead.
  const ahead = [Math.sin(-pan) * Math.cos(tilt), Math.cos(pan) * Math.cos(tilt), -Math.sin(tilt)] as const;
  const right = [Math.cos(pan), -Math.sin(-pan), 0] as const;
  const down = [ahead[1] * right[2] - ahead[2] * right[1], ahead[2] * right[0] - ahead[0] * right[2], ahead[0] * right[1] - ahead[1] * right[0]] as const;
  const dot = (a: readonly number[], b: readonly number[]): number => a[0]! * b[0]! + a[1]! * b[1]! + a[2]! * b[2]!;
  const look = (x: number, z: number): readonly [number, number] => {
    const v = [x - at[0], -at[1], z - at[2]];
    return [width / 2 + (focal * dot(v, right)) / dot(v, ahead), height / 2 + (focal * dot(v, down)) / dot(v, ahead)];
  };
  // Each pixel's ray to the plane y = 0.
  const png = pngOf(width, height, (i, j) => {
    const [u, v] = [(i + 0.5 - width / 2) / focal, (j + 0.5 - height / 2) / focal];
    const ray = [0, 1, 2].map((k) => ahead[k]! + u * right[k]! + v * down[k]!);
    const t = away / ray[1]!;
    const [x, z] = [at[0] + t * ray[0]!, at[2] + t * ray[2]!];
    const grain = ((i * 7919 + j * 104_729) % 13) - 6;
    const grey = (r: number, g: number, b: number) => [r + grain, g + grain, b + grain] as const;
    const onPlate = x >= 0 && x <= plate[0] && z >= 0 && z <= plate[1];
    if (!onPlate) return grey(96, 84, 70);
    if (x >= 10 && x <= 190 && z <= profile(x)) return grey(118, 124, 128);
    return Math.abs((x / 10) % 1) < 0.04 || Math.abs((z / 10) % 1) < 0.04 ? grey(206, 204, 196) : grey(232, 230, 222);
  });
  return { png, look, plate, profile };
}
