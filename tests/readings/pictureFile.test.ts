/** Kinds and sizes of pictures from their first bytes, laid out by hand from the standards; real encoders are tried in the browser tests. */
import { describe, expect, test } from 'vitest';
import { largestPicture, readPictureHeader } from '../../src/readings/pictureFile.ts';

const ascii = (text: string): number[] => [...text].map((c) => c.charCodeAt(0));
const big = (value: number, bytes: number): number[] => Array.from({ length: bytes }, (_, i) => Math.floor(value / 256 ** (bytes - 1 - i)) % 256);
const little = (value: number, bytes: number): number[] => big(value, bytes).toReversed();
const bytes = (...parts: readonly (readonly number[])[]): Uint8Array => Uint8Array.from(parts.flat());

const pngOf = (w: number, h: number): Uint8Array => bytes([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a], big(13, 4), ascii('IHDR'), big(w, 4), big(h, 4), [8, 2, 0, 0, 0]);
/** T.81: start, an application segment, tables, fill bytes, then a frame header of the given kind. */
const jpegOf = (w: number, h: number, frame = 0xc0): Uint8Array => bytes([0xff, 0xd8, 0xff, 0xe1], big(8, 2), ascii('Exif\0\0'), [0xff, 0xc4], big(5, 2), [1, 2, 3], [0xff, 0xff, 0xff, frame], big(17, 2), [8], big(h, 2), big(w, 2), [3, 1, 0x22, 0, 2, 0x11, 1, 3, 0x11, 1]);
const webpOf = (chunk: string, body: readonly number[]): Uint8Array => bytes(ascii('RIFF'), little(100, 4), ascii('WEBP'), ascii(chunk), little(50, 4), body, Array.from({ length: 20 }, () => 0));

const codes = (data: Uint8Array, type = ''): string[] => {
  const read = readPictureHeader(data, 'photo', type);
  return read.ok ? [`${read.value.kind} ${read.value.width}x${read.value.height}`] : read.issues.map((i) => i.code);
};

describe('the size stands in the header', () => {
  test.each<[string, Uint8Array, string]>([
    ['PNG', pngOf(640, 480), 'PNG 640x480'],
    ['JPEG, baseline', jpegOf(4032, 3024), 'JPEG 4032x3024'],
    ['JPEG, progressive', jpegOf(4032, 3024, 0xc2), 'JPEG 4032x3024'],
    ['WebP, lossy: 14 bits each after the start code', webpOf('VP8 ', [0, 0, 0, 0x9d, 0x01, 0x2a, ...little(640 + 0x4000, 2), ...little(480, 2)]), 'WebP 640x480'],
    ['WebP, lossless: 14 bits each, less one', webpOf('VP8L', [0x2f, ...little(639 + 479 * 2 ** 14, 4)]), 'WebP 640x480'],
    ['WebP, extended: 24 bits each, less one', webpOf('VP8X', [0, 0, 0, 0, ...little(639, 3), ...little(479, 3)]), 'WebP 640x480'],
  ])('%s', (_, data, said) => {
    expect(codes(data)).toEqual([said]);
  });
});

describe('refused before anything decodes it', () => {
  test.each<[string, Uint8Array, string, string]>([
    ['no picture', bytes(ascii('<svg xmlns="http://www.w3.org/2000/svg"/>')), '', 'not-a-picture'],
    ['nothing', new Uint8Array(), '', 'not-a-picture'],
    ['a name that does not fit', pngOf(640, 480), 'image/jpeg', 'not-a-picture'],
    ['a kind not read', bytes(ascii('GIF89a'), little(640, 2), little(480, 2)), 'image/gif', 'not-a-picture'],
    ['cut short', pngOf(640, 480).subarray(0, 20), '', 'picture-broken'],
    ['a JPEG without a frame', bytes([0xff, 0xd8, 0xff, 0xda], big(8, 2), Array.from({ length: 40 }, () => 0)), '', 'picture-broken'],
    ['a JPEG that runs out', jpegOf(640, 480).subarray(0, 14), '', 'picture-broken'],
    ['a small file that unfolds to gigabytes', pngOf(60_000, 60_000), '', 'picture-too-large'],
    ['a size of nothing', pngOf(0, 480), '', 'picture-too-small'],
    ['more bytes than are taken', new Uint8Array(largestPicture.bytes + 1), '', 'picture-too-large'],
  ])('%s', (_, data, type, code) => {
    expect(codes(data, type)).toEqual([code]);
  });

  test('60 megapixels are taken, a row more is not', () => {
    expect(codes(pngOf(10_000, 6000))).toEqual(['PNG 10000x6000']);
    expect(codes(pngOf(10_000, 6001))).toEqual(['picture-too-large']);
  });
});
