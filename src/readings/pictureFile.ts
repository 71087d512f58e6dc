/**
 * The first bytes of a picture -> its kind and size in px, before anything decodes it: a small file may unfold to gigabytes.
 * Sources: PNG, ISO/IEC 15948 11.2.2 (IHDR); JPEG, ITU-T T.81 B.2.2 (frame header); WebP, RFC 9649 2.5-2.7.
 * Stops being true: the size is as stored; a camera's note to turn the picture (EXIF) may swap width and height.
 */
import { ok, refuse, type Result } from '../result.ts';

export interface PictureHeader {
  readonly kind: 'PNG' | 'JPEG' | 'WebP';
  /** px. */
  readonly width: number;
  readonly height: number;
}

export const mimeOf = { PNG: 'image/png', JPEG: 'image/jpeg', WebP: 'image/webp' } as const;

/** Bytes and pixels beyond which a picture is refused: what a tablet can hold unfolded. */
export const largestPicture = { bytes: 40 * 2 ** 20, pixels: 60e6 } as const;
/** px. Fewer on a side than this show nothing to tap. */
const leastSide = 32;

/** `type`: what the browser says the file is; empty when it does not say. */
export function readPictureHeader(bytes: Uint8Array, name: string, type = ''): Result<PictureHeader> {
  const no = (code: string, message: string, hint: string): ReturnType<typeof refuse> => refuse({ code, at: name, message, hint });
  if (bytes.length > largestPicture.bytes) return no('picture-too-large', `Expected a picture of at most ${largestPicture.bytes / 2 ** 20} MB, got ${(bytes.length / 2 ** 20).toFixed(0)} MB.`, 'Save it as JPEG, or at a smaller size.');
  const kind = kindOf(bytes);
  if (kind === null || (type !== '' && type !== mimeOf[kind])) {
    return no('not-a-picture', `Expected a PNG, JPEG or WebP picture; ${kind === null ? 'this file does not begin like one' : `the file is called ${type} but holds ${kind}`}.`, 'Save the photo or scan as PNG or JPEG.');
  }
  const size = { PNG: pngSize, JPEG: jpegSize, WebP: webpSize }[kind](new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength));
  if (size === null) return no('picture-broken', `The ${kind} file ends before its size is told.`, 'Was it copied whole? Take it from the camera or scanner again.');
  const [width, height] = size;
  if (Math.min(width, height) < leastSide) return no('picture-too-small', `Expected at least ${leastSide} px on a side, got ${width} x ${height}.`, 'Choose the picture itself, not its small preview.');
  if (width * height > largestPicture.pixels) return no('picture-too-large', `Expected at most ${largestPicture.pixels / 1e6} megapixels, got ${((width * height) / 1e6).toFixed(0)} (${width} x ${height}).`, 'Scan at fewer dots per inch, or cut away what is not needed from a scan.');
  return ok({ kind, width, height });
}

const begins = (bytes: Uint8Array, at: number, ...values: readonly number[]): boolean => values.every((value, i) => bytes[at + i] === value);

function kindOf(bytes: Uint8Array): PictureHeader['kind'] | null {
  if (begins(bytes, 0, 0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a)) return 'PNG';
  if (begins(bytes, 0, 0xff, 0xd8, 0xff)) return 'JPEG';
  return begins(bytes, 0, 0x52, 0x49, 0x46, 0x46) && begins(bytes, 8, 0x57, 0x45, 0x42, 0x50) ? 'WebP' : null;
}

type Size = readonly [number, number];

const pngSize = (view: DataView): Size | null => (view.byteLength < 24 ? null : [view.getUint32(16), view.getUint32(20)]);

/** Walks the marker segments to the first frame header. */
function jpegSize(view: DataView): Size | null {
  for (let at = 2; at + 9 <= view.byteLength; ) {
    if (view.getUint8(at) !== 0xff) return null;
    const marker = view.getUint8(at + 1);
    // Fill bytes before a marker.
    if (marker === 0xff) at += 1;
    else if (marker >= 0xc0 && marker <= 0xcf && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc) return [view.getUint16(at + 7), view.getUint16(at + 5)];
    else if (marker === 0xda || marker === 0xd9) return null;
    else at += 2 + view.getUint16(at + 2);
  }
  return null;
}

function webpSize(view: DataView): Size | null {
  if (view.byteLength < 30) return null;
  const chunk = view.getUint32(12);
  const three = (at: number): number => view.getUint16(at, true) + view.getUint8(at + 2) * 65536;
  // 'VP8X', 'VP8L', 'VP8 '.
  if (chunk === 0x56503858) return [three(24) + 1, three(27) + 1];
  if (chunk === 0x5650384c) return [(view.getUint32(21, true) & 0x3fff) + 1, ((view.getUint32(21, true) >>> 14) & 0x3fff) + 1];
  return chunk === 0x56503820 ? [view.getUint16(26, true) & 0x3fff, view.getUint16(28, true) & 0x3fff] : null;
}
